"""True and false lines, each said in every stance: who denies a line, asks after it, supposes, wishes, quotes or
takes it back does not claim it; and each in every order.

Positions: those of the demo columns. Which lines are true is worked out by python-chess alone. The stances are those of
ordinary English; common practice, no source.
"""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import chess
import pytest
from keyproof.grammar.cues import Stance
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.checks.gate import LEAVES_OUT
from keyproof.rules.finding import Level

POSITIONS = Path(__file__).parents[2] / "corpus" / "demo" / "positions.jsonl"
MEN = {kind: name for kind, name in enumerate(chess.PIECE_NAMES) if name}

# {L} begins a sentence, {l} does not.
SAYINGS = {
    Stance.asserted: ("{L}.", "As you see, {l}.", "It is true that {l}.", "{L}, of course.", "We think that {l}."),
    Stance.denied: (
        "It is not true that {l}.",
        "It is wrong that {l}.",
        "Nobody can say that {l}.",
        "I do not claim that {l}.",
    ),
    Stance.asked: ("Is it true that {l}?", "Do you think that {l}?", "What if {l}?", "Who says that {l}?"),
    Stance.supposed: ("Perhaps {l}.", "Possibly {l}.", "Maybe {l}."),
    Stance.wished: ("I wish it were true that {l}.", "If only {l}!", "One would like to say that {l}."),
    Stance.quoted: (
        "A reader thought that {l}.",
        "My neighbour claims that {l}.",
        "They say {l}.",
        '"{L}", writes a reader.',
        "{L}, says the caller.",
        "\n\n> {L}.",
    ),
    Stance.withdrawn: (
        "{L}; no, sorry, that is wrong.",
        "{L}. No, that was a mistake.",
        "{L}. That is not true.",
        "I first wrote that {l}; I take that back.",
    ),
}
# {d} is the reply, {a} the answer; {D} and {A} begin a sentence.
PRINTED_ORDERS = (
    "{d} {a} is mate.",
    "After {d}, {a} is mate.",
    "{a} is mate after {d}.",
    "{a} mates if {d}.",
    "{a} (after {d}) is mate.",
    "If {d} then {a} mate.",
    "Against {d} White has {a} mate.",
    "{d} is met by {a}, which is mate.",
    "{d} allows {a} mate.",
)
WORDED_ORDERS = (
    "After {d}, {a} and mates.",
    "If {d}, {a} with mate.",
    "{D}, and {a}, mate.",
    "When {d}, {a}, mate.",
    "Once {d}, {a} and it is mate.",
)
ANSWER_FIRST = ("{A} and mates after {d}.", "{A} with mate if {d}.", "{A}, mate, once {d}.")
ORDERS = [("printed", form) for form in PRINTED_ORDERS] + [("worded", form) for form in WORDED_ORDERS + ANSWER_FIRST]
EVERY = [(stance, form) for stance, forms in SAYINGS.items() for form in forms]


@dataclass(frozen=True)
class Line:
    """What Black replies to the key and White then plays, said to be mate, as it is or not, in print and in words."""

    printed: tuple[str, str]
    worded: tuple[str, str]
    true: bool

    def said(self, way: str) -> str:
        """Return the line in one way, as a clause."""
        reply, answer = getattr(self, way)
        return f"{reply} {answer} is mate" if way == "printed" else f"after {reply}, {answer} and mates"


def _words(board: chess.Board, move: chess.Move) -> str | None:
    """Tell a move in words, None where its man and square do not tell it."""
    kind = board.piece_type_at(move.from_square)
    assert kind is not None
    there = (other for other in board.legal_moves if other.to_square == move.to_square)
    same = [other for other in there if board.piece_type_at(other.from_square) == kind]
    if len(same) > 1 or move.promotion or board.is_castling(move) or board.is_en_passant(move):
        return None
    verb = "takes on" if board.is_capture(move) else "goes to"
    return f"the {MEN[kind]} {verb} {chess.square_name(move.to_square)}"


def _lines(board: chess.Board) -> list[Line]:
    """Return a true and a false line behind the first reply to which there are both; none if there is no such reply."""
    for reply in board.legal_moves:
        after = board.copy()
        after.push(reply)
        found: dict[bool, Line] = {}
        for answer in after.legal_moves:
            told, answered = _words(board, reply), _words(after, answer)
            if told is None or answered is None:
                continue
            san = after.san(answer)
            if san[-1] == "+":
                continue
            printed = f"1...{board.san(reply)}", f"2.{san.rstrip('#')}"
            found[san[-1] == "#"] = Line(printed, (told, answered), san[-1] == "#")
        if len(found) == 2:
            return list(found.values())
    return []


@cache
def puzzles() -> list[tuple[str, list[Line]]]:
    """Return the beginnings of texts, up to the key, with lines that may follow."""
    found = []
    for record in map(json.loads, POSITIONS.read_text(encoding="utf-8").splitlines()):
        board = chess.Board(record["fen"])
        if record["stipulation"] == "#2" and (key := record["key_san"]):
            board.push_san(key)
            if lines := _lines(board):
                found.append((f"{record['fen']}\n\nMate in two.\n\nThe key is 1.{key}! ", lines))
    return found


def faults(text: str) -> list[str]:
    """Return the rules a text breaks, but for those about what it leaves out."""
    found = [placed.finding for placed in check_text("bulletin.txt", text, Options()).findings]
    return [each.rule for each in found if each.level is not Level.note and each.rule not in LEAVES_OUT]


def _begun(said: str) -> str:
    return said[0].upper() + said[1:]


@pytest.mark.parametrize(("stance", "form"), EVERY)
@pytest.mark.parametrize("way", ["printed", "worded"])
def test_only_what_is_claimed_is_accused(stance: Stance, form: str, way: str) -> None:
    start, lines = puzzles()[EVERY.index((stance, form)) % len(puzzles())]
    for line in lines:
        said = line.said(way)
        text = start + form.format(L=_begun(said), l=said)
        assert bool(faults(text)) is (stance is Stance.asserted and not line.true), text


@pytest.mark.parametrize(("way", "form"), ORDERS)
def test_the_order_in_which_a_line_is_told_does_not_matter(way: str, form: str) -> None:
    start, lines = puzzles()[ORDERS.index((way, form)) % len(puzzles())]
    for line in lines:
        reply, answer = getattr(line, way)
        text = start + form.format(d=reply, a=answer, D=_begun(reply), A=_begun(answer))
        # A false line told backwards in words may be held back as doubtful, a true one is accused in no order.
        assert not faults(text) if line.true else faults(text) or form in ANSWER_FIRST, text
