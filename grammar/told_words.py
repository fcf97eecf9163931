"""The words in which men are told one by one, each as what it does in the telling.

Which words these are stands in the lexicon; only those that mean something in a telling alone stand here.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import zip_longest
from typing import Literal

import chess
from msgspec import Struct
from msgspec.structs import replace

from .lexicon.lexemes import Lexeme, lexemes, worded
from .lexicon.table import Meaning
from .remembering import remembered
from .spans import Span

Does = Literal[
    "side", "own", "hearer", "other", "man", "square", "number", "rank", "takes back", "no", "not", "play", "puts",
    "perhaps", "explains", "at", "to", "from", "is", "beside", "up", "down", "ahead", "behind", "goes on", "yes",
    "join", "end", "asked", "word", "unknown",
]  # fmt: skip

_MEN = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name}
_ENDS: dict[str, Does] = {"stop": "end", "question": "asked"}
_JOINS = frozenset(
    ("comma", "colon", "dash", "semicolon", "slash", "open", "close", "dots", "pause", "line", "cell", "number")
)
_BESIDE = frozenset(
    ["next", "beside", "near", "nearest", "by", "facing", "opposite", "between", "against", "round", "around"]
)
_WAYS: dict[str, Does] = {
    **dict.fromkeys(("above", "atop"), "up"),
    **dict.fromkeys(("below", "beneath", "under", "underneath"), "down"),
    **dict.fromkeys(("front", "before"), "ahead"),
    "behind": "behind",
}
_GOES_ON = frozenset(
    ["oh", "also", "another", "finally", "lastly", "moreover", "further", "furthermore", "forget", "forgot", "besides"]
)
_YES = frozenset(["yes", "yeah", "yep", "right", "exactly", "correct", "quite", "true", "aye", "precisely"])
_NO = frozenset(("no", "nope", "nay", "rather"))
_PUTS = frozenset(("put", "go", "gives"))
_PLAYS = frozenset(("take", "promoting", "castle", "effect", "retake", "sacrifice", "flee", "not mate", "en passant"))
_EXPLAINS = frozenset(("guard", "attack", "pin", "block"))
_PLAYS_OF_MARKS = frozenset(("threat", "refute", "refutes"))
_PLACING = frozenset(["have", "need", "want", "see", "find", "add", "stand", "sit"])
PUT_NOTHING = frozenset(
    ("word", "unknown", "join", "asked", "is", "at", "to", "from", "side", "own", "other", "hearer")
)
"""What the words of a sentence do that puts no man anywhere, and takes none back."""
_SIGNS = frozenset(("join", "asked"))
# Where no form of several words, no number and no sign goes on: what stands on both sides is read by itself.
_CUT = re.compile(r"(?:[.!?,;:](?:[^\S\n]*\n)+[^\S\n]*|(?<=[^\W\d_])[.!?][^\S\n]+)(?=[^\W_])")
_HEARD_AS_PAWN = frozenset(("upon", "upawn"))
_QUOTES = frozenset('"“”„«»‘')
_SPELT = re.compile(r"([a-h]) for", re.I)


class Said(Struct, frozen=True):
    """One word of a telling. `value` is the colour of a side, the kind of a man, a square, a number or a rank."""

    does: Does
    span: Span
    value: int = 0
    several: bool = False
    subject: bool = False  # a pronoun that may have men: "I have", "he's got"
    text: str = ""


def _parts(text: str, span: Span) -> Iterator[tuple[int, str]]:
    """Yield what can be read by itself, and where it begins."""
    place = span.start
    for end in (*(cut.end() for cut in _CUT.finditer(text, *span)), span.end):
        yield place, text[place:end]
        place = end


def _further_on(said: Said, by: int) -> Said:
    return Said(said.does, said.span.further_on(by), said.value, said.several, said.subject, said.text)


def words_told(text: str, tongue: str = "english") -> list[Said]:
    """Cut a text into the words of a telling in a language, named as its table is."""
    given = lexemes(text, Span(0, len(text)), tongue)
    found: list[Said] = []
    for lexeme, following in zip_longest(given, given[1:]):
        if following is not None and lexeme.text[1:2] == " " and _spells(lexeme, following):
            found.append(Said("word", lexeme.span, text=lexeme.text.lower()))
            continue
        if "digit" in lexeme.categories and _man_and_a(found):
            file = found.pop()  # "king a ate"
            square = chess.parse_square(f"a{lexeme.sense('digit')}")
            found.append(Said("square", file.span.to(lexeme.span), square, text=f"a {lexeme.text.lower()}"))
        else:
            found.append(_said(lexeme, following))
    return found


def _spells(lexeme: Lexeme, following: Lexeme) -> bool:
    """Tell whether a letter is spelt by a word, as in "c for curtain", and names no square c4."""
    spelt = _SPELT.fullmatch(lexeme.text)
    return spelt is not None and following.text.lower().startswith(spelt[1].lower()) and following.kind != "square"


def _man_and_a(found: Sequence[Said]) -> bool:
    """Tell whether the last words are a man and "a", which names a file where a number follows."""
    return len(found) > 1 and found[-1].text == "a" and (found[-2].does == "man" or found[-2].does == "at")


def _said(lexeme: Lexeme, following: Lexeme | None) -> Said:
    span, text = lexeme.span, lexeme.text.lower()
    if "’" in text:
        text = text.replace("’", "'")
    if lexeme.kind == "square":
        assert lexeme.square is not None
        return Said("square", span, lexeme.square, text=text)
    if lexeme.kind in _ENDS:
        return Said(_ENDS[lexeme.kind], span, text=text)
    if lexeme.kind == "move":
        return Said("play", span, text=text)
    if lexeme.kind in _JOINS or text in _QUOTES:
        return Said("join", span, text=text)
    if (
        text in _HEARD_AS_PAWN
        and following is not None
        and {"at"} & following.categories | {following.kind} & {"square"}
    ):
        return Said("man", span, chess.PAWN, text=text)
    if text[-2:] == "'s" and text[:-2] in _MEN and not (following is not None and "man" in following.categories):
        return Said("man", span, _MEN[text[:-2]], text=text)  # "his king's on h3"
    return replace(_of_word(lexeme.kind, text, lexeme.meanings), span=span)


@lru_cache(maxsize=4096)
def _of_word(kind: str, text: str, meanings: tuple[Meaning, ...]) -> Said:
    """Return what a word or form does by itself, wherever it stands."""
    lexeme = worded(kind, Span(0, 0), text, meanings)
    return (
        _of_side(lexeme, lexeme.span, text)
        or _of_man(lexeme, lexeme.span, text)
        or Said(_of_others(lexeme, text), lexeme.span, text=text)
    )


def _of_side(lexeme: Lexeme, span: Span, text: str) -> Said | None:
    side = next((each for each in lexeme.meanings if each.category == "side" and not each.misheard), None)
    if side is not None:
        return Said("side", span, int(side.sense == "white"), text=text)
    if {"our", "we"} & lexeme.categories:
        return Said("own", span, subject="we" in lexeme.categories, text=text)
    if {"your", "you"} & lexeme.categories:
        return Said("hearer", span, subject="you" in lexeme.categories, text=text)
    pronoun = lexeme.sense("pronoun")
    if (
        pronoun in ("his", "their", "hers")
        or (pronoun == "its" and not text.startswith("its"))
        or (pronoun in ("he", "they") and text not in ("him", "them"))
    ):
        return Said("other", span, subject=pronoun in ("he", "they"), text=text)
    return None


def _of_man(lexeme: Lexeme, span: Span, text: str) -> Said | None:
    kind = lexeme.sense("man")
    if kind is not None and kind != "any":
        bare = text.split()[-1]
        return Said("man", span, _MEN[kind], several=bare.endswith("s") and "'" not in bare, text=text)
    rank = lexeme.sense("rank")
    if rank is not None:
        return Said("rank", span, int(rank) - 1, text=text)
    count = lexeme.sense("count")
    if count is not None and count != "0":
        return Said("number", span, int(count), text=text)
    return None


def _of_others(lexeme: Lexeme, text: str) -> Does:
    """Return what a word does that names no side, man, square or number."""
    kinds = lexeme.categories
    words = text.split()
    if text in ("had", "has had"):
        return "is"
    if words[-1] == "from":
        return "from"
    if text in _NO:
        return "no"
    if "withdraw" in kinds or lexeme.sense("stance") == "withdrawn":
        return "takes back"
    if text in _YES:
        return "yes"
    if way := next((_WAYS[word] for word in words if word in _WAYS), None):
        return way
    if _BESIDE & set(words):
        return "beside"
    if _GOES_ON & set(words):
        return "goes on"
    for does, test in (
        ("join", text == "nor"),  # "the king has not left e1 nor the rook h1": men stand behind it all the same
        ("not", {"deny", "count"} & kinds or lexeme.sense("stance") == "denied" or text == "without"),
        ("perhaps", lexeme.sense("opens") == "condition" or {"suppose", "doubt", "wish"} & kinds),
        ("word", "unit" in kinds),
        ("play", _PLAYS & kinds or lexeme.sense("mark") in _PLAYS_OF_MARKS or lexeme.sense("promote") == ""),
        ("explains", _EXPLAINS & kinds),
        ("at", "at" in kinds),
        ("to", "to" in kinds),
        ("from", "from" in kinds),
        ("join", {"link"} & kinds and text in ("and", "plus", "with", "but", "so")),
        ("is", {"be", "have", "stand"} & kinds or _PLACING & set(words)),
        ("puts", _PUTS & kinds),
    ):
        if test:
            return does  # type: ignore[return-value]
    return "unknown" if lexeme.kind == "unknown" else "word"


def sentences_told(
    text: str, span: Span, *, by_line: bool, ends_at: Callable[[int], bool] = lambda place: False
) -> Iterator[Sequence[Said]]:
    """Cut a stretch into the words of its sentences, without the signs that end them.

    `by_line`: no full stops are printed, so that a line is one. A sentence that asks keeps its sign. Where nothing
    in a sentence can put a man anywhere, its spans are left as they are in its line: nobody asks for them. `ends_at`
    is asked at each place from which on the text is read by itself, and may say that the rest is known.
    """
    current: list[tuple[int, _Piece]] = []
    for place, part in _parts(text, span):
        if not any(piece.says for _, piece in current) and ends_at(_beginning(current, place)):
            return
        for piece in _pieces(part, by_line):
            current.append((place, piece))
            if piece.ends:
                yield from _some(current)
                current = []
    yield from _some(current)


class _Piece(Struct, frozen=True):
    """Words of one sentence on one stretch. `ends`: the sentence does; `says`: more than signs."""

    words: tuple[Said, ...]
    ends: bool
    says: bool
    puts: bool


@remembered
def _pieces(text: str, by_line: bool) -> list[_Piece]:
    found: list[_Piece] = []
    current: list[Said] = []

    def close(*, ends: bool) -> None:
        does = {word.does for word in current}
        found.append(_Piece(tuple(current), ends, not does <= _SIGNS, not does <= PUT_NOTHING))
        current.clear()

    for word in words_told(text):
        if word.does == "end" or (by_line and word.text == "\n"):
            close(ends=True)
        elif word.does == "asked":
            current.append(word)
            close(ends=True)
        else:
            current.append(word)
    close(ends=False)
    return found


def _beginning(pieces: Sequence[tuple[int, _Piece]], place: int) -> int:
    """Return where a sentence begins of which there are only signs yet."""
    return next((at + piece.words[0].span.start for at, piece in pieces if piece.words), place)


def _some(pieces: Sequence[tuple[int, _Piece]]) -> Iterator[Sequence[Said]]:
    if not any(piece.says for _, piece in pieces):
        return
    if not any(piece.puts for _, piece in pieces):
        yield pieces[0][1].words if len(pieces) == 1 else [word for _, piece in pieces for word in piece.words]
    else:
        yield [_further_on(word, place) for place, piece in pieces for word in piece.words]
