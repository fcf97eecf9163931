"""Descriptive notation told in algebraic: "Kt-B6" by White is Nc6 or Nf6.

A finding about a move printed in descriptive notation says the algebraic move too, since
few readers of today count squares from the mover's side.
"""

import chess
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from ..board.resolve import algebraic
from ..case.case import Case
from ..finding import Finding
from ..play.node import Node
from ..reading.reading import Mention

_MOST = 3  # readings of one phrase that are told


def in_algebraic(case: Case, finding: Finding) -> Finding:
    """Return the finding with the algebraic move in its message, where it is about a descriptive one."""
    mention = _about(case, finding.span)
    if mention is None or not mention.phrase.descriptive or not mention.phrase.exact or not mention.at:
        return finding
    sans = _sans(mention)
    told = [case.letters(san) for san in sans]
    if not 0 < len(sans) <= _MOST or all(san in finding.message for san in told):
        return finding
    printed = " ".join(mention.phrase.span.of(case.text).split())
    meaning = f"({printed!r} is {mention.at[0].number}{' or '.join(told)})"
    return replace(finding, message=f"{finding.message} {meaning}")


def _about(case: Case, span: Span) -> Mention | None:
    """Return the mention a finding at `span` speaks of: the last that begins before its end in the same half-move."""
    found = None
    for mention in case.reading.mentions if case.reading else ():
        whole = mention.turn.span
        if whole.start <= span.start < whole.end and (found is None or mention.phrase.span.start <= span.start):
            found = mention
    return found


def _sans(mention: Mention) -> list[str]:
    """Return the moves a phrase stands for in SAN, without signs; where none is legal, the moves it asks for."""
    played = {_san(node, after.move) for node, nodes in mention.ways for after in nodes if after.move}
    if played:
        return sorted(played)
    asked = algebraic(mention.at[0].board, mention.phrase)
    if any(phrase.capture and phrase.piece == chess.PAWN and phrase.origin_file is None for phrase in asked):
        return []  # a pawn's capture is written with the file it leaves
    return sorted({_asked(phrase) for phrase in asked})


def _san(node: Node, move: chess.Move) -> str:
    return node.board.san(move).rstrip("+#")


def _asked(phrase: MovePhrase) -> str:
    """Write an algebraic phrase that no legal move agrees with."""
    assert phrase.piece is not None
    assert phrase.destination is not None
    man = chess.piece_symbol(phrase.piece).upper() if phrase.piece != chess.PAWN else ""
    file = "" if phrase.origin_file is None else chess.FILE_NAMES[phrase.origin_file]
    rank = "" if phrase.origin_rank is None or not man else chess.RANK_NAMES[phrase.origin_rank]
    became = "" if phrase.promotion is None else "=" + chess.piece_symbol(phrase.promotion).upper()
    return f"{man}{file}{rank}{'x' if phrase.capture else ''}{chess.square_name(phrase.destination)}{became}"
