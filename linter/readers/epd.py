"""EPD (Extended Position Description, PGN standard 16.2): each line is a position and what is said of it.

`dm` is the stipulation, `bm` the key, `am` a try, `pv` a line of play from the position;
`id` is the title, `c0` to `c9` are the author's words. Other operations are for programs
and claim nothing that a proof could settle. Lines that begin with "#" behind a record are remarks on it:
they are no operations, so that only the walk through words reads them.
"""

import re
from collections.abc import Iterable, Iterator

import chess
from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.fens import find_fens
from keyproof.grammar.moves import MovePhrase, Sort
from keyproof.grammar.scan import read_span
from keyproof.grammar.spans import Lines, Span
from keyproof.grammar.statements import Break, Claim, Marker, NotUnderstood, Statement, Turn
from msgspec import Struct
from msgspec.structs import replace

from .play import first_ply, language, moved, numbered, remark, unusable

_OPERATION = re.compile(r'\s*(?P<opcode>[A-Za-z]\w*)(?P<operands>(?:\s+(?:"[^"]*"|[^\s;"]+))*)\s*(?:;|$)')
_WORDS = re.compile(r'"(?P<words>[^"]*)"')
_WHOLE_WORDS = re.compile(rf"{_WORDS.pattern}\s*;?")  # a remark that is written as an operation
_MOVES = ("bm", "am", "pv")
_LEFT_OUT = ("#", ";", "%")  # at the start of a line: not an entry; common practice, no source
_REMARK_LINE = re.compile(r"\s*#+\s*(?:c[0-9]\s*(?=\"))?(?P<words>\S.*?)\s*")  # not "c4 -> Na4#"


class _Operation(Struct, frozen=True):
    opcode: str
    span: Span  # without the semicolon
    operands: Span


def read(text: str) -> tuple[str, list[PuzzleText]]:
    """Return the masked text and the puzzles of an EPD file. Never raises for any text."""
    shown = list(re.sub(r"[^\r\n]", " ", text))
    entries: list[tuple[Span, Diagram, list[_Operation], Span | None, list[Span]]] = []
    for line in Lines(text).spans:
        inked = line.of(text)
        if not inked.strip() or inked.lstrip().startswith(_LEFT_OUT):
            if entries and (words := _remark_line(text, line)):
                shown[words.start : words.end] = words.of(text)
                entries[-1][-1].append(words)
            continue
        diagram = _diagram(text, line)
        operations, rest = _operations(text, Span(diagram.span.end, line.end))
        for operation in operations:
            if operation.opcode in (*_MOVES, "dm") or _is_remark(operation.opcode):
                span = operation.operands
                # The marks around a string are the format's (16.2), not those of words that somebody else said.
                bare = _WORDS.sub(r" \g<words> ", span.of(text)) if _is_remark(operation.opcode) else span.of(text)
                shown[span.start : span.end] = bare
        entries.append((line, diagram, operations, rest, []))
    masked = "".join(shown)
    return masked, [_together(records) for records in _by_position(_Entry(text, masked, *entry) for entry in entries)]


def _by_position(entries: "Iterable[_Entry]") -> "list[list[_Entry]]":
    """Put the records of one puzzle together: the same position, and no other title or number of moves."""
    groups: list[list[_Entry]] = []
    of_position: dict[tuple[object, ...], list[list[_Entry]]] = {}
    for entry in entries:
        alike = of_position.setdefault(entry.position, [])
        own = next((group for group in alike if group[0].agrees(entry)), None)
        if own is None or entry.diagram.faults:
            own = []
            alike.append(own)
            groups.append(own)
        own.append(entry)
    return groups


def _together(records: "list[_Entry]") -> PuzzleText:
    """Make one puzzle of its records."""
    parts = [record.puzzle() for record in records]
    if len(parts) == 1:
        return parts[0]

    def play() -> tuple[list[Statement], str]:
        found = [record.read() for record in records]
        return [statement for statements, _ in found for statement in statements], found[0][1]

    return replace(
        parts[0],
        diagrams=tuple(diagram for part in parts for diagram in part.diagrams),
        prose=tuple(span for part in parts for span in part.prose),
        play=play,
        remarks=tuple(span for part in parts for span in part.remarks),
    )


def _remark_line(text: str, line: Span) -> Span | None:
    """Return the words of a remark line, without quotation marks around all of them."""
    found = _REMARK_LINE.fullmatch(text, *line)
    if found is None:
        return None
    words = Span(*found.span("words"))
    quoted = _WHOLE_WORDS.fullmatch(text, *words)
    return Span(*quoted.span("words")) if quoted else words


def _is_remark(opcode: str) -> bool:
    return bool(re.fullmatch(r"c[0-9]", opcode))


def _diagram(text: str, line: Span) -> Diagram:
    """Read the position at the start of a line."""
    inked = line.of(text)
    before = line.start + len(inked) - len(inked.lstrip())
    found = next(find_fens(text[before : line.end], standard=True), None)
    if found is not None and found.span.start == 0:
        return moved(found, before)
    return unusable(Span(before, line.start + len(inked.rstrip())), "the line does not begin with a position")


