"""First moves that are told as tries without a word or sign that calls them so."""

from __future__ import annotations

from ..case.case import Case
from ..reading.reading import Mention


def told_as_a_try(case: Case, mention: Mention | None) -> bool:
    """Tell whether a first move is told with nothing but what refutes it: "1.Bf6+ is bought off by Nxf6"."""
    proof, reading = case.proof, case.reading
    if mention is None or proof is None or reading is None or not mention.after:
        return False
    for node in mention.after:
        attempt = None if node.move is None else proof.attempt(node.move)
        refuting = set() if attempt is None else {node.children.get(move) for move in attempt.refutations}
        told = {end for each in reading.mentions if node in each.at for end in each.after}
        answered = any(end.parent in told for each in reading.mentions for end in each.after)
        if not told or not told <= refuting or answered:
            return False
    return True
