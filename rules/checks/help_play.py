"""Help play (h#n, h=n): both sides work for the aim, and the solutions are whole lines."""

from collections.abc import Iterator

import chess

from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node, numbered
from ..proof.proof import Proof
from ..reading.reading import effect_holds
from .register import rule


def _proved(case: Case) -> Proof | None:
    if case.proof is None or case.stipulation is None or not case.stipulation.help_play:
        return None
    return case.proof


def _reached(case: Case, node: Node) -> bool:
    assert case.stipulation is not None
    return node.mate if case.stipulation.genre == "h#" else node.stalemate


@rule("solution-fails", Level.error)
def solution_fails(case: Case) -> Iterator[Fault]:
    """A printed line of a help problem has its full length and does not reach the aim.

    Source: genre definitions in common use (h#n: Black begins, both help, Black is mated on
    White's n-th move).

    Bad:
        FEN: 8/8/8/8/7R/2K5/8/1k6 b - - 0 1
        Helpmate in 1.
        1.Kc1 Rh2

    Good:
        FEN: 8/8/8/8/7R/2K5/8/1k6 b - - 0 1
        Helpmate in 1.
        1.Kc1 Rh1
    """
    if _proved(case) is None or case.reading is None or case.stipulation is None:
        return
    for mention in case.reading.mentions:
        for node in mention.after:
            if node.ply != case.stipulation.plies or _in_set_play(case, node) or _reached(case, node):
                continue
            if any(not effect_holds(effect, node) for effect, _ in mention.effects):
                continue  # reported by the rule on that sign
            aim = "mate" if case.stipulation.genre == "h#" else "stalemate"
            yield Fault(mention.phrase.span, f"the line ends here without {aim}", node.evidence())


@rule("second-solution", Level.error)
def second_solution(case: Case) -> Iterator[Fault]:
    """A help problem has a solution that the text does not print.

    The solutions printed to full length count as those intended.

    Source: WFCC Codex, Arts. 8 and 9: no solution besides the author's.

    Bad:
        FEN: 8/8/8/8/8/k1K5/7R/8 b - - 0 1
        Helpmate in 2.
        1.Ka4 Rh5 2.Ka3 Ra5#

    Good:
        FEN: 8/8/8/8/7R/2K5/8/1k6 b - - 0 1
        Helpmate in 1.
        1.Kc1 Rh1#
    """
    proof = _proved(case)
    if proof is None or case.reading is None:
        return
    printed = case.printed_solutions
    right = [line for line in proof.solutions if line in printed]
    others = [line for line in proof.solutions if line not in printed]
    if right and others:
        evidence = _line(case.reading.diagram, others[0]).evidence()
        count = "is one more solution" if len(others) == 1 else f"are {len(others)} more solutions"
        yield Fault(
            printed[right[0]],
            f"there {count}, such as {case.letters(numbered(evidence.moves, evidence.shift or 0))}",
            evidence,
        )


def _line(node: Node, line: tuple[chess.Move, ...]) -> Node:
    for move in line:
        node = node.play(move)
    return node


def _in_set_play(case: Case, node: Node) -> bool:
    assert case.reading is not None
    return case.reading.set_play is not None and case.reading.set_play in node.path


@rule("no-solution", Level.error)
def no_solution(case: Case) -> Iterator[Fault]:
    """A help problem has no solution.

    Source: WFCC Codex, Art. 8.

    Bad:
        FEN: 8/8/8/8/8/8/k7/2K4R b - - 0 1
        Helpmate in 1.

    Good:
        FEN: 8/8/8/8/7R/2K5/8/1k6 b - - 0 1
        Helpmate in 1.
        1.Kc1 Rh1#
    """
    proof = _proved(case)
    if proof is None or case.diagram is None or not proof.searched.complete:
        return
    if not proof.solutions and not case.printed_solutions:
        claim = case.stipulation_claim
        yield Fault(claim.span if claim else case.diagram.span, f"there is no solution of {case.stipulation}")
