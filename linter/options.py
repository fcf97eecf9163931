"""The settings of a run."""

from dataclasses import dataclass

from keyproof.rules.prover import DEFAULT_EFFORT


@dataclass(frozen=True)
class Options:
    """What a check may be told. `effort` limits each proof, in million positions searched."""

    effort: float = DEFAULT_EFFORT
