"""What an editor asks about a place in the text: the position there, what follows, what could be written."""

import re

import chess
from keyproof.grammar.spans import Lines, Span
from keyproof.rules.case.case import Case
from keyproof.rules.finding import Edit
from keyproof.rules.play.node import Node
from keyproof.rules.proof.proof import Proof
from keyproof.rules.reading.reading import Role
from msgspec import Struct

from ..reports import proof as proof_report
from ..reports.play import opening_ply
from ..reports.position import count, drawn
from ..reports.proof import asked
from ..shown_moves import place_of, played
from .desk import Checked
from .places import on_move
from .wording import rows

_BEGUN = re.compile(r"(?:\d{1,2}\s?(?:\.{1,3}|…)\s?)?[\w-]*\Z")
_VERDICTS = {
    "sound": "proved sound",
    "unsound": "proved unsound",
    "unproved": "not yet proved",
    "impossible": "proved unsound: the side to move has no legal move",
}


class Continuation(Struct, frozen=True):
    """A defence that the text does not answer yet, with an answer: what to write, and all answers there are."""

    text: str
    answers: str


def position_at(checked: Checked, offset: int) -> tuple[str, Span | None] | None:
    """Return the position at a place as a text, and the move it belongs to; None outside the puzzles.

    On a printed move it is the position after that move, elsewhere the diagram and its proof.
    """
    entry = checked.at(offset)
    if entry is None:
        return None
    case, inside = entry.kept.case, entry.in_case(offset)
    if case.reading is None or inside is None:
        return None
    mention = on_move(case, inside)
    if mention is not None:
        sentence = entry.sentence(inside)
        taken = [f"     taken for: {row}" for row in rows(sentence, case.letters)] if sentence is not None else []
        return "\n".join([_after(case, mention.after[0]), *taken]), place_of(mention).further_on(offset - inside)
    proof = case.proof
    if proof is not None:
        return "\n".join(line.text for line in proof_report.report(proof)), None
    board = case.reading.diagram.board
    return "\n".join(
        [*(line.text for line in drawn(board)), f"     {count(board)} nothing says what is asked for"]
    ), None


def _after(case: Case, node: Node) -> str:
    lines = [line.text for line in drawn(node.board)]
    lines.append(f"     after {played(node, case.letters)}{_state(node.board)}")
    if case.proof is not None:
        lines.append(f"     {_verdict(case, case.proof)}")
    return "\n".join(lines)


def _state(board: chess.Board) -> str:
    if board.is_checkmate():
        return ": mate"
    if board.is_stalemate():
        return ": stalemate"
    return ": check" if board.is_check() else ""


def _verdict(case: Case, proof: Proof) -> str:
    board = chess.Board(proof.fen)
    words = f"{asked(proof.stipulation, board.turn)}: {_VERDICTS[proof.verdict]}"
    if not proof.keys:
        return words if proof.searched.complete else f"{words} ({proof.searched.reached})"
    ply = opening_ply(board.turn, proof.stipulation.symbol)
    number = "1..." if ply else "1."
    keys = ", ".join(case.letters(board.san(key)) for key in proof.keys)
    return f"{words}, {'key' if len(proof.keys) == 1 else 'keys'} {number}{keys}"


def continuations(checked: Checked, offset: int) -> list[Continuation]:
    """Return the defences to the key that the puzzle at a place, or above it, does not speak of yet."""
    entry = checked.at(offset) or checked.above(offset)
    if entry is None:
        return []
    case = entry.kept.case
    if case.reading is None or case.proof is None:
        return []
    found = []
    for key in case.reading.first_moves(Role.key):
        play = case.proof.play_after(key.move) if key.move is not None else None
        if play is None:
            continue
        printed = {after.move for mention in case.reading.printed_after(key) for after in mention.after}
        for defence in play.defences:
            if defence.move in printed or not defence.answers:
                continue
            after = key.play(defence.move)
            shortest = min(answer.length for answer in defence.answers)
            answers = [answer.move for answer in defence.answers if answer.length == shortest]
            text = f"{case.say(key, defence.move)} {case.say(after, answers[0])}"
            found.append(Continuation(text, case.say_all(after, answers)))
    return found


def begun_before(lines: Lines, offset: int) -> Span:
    """Return what stands right before a place and may be the beginning of a line of play: "1...", "1...K"."""
    line = lines.line_span(lines.place(offset)[0])
    begun = _BEGUN.search(lines.text, line.start, offset)
    return Span(begun.start() if begun else offset, offset)


def repairs(checked: Checked, span: Span) -> list[tuple[int, tuple[Edit, ...]]]:
    """Return the repairs offered in a stretch: the place of the finding in `Checked.findings`, and its edits."""
    return [
        (place, finding.repair)
        for place, (finding, _) in enumerate(checked.findings())
        if finding.repair and finding.span.start <= span.end and span.start <= finding.span.end
    ]
