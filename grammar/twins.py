"""Twins: one diagram, several puzzles, "b) pawn e4 to e5".

A label with a change after it makes a twin; a label without one ("a)", "b) 1.Kg2!") opens the
twin's solution. What stands before the first label, or has no move in it, belongs to all.
Text with labels but without any change is left alone: there they count variations.
"""

import re

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .document import Diagram, PuzzleText, TextFault
from .spans import Span
from .stated_solutions import with_counts
from .traces import NUMBERED_MOVE
from .twin_changes import CannotChange, Change, Men, changes

_END = re.compile(r"\s*(?:$|(?=[.:;(\[*\r\n])|(?=\d+\s?\.)|(?=\)))")
_AND = re.compile(r"\s*(?:,\s*(?:and\s+)?|;\s*|&\s*|\+\s*(?=\w)|\band\s+(?:also\s+)?|\bplus\s+)", re.I)
_FURTHER = re.compile(
    r"(?:further(?:more)?|also|moreover|in\s+addition|continued|then)\b[:,]?\s*"
    r"|(?:=|as|like|from)\s*\(?(?P<base>[a-h])\)\s*[,:+&]?\s*(?:and\s+|with\s+|but\s+)?",
    re.I,
)
_LABEL = re.compile(
    r"(?<!= )(?<!\bas )(?<!\blike )(?<!\bfrom )(?<![\w.)=])\(?(?P<letter>[a-h])\)(?=\s|$|[*_:])\s*(?:[-:–—](?=\s)\s*)?"
)
_MAY_LABEL = re.compile(r"[a-htT](?:(?<![\w.)=].)\)|(?<=[tT])[wW][^\W\d_][nN])")  # what both have, found sooner
_TWIN = re.compile(r"\btwin(?:\s+\(?(?P<letter>[b-h])\)?)?\s*[:–—-]\s*", re.I)

_SIDE = re.compile(
    r"\b(?:white|black)\s+(?:to\s+(?:play|move)(?:\s+and)?\s+|to\s+|(?=\w*-?mates?\s+in))|\b(?:white|black)\s+begins\b",
    re.I,
)
_COUNT = re.compile(r"\(\s*\d{1,2}\s*\+\s*\d{1,2}\s*\)")


class _Twin(Struct):
    """One twin as it is gathered: how its position comes about, and its own words."""

    letter: str
    span: Span
    changes: list[Change] = field(default_factory=list)
    base: str | None = None  # the twin whose position is changed; None: the diagram
    turn: chess.Color | None = None
    not_read: bool = False
    terms: list[Span] = field(default_factory=list)  # a stipulation or a side to move of its own
    prose: list[Span] = field(default_factory=list)
    headings: list[Span] = field(default_factory=list)

    @property
    def told(self) -> bool:
        """True once it was said how the twin differs from the diagram."""
        return bool(self.changes or self.terms)


class _Piece(Struct, frozen=True):
    """A stretch of a block that begins with a label, or has none."""

    letter: str | None
    label: Span
    body: Span
    heading: bool


def twins(masked: str, puzzle: PuzzleText) -> list[PuzzleText]:
    """Return the puzzles that stand on one diagram: the puzzle itself, or its twins in order.

    Statements of the number of solutions are taken out of the prose into `counts`.
    """
    if puzzle.play is not None:
        return [puzzle]
    base = next((diagram for diagram in puzzle.diagrams if not diagram.faults), None)
    labelled = any(_MAY_LABEL.search(masked, *span) for span in (*puzzle.headings, *puzzle.prose))
    pieces = _pieces(masked, puzzle) if labelled else []
    found = _gather(masked, pieces) if base is not None else []
    if base is None or not found:
        return [with_counts(masked, puzzle)]
    taken = {span for twin in found for span in (*twin.prose, *twin.headings)}
    shared = [piece for piece in pieces if piece.letter is None and piece.body not in taken]
    positions: dict[str, Men] = {}
    built = []
    for index, twin in enumerate(found):
        built.append(_build(masked, puzzle, base, twin, shared, positions, first=index == 0))
    return [with_counts(masked, each) for each in built]


