"""Text into lexemes: words and forms of several words with all they may mean, printed moves, squares, punctuation."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import chess
from keyproof.grammar.moves import MovePhrase, NotAMove, read_move
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import MoveNumber

from .table import Meaning, Table, table_of

_MAN = "(?:Кр|[KQRBNSPDTLFCAHWGФЛСКП♔-♟][\ufe0e\ufe0f]?)"
_PROMOTED = r"(?:=\s?\w|\(\w\)|/[QRBNSDTLFCA](?![a-hx1-8])|[QRBNSDTLFCA](?!\w))"
_SHAPE = rf"{_MAN}?[a-h]?[1-8]?[x:×-]?{_MAN}?[a-h][1-8]{_PROMOTED}?"
_MOVE = re.compile(rf"(?<![\w-])(?:[0Oo]-[0Oo](?:-[0Oo])?|{_SHAPE})(?:\s?e\.?p\.?)?[+#†‡!?]*(?![\w])")
_SIGNS = {".": "stop", "!": "stop", "?": "question", ";": "semicolon", ":": "colon", ",": "comma", "(": "open"}
_SIGNS |= {")": "close", "[": "open", "]": "close", "\n": "line", "/": "slash", "…": "dots", ">": "quote", "|": "cell"}
_REST = r"(?:\s?[~∼]|[\s-](?:any(?:\s+other)?|moves|elsewhere|else|beliebig)\b)"
_SET = re.compile(rf"(?<!\w)(?:{_MAN}[a-h]?[1-8]?{_REST}|[~∼])[!?]*")
_BARE_NUMBER = re.compile(rf"\d{{1,2}}(?=\s{_SHAPE}[+#†‡!?]*(?!\w))")
_NUMBER = re.compile(r"\d{1,2}\s?(?:\.\s?\.\s?\.|…|\.\.|\.(?!\d)|\)(?=\s?[A-Z]))")
_DASH = re.compile(r"[-–—]+")
_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*(?:-[^\W_\d][^\W_]*)*", re.UNICODE)
_SQUARE = re.compile(r"[a-hA-H][ \t]?[1-8](?!\w)")
_BLANK = re.compile(r"[^\S\n]+")
_NEGATED = re.compile(r"(?i)n['’]?t$")


@dataclass(frozen=True)
class Lexeme:
    """A piece of text that means something by itself, with all it may mean.

    `kind` is "word", "square", "move", "number", "unknown", or the name of a sign of punctuation. `cost` counts
    what had to be supposed to read it so: a form only misheard.
    """

    kind: str
    span: Span
    text: str
    meanings: tuple[Meaning, ...] = ()
    square: chess.Square | None = None
    phrase: MovePhrase | None = None
    number: MoveNumber | None = None
    cost: int = 0
    categories: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        """Gather the categories of what it may mean."""
        object.__setattr__(self, "categories", frozenset(each.category for each in self.meanings))

    def sense(self, category: str) -> str | None:
        """Return the sense it has in a category, the empty string for one without senses, None where it is none."""
        return next((each.sense for each in self.meanings if each.category == category), None)


def lexemes(text: str, span: Span, language: str = "english", letters: Mapping[str, chess.PieceType] | None = None) -> list[Lexeme]:
    """Cut `span` of `text` into lexemes; blanks are passed over. Never raises for any text."""
    return list(_cut(text, span, table_of(language), letters))


def _cut(text: str, span: Span, table: Table, letters: Mapping[str, chess.PieceType] | None) -> Iterator[Lexeme]:
    place = span.start
    while place < span.end:
        blank = _BLANK.match(text, place, span.end)
        if blank is not None:
            place = blank.end()
            continue
        found = _printed(text, place, span.end, letters) or _worded(text, place, span.end, table)
        yield found
        place = found.span.end


def _printed(text: str, place: int, end: int, letters: Mapping[str, chess.PieceType] | None) -> Lexeme | None:
    """Read a number, a printed move, a square or a sign at `place`."""
    number = _NUMBER.match(text, place, end)
    if number is not None and not (place and text[place - 1].isalnum()):
        given = Span(place, number.end())
        second = "…" in number[0] or number[0].count(".") > 1
        value = int(re.match(r"\d+", number[0])[0])  # type: ignore[index]
        return Lexeme("number", given, number[0], number=MoveNumber(given, value, second))
    bare = _BARE_NUMBER.match(text, place, end)
    if bare is not None and not (place and text[place - 1].isalnum()):
        given = Span(place, bare.end())
        return Lexeme("number", given, bare[0], number=MoveNumber(given, int(bare[0]), False))
    dots = re.compile(r"\.\s?\.\s?\.|\.\.|…").match(text, place, end)
    if dots is not None:
        given = Span(place, dots.end())
        return Lexeme("number", given, dots[0], number=MoveNumber(given, None, True))
    move = _SET.match(text, place, end) or _MOVE.match(text, place, end)
    if move is not None and (phrase := _phrase(move[0], place, letters)) is not None:
        plain = re.fullmatch(r"[a-h][1-8][!?]*", move[0])
        if plain is None:
            return Lexeme("move", Span(place, move.end()), move[0], phrase=phrase)
    square = _SQUARE.match(text, place, end)
    if square is not None and not (place and (text[place - 1].isalnum())):
        name = (square[0][0] + square[0][-1]).lower()
        if len(square[0]) == 2 or square[0][0] not in "aA":
            return Lexeme("square", Span(*square.span()), square[0], square=chess.parse_square(name))
    if text[place] in _SIGNS:
        return Lexeme(_SIGNS[text[place]], Span(place, place + 1), text[place])
    dash = _DASH.match(text, place, end)
    return None if dash is None else Lexeme("dash", Span(*dash.span()), dash[0])


def _phrase(words: str, place: int, letters: Mapping[str, chess.PieceType] | None) -> MovePhrase | None:
    try:
        return read_move(words, offset=place) if letters is None else read_move(words, offset=place, letters=letters)
    except NotAMove:
        return None


def _worded(text: str, place: int, end: int, table: Table) -> Lexeme:
    """Read the longest known form of words at `place`, a square said in words first."""
    words, ends = [], []
    for found in _words(text, place, end):
        words.append(found[0].lower().replace("’", "'"))
        ends.append(found.end())
        if len(words) == 6:
            break
    if not words:
        return Lexeme("unknown", Span(place, place + 1), text[place])
    said = _said_square(text, words, table)
    if said is not None:
        square, taken, cost = said
        given = Span(place, ends[taken - 1])
        return Lexeme("square", given, given.of(text), square=square, cost=cost)
    length, meanings = table.look_up(tuple(words))
    given = Span(place, ends[max(length, 1) - 1])
    if not length and words[0].endswith("'s"):
        length, meanings = table.look_up((words[0][:-2],))
    if not length and (negated := _NEGATED.search(words[0])) is not None:
        length, meanings = table.look_up((words[0][: negated.start()],))
        meanings = (*meanings, Meaning("deny")) if length else ()
    if not length and "-" in words[0]:  # "f-pawn", "mate-in-one": each part by itself
        given = Span(place, place + words[0].index("-"))
        length, meanings = table.look_up((words[0][: words[0].index("-")],))
    return Lexeme("word" if length else "unknown", given, given.of(text), meanings)


def _words(text: str, place: int, end: int) -> Iterator[re.Match[str]]:
    """Yield the words from `place` on that stand together with nothing but blanks and line ends between them."""
    while place < end and (found := _WORD.match(text, place, end)) is not None:
        yield found
        place = found.end()
        while place < end and text[place].isspace():
            place += 1


def _said_square(text: str, words: list[str], table: Table) -> tuple[chess.Square, int, int] | None:
    """Read "h four", "dee-four" or "be four"; return the square, how many words it takes and what it cost."""
    parts = words[0].split("-") if "-" in words[0] else words[:2]
    if len(parts) != 2:
        return None
    file, digit = (_meant(table, word, kind) for word, kind in zip(parts, ("file", "digit"), strict=True))
    if digit is None and re.fullmatch("[1-8]", parts[1]):
        digit = Meaning("digit", parts[1])
    if file is None or digit is None or (digit.misheard and (file.misheard or file.sense == "a")):
        return None
    square = chess.parse_square(file.sense + digit.sense)
    return square, 1 if "-" in words[0] else 2, 2 * file.misheard + 3 * digit.misheard + (file.sense == "a")


def _meant(table: Table, word: str, category: str) -> Meaning | None:
    return next((each for each in table.forms.get((word,), ()) if each.category == category), None)
