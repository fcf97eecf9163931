"""Twins: one diagram, several puzzles, "b) pawn e4 to e5".

A label with a change after it makes a twin; a label without one ("a)", "b) 1.Kg2!") opens the
twin's solution. What stands before the first label, or has no move in it, belongs to all.
Text with labels but without any change is left alone: there they count variations.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from functools import cache

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .document import Diagram, PuzzleText, TextFault
from .spans import Span
from .traces import NUMBERED_MOVE

Men = dict[chess.Square, chess.Piece]
Change = Callable[[Men], Men]


class CannotChange(ValueError):
    """A change that the position does not admit; the message is for the author."""


_MEN = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name} | {
    "k": chess.KING,
    "q": chess.QUEEN,
    "r": chess.ROOK,
    "b": chess.BISHOP,
    "n": chess.KNIGHT,
    "s": chess.KNIGHT,
    "p": chess.PAWN,
}
_NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "a": 1}

_COLOUR = r"(?:white|black|w|b)"
_WORD = r"(?:king|queen|rook|bishop|knight|pawn)s?"
_SQUARE = r"[a-h][1-8]"


def _man(tag: str) -> str:
    return rf"(?:(?P<colour{tag}>{_COLOUR})(?:\s+|(?=[A-Z])))?(?P<man{tag}>{_WORD}|(?-i:[KQRBNSP]))"


def _place(tag: str) -> str:
    """Return the pattern of a man in its place: "e4", "Pe4", "wKe4", "the white pawn on e4"."""
    return (
        rf"(?:the\s+)?(?:(?P<colour{tag}>{_COLOUR})(?:\s+|(?=[A-Z])))?(?:(?P<man{tag}>{_WORD}|(?-i:[KQRBNSP]))\s*)?"
        rf"(?:(?:on|at|from)\s+)?(?P<square{tag}>{_SQUARE})(?!\w)"
    )


_ARROW = r"(?:\s*(?:-+>|=>|→|⇒|⟶|[-–—])\s*|\s+(?:to|moves\s+to|goes\s+to|stands\s+on|is\s+on)\s+)"
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

_STATED = re.compile(
    r"(?<![\w.])(?P<number>\d{1,2}|one|two|three|four|five|six|seven|eight)\s+solutions?\b(?!\s*(?:\d|to\b|of\b|from\b))"
    r"|(?<![\w.#=])(?P<dotted>[1-9]\d?(?:\.[1-9]\d?)+(?:\.{2,3}|…)?)(?![\w.]|\s?%)",
    re.I,
)
_MAY_STATE = re.compile(r"[\d\s](?:\.\d|solution)", re.I)  # what any such statement has, found sooner
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
        return [_with_counts(masked, puzzle)]
    taken = {span for twin in found for span in (*twin.prose, *twin.headings)}
    shared = [piece for piece in pieces if piece.letter is None and piece.body not in taken]
    positions: dict[str, Men] = {}
    built = []
    for index, twin in enumerate(found):
        built.append(_build(masked, puzzle, base, twin, shared, positions, first=index == 0))
    return [_with_counts(masked, each) for each in built]


def _with_counts(masked: str, puzzle: PuzzleText) -> PuzzleText:
    """Take "2 solutions" and "2.1.1.1" out of what stands before the first move."""
    counts: list[Span] = []
    prose: list[Span] = []
    moves_seen = False
    for span in puzzle.prose:
        move = NUMBERED_MOVE.search(masked, span.start, span.end)
        end = span.start if moves_seen else move.start() if move else span.end
        moves_seen = moves_seen or move is not None
        cuts = _stated(masked, span.start, end)
        counts += cuts
        prose += _without(span, cuts)
    for heading in puzzle.headings:
        counts += _stated(masked, *heading)
    return replace(puzzle, prose=tuple(prose), counts=tuple(counts)) if counts else puzzle


def _stated(masked: str, start: int, end: int) -> list[Span]:
    if _MAY_STATE.search(masked, start, end) is None:
        return []
    return [Span(*each.span()) for each in _STATED.finditer(masked, start, end)]


def stated_number(text: str) -> int:
    """Return the number of solutions that "2 solutions" or "2.1.1.1" states."""
    match = _STATED.search(text)
    if match is None:
        raise ValueError(f"no number of solutions: {text!r}")
    if match["number"]:
        word = match["number"].lower()
        return int(word) if word.isdigit() else _WORDS.index(word) + 1
    product = 1
    for part in re.findall(r"\d+", match["dotted"]):
        product *= int(part)
    return product


_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight")


def _without(span: Span, cuts: Sequence[Span]) -> list[Span]:
    left = []
    place = span.start
    for cut in cuts:
        if cut.start > place:
            left.append(Span(place, cut.start))
        place = max(place, cut.end)
    if place < span.end:
        left.append(Span(place, span.end))
    return left


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
    return [found[letter] for letter in order] if any(found[letter].told for letter in order[1:]) else []


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
    changes: list[Change] = []
    turn: chess.Color | None = None
    while True:
        if term := _TERMS.match(masked, place, end):
            terms_from = min(terms_from, place)
            turn = term["side"].lower() == "white" if term["side"] else turn
            place = term.end()
        elif same := _AS_IT_STANDS.match(masked, place, end):
            place = same.end()
        elif read := next(_changes(masked, place, end), None):
            changes.append(read[1])
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
    if moves_seen and not number and changes and not re.search(r"[a-z]{3}", masked[began:place]):
        return piece.body
    twin.changes += changes
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


def _changes(masked: str, place: int, end: int) -> Iterator[tuple[int, Change]]:
    for text, build in _CHANGES:
        match = _pattern(text).match(masked, place, end)
        if match is not None:
            yield match.end(), build(match)


def _find(men: Men, match: re.Match[str], tag: str) -> chess.Square:
    """Return the square of a man that is named, and check that it stands there."""
    named = match.groupdict()
    kind = _MEN[named[f"man{tag}"].lower().removesuffix("s") or "s"] if named.get(f"man{tag}") else None
    colour = _colour(named.get(f"colour{tag}"))
    words = _words(kind, colour)
    if named.get(f"square{tag}"):
        square = chess.parse_square(named[f"square{tag}"].lower())
        piece = men.get(square)
        if piece is None:
            raise CannotChange(f"there is no {words} on {chess.square_name(square)}")
        if (kind is not None and piece.piece_type != kind) or (colour is not None and piece.color != colour):
            there = _words(piece.piece_type, piece.color)
            raise CannotChange(f"there is no {words} on {chess.square_name(square)}, but a {there}")
        return square
    fitting = [s for s, p in men.items() if p.piece_type == kind and colour in (None, p.color)]
    if len(fitting) != 1:
        raise CannotChange(f"there are {len(fitting) or 'no'} {words}s, so the square must be named")
    return fitting[0]


def _colour(word: str | None) -> chess.Color | None:
    return None if word is None else word.lower().startswith("w")


def _words(kind: chess.PieceType | None, colour: chess.Color | None) -> str:
    colour_word = "" if colour is None else f"{chess.COLOR_NAMES[colour]} "
    return colour_word + ("man" if kind is None else chess.piece_name(kind))


def _kind(word: str) -> chess.PieceType:
    return _MEN[word.lower() if len(word) == 1 else word.lower().removesuffix("s")]


def _move(match: re.Match[str]) -> Change:
    def change(men: Men) -> Men:
        start = _find(men, match, "1")
        target = chess.parse_square(match["target"].lower())
        if target in men and target != start:
            there = _words(men[target].piece_type, men[target].color)
            raise CannotChange(f"{chess.square_name(target)} is taken by the {there}")
        return {(target if square == start else square): piece for square, piece in men.items()}

    return change


def _remove(match: re.Match[str]) -> Change:
    def change(men: Men) -> Men:
        gone = _find(men, match, "1")
        return {square: piece for square, piece in men.items() if square != gone}

    return change


def _add(match: re.Match[str]) -> Change:
    def change(men: Men) -> Men:
        square = chess.parse_square(match["square1"].lower())
        if square in men:
            there = _words(men[square].piece_type, men[square].color)
            raise CannotChange(f"{chess.square_name(square)} is taken by the {there}")
        return {**men, square: chess.Piece(_kind(match["man1"]), bool(_colour(match["colour1"])))}

    return change


def _replace(match: re.Match[str]) -> Change:
    def change(men: Men) -> Men:
        square = _find(men, match, "1")
        colour = _colour(match["colour2"])
        piece = chess.Piece(_kind(match["man2"]), men[square].color if colour is None else colour)
        return {**men, square: piece}

    return change


def _exchange(match: re.Match[str]) -> Change:
    def change(men: Men) -> Men:
        first, second = _find(men, match, "1"), _find(men, match, "2")
        return {**men, first: men[second], second: men[first]}

    return change


def _mirror(match: re.Match[str]) -> Change:
    return lambda men: {square ^ 7: piece for square, piece in men.items()}


def _colours(match: re.Match[str]) -> Change:
    return lambda men: {square: chess.Piece(piece.piece_type, not piece.color) for square, piece in men.items()}


def _turn(match: re.Match[str]) -> Change:
    degrees, way = int(match["degrees"]), match["way"]

    def change(men: Men) -> Men:
        if degrees == 180:
            return {63 - square: piece for square, piece in men.items()}
        if way is None:
            raise CannotChange("turned which way? say clockwise or anticlockwise")
        clockwise = way.lower() == "clockwise"
        turned = {}
        for square, piece in men.items():
            file, rank = chess.square_file(square), chess.square_rank(square)
            turned[chess.square(rank, 7 - file) if clockwise else chess.square(7 - rank, file)] = piece
        return turned

    return change


def _shift(match: re.Match[str]) -> Change:
    word = match["number"].lower()
    number = int(word) if word.isdigit() else _NUMBERS[word]
    files, ranks = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}[match["way"].lower()]

    def change(men: Men) -> Men:
        shifted = {}
        for square, piece in men.items():
            file, rank = chess.square_file(square) + files * number, chess.square_rank(square) + ranks * number
            if not (0 <= file <= 7 and 0 <= rank <= 7):
                there = _words(piece.piece_type, piece.color)
                raise CannotChange(f"the {there} on {chess.square_name(square)} would leave the board")
            shifted[chess.square(file, rank)] = piece
        return shifted

    return change


@cache
def _pattern(text: str) -> re.Pattern[str]:
    """Compile a pattern when it is first used: few files have twins."""
    return re.compile(text, re.I)


_ONE, _TWO = _place("1"), _place("2")
_CHANGES: list[tuple[str, Callable[[re.Match[str]], Change]]] = [
    (rf"(?:exchange|swap|interchange)\s+{_ONE}\s+(?:and|with|for)\s+{_TWO}", _exchange),
    (rf"{_ONE}\s*(?:<-+>|<=+>|↔|⇔)\s*{_TWO}", _exchange),
    (rf"(?:a\s+|an\s+)?{_man('2')}\s+(?:for|instead\s+of|in\s+place\s+of)\s+{_ONE}", _replace),
    (rf"(?:replace|change)\s+{_ONE}\s+(?:by|with|into|to)\s+(?:a\s+|an\s+)?{_man('2')}(?!\w)", _replace),
    (rf"{_ONE}\s*(?:=|\s+becomes\s+(?:a\s+|an\s+)?|\s+is\s+(?:a\s+|an\s+)){_man('2')}(?!\w)", _replace),
    (
        (
            r"(?:shift|move)\s+(?:all(?:\s+(?:the\s+)?(?:men|pieces))?|everything|the\s+(?:whole\s+)?position)\s+"
            r"(?P<number>\d|a|one|two|three|four|five|six)\s+(?:files?|ranks?|squares?)\s+(?:to\s+the\s+)?"
            r"(?P<way>left|right|up|down)"
        ),
        _shift,
    ),
    (
        rf"(?:(?:move|put|shift|transfer)\s+)?{_ONE}{_ARROW}(?:(?-i:[KQRBNSP]))?(?P<target>{_SQUARE})(?!\w)",
        _move,
    ),
    (
        (
            rf"(?:(?:move|put|shift|transfer)\s+)?(?:the\s+)?{_man('1')}\s*(?:(?:(?:moves|goes)\s+)?to|on|-+>|→|⇒)\s+(?P<target>{_SQUARE})(?!\w)"
        ),
        _move,
    ),
    (rf"(?:remove|without|minus|omit|delete|take\s+(?:off|away)|no|[-–−])\s*{_ONE}", _remove),
    (rf"{_ONE}\s+(?:removed|off|is\s+removed|taken\s+(?:off|away))\b", _remove),
    (
        (
            rf"(?:add|with|plus|\+)\s*(?:a\s+|an\s+)?(?P<colour1>{_COLOUR})\s*(?P<man1>{_WORD}|(?-i:[KQRBNSP]))\s*"
            rf"(?:on\s+|at\s+)?(?P<square1>{_SQUARE})(?!\w)"
        ),
        _add,
    ),
    (
        (
            r"(?:the\s+)?(?:mirror(?:ed)?(?:\s+(?:position|image|diagram))?|(?:position\s+)?(?:mirrored|reflected))"
            r"(?:\s+(?:from\s+)?left\s+to\s+right)?(?!\w)"
        ),
        _mirror,
    ),
    (
        (
            r"(?:turn(?:ed)?|rotate[d]?)\s+(?:the\s+(?:board|diagram|position)\s+)?(?:by\s+|through\s+)?"
            r"(?P<degrees>90|180)\s*(?:°|degrees)(?:\s+(?P<way>clockwise|anti-?clockwise|counter-?clockwise))?"
        ),
        _turn,
    ),
    (r"(?:with\s+)?(?:all\s+)?colou?rs\s+(?:reversed|exchanged|swapped|changed)", _colours),
    (r"(?:with\s+)?reversed\s+colou?rs", _colours),
]


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
        words = [left for span in words for left in _without(span, _all(cuts, masked, span))]
        headings = [left for span in headings for left in _without(span, _all(cuts, masked, span))]
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
