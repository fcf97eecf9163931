"""What of a text may bear on a position: sides, men and squares, each with all it may mean, and what stands between.

Men and squares are taken in every spelling at once: words of a speaker, letters of any language, squares in
descriptive notation. Which of them tell a position, and how they go together, is not asked here.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Literal

import chess
from msgspec import Struct
from msgspec.structs import replace

from ..descriptive import OFFICER, RANK, WING, squares_called
from ..letters import ANY_LETTER, FIGURINES
from ..lexicon.said_squares import meant
from ..lexicon.table import table_of
from ..roster import COLOURS, NAMES
from ..spans import Span
from ..told_words import Said, words_told
from ..words import ORDINALS

Does = Literal[
    "side",
    "own",
    "hearer",
    "other",
    "against",
    "man",
    "square",
    "number",
    "takes back",
    "plays",
    "to",
    "not",
    "end",
    "explains",
    "file",
    "rank",
    "empty",
    "home",
    "word",
]

_PIECE = rf"(?:{ANY_LETTER}|[♔-♟][\ufe0e\ufe0f]?)"
_SEVERAL = r"(?:P|Kt|[RBQNS])['’]?s|pp"
_SMALL = r"(?<![wbWB])[pkqrbn](?=[a-h][1-8](?!\w))"
_LETTERED = re.compile(
    rf"(?<![\w'’])(?P<owner>[wbWB])?(?P<letter>{_PIECE}|{_SEVERAL}|{_SMALL})\.?"
    r"(?:[ \t]*[:=-]?[ \t]*(?P<tight>[a-hé][1-8])(?![\w+#=])|(?=[\s:=,(-]))"
)
_KING = r"(?:K|R|Кр|[kK]ing|♔|♚)[\s:=.,]*[a-h]"
_SIDE = re.compile(rf"(?<![\w'’])(?:(?P<white>Wh?|w)|(?:Bl?|b|S|s|N|n|Z|z))[ \t]*[:.)=|][ \t]*(?={_KING})")
_OLD = re.compile(
    rf"(?<![\w'’])(?:(?:{WING}|(?P<monarch>[Kk]ing|[Qq]ueen)['’]?s\s(?:(?P<wings>[Rr]ook|[Bb]ishop|[Kk]night)\s)?)?"
    rf"(?:{OFFICER}|(?P<officer>[Rr]ook|[Bb]ishop|[Kk]night)['’]?s\s)?)"
    rf"(?P<rank>(?:{RANK}|{'|'.join(list(ORDINALS)[:8])})(?!:))"
)
_HOME = re.compile(  # on the file that bears the name of the man himself: "King at his own square"
    rf"(?:his|her|its)\s(?:own\s)?(?P<rank>sq(?:uare)?\b\.?|{'|'.join(list(ORDINALS)[:8])})(?!\w)", re.I
)
_SQUARE = re.compile(r"(?<![A-Za-z])[a-hé][1-8](?![\w+#=])|(?<=[a-h][1-8])[a-h][1-8](?!\w)")
_ASKED = re.compile(r"#\s?[2-9](?!\w)")
_AGAINST = re.compile(
    r"(?<=\s)(?:[/–—-]{1,2}|vs?\.?|versus|against|gegen|contre|contra)(?=\s+(?:the\s+)?(?:K|R|Кр|♚)[a-h\s])"
)
_NUMBER_OF_MOVE = re.compile(r"(?<!\w)(?<!at )(?<!on )[1-9]\s?\.(?:\s?\.\s?\.)?\s?(?=\S)")
_PLAYED = re.compile(rf"(?<!\w){_PIECE}?[a-h]?[1-8]?[x×:]?{_PIECE}?[a-h][1-8](?:=?[QRBNS])?[+#†‡]")
_SHORT = {"king": "K", "queen": "Q", "rook": "R", "bishop": "B", "knight": "Kt"}
_WORDS: dict[str, Does] = {
    "side": "side", "own": "own", "hearer": "hearer", "other": "other", "man": "man", "square": "square",
    "number": "number", "takes back": "takes back", "no": "takes back", "play": "plays",
    "explains": "explains", "rank": "rank", "asked": "end", "end": "end", "to": "to", "from": "to", "not": "not",
}  # fmt: skip


_CASTLES = frozenset(("castle", "castles"))  # what many call a rook
_LEADS_TO_A = frozenset(("", "on", "at", "file", "the", "\n", ":", ".", ";"))
_ROWS = frozenset(("row", "rank", "height", "line", "level"))  # a number behind them is that of a rank
_EMPTY = frozenset(("blank", "blanks", "empty", "empties", "vacant", "bare"))


class Bead(Struct, frozen=True):
    """One thing on the string: what it does and all the values it may have.

    The colour of a side, the kinds of a man, the squares (of which a side may count the ranks, `old`), a number.
    """

    does: Does
    span: Span
    values: tuple[int, ...] = ()
    old: bool = False
    tight: bool = False  # a letter and its square, one right before the other
    text: str = ""


def beads(text: str, span: Span, letters: Mapping[str, chess.PieceType], tongue: str = "english") -> list[Bead]:
    """Return what stands in a stretch of a text, in order. `letters` are those of its language, its `tongue`."""
    found: list[Bead] = []
    place = span.start
    for bead in sorted(_signs(text, span, letters), key=lambda bead: (bead.span.start, -bead.span.end)):
        if bead.span.start < place:
            continue
        found += _of_words(text, Span(place, bead.span.start), tongue)
        found.append(bead)
        if (
            bead.does == "man"
            and bead.text
            and (square := _LETTERED.match(text, bead.span.start, span.end))
            and square["tight"]
        ):
            at = Span(*square.span("tight"))
            found.append(Bead("square", at, (_square(square["tight"]),), tight=True))
            place = at.end
        else:
            place = bead.span.end
    found += _of_words(text, Span(place, span.end), tongue)
    return found


def _signs(text: str, span: Span, letters: Mapping[str, chess.PieceType]) -> Iterator[Bead]:
    """Yield what is printed in letters and figures."""
    for side in _SIDE.finditer(text, *span):
        yield Bead("side", Span(*side.span()), (int(side["white"] is not None),))
    for against in _AGAINST.finditer(text, *span):
        yield Bead("against", Span(*against.span()))
    for asked in _ASKED.finditer(text, *span):
        yield Bead("end", Span(*asked.span()))
    for number in _NUMBER_OF_MOVE.finditer(text, *span):
        yield Bead("plays", Span(*number.span()))
    for played in _PLAYED.finditer(text, *span):
        yield Bead("plays", Span(*played.span()))
    for square in _SQUARE.finditer(text, *span):
        yield Bead("square", Span(*square.span()), (_square(square[0]),))
    for old in _OLD.finditer(text, *span):
        if squares := _old(old):
            yield Bead("square", Span(*old.span()), squares, old=True)
    for home in _HOME.finditer(text, *span):
        yield Bead(
            "home", Span(*home.span()), (1 if home["rank"][:2].lower() == "sq" else ORDINALS[home["rank"].lower()],)
        )
    for lettered in _LETTERED.finditer(text, *span):
        if kinds := _kinds(lettered["letter"], letters):
            if lettered["owner"]:
                yield Bead("side", Span(*lettered.span("owner")), (int(lettered["owner"] in "wW"),))
            yield Bead(
                "man",
                Span(*lettered.span("letter")),
                kinds,
                tight=lettered["tight"] is not None,
                text=lettered["letter"],
            )


def _square(printed: str) -> chess.Square:
    return chess.parse_square(printed.replace("é", "e"))


def _kinds(letter: str, letters: Mapping[str, chess.PieceType]) -> tuple[int, ...]:
    if letter in FIGURINES:
        return (FIGURINES[letter].piece_type,)
    bare = letter.rstrip("s'’") if len(letter) > 1 and letter.endswith("s") else letter
    if bare == "pp":
        return (chess.PAWN,)
    named = bare if bare in letters else bare.upper()
    return (letters[named],) if named in letters else ()


def _old(match: re.Match[str]) -> tuple[int, ...]:
    wing = match["wing"] or _SHORT.get((match["monarch"] or "").lower())
    officer = match["file"] or _SHORT.get((match["officer"] or match["wings"] or "").lower())
    if wing is None and officer is None:
        return ()
    return tuple(chess.scan_forward(squares_called(wing, officer, match["rank"])))


def _of_words(text: str, span: Span, tongue: str) -> Iterator[Bead]:
    if span.start >= span.end:
        return
    before = ""
    for said in words_told(span.of(text), tongue):
        yield _bead(replace(said, span=said.span.further_on(span.start)), before, tongue)
        before = said.text.lower()


def _bead(said: Said, before: str, tongue: str) -> Bead:
    word = said.text.lower()
    if said.does in ("word", "unknown", "beside") and word in COLOURS and len(word) > 2:
        return Bead("side", said.span, (int(COLOURS[word]),))
    if said.does in ("word", "unknown") and word in NAMES and len(word) > 3:
        return Bead("man", said.span, (NAMES[word],))
    if word in _CASTLES:
        return Bead("man", said.span, (chess.ROOK,), text=word)
    if word in _EMPTY:
        return Bead("empty", said.span, text=word)
    if said.does == "word" and (file := _file(word, before, tongue)) is not None:
        return Bead("file", said.span, (file,), text=word)
    if word.isdecimal() and len(word) == 1:
        return Bead("rank" if before in _ROWS else "number", said.span, (int(word) - (before in _ROWS),), text=word)
    if said.does == "number" and before in _ROWS and said.value < 9:
        return Bead("rank", said.span, (said.value - 1,), text=word)
    does = _WORDS.get(said.does, "word")
    return Bead(does, said.span, (said.value,), text=word)


def _file(word: str, before: str, tongue: str) -> int | None:
    """Return the file that a letter or its spelling names; a letter alone is a word in other languages."""
    file = meant(table_of("english"), word, "file")
    if file is None or file.misheard:
        return None
    if len(word) == 1 and (tongue != "english" or (word == "a" and before not in _LEADS_TO_A)):
        return None
    return chess.FILE_NAMES.index(file.sense)
