"""Moves of which the letter or the promotion stands apart, "R a1–a7", "b2–b1 = Q", and letters for men, "N other".

Source: postcards and tables of typists, no source.
"""

import re
from collections.abc import Callable, Mapping

import chess
from keyproof.grammar.moves import MovePhrase, NotAMove, read_move
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .table import Meaning, Table

_GOES = r"\s?[x×:–−-]\s?"
_SIGNS = r"(?:\s?[+#†‡])?[!?]*"
_LETTER = r"(?:Kt|Кр|[KQRBNPSDTLFCAWGHJФЛСКП])"
_LONG = re.compile(rf"(?P<man>{_LETTER})[ \t](?P<move>[a-h][1-8]{_GOES}{_LETTER}?[a-h][1-8]{_SIGNS})(?!\w)")
_SHORT = re.compile(rf"(?P<man>{_LETTER})[ \t](?P<move>[x×:]?[a-h][1-8]{_SIGNS})(?![\w–−-])")
_NEW = re.compile(rf"(?P<move>(?:[a-h][1-8]{_GOES})?[a-h][18])\s(?P<new>=\s?{_LETTER}{_SIGNS})(?!\w)")
APART = re.compile(rf"{_LETTER}[ \t]|(?:[a-h][1-8]{_GOES})?[a-h][18]\s")  # which each of these begins with
_ALONE = re.compile(rf"{_LETTER}(?=[ \t]+(?!sq\b)[^\W\dA-Z_])")  # not "Q Kt 5"
_BEGINS = re.compile(r"(?:^|[.!?:;\n\"'“”‘’–—-])\s*$")
_FILE = frozenset({"file", "behind", "abbreviation"})
_WORD = re.compile(r"\s+([^\W\d_]+)")
_DOTTED = re.compile(r"\w\.\s?$")
_OTHERS = re.compile(
    r"\s?\((?:[^\W\d_][,/]?\s?)+\)"
    r"|(?P<list>(?:\s?[/,]\s?=?[^\W\d_](?!\w))*)(?:,?\s(?P<word>[^\W\d_]{1,4})\s=?(?P<last>[^\W\d_])(?!\w))?"
)


def move_apart(text: str, place: int, end: int, letters: Mapping[str, chess.PieceType]) -> MovePhrase | None:
    """Read a move at `place` whose parts stand apart; None where none stands there. Never raises."""
    if APART.match(text, place, end) is None:
        return None
    if place and (text[place - 1].isalnum() or _is_initial(text, place)):
        return None
    for shape in (_LONG, _SHORT, _NEW):
        found = shape.match(text, place, end)
        if found is None:
            continue
        parts = found.groupdict()
        man = parts.get("man") or ""
        if man and _letter(man, letters) is None:
            return None
        told = _closed_up(
            {"Kt": "N", "P": "P" if "P" in letters else ""}.get(man, man) + parts["move"] + (parts.get("new") or "")
        )
        try:
            phrase = read_move(told, offset=place, letters=letters)
        except NotAMove:
            return None
        return _spread(phrase, found, place)
    return None


def man_of_letter(
    text: str, place: int, end: int, letters: Mapping[str, chess.PieceType], table: Table
) -> tuple[Span, Meaning] | None:
    """Return the span of a letter that stands for a man by itself, "N other", "the K goes to d8", and the man."""
    found = _ALONE.match(text, place, end)
    if found is None or (place and text[place - 1].isalnum()) or _is_initial(text, place):
        return None
    others = {meaning.category for meaning in table.meanings_of(found[0].lower())}
    kind = _letter(found[0], letters)
    if kind is None or others - _FILE:
        return None
    if others and _BEGINS.search(text, max(0, place - 3), place) and not _follows(text, found.end(), table, "anyhow"):
        return None  # "B takes c3" at the head of a sentence is rather the pawn's
    if others and _follows(text, found.end(), table, "digit"):
        return None  # "the queen, B two"
    return Span(*found.span()), Meaning("man", str(chess.PIECE_NAMES[kind]))


def is_a_line(phrase: MovePhrase) -> bool:
    """Tell whether two squares are the ends of a line, "e5-c3", since no pawn goes from one to the other."""
    if phrase.piece != chess.PAWN or phrase.origin_rank is None or phrase.origin_file is None:
        return False
    return phrase.destination is not None and abs(chess.square_file(phrase.destination) - phrase.origin_file) > 1


def _letter(letter: str, letters: Mapping[str, chess.PieceType]) -> chess.PieceType | None:
    return letters.get("N" if letter == "Kt" else letter, chess.PAWN if letter == "P" else None)


def _follows(text: str, end: int, table: Table, category: str) -> bool:
    """Tell whether a word of a category follows a letter: "other", or "two"."""
    word = _WORD.match(text, end)
    return word is not None and any(each.category == category for each in table.meanings_of(word[1].lower()))


def _is_initial(text: str, place: int) -> bool:
    """Tell whether a name or an abbreviation goes on: "J. R e4"."""
    before = _DOTTED.search(text, max(0, place - 4), place)
    return before is not None and before[0][0].isupper()


def _closed_up(text: str) -> str:
    return re.sub(r"\s", "", text)


def _spread(phrase: MovePhrase, found: re.Match[str], place: int) -> MovePhrase:
    """Return a move that was read closed up with the spans of its parts where they stand."""
    text = found[0]
    given = Span(place, found.end())
    signs = [Span(place + at, place + at + 1) for at, sign in enumerate(text) if not sign.isspace()]
    extra = found.end() - place - sum(map(str.isspace, text)) - len(phrase.text)

    def moved(span: Span | None) -> Span | None:
        if span is None:
            return None
        first, last = span.start - place + extra * (span.start > place), span.end - place + extra - 1
        return Span(signs[first].start, signs[last].end)

    effects = tuple((effect, moved(span) or span) for effect, span in phrase.effects)
    return replace(
        phrase,
        span=given,
        text=text,
        effects=effects,
        capture_span=moved(phrase.capture_span),
        origin_span=moved(phrase.origin_span),
        promotion_span=moved(phrase.promotion_span),
    )


def others_printed(text: str, place: int, end: int, joins: Callable[[str, str], bool]) -> tuple[list[Span], int]:
    """Return the letters of other men printed behind a promotion that ends at a place, and where they end.

    They are listed, as in "h1=Q/R/B/S" or "h1D (T, L, P)"; `joins` tells whether a word and a letter end such a list:
    "h8=Q, R or N".
    """
    others = _OTHERS.match(text, place, end)
    if others is None:
        return [], place
    last = others["word"] is not None and joins(others["word"], others["last"])
    listed = others["list"] if others["list"] is not None else others[0]
    found = [Span(place + man.start(), place + man.end()) for man in re.finditer(r"[^\W\d_]", listed)]
    if last:
        found.append(Span(*others.span("last")))
    return found, found[-1].end if found and others["list"] is not None else others.end()
