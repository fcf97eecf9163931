"""Titles and numbers of puzzles, and the words for their solutions, as headings print them."""

import re
from collections.abc import Iterable, Iterator

from .traces import PRINTED_MOVE

NOUN = (
    r"(?:no|nr|problem|puzzle|diagram|position|study|exercise|ex|task|question|example|item"
    r"|aufgabe|übung|problème|exercice|problema|ejercicio|esercizio|opgave|zadanie|задача)\b\.?"
)
ANSWER = r"(?:solutions?|answers?|keys?|lösung(?:en)?|oplossing(?:en)?|soluci[oó]n(?:es)?|soluzion[ei])"
MANY_ANSWERS = r"(?:solutions|answers|lösungen|oplossingen|soluciones|soluzioni)"
TO = r"(?:to|of|for|from|zu|von|du|de|van|del)\b"
PARTED = r"(?:(?!1/2\s?[-–])\d{1,4}(?:[/.](?=\d)|-(?=\d{1,4}[).:])|,(?=\d{3}(?!\d))))?"
"""A volume, year or chapter before a number, or its thousands: "41/7", "3.12", "3-12)", "1,107"."""
DOTS = r"\s?(?:\.\s?\.|…)"
"""Behind the number of a reply, which is none of a puzzle: "Does it help? No. 1...a1=Q changes nothing."."""
COUNT = rf"(?:{NOUN}\s*)?(?:(?:no|nr)\b\.?\s*)?#?\s?{PARTED}(\d+)(?!\w|{DOTS})[ \t]*[:.)–—-]?"

STIPULATION = re.compile(
    r"(?<!\w)[a-z-]{0,5}#\s?\d|mates?\s+in\b|\b(?:white|black)\s+to\s+(?:move|play)\b|\bmatt\s+in\b|:\W*$", re.I
)

LABEL_WITH_WORD = re.compile(rf"(?:{ANSWER}\s+(?:{TO}\s+(?:the\s+)?)?|(?={NOUN})){COUNT}", re.I)
ONE_OF_SEVERAL = re.compile(rf"\W*{ANSWER}\s+#?\s?\d", re.I)  # "Solution 2": of the puzzle, or of the second puzzle
HEADING_NUMBER = re.compile(r"\W*(\d+)(?:\W*$|[.:)]\s)")
PART = re.compile(
    rf"\W*(?:the\s+|full\s+)*(?:{ANSWER}(?:\s+(?:and|with)\s+\w+)?|position|diagram|board|stellung|set\s*-?\s*play"
    r"|(?:(?:actual|post-key|virtual)\s+)?play|tr(?:y|ies)|variations?|threats?|defen[cs]es?|themes?|comments?|notes?"
    r"|remarks?|hints?)\W*",
    re.I,
)

_VOLUME = re.compile(r"(\d{1,4})([/.,-])$")
PER_VOLUME = 10_000
"""More than any number within a volume."""
_NUMBER_IN_TITLE = re.compile(
    rf"\b{NOUN}\s*(?:(?:no|nr)\b\.?\s*)?#?\s?{PARTED}(?P<named>\d+)|^\W*[QA]?{PARTED}(?P<first>\d+)(?=\W|$)", re.I
)


def printed_number(title: str) -> int | None:
    """Return the number in a puzzle's title: "No. 7", "12. The Lighthouse"; see `numbers_of` for "41/7"."""
    found = _NUMBER_IN_TITLE.search(title)
    return numbers_of(found, found.lastgroup or 0)[0] if found else None


def numbers_of(label: re.Match[str], group: int | str = 1) -> tuple[int, ...]:
    """Return the numbers that a label stands for, the likeliest first.

    The number within a volume, "41/7", is one that no other volume has; where nothing is called that, "7" is meant.
    Behind a point or dash, "3.12", it has no meaning without what stands before it.
    """
    number = int(label[group])
    volume = _VOLUME.search(label.string, label.start(), label.start(group))
    if volume is None:
        return (number,)
    parted = int(volume[1]) * PER_VOLUME + number
    return (parted, number) if volume[2] == "/" else (parted,)


