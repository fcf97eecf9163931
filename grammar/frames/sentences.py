"""Where the sentences of a text end, and which of its line ends mean something."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.breathless import line_by_line
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.sentence_ends import begins_behind

_WANT = frozenset(
    ("article", "of", "to", "from", "by", "wherever", "this", "your", "our", "own", "other", "each", "prevents")
)
_SPEAKERS = 3
_NAMED = 5  # words in which a man is named, with the sign behind him


def sentences(given: Sequence[Lexeme], *, flowing: bool = False) -> list[list[Lexeme]]:
    """Part lexemes at the ends of sentences and at blank lines, which begin a paragraph.

    Where text is `flowing`, as in captions, blank lines mean nothing.
    """
    found: list[list[Lexeme]] = [[]]
    single = not flowing and line_by_line(given)
    spoken = frozenset() if flowing else _before_speakers(given)
    for index, lexeme in enumerate(given):
        found[-1].append(lexeme)
        following = given[index + 1] if index + 1 < len(given) else None
        blank = not flowing and lexeme.kind == "line" and (following is None or following.kind == "line")
        numbered = not flowing and lexeme.kind == "line" and following is not None and following.kind == "number"
        marked = not flowing and lexeme.kind == "line" and _ends_with_sign(given, index)
        begins = following is not None and begins_behind(lexeme, following)
        if (
            lexeme.kind in ("stop", "question")
            or begins
            or blank
            or numbered
            or marked
            or (single and lexeme.kind == "line")
            or index + 1 in spoken
        ):
            found.append([])
    return [each for each in found if each]


def _before_speakers(given: Sequence[Lexeme]) -> frozenset[int]:
    """Return the places of line ends before the names of speakers, if there are several of them: "MIRA: ..."."""
    found = [
        index
        for index, each in enumerate(given)
        if each.kind == "line" and any(_names_speaker(given[index + 1 : index + 2 + length]) for length in (1, 2))
    ]
    return frozenset(found if len(found) >= _SPEAKERS else ())


def _names_speaker(words: Sequence[Lexeme]) -> bool:
    """Tell whether words with capitals stand before a colon."""
    name = [each for each in words[:-1] if each.kind in ("word", "unknown") and each.text[0].isupper()]
    return len(words) > 1 and words[-1].kind == "colon" and len(name) == len(words) - 1


def _ends_with_sign(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether a line ends with a move and its sign ("!", "?", "#"), and the next begins with a capital."""
    if not 0 < index < len(given) - 1:
        return False
    move, following = given[index - 1], given[index + 1]
    begins = following.kind in ("word", "unknown") and following.text[0].isupper()
    return move.kind == "move" and move.text[-1] in "!?#+†‡" and begins


def without_lines(sentence: Sequence[Lexeme]) -> Iterator[Lexeme]:
    """Leave out line ends, since prose is wrapped anywhere, where what follows may go on with what stands before."""
    for index, lexeme in enumerate(sentence):
        if lexeme.kind != "line":
            yield lexeme
            continue
        following = next((each for each in sentence[index + 1 :] if each.kind != "line"), None)
        if index and sentence[index - 1].kind == "line":
            continue  # of several between two captions one is enough
        if following is None or following.categories & {"to", "effect"} or following.kind == "square":
            continue
        if index and "count" in sentence[index - 1].categories and "unit" in following.categories:
            continue  # "the pawn goes one / step"
        if index and (_is_wrapped(sentence[index - 1], following) or _says_where(sentence[index - 1], following)):
            continue
        if index and "take" in sentence[index - 1].categories and _only_names_a_man(sentence[index + 1 :]):
            continue
        yield lexeme


def _is_wrapped(before: Lexeme, following: Lexeme) -> bool:
    """Tell whether a line of prose goes on in the next, since its last word wants another: "wherever / she stops"."""
    if "file" in before.categories and "man" in following.categories:
        return True  # "if the f / pawn moves"
    return bool(before.categories & _WANT) and following.kind in ("word", "unknown")


def _says_where(before: Lexeme, following: Lexeme) -> bool:
    """Tell whether the next line says where the man stands with whom the line ends, or what he does from there.

    "the pawn / on b four", "she checks / from h four".
    """
    if "effect" in before.categories and "from" in following.categories:
        return True
    return "man" in before.categories and "stands" in following.categories


def _only_names_a_man(behind: Sequence[Lexeme]) -> bool:
    """Tell whether nothing but a man stands up to the next sign: "the king takes / the queen."."""
    words = [each for each in behind[:_NAMED] if each.kind != "line"]
    man = next((place for place, each in enumerate(words) if "man" in each.categories), None)
    if man is None or not all(each.categories & _WANT for each in words[:man]):
        return False
    return man + 1 >= len(words) or words[man + 1].kind not in ("word", "unknown", "square", "move", "number")
