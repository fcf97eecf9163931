"""A sentence as a row of letters, one for each word that matters where something is called the only one, or counted.

M a move as it was read, with its number         N a number from two on
O "only", "sole", "alone"    S "single"          1 "one"    T "the one"    J "just", "exactly"
X "no", "nothing"            ! "not", "perhaps"  E "other", "else"         R "more", "further"
m "mate"    r "refutation"   a "answer", "move"  f "flight"                t "threat"
v "works"   s "refutes"      V "fails"           d "do"     u "can"        c "choice"      F "you have nothing"
b "is"      h "has"          j "leaves", "then"  p "it", "he"              D "that", "this"
w "by"      g "against"      o "of"              & "and"    + "or"         B "but"
n "must"
= "the", "those", "our"      l "left"            y "there"                 L a line end
~ a word that says nothing here                  ? any other word
.,;:-()|/ as they are, Q for a question, # for a number
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from operator import attrgetter

from keyproof.grammar.lexicon.lexemes import Lexeme, worded
from keyproof.grammar.lexicon.table import Meaning
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..reading import Mention

_SIGNS = {"stop": ".", "comma": ",", "semicolon": ";", "colon": ":", "dash": "-", "open": "(", "close": ")"}
_SIGNS |= {"cell": "|", "slash": "/", "question": "Q", "line": "L", "dots": "-"}
_QUOTES = frozenset("\"“”„«»'’‘*_`")
_SAVES = ("refutes", "beats", "meets")
_SENSES = (("mark", "only", "O"), ("effect", "mate", "m"))
_CATEGORIES = (
    ("sole", "O"),
    ("refutation", "r"),
    ("avail", "s"),
    ("suffice", "v"),
    ("further", "R"),
    ("means", "a"),
    ("choice", "c"),
    ("answering", "a"),
    ("exact", "J"),
    ("amid", "g"),
    ("other", "E"),
    ("rest", "E"),
    ("obliged", "n"),
)
_LATE = (
    ("anchor", "y"),
    ("lasting", "l"),
    ("be", "b"),
    ("have", "h"),
    ("of", "o"),
    ("by", "w"),
    ("with", "w"),
    ("pronoun", "p"),
    ("that", "D"),
    ("pointing", "p"),
    ("article", "="),
    ("this", "="),
    ("our", "="),
    ("your", "="),
    ("own", "="),
    ("we", "p"),
    ("you", "p"),
    ("side", "p"),
    ("to", "w"),
    ("benefit", "w"),
    ("at", "w"),
    ("do", "d"),
    ("can", "u"),
)
_MARKS = {"threat": "t", "refute": "V", "fail": "V", "futile": "F"}
_LINKS = {"and": "&", "or": "+", "then": "j", "but": "B"}
_TELLS = frozenset(("man", "castle", "promote", "take", "file"))  # kinds of words that a move is told by: "Q takes B"
_CALLING = frozenset(("count", "deny", "sole", "exact", "one", "no other", "singles out", "obliged", "lacking"))
_PALE = frozenset(("filler", "harmless", "fitting", "stand"))


class Row(Struct):
    """A sentence as letters, with the place in `words` of each letter and the move of each M."""

    words: Sequence[Lexeme]
    letters: str
    places: list[int]
    moves: dict[int, Mention]  # by the place of the letter

    def first(self, letter: int) -> int:
        """Return where a letter's words begin in the text."""
        return self.words[self.places[letter]].span.start

    def last(self, letter: int) -> int:
        """Return where a letter's words end in the text."""
        return self.words[self.places[letter]].span.end


def calls(word: Lexeme) -> bool:
    """Tell whether a word may call something the only one, or count it."""
    found = word.categories
    if found & _CALLING:
        return True
    return ("mark" in found and word.sense("mark") == "only") or "refutation" in found


def row(text: str, words: Sequence[Lexeme], told: Sequence[Mention]) -> Row:
    """Write the words of a sentence of a text as letters; `told` are the moves of the text in its order."""
    letters: list[str] = []
    places: list[int] = []
    moves: dict[int, Mention] = {}
    for place, (word, mention) in enumerate(zip(words, _moves(words, told), strict=True)):
        if mention is not None:
            if letters and letters[-1] == "M" and moves[len(letters) - 1] is mention:
                places[-1] = place
                continue
            while letters and letters[-1] == "#":
                letters.pop()
                places.pop()
            if _is_what_fails(letters, mention):
                written = "p"
            else:
                moves[len(letters)] = mention
                written = "M"
        else:
            written = ("." if place and _begins_line(text, words[place - 1], word) else "") + letter_of(word)
        letters += written
        places += [place] * len(written)
    return Row(words, "".join(letters), places, moves)