def plain(title: str) -> str:
    """Return the words of a title in small letters, without what stands between them."""
    return " ".join(re.findall(r"\w+", title.casefold()))


def untitled(heading: str) -> str:
    """Return what is left of "Solution to The Lighthouse" when the words before the title are taken off."""
    return plain(re.sub(rf"^\W*(?:the\s+)?{ANSWER}\b\s*(?:{TO})?", "", heading, flags=re.I))


def unnumbered(title: str) -> str:
    """Return a title without the number before it: "The Lighthouse" of "No. 7: The Lighthouse"."""
    return re.sub(rf"^\W*(?:{NOUN}\s*)?(?:(?:no|nr)\b\.?\s*)?#?{PARTED}\d+\W*", "", title, flags=re.I) or title


_BEFORE_POSITION = re.compile(
    r"(?:fen|position|diagram|stellung|positions|\b(?:is|was|ran|reads))?[\s:;,.=|*_`\[(–—-]*$", re.I
)
_ABOUT = rf"(?:to|ad|zu[mr]?|bei|for|pour|au|al|sul?|sobre|bij|till|do|к|на)\s+(?:{NOUN}\s*)?#?(?=\d{{1,4}}\s*[:.)–—])"
_NUMBER_FIRST = re.compile(
    rf"\W*(?:{NOUN}\s*|number\s+|{ANSWER}(?:\s+{TO})?\s*:?\s+|{_ABOUT})*(?:#|(?-i:[QAPTNS])(?=\d+(?:[.:)]|\s)))?"
    rf"{PARTED}(\d{{1,4}})(?![\w.]?\d)(?![a-h](?!\w))(?!{DOTS})",
    re.I,
)


def number_first(words: str, start: int = 0, end: int | None = None) -> re.Match[str] | None:
    """Match a number that words begin with, "No. 11", "11." or "41/11", in group 1; None if they do not."""
    return _NUMBER_FIRST.match(words, start, len(words) if end is None else end)


def names_of(title: str, before: str) -> Iterator[int | str]:
    """Yield the numbers and titles that a puzzle goes by: those over it, and the words before its position."""
    for words in (_BEFORE_POSITION.sub("", before), title):
        number = number_first(words) or re.match(r"\D*(\d{1,4})\W*$", words)
        if number is not None:
            yield from numbers_of(number)
        if told := plain(unnumbered(words)):
            yield told


def tag(text: str, start: int, after: int) -> str:
    """Return the words on the line of a position at `start` that stand before it, and after the position before it."""
    line = max(text.rfind("\n", 0, start), text.rfind("\r", 0, start)) + 1
    return text[max(line, after) : start]


def label_places(text: str) -> list[int]:
    """Return where a label may stand: at the start, after a line end, after the end of a sentence."""
    return [0, *(m.end() for m in re.finditer(r"[\r\n]+\s*|[.!?;:)#]\s+", text))]


_LONGEST_TITLE = 70  # characters; a longer line is a sentence
_NO_TITLE = re.compile(
    rf"\W*(?:(?:the\s+)?(?:{ANSWER}|position|diagram|board|set\s*-?\s*play|variations?|tr(?:y|ies)|threats?|comments?)"
    r"|fen|stellung|white|black|here|this|if|what|how|can)\b",
    re.I,
)


def title_above(paragraphs: Iterable[str]) -> str:
    """Return the first paragraph that looks like a title: one short line, a capital first, without a sentence's end.

    "" if none does. Nothing of its layout says so, so it names a puzzle only where nothing else does.
    """
    return next((" ".join(words.split()) for words in paragraphs if _looks_like_a_title(words.strip())), "")


def _looks_like_a_title(words: str) -> bool:
    if len(words.splitlines()) != 1 or len(words) > _LONGEST_TITLE or words[-1] in ".,;:!?" or _NO_TITLE.match(words):
        return False
    first = next((sign for sign in words if sign.isalpha()), "")
    return first.isupper() and not PRINTED_MOVE.search(words) and not STIPULATION.search(words)
