"""The tables of words, one file a language, read into what each form may mean.

A line is `category[.sense]: form, form, ...`; english.txt says what the signs in it stand for.
Two categories say how words of a language are parted: `elided`, words that lose their vowel before another ("l'" of
"l'autre"), in a line above all words that have them; `stem`, men as the first half of a compound ("Königs" of
"Königszug"). Those of `APART` are no meanings of words in a frame either. A form that is a hyphen and some letters is
the ending of words that stand nowhere else in the table ("-ly"); `strange` are words that nobody is to know by it.
"""

import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

from keyproof.grammar.kept import load, save, state_of
from msgspec import Struct, field

_VOWELS = "aeiou"
_STEM = 4  # letters before an ending: "family" and "Emily" are no adverbs
APART = frozenset(
    (
        "moves",
        "moves in compounds",
        "both",
        "numeral ending",
        "rook to many",
        "the other side",
        "called queen",
        "called rook",
        "called bishop",
        "called knight",
        "called pawn",
        "rank before its number",
        "left empty",
        "left standing",
        "taken away",
        "rest of row",
        "letter small",
        "letter capital",
        "row ends",
        "top row",
        "bottom row",
        "stands by",
        "compared",
        "put right",
        "looks back",
        "is lost",
    )
)
"""What words of an order are made of (grammar/gleaning/askings.py): nouns that count the moves of a solution, but no
reply, alone and as the end of a word ("Zweizüger"), numbers that count no moves ("both"), and endings of numbers
("ein Zweier"). And what words mean only where a position is told (grammar/gleaning/beads.py): a rook by a name that
elsewhere is a move ("castle"), a rank before its number ("row 4"), a square or line without men ("vacant"). And words
that say that something is so here as well ("too"), or that a man is taken ("lost"), whatever else they mean
(frames/hints.py). Common practice, no source."""


class Meaning(Struct, frozen=True):
    """One thing a form may mean: the category of a line of the table, its sense, and whether it was misheard."""

    category: str
    sense: str = ""
    misheard: bool = False


_Alone = tuple[tuple[Meaning, ...] | None, set[str] | None]


class Table(Struct):
    """What each form of a language may mean, found by its first word, the longest forms first."""

    forms: dict[tuple[str, ...], tuple[int, ...]] = field(default_factory=dict)  # places in `meanings`
    meanings: list[Meaning] = field(default_factory=list)
    words: set[str] = field(default_factory=set)  # of all forms
    longest: dict[str, int] = field(default_factory=dict)  # the most words of a form that begins with this word
    seconds: dict[str, set[str]] = field(default_factory=dict)  # the second words of its forms
    elided: set[str] = field(default_factory=set)
    stems: dict[str, str] = field(default_factory=dict)  # the kind of man by the first half of a compound
    apart: dict[str, list[str]] = field(default_factory=dict)  # the forms of each category of `APART`
    heard: set[str] = field(default_factory=set)  # the words of forms that were only heard so
    kings: set[str] = field(default_factory=set)  # the last words of forms for the king
    endings: dict[str, tuple[str, str]] = field(default_factory=dict)  # category and sense by the last letters
    strange: set[str] = field(default_factory=set)  # words that are not known by their ending
    _alone: dict[str, _Alone] = field(default_factory=dict)  # what `alone` has said

    def add(self, form: str, meaning: Meaning) -> None:
        """Add one form, given as it is written."""
        if meaning.category == "stem":
            self.stems[form] = meaning.sense
            return
        if meaning.category in APART:
            self.apart.setdefault(meaning.category, []).append(form)
            return
        if meaning.category == "strange":
            self.strange.add(form)
            return
        if form.startswith("-"):
            self.endings[form[1:]] = (meaning.category, meaning.sense)
            return
        if meaning.category == "elided":
            self.elided.add(form)
        words = tuple(part for word in words_of(form) for part in self.parted(word))
        known = self.forms.get(words, ())
        if not self.meanings or self.meanings[-1] != meaning:  # all forms of a line have two at the most
            self.meanings.append(meaning)
        is_new = all(self.meanings[place] != meaning for place in known)
        self.forms[words] = (*known, len(self.meanings) - 1) if is_new else known
        self.words.update(words)
        self.longest[words[0]] = max(self.longest.get(words[0], 0), len(words))
        if len(words) > 1:
            self.seconds.setdefault(words[0], set()).add(words[1])

    def expect_ranks(self) -> None:
        """Note the words for ranks as what may follow the words that are only heard for files."""
        kinds = [{self.meanings[place].category for place in places} for places in self.forms.values()]
        ranks = {form[0] for form, kind in zip(self.forms, kinds, strict=True) if len(form) == 1 and "digit" in kind}
        for form, kind in zip(self.forms, kinds, strict=True):
            if len(form) == 1 and "sound" in kind:
                self.seconds.setdefault(form[0], set()).update(ranks, "12345678")

    def note_forms(self) -> None:
        """Note the words of forms that mean something only where they were misheard, and those that name the king."""
        for form, places in self.forms.items():
            meanings = [self.meanings[place] for place in places]
            if all(each.misheard for each in meanings):
                self.heard.update(form)
            if any(each.category == "man" and each.sense == "king" for each in meanings):
                self.kings.add(form[-1])

    def knows(self, words: Iterable[str]) -> int:
        """Return how many of some words it knows at the least: those that it knows by themselves."""
        return len([word for word in words if (word,) in self.forms and word not in self.heard])

    def parted(self, word: str) -> tuple[str, ...]:
        """Part a word in small letters behind an elided one."""
        if "'" not in word:
            return (word,)
        head, apostrophe, rest = word.partition("'")
        return (head + apostrophe, rest) if rest and head + apostrophe in self.elided else (word,)

    def stem_of(self, word: str) -> str | None:
        """Return the first half of a compound of which the second is known by itself: "königs" of "königszug"."""
        halves = (stem for stem in self.stems if word.startswith(stem) and (word[len(stem) :],) in self.forms)
        return max(halves, key=len, default=None)

    def by_ending(self, word: str) -> tuple[Meaning, ...]:
        """Return what a word means of which nothing but the ending is known, with a stem of four letters or more."""
        ends = (end for end in self.endings if word.endswith(end) and len(word) >= len(end) + _STEM)
        end = None if word in self.strange else next(ends, None)
        return () if end is None else (Meaning(*self.endings[end]),)

    def meanings_of(self, word: str) -> Iterator[Meaning]:
        """Yield what a word may mean by itself."""
        return (self.meanings[place] for place in self.forms.get((word,), ()))

    def alone(self, word: str) -> _Alone:
        """Return what a word means where none of some second words stands behind it, and these.

        None stands for what is not known, as it is not where a square may follow, and for no second words.
        """
        known = self._alone.get(word)
        if known is None:
            meanings = tuple([self.meanings[place] for place in self.forms.get((word,), ())])
            a_file = any(each.category == "file" for each in meanings)
            known = self._alone[word] = (None if a_file else meanings or None), self.seconds.get(word)
        return known

    def look_up(self, words: tuple[str, ...]) -> tuple[int, tuple[Meaning, ...]]:
        """Return how many of these words the longest known form takes, and what it may mean; 0 if none is known."""
        most = self.longest.get(words[0], 0)
        for length in range(most if most < 2 else min(most, len(words)), 0, -1):
            found = self.forms.get(words[:length])
            if found is not None:
                return length, tuple([self.meanings[place] for place in found])
        return 0, ()


