"""Files by the words that spell them, as a text introduces them: "A for apple, three", and then "apple five".

A spelling alphabet of one's own is as common on the telephone as the one of the radio. Words that every speaker of a
language takes for a letter stand in its table ("alfa"); here are those that only the text itself makes one.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator

from .lexicon.table import Table, table_of

_LEADS = {
    "english": ("for", "as in", "like", "is for", "for the"),
    "german": ("wie", "wie in"),
    "french": ("comme", "comme dans"),
    "italian": ("come", "come in"),
    "spanish": ("de", "como"),
    "portuguese": ("de", "como"),
    "dutch": ("van", "als in", "zoals in"),
    "swedish": ("som", "som i"),
    "polish": ("jak",),
}
_INTRODUCES = re.compile(
    r"(?<![\w-])(?P<letter>[a-hA-H])[ ]"
    rf"(?P<lead>{'|'.join(sorted({lead for leads in _LEADS.values() for lead in leads}, reverse=True))})[ ]"
    r"(?P<name>(?i:(?P=letter))[^\W\d_]{2,})(?!\w)"
)
_APART = re.compile(r"(?<![\w-])(?P<name>(?P<letter>[a-hA-H])[^\W\d_]{2,}), (?i:(?P=letter))(?![\w'’-])")  # "egg, E"
_WORD_AND_NEXT = re.compile(r"(?<![\w-])([a-hA-H][^\W\d_]{2,})(?=[ -]([^\W_]+))")
_BEHIND = re.compile(r",?[ \n](?=([^\W_]+)(?! on\b| at\b))")  # not "H for hat, one on seven"
_NO_NAME = frozenset(("man", "side", "go", "take", "put", "count", "digit", "guard", "mark", "effect"))
_NAMES = 2  # of files, where words before a rank are names as well
_TIMES = 2  # that such a word stands there


def with_files_lettered(text: str) -> str:
    """Return a text of the same length in which files that it calls by words of its own have their letters alone."""
    found = [each for each in _INTRODUCES.finditer(text) if each["name"].lower() != each["lead"]]
    tables = [table_of(tongue) for tongue in _LEADS if any(each["lead"] in _LEADS[tongue] for each in found)]
    found = [each for each in found if _may_name(each["name"], tables)]
    given = {each["name"].lower(): each["letter"].lower() for each in found}
    ends = [(each.end("letter"), _ranked(text, each.end(), tables)) for each in found]
    with_ranks = {each["letter"].lower() for each, (_, end) in zip(found, ends, strict=True) if end}
    words = [word for word in _WORD_AND_NEXT.finditer(text) if given and _goes_on(word[2], tables)]
    if len(with_ranks) < _NAMES and not any(word[1].lower() in given for word in words):
        return text
    if len(set(given.values())) >= _NAMES:
        given |= {name: name[0] for name in _others(text, words, tables) if name[0] not in given.values()}
    signs = list(text)
    named = [(word.start(1) + 1, word.end(1)) for word in words if word[1].lower() in given]
    for start, end in (*(each for each in ends if each[1]), *named):
        signs[start:end] = " " * (end - start)
    return "".join(signs)


def _ranked(text: str, place: int, tables: list[Table]) -> int:
    """Return where a rank begins right behind a place, perhaps behind a comma; 0: none does."""
    found = _BEHIND.match(text, place)
    return found.end() - 1 if found is not None and _is_rank(found[1], tables) else 0


def _others(text: str, words: Iterable[re.Match[str]], tables: list[Table]) -> Iterator[str]:
    """Yield words that are names of files too where some have been given: before ranks, or before their letter."""
    ranked = Counter(word[1].lower() for word in words if _is_rank(word[2], tables))
    apart = {each["name"].lower() for each in _APART.finditer(text)}
    for name, times in ranked.items():
        known = any((name,) in table.forms for table in tables)
        if (name in apart or (times >= _TIMES and not known)) and _may_name(name, tables):
            yield name


def _may_name(name: str, tables: list[Table]) -> bool:
    """Tell whether a word is free to name a file: no man ("B for bishop"), no side, no move."""
    return not any(each.category in _NO_NAME for table in tables for each in table.meanings_of(name.lower()))


def _is_rank(word: str, tables: list[Table]) -> bool:
    return word in "12345678" or any(
        each.category == "digit" and not each.misheard for table in tables for each in table.meanings_of(word.lower())
    )


def _goes_on(word: str, tables: list[Table]) -> bool:
    """Tell whether a word stands behind the name of a file: a rank, "file", a pawn, or what a pawn of it does."""
    return _is_rank(word, tables) or any(
        (each.category in ("unit", "man") and each.sense in ("file", "row", "pawn")) or each.category == "take"
        for table in tables
        for each in table.meanings_of(word.lower())
    )
