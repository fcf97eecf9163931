"""What is right where a printed move is wrong: named behind the fault, and put in its place if nothing else is."""

import re
from collections.abc import Sequence

import chess
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from ..case.case import Case
from ..finding import Edit, Fault
from ..play.node import Node
from ..proof import prover
from ..reading.reading import Mention
from .printed import printed_moves

_SIGNS = re.compile(r"(?P<sign>[+#†‡]*)(?P<worth>[!?]*)")


def with_mates(case: Case, mention: Mention, node: Node, fault: Fault) -> Fault:
    """Name the moves that do mate where `node` comes from, and offer the only one."""
    assert node.parent is not None
    mates = _mates(case, node.parent)
    message = fault.message + named(case, node.parent, mates, "mates", "mate")
    return replace(fault, message=message, repair=put_right(case, mention, mates) if case.direct else ())


def named(case: Case, node: Node, right: Sequence[chess.Move], verb: str, many: str) -> str:
    """Return "; 2.Rh1 mates" for the right moves of a position, with the verb for one or for many; "" for none."""
    if not right:
        return ""
    told = [move for move in node.board.legal_moves if move in right]  # in one order, whoever proved them
    return f"; {case.say_all(node, told, most=3)} {verb if len(told) == 1 else many}"


def put_right(case: Case, mention: Mention, right: Sequence[chess.Move]) -> tuple[Edit, ...]:
    """Return the edit that puts the one right move in the place of a printed one, none where that is not sure.

    It is sure where one move alone is right, the text does not print that already, and the wrong one is printed for
    one position alone, in letters and signs that the other can be printed in as well.
    """
    phrase = mention.phrase
    if len(right) != 1 or len(mention.at) != 1 or len(mention.after) != 1 or phrase.worded or phrase.descriptive:
        return ()
    node, wrong = mention.at[0], mention.after[0].move
    printed = printed_moves(case.reading.printed_after(node), node) if case.reading is not None else set()
    captures = _forms(case, "capture") or {"x"}
    if right[0] in printed or wrong is None or len(captures) > 1 or len(mention.turn.choices) > 1:
        return ()
    core, instead = (_bare(case, node, move).replace("x", min(captures)) for move in (wrong, right[0]))
    text = phrase.span.of(case.text).rstrip()
    signs = _SIGNS.fullmatch(text, len(core))
    if not text.startswith(core) or signs is None or not _has_letters(case, node, right[0]):
        return ()
    sign = signs["sign"] if mention.says(Effect.mate) else _sign(case, node, right[0])
    if sign is None:
        return ()
    return (Edit(Span(phrase.span.start, phrase.span.start + len(text)), f"{instead}{sign}{signs['worth']}"),)


def _forms(case: Case, aspect: str) -> set[str]:
    return {sign.form for sign in case.signs if sign.aspect == aspect}


def _has_letters(case: Case, node: Node, move: chess.Move) -> bool:
    """Tell whether a text shows how it prints the man that moves, and what a pawn becomes."""
    if move.promotion is not None and _forms(case, "promotion") != {"=Q"}:
        return False
    return node.board.piece_type_at(move.from_square) == chess.PAWN or _forms(case, "pieces") == {"letters"}


def _sign(case: Case, node: Node, move: chess.Move) -> str | None:
    """Return the sign that a text prints at a move that checks or mates, None where it does not show which."""
    if not node.board.gives_check(move):
        return ""
    checks, mates = _forms(case, "check"), _forms(case, "mate")
    if not checks and not mates:
        return ""
    forms = mates if move in _mates(case, node) else checks
    return min(forms) if len(forms) == 1 and not min(forms).isalpha() else None


def _bare(case: Case, node: Node, move: chess.Move) -> str:
    return case.letters(node.board.san(move)).rstrip("+#")


def _mates(case: Case, node: Node) -> list[chess.Move]:
    """Return the moves of a position that mate at once, whoever plays them and however many moves are asked for."""
    return list(prover.mating_moves(node.board, 1, effort=case.effort, cancel=case.cancel).lengths)
