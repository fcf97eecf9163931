"""How many moves mate in a position: what the text says of it, and what is so."""

from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.clauses import Clause
from keyproof.grammar.cues import Stance

from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node
from ..proof import prover
from ..reading.reading import Mention, PlacedClaim, State
from .hedges import doubted
from .printed import passed, printed_moves
from .register import rule
from .roots import after_false_key, falsely_signed, once


@rule("wrong-number-of-mates", Level.error)
def wrong_number_of_mates(case: Case) -> Iterator[Fault]:
    """The text says how many moves mate, or that its own is the only one, and there are more or fewer.

    "2.Qf8 (only)", "only 2.Qf8", "the only mate", "two mates", "three threats": asked in the position after the
    defence that the words speak of, or after the first move if they speak of threats. Where they speak of several
    positions, they are false only if they are so in all of them. A promotion may be counted once, or once for each man.

    Source: FIDE Laws 1.4.1.

    Bad:
        FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1
        Mate in two.
        1.Kb6! Kc8 2.Qe8# (only), 1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#

    Good:
        FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1
        Mate in two.
        1.Kb6! Kc8 2.Qe8/Qc7# (only these two mates), 1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#
    """
    for placed, node, _ in _false(case):
        yield Fault(placed.claim.span, _message(case, placed, node), node.choices(_mates(node)))


def called_only(case: Case) -> set[Node]:
    """Return the positions of which the text gives a false number of mates."""
    return once(case, "called only", None, lambda: {each for *_, nodes in _false(case) for each in nodes})


def _false(case: Case) -> Iterator[tuple[PlacedClaim, Node, Sequence[Node]]]:
    """Yield the false claims with the position that shows it, and all that they speak of."""
    for placed in case.reading.claims if case.reading is not None else ():
        nodes = placed.nodes
        if placed.claim.kind != "mates" or not nodes or any(after_false_key(case, node) for node in nodes):
            continue
        told = placed.mention.phrase.span.end if placed.mention is not None else placed.claim.span.start
        if not doubted(case, placed.claim.span, min(told, placed.claim.span.start), by_parts=True) and all(
            _is_false(case, placed, node) for node in nodes
        ):
            yield placed, nodes[0], nodes


def _is_false(case: Case, placed: PlacedClaim, node: Node) -> bool:
    assert case.reading is not None
    mates, answers = _mates(node), case.reading.printed_after(node)
    if not mates or any(each.state is State.impossible or falsely_signed(each) for each in answers):
        return False
    if placed.claim.count is not None:
        return placed.claim.count not in (len(mates), len({(move.from_square, move.to_square) for move in mates}))
    shown = _shown(case, placed, node, mates)
    own = [] if placed.mention is None else [end.move for end in placed.mention.after if end.parent is node]
    return any(move in mates for move in own) and bool(_others(placed, mates, shown))


def _shown(case: Case, placed: PlacedClaim, node: Node, mates: Sequence[chess.Move]) -> list[chess.Move]:
    """Return the mates that the text tells, but for those it turns down: "a single mate, 2.Qf7#; do not accept Nc7"."""
    assert case.reading is not None
    own = _clause(case, placed.claim.span.start)
    told = [each for each in case.reading.printed_after(node) if not _turned_down(case, each, own)]
    return [move for move in mates if move in printed_moves(told, node)]


def _turned_down(case: Case, mention: Mention, own: Clause | None) -> bool:
    """Tell whether a move is denied in another clause than the claim's `own`, and not as a mate, which would be one."""
    clause = _clause(case, mention.phrase.span.start)
    return clause is not None and clause is not own and clause.stance is Stance.denied and not clause.mates


def _clause(case: Case, place: int) -> Clause | None:
    return next((each for each in case.clauses if each.span.start <= place < each.span.end), None)


def _others(placed: PlacedClaim, mates: Sequence[chess.Move], shown: Sequence[chess.Move]) -> list[chess.Move]:
    """Return the mates that the text does not print; words that tell a promotion speak of every man."""
    others = [move for move in mates if move not in shown]
    if placed.mention is not None and placed.mention.phrase.worded:
        steps = {(move.from_square, move.to_square) for move in shown}
        others = [move for move in others if (move.from_square, move.to_square) not in steps]
    return others


def _mates(node: Node) -> list[chess.Move]:
    lengths = prover.mating_moves(node.board, 1).lengths
    return [move for move in node.board.legal_moves if move in lengths]


def _message(case: Case, placed: PlacedClaim, node: Node) -> str:
    mates, threat = _mates(node), passed(node) is not None
    after = f" after {case.say(node.parent, node.move)}" if node.parent is not None and node.move else ""
    if placed.claim.count is not None:
        moves = "one move mates" if len(mates) == 1 else f"{len(mates)} moves mate"
        if threat:
            moves = "one mate is threatened" if len(mates) == 1 else f"{len(mates)} mates are threatened"
        return f"{moves}{after}, not {placed.claim.count}: {case.say_all(node, mates)}"
    assert case.reading is not None
    shown = _shown(case, placed, node, mates)
    others = _others(placed, mates, shown)
    verb = "is threatened" if threat else "mates" if len(others) == 1 else "mate"
    return f"not the only mate{after}: {case.say_all(node, others, most=4)} {verb} too"