def words_of(form: str) -> tuple[str, ...]:
    """Return the words of a form in small letters, with plain apostrophes."""
    return tuple(form.lower().replace("’", "'").split())


def _inflected(verb: str) -> Iterator[str]:
    """Yield the regular forms of an English verb; one too many does no harm."""
    first, _, rest = verb.partition(" ")
    rest = f" {rest}" if rest else ""
    yield first + rest
    if first.endswith(("s", "x", "z", "ch", "sh")):
        yield f"{first}es{rest}"
    elif first.endswith("y") and first[-2] not in _VOWELS:
        yield f"{first[:-1]}ies{rest}"
    else:
        yield f"{first}s{rest}"
    stem = first[:-1] if first.endswith("e") else first
    past = f"{first[:-1]}ied" if first.endswith("y") and first[-2] not in _VOWELS else f"{stem}ed"
    yield past + rest
    yield f"{stem}ing{rest}"
    if re.fullmatch(r"\w*[^aeiou][aeiou][bdgklmnprtv]", first):
        yield f"{first}{first[-1]}ed{rest}"
        yield f"{first}{first[-1]}ing{rest}"


def _spread(form: str) -> Iterator[str]:
    """Yield the forms that a form with alternatives stands for: "before (we|we had) (moved|begun)" is four."""
    head, opened, rest = form.partition("(")
    inside, _, behind = rest.partition(")")
    for each in inside.split("|") if opened else [""]:
        if opened:
            yield from _spread(f"{head}{each}{behind}")
        else:
            yield " ".join(form.split())


def read_table(text: str) -> Table:
    """Read a table. Raises ValueError with the number of a line that is none."""
    table = Table()
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        name, colon, given = line.partition(":")
        if not colon or not given.strip():
            raise ValueError(f"line {number} of a table of words has no forms: {line!r}")
        category, _, sense = name.strip().partition(".")
        for form in filter(None, (each.strip() for each in given.split(","))):
            meaning = Meaning(category, sense, form.startswith("~"))
            form = form.removeprefix("~")
            head, plus, rest = form.partition("+")
            for each in _inflected(head + rest) if plus else _spread(form):
                table.add(each, meaning)
    table.expect_ranks()
    table.note_forms()
    return table


def source_of(language: str) -> Path:
    """Return the file of the table of a language."""
    return Path(__file__).parent / f"{language}.txt"


@cache
def table_of(language: str) -> Table:
    """Return the table of a language, named as its file is."""
    source = source_of(language)
    made_of = state_of((source, Path(__file__)))
    known = load(source, made_of)
    if known is not None:
        forms, meanings, *others = known
        return Table(forms, [Meaning(*each) for each in meanings], *others)
    table = read_table(source.read_text(encoding="utf-8"))
    meanings = [(each.category, each.sense, each.misheard) for each in table.meanings]
    others = (
        table.words,
        table.longest,
        table.seconds,
        table.elided,
        table.stems,
        table.apart,
        table.heard,
        table.kings,
        table.endings,
        table.strange,
    )
    save(source, made_of, (table.forms, meanings, *others))
    return table
