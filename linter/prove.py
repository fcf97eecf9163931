"""What `keyproof prove` is asked: one position, or puzzles of a file, and the proof of each."""

from collections.abc import Iterator
from functools import partial

from keyproof.rules.board.playable import too_many
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof import prover
from keyproof.rules.proof.proof import Proof
from msgspec import Struct
from msgspec.structs import replace

from .jobs import aside
from .positions import Asked, NotAPosition


class Proved(Struct, frozen=True):
    """One puzzle and its proof, or the reason why there is none. `line` is None for a position that was typed in.

    `place` is where it stands in a manuscript, "paragraph 14".
    """

    line: int | None = None
    title: str = ""
    proof: Proof | None = None
    error: str | None = None
    place: str | None = None


def proofs_of(asked: Iterator[Asked], effort: float) -> Iterator[Proved]:
    """Prove each position that is asked about. NotAPosition for one that was typed in and cannot be proved."""
    for each in asked:
        if each.board is None:
            yield Proved(each.line, each.title, error=each.error, place=each.place)
            continue
        try:
            yield Proved(each.line, each.title, _prove(each, each.stipulation, effort), place=each.place)
        except ValueError as error:
            if each.line is None:
                raise NotAPosition(str(error)) from None
            yield Proved(each.line, each.title, error=str(error), place=each.place)


def _prove(asked: Asked, stipulation: Stipulation | None, effort: float) -> Proof:
    """Prove a position. One with more men than a game leaves is impossible, whatever can be played from it."""
    assert asked.board is not None
    if stipulation is None:
        raise NotAPosition(
            "nothing says what is asked: add --stipulation, for example --stipulation '#2'"
            if asked.line is None
            else "no stipulation was found: add --stipulation"
        )
    proof = aside(partial(prover.prove, asked.board, stipulation, effort=effort))
    return replace(proof, verdict="impossible") if any(True for _ in too_many(asked.board)) else proof