# -- the labels ------------------------------------------------------------------


def _pieces(masked: str, puzzle: PuzzleText) -> list[_Piece]:
    """Cut headings and prose at their labels."""
    blocks = sorted([(span, True) for span in puzzle.headings] + [(span, False) for span in puzzle.prose])
    found = []
    for span, heading in blocks:
        labels = [
            (Span(*label.span()), (label["letter"] or "b").lower())
            for pattern in (_LABEL, _TWIN)
            for label in pattern.finditer(masked, span.start, span.end)
        ]
        place, letter, label_span = span.start, None, Span(span.start, span.start)
        for here, name in sorted(labels):
            if here.start > place or letter is not None:
                found.append(_Piece(letter, label_span, Span(place, max(place, here.start)), heading))
            place, letter, label_span = here.end, name, here
        if letter is not None or span.end > place:
            found.append(_Piece(letter, label_span, Span(place, span.end), heading))
    return found


def _solves(masked: str, span: Span) -> bool:
    return NUMBERED_MOVE.search(masked, span.start, span.end) is not None


def _gather(masked: str, pieces: list[_Piece]) -> list[_Twin]:
    """Return the twins, or nothing where no label has a change after it."""
    order = sorted({piece.letter for piece in pieces if piece.letter is not None} | {"a"})
    if len(order) < 2 or order != [chr(ord("a") + index) for index in range(len(order))]:
        return []
    found = {"a": _Twin("a", pieces[0].body)}
    current = found["a"]
    moves_seen = False
    for piece in pieces:
        rest = piece.body
        if piece.letter is not None:
            twin = found.setdefault(piece.letter, _Twin(piece.letter, piece.label))
            rest = _read_change(masked, piece, twin, moves_seen)
            if rest == piece.body and piece.letter != "a" and not twin.told and rest.of(masked).strip():
                twin.not_read = not _solves(masked, rest)
            current = twin
        solves = _solves(masked, rest)
        moves_seen = moves_seen or solves
        if not solves and (piece.letter is None or piece.heading) and not current.prose:
            continue  # belongs to all
        # A solution without a label answers the diagram, unless it goes on with that of a twin.
        owner = current if piece.letter is not None or current.prose else found["a"]
        (owner.headings if piece.heading and not solves else owner.prose).append(rest)
    told = sum(found[letter].told for letter in order[1:])  # else a list: "d) Qh5-f3: no points", between other words
    return [found[letter] for letter in order] if told and 2 * told >= len(order) - 1 else []


# -- the changes ------------------------------------------------------------------


def _read_change(masked: str, piece: _Piece, twin: _Twin, moves_seen: bool) -> Span:
    """Read the change at the start of a piece into `twin`; return what is left of the piece."""
    place, end = piece.body
    base: str | None = None
    further = _FURTHER.match(masked, place, end)
    if further:
        base = (further["base"] or chr(ord(twin.letter) - 1)).lower()
        place = further.end()
    began, terms_from = place, end
    told: list[Change] = []
    turn: chess.Color | None = None
    while True:
        if term := _TERMS.match(masked, place, end):
            terms_from = min(terms_from, place)
            turn = term["side"].lower() == "white" if term["side"] else turn
            place = term.end()
        elif same := _AS_IT_STANDS.match(masked, place, end):
            place = same.end()
        elif read := next(changes(masked, place, end), None):
            told.append(read[1])
            place = read[0]
        else:
            break
        joined = _AND.match(masked, place, end)
        if joined is None:
            break
        place = joined.end()
    if place == began or _END.match(masked, place, end) is None:
        return piece.body
    number = _NUMBER.match(masked, place, end)
    if number and int(number[1]) > 1:
        return piece.body  # "b) Kd5-c5 2.Qb2#" is a variation
    if moves_seen and not number and told and not re.search(r"[a-z]{3}", masked[began:place]):
        return piece.body
    twin.changes += told
    twin.base = base
    twin.turn = twin.turn if turn is None else turn
    if terms_from < place:
        twin.terms.append(Span(terms_from, place))
    twin.span = Span(piece.label.start, place)
    return Span(place, end)


