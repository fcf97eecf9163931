"""How the puzzles of a text print their positions, so that one that is put into it stands there alike."""

import re
from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.document import Diagram
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import pick_language
from msgspec import Struct

from ..listen.desk import Checked, Entry

# "No. 3. ", "## Problem 3: The name", "3)": what stands over a position, or before it in its line.
_NUMBERED = re.compile(r"(?P<lead>\W*(?:[^\W\d]+\.?[ \t]*){0,2})(?P<number>\d{1,4})(?P<tail>[.:)]*[ \t]*)(?P<name>.*)")
_COUNT = re.compile(r"\(\d{1,2}\s?\+\s?\d{1,2}\)")
_ORDER = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)


class Listing(Struct, frozen=True):
    """A list of men: the side that is named first, the words before its men and between the sides, what parts men.

    `letters` are those of the kinds of men, "" for pawns that are printed by their square alone.
    """

    first: chess.Color
    before: str
    between: str
    comma: str
    end: str
    letters: dict[chess.PieceType, str]

    def of(self, board: chess.Board) -> str:
        """Return a position as the list has it."""
        sides = [self.comma.join(self._side(board, colour)) for colour in (self.first, not self.first)]
        return f"{self.before}{self.between.join(sides)}{self.end}"

    def _side(self, board: chess.Board, colour: chess.Color) -> Iterator[str]:
        for kind in _ORDER:
            yield from (self.letters[kind] + chess.square_name(square) for square in board.pieces(kind, colour))


class Manner(Struct, frozen=True):
    """How a position is printed: `number` stands before it; `listing` None: as a FEN; whether the men are counted."""

    number: str = ""
    listing: Listing | None = None
    counted: bool = True


AS_FEN = Manner()


def manner_at(checked: Checked, at: int) -> Manner:
    """Return the manner of the position above a place of a text, or else of the first; that of a FEN without any."""
    drawn = [(entry, diagram) for entry in checked.entries if (diagram := _read(entry)) is not None]
    if not drawn:
        return AS_FEN
    text = checked.document.text
    above = [each for each in drawn if each[1].span.start < at]
    entry, diagram = above[-1] if above else drawn[0]
    counted = any(_COUNT.search(prose.of(text)) for prose in entry.puzzle.prose)
    return Manner(_number(text, drawn, diagram, at), _listing(diagram, text), counted)


def _read(entry: Entry) -> Diagram | None:
    return next((diagram for diagram in entry.puzzle.diagrams if not diagram.faults), None)


def _listing(diagram: Diagram, text: str) -> Listing | None:
    """Return the manner of a list of men, None where the position is no list of both sides."""
    places = sorted((span, diagram.pieces[square]) for square, span in diagram.piece_spans.items())
    if diagram.kind != "list" or diagram.told or len({man.color for _, man in places}) < 2:
        return None
    first = places[0][1].color
    own, others = ([span for span, man in places if (man.color == first) is mine] for mine in (True, False))
    return Listing(
        first,
        text[diagram.span.start : own[0].start],
        text[own[-1].end : others[0].start],
        text[own[0].end : own[1].start] if len(own) > 1 else ", ",
        "." if text[diagram.span.end : diagram.span.end + 1] == "." else "",
        _letters({man.piece_type: span.of(text).strip()[:-2] for span, man in places}),
    )


def _letters(printed: dict[chess.PieceType, str]) -> dict[chess.PieceType, str]:
    """Return the letters of all kinds of men in the language whose letters are printed for some."""
    pawns = printed.get(chess.PAWN, "")
    table = LANGUAGES[pick_language({letter for letter in printed.values() if letter and " " not in letter})]
    letters = {kind: next(letter for letter, named in table.items() if named == kind) for kind in _ORDER}
    return letters | printed | {chess.PAWN: "" if " " in pawns else pawns}  # "pawns d5, f2" names several


def _number(text: str, drawn: Sequence[tuple[Entry, Diagram]], model: Diagram, at: int) -> str:
    """Return the number that comes next, as the model has it, with what parts it from the position."""
    labels = {diagram.span: _label(text, entry, diagram) for entry, diagram in drawn}
    found = labels[model.span]
    if found is None:
        return ""
    lead, tail, gap = found[0]["lead"], found[0]["tail"], found[1]
    last = max(int(label[0]["number"]) for label in labels.values() if label is not None)
    typed = _NUMBERED.match(text[:at].rstrip().rpartition("\n")[2])
    if typed is not None and int(typed["number"]) > last and not typed["name"].strip():
        return ""  # its author has numbered it
    named = found[0]["name"].strip()
    return f"{lead}{last + 1}{tail.rstrip(' :') if named else tail}{gap}"


def _label(text: str, entry: Entry, diagram: Diagram) -> tuple[re.Match[str], str] | None:
    """Return the number of a position and what stands between the two, None where it has none."""
    start = text.rfind("\n", 0, diagram.span.start) + 1
    before = text[start : diagram.span.start]
    if before.strip(" \t#*_>-"):
        found = _NUMBERED.fullmatch(before)
        return (found, "") if found is not None and not found["name"] else None
    above = text[:start].rstrip()
    line = above.rpartition("\n")[2]
    found = _NUMBERED.fullmatch(line)
    name = entry.puzzle.title or entry.puzzle.label
    if found is None or not name or name.rstrip(". ") not in line:
        return None
    return found, "\n" * min(2, text.count("\n", len(above), start))