def _operations(text: str, span: Span) -> tuple[list[_Operation], Span | None]:
    """Return the operations of a line, and what cannot be read as one."""
    found: list[_Operation] = []
    place = span.start
    while text[place : span.end].strip():
        match = _OPERATION.match(text, place, span.end)
        if match is None:
            return found, Span(place, span.end)
        operands = Span(*match.span("operands"))
        start = match.start("opcode")
        words = operands.of(text)
        lead = len(words) - len(words.lstrip())
        found.append(_Operation(match["opcode"], Span(start, operands.end), Span(operands.start + lead, operands.end)))
        place = match.end()
    return found, None


class _Entry:
    """One line as a puzzle."""

    def __init__(
        self,
        text: str,
        masked: str,
        line: Span,
        diagram: Diagram,
        operations: list[_Operation],
        rest: Span | None,
        remarks: list[Span],
    ) -> None:
        self.text = text
        self.masked = masked
        self.line = line
        self.diagram = diagram
        self.operations = operations
        self.rest = rest
        self.remarks = remarks  # lines of their own below the record
        self.language = "en"

    @property
    def position(self) -> tuple[object, ...]:
        """What two records of one puzzle have in common."""
        shown = self.diagram
        return (*sorted((square, man.symbol()) for square, man in shown.pieces.items()), shown.turn, shown.en_passant)

    def agrees(self, other: "_Entry") -> bool:
        """Tell whether another record of this position may speak of the same puzzle."""
        return all(other.said(code) in ("", self.said(code)) for code in ("id", "dm"))

    def said(self, opcode: str) -> str:
        """Return the first operand of an operation, "" where there is none."""
        return next((self._words(each).of(self.text).strip() for each in self.operations if each.opcode == opcode), "")

    def read(self) -> tuple[list[Statement], str]:
        """Return the statements of the line and the language of its piece letters."""
        play = [operation.operands for operation in self.operations if operation.opcode in _MOVES]
        self.language = language(self.masked, play)
        return list(self._statements()), self.language

    def puzzle(self) -> PuzzleText:
        title = next((self._words(each).of(self.text) for each in self.operations if each.opcode == "id"), "")
        return PuzzleText(
            title=" ".join(title.split()),
            span=self.line.to(self.remarks[-1]) if self.remarks else self.line,
            diagrams=(self.diagram,),
            prose=tuple(
                [each.operands for each in self.operations if each.opcode in _MOVES or _is_remark(each.opcode)]
                + self.remarks
            ),
            play=self.read,
            remarks=tuple(self.remarks),
        )

    def _words(self, operation: _Operation) -> Span:
        quoted = _WORDS.search(self.text, *operation.operands)
        return Span(*quoted.span("words")) if quoted else operation.operands

    def _statements(self) -> Iterator[Statement]:
        ply = first_ply(self.diagram.turn is chess.BLACK, "")
        # The stipulation first, since it says how the rest is meant; then the remarks on the position, the
        # moves, and the remarks that speak of moves.
        parts: list[tuple[int, list[Statement]]] = []
        for operation in self.operations:
            if operation.opcode == "dm":
                parts.append((0, [self._stipulation(operation)]))
            elif operation.opcode in _MOVES:
                parts.append((2 + _MOVES.index(operation.opcode), list(self._moves(operation, ply))))
            elif _is_remark(operation.opcode):
                said = list(remark(self.masked, self._words(operation), self.language))
                speaks_of_moves = any(isinstance(statement, Turn) for statement in said)
                parts.append((5 if speaks_of_moves else 1, said))
        for _, statements in sorted(parts, key=lambda part: part[0]):
            yield from statements
            if statements:
                end = statements[-1].span.end
                yield Break("block", Span(end, end))
        if self.rest is not None:
            yield NotUnderstood(self.rest, self.rest.of(self.text))

    def _stipulation(self, operation: _Operation) -> Statement:
        number = operation.operands.of(self.text).strip()
        if not number.isascii() or not number.isdecimal():
            return NotUnderstood(operation.span, operation.span.of(self.text))
        return Claim("stipulation", operation.span, f"#{int(number)}")

    def _moves(self, operation: _Operation, ply: int) -> Iterator[Statement]:
        line = operation.opcode == "pv"
        for statement in read_span(self.masked, operation.operands, self.language):
            if isinstance(statement, Turn):
                if not line:
                    yield Marker("key" if operation.opcode == "bm" else "try", operation.span)
                yield numbered(statement, ply)
                ply += line
                if not line:
                    yield Break("stop", Span(statement.span.end, statement.span.end))
            elif not isinstance(statement, Break):
                yield statement
        if line:  # one line of several: it does not claim that there is no other defence
            end = Span(operation.span.end, operation.span.end)
            yield Break("stop", end)
            yield Turn(end, None, (MovePhrase(end, "", Sort.any_other, worded=True),))