_NUMBER = re.compile(r"\s*[,;:.]?\s*(\d{1,2})\s?\.")
_AS_IT_STANDS = re.compile(
    r"(?:the\s+|in\s+the\s+)?(?:diagram(?:\s+position)?|position\s+(?:as\s+)?(?:shown|printed))\b"
    r"|as\s+(?:it\s+stands|printed|set|shown|given|in\s+the\s+diagram)\b",
    re.I,
)
_TERMS = re.compile(
    r"(?:(?P<side>white|black)\s+(?:to\s+(?:move|play|begin)|begins|moves\s+first)(?:\s+and\s+mates?\s+in\s+\w+)?"
    r"|(?:(?:self|help|reflex|stale|helpstale)-?)?mates?\s+in\s+(?:\w+(?:\.5|½)?)(?:\s+moves?)?|(?:s|r|h)?[#=]\s?\d{1,2}(?:\.5|½)?)(?!\w)",
    re.I,
)


# -- the puzzles ------------------------------------------------------------------


def _build(
    masked: str,
    puzzle: PuzzleText,
    base: Diagram,
    twin: _Twin,
    shared: list[_Piece],
    positions: dict[str, Men],
    *,
    first: bool,
) -> PuzzleText:
    """Return one twin as a puzzle of its own, on its own position."""
    men = positions.get(twin.base or "", dict(base.pieces))
    faults = []
    for change in twin.changes:
        try:
            men = change(men)
        except CannotChange as fault:
            faults.append(TextFault(twin.span, f"{twin.letter}) cannot be set up: {fault}"))
            break
    positions[twin.letter] = men
    if twin.not_read:
        faults.append(TextFault(twin.span, f"it was not understood how {twin.letter}) differs from the diagram"))
    diagrams = puzzle.diagrams
    if twin.changes or twin.turn is not None or faults:
        diagram = replace(
            base,
            span=twin.span,
            pieces=men,
            piece_spans={},
            turn=base.turn if twin.turn is None else twin.turn,
            castling_span=None,
            en_passant=None,
            has_en_passant_field=False,
        )
        diagrams = () if faults else (diagram,)
    words = [piece.body for piece in shared if not piece.heading]
    headings = [piece.body for piece in shared if piece.heading]
    if not first:
        cuts = [_COUNT, _SIDE] if twin.turn is not None else [_COUNT]
        words = [left for span in words for left in span.without(_all(cuts, masked, span))]
        headings = [left for span in headings for left in span.without(_all(cuts, masked, span))]
    if twin.terms and not first:  # its own stipulation is read before that of all
        prose, headings = [*twin.terms, *twin.prose, *headings, *words], []
    else:
        prose = [*words, *twin.terms, *twin.prose]
    whole = [base.span, *(piece.body for piece in shared), *twin.prose] if first else [twin.span, *twin.prose]
    span = Span(min(each.start for each in whole), max(each.end for each in whole))
    return replace(
        puzzle,
        title=f"{puzzle.title} {twin.letter})".strip(),
        span=span,
        diagrams=diagrams,
        prose=tuple(prose),
        headings=tuple(headings + twin.headings),
        label=twin.letter,
        label_span=twin.span,
        twin_faults=tuple(faults),
    )


def _all(patterns: list[re.Pattern[str]], masked: str, span: Span) -> list[Span]:
    return sorted(Span(*found.span()) for pattern in patterns for found in pattern.finditer(masked, *span))
