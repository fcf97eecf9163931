"""What may be changed in a diagram to make its twin: "pawn e4 to e5", "remove Bc3", "turn the board by 90 degrees"."""

import re
from collections.abc import Callable, Iterator
from functools import cache

import chess

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


def changes(masked: str, place: int, end: int) -> Iterator[tuple[int, Change]]:
    """Yield each change that may be told at a place, with the place behind its words."""
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
    number = int(word) if word.isdecimal() else _NUMBERS[word]
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