def _is_what_fails(letters: Sequence[str], mention: Mention) -> bool:
    """Tell whether a first move is only named as what something said before beats: "the only move that beats Re1"."""
    return letters[-1:] in (["s"], ["g"]) and "M" in letters and all(node.parent is None for node in mention.at)


def _begins_line(text: str, before: Lexeme, word: Lexeme) -> bool:
    """Tell whether a word with a capital begins a line, and so a sentence: "and only that / The key is"."""
    if before.kind in _SIGNS or word.kind != "word" or not word.text[0].isupper():
        return False
    return "\n" in text[before.span.end : word.span.start]


def _moves(words: Sequence[Lexeme], told: Sequence[Mention]) -> list[Mention | None]:
    """Return of each word the move that it is part of.

    Words behind a move that count are no part of it, though they may lead to what it does: "queen to e8 alone mates".
    """
    found = [_move_at(word, told) for word in words]
    last: Mention | None = None
    for place in range(len(words) - 1, -1, -1):
        word, mention = words[place], found[place]
        if mention is None or mention is last:
            continue
        first = place == 0 or found[place - 1] is not mention
        if word.kind not in ("word", "unknown") or word.categories & _TELLS or first:
            last = mention
        else:
            found[place] = None
    return found


start_of = attrgetter("phrase.span.start")  # of a mention: where it is told


def _move_at(word: Lexeme, told: Sequence[Mention]) -> Mention | None:
    """Return the move that a word lies in."""
    before = bisect_left(told, word.span.end, key=start_of)
    mention = told[before - 1] if before else None
    if mention is None or word.span.start >= mention.phrase.span.end:
        return None
    if mention.phrase.span == word.span and word.categories & {"rest", "other"}:
        return None  # "nothing else", which was read as any other move
    return mention


def letter_of(word: Lexeme) -> str:
    """Return the letters of a word; none where it is only a quotation mark."""
    if word.kind not in ("word", "unknown"):
        return "#" if word.kind == "number" else _SIGNS.get(word.kind, "?")
    if not word.categories:
        return "" if word.text in _QUOTES else "#" if word.text.isdecimal() else "?"
    if "lacking" in word.categories:
        return "X"
    if word.categories & {"hedge", "suppose", "wish"} or word.sense("deny") == "not":
        return "!"
    if "exists" in word.categories:
        return "yb"
    if "lawful" in word.categories:
        return "?"  # how many moves are legal is another question
    if "past" in word.categories:
        return "hJ" if word.text.endswith("just") else "h"  # "has just one answer"
    return _of_meanings(word.meanings)


@lru_cache(maxsize=4096)
def _of_meanings(meanings: tuple[Meaning, ...]) -> str:
    word = worded("word", Span(0, 0), "", meanings)
    return _number(word) or _kind(word)


def _number(word: Lexeme) -> str:
    if "no other" in word.categories:
        return "XE"
    if word.sense("refutation") == "one":
        return "Or"
    if word.sense("mark") == "only" or "sole" in word.categories:
        return "VO" if word.sense("mark") == "refute" else "O"  # "scheitert nur an"
    if word.sense("count") == "0" or word.categories & {"deny"} or word.sense("reporter") == "nobody":
        return "X"
    count = _count(word)
    if count == "1":
        return "1" if "digit" in word.categories or "article" in word.categories else "S"
    if count is not None and not word.categories & {"both", "quantifier"}:
        return "N"
    if "singles out" in word.categories:
        return "bT"
    return "T" if word.categories == {"one"} else ""


def _kind(word: Lexeme) -> str:
    for category, sense, letter in _SENSES:
        if word.sense(category) == sense:
            return letter
    for category, letter in _CATEGORIES:
        if category in word.categories:
            return letter
    if word.sense("mark") in _SAVES:
        return "s"
    if word.sense("mark") == "solve":
        return "v"
    if word.sense("unit") in ("move", "flight"):
        return "a" if word.sense("unit") == "move" else "f"
    if (mark := word.sense("mark")) in _MARKS:
        return _MARKS[mark]
    for category, letter in _LATE:
        if category in word.categories:
            return letter
    link = word.sense("link")
    if link is not None:
        return _LINKS.get(link, "?")
    return "~" if word.categories & _PALE else "?"


def _count(word: Lexeme) -> str | None:
    """Return the number a word means as it is written: "too" is none."""
    return next((each.sense for each in word.meanings if each.category == "count" and not each.misheard), None)


def number_of(word: Lexeme) -> int:
    """Return the number of a word whose letter is N."""
    return int(_count(word) or 0)
