"""Where the sentences of a block of prose end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import chess

from .breathless import line_by_line
from .letters import LANGUAGES
from .lexicon.lexemes import Lexeme, lexemes
from .spans import Span

_ENDS = ("stop", "question", "semicolon", "cell")
_WORDS = ("word", "unknown", "square", "move", "number")
_BEGINS = frozenset(("article", "opens", "pronoun", "this", "we", "count", "with", "from"))  # words that are no names
_SPEAKERS = {"q": True, "a": False, "question": True, "answer": False}  # True: asks


def sentences(
    text: str, span: Span, language: str = "english", letters: Mapping[str, chess.PieceType] = LANGUAGES["en"]
) -> list[list[Lexeme]]:
    """Cut one block of prose into the lexemes of its sentences, the signs that end them included."""
    given = lexemes(text, span, language, letters)
    found: list[list[Lexeme]] = []
    current: list[Lexeme] = []
    by_line = line_by_line(given)  # else what somebody "says" would be quoted to the end of the text
    for place, lexeme in enumerate(given):
        following = given[place + 1] if place + 1 < len(given) else None
        current.append(lexeme)
        ends = following is None or (by_line and lexeme.kind == "line") or _ends(text, current, lexeme, following)
        if ends:
            found.append(current)
            current = []
    return found


def _ends(text: str, current: Sequence[Lexeme], lexeme: Lexeme, following: Lexeme) -> bool:
    """Tell whether a sentence ends with `lexeme`: at a stop, a blank line, before a numbered line or a new speaker."""
    if text[following.span.end : following.span.end + 1] == ":" and speaker(text, following) is not None:
        return True
    if lexeme.kind == "line":
        numbered = following.kind == "number" and following.number is not None and following.number.value is not None
        listed = _is_next_of_list(current, following) or _ends_list(text, current, following)
        return numbered or following.kind in ("line", "quote") or listed
    if lexeme.kind == "move" and begins_behind(lexeme, following):
        return True
    glued = following.span.start == lexeme.span.end and following.kind in _WORDS and following.text[0].isalnum()
    if lexeme.kind not in _ENDS or glued or is_sign(current):
        return False
    if lexeme.text == "." and len(current) > 1:
        before = current[-2]
        short = "abbreviation" in before.categories or (len(before.text) == 1 and before.text.isalnum())
        return not short or (following.text[:1].isupper() and following.kind in ("word", "unknown"))
    return True


def _is_next_of_list(current: Sequence[Lexeme], following: Lexeme) -> bool:
    """Tell whether a line of variations stands below another one: "...Kg5 2. Qf4", "...Nf5 2. Qf4 {as before}"."""
    begin = next((place for place in range(len(current) - 1, 0, -1) if current[place - 1].kind == "line"), 0)
    moves = sum(each.kind == "move" for each in current[begin:])
    both = current[begin].kind == "number" and following.kind == "number"
    return both and moves > 1 and current[-2].kind in ("move", "close")


def _ends_list(text: str, current: Sequence[Lexeme], following: Lexeme) -> bool:
    """Tell whether the last line of a list of variations stands above words that begin a sentence.

    It begins with a numbered move, and ends with one or is set farther in than what stands below it.
    """
    first, last = current[0], current[-2] if len(current) > 1 else current[0]
    begins = following.kind in ("word", "unknown") and following.text[:1].isupper()
    if not begins or first.kind != "number" or any(each.kind == "line" for each in current[:-1]):
        return False
    indents = [place - (text.rfind("\n", 0, place) + 1) for place in (first.span.start, following.span.start)]
    if text[first.span.start - indents[0] : first.span.start].strip():
        return False
    moves = sum(each.kind == "move" or each.kind == "square" for each in current)
    return moves > 1 and (last.kind == "move" or indents[1] < indents[0])


def begins_behind(move: Lexeme, following: Lexeme) -> bool:
    """Tell whether a sentence begins behind a move and its sign: "The key is 1.Qb6! If the king ..."."""
    if move.kind != "move" or move.text[-1] not in "!?" or not following.text[:1].isupper():
        return False
    return following.kind == "word" and bool(_BEGINS & following.categories)


def is_sign(words: Sequence[Lexeme]) -> bool:
    """Tell whether the last sign of a stretch is that of a numbered pawn move, "1.d8?", and ends no sentence."""
    place = len(words) - 1
    while place >= 0 and words[place].text in ("?", "!"):
        place -= 1
    if place < 1 or place == len(words) - 1 or words[place].kind != "square":
        return False
    return words[place - 1].kind == "number" and words[place].span.end == words[place + 1].span.start


def speaker(text: str, lexeme: Lexeme) -> bool | None:
    """Return whether a new speaker asks ("Q:") or answers ("A:"), None where nobody begins to speak."""
    end = lexeme.span.end
    if text[end : end + 1] != ":" or not lexeme.text[:1].isupper():
        return None
    return _SPEAKERS.get(lexeme.text.lower())
