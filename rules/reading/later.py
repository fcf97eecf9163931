"""Checks that are said of a move only behind what else it does: "Bf5, that covers c8 and it gives check, too"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect

from .reading import Mention, Reading, State

_SIGNS = ("comma", "stop", "semicolon", "dash", "close", "question", "line")
_TAILS = frozenset(("filler", "harmless", "link"))  # what may follow such a check
_TELLS = frozenset(("pronoun", "this", "gives", "pointing"))  # what says of the move that it checks
_LEADS = _TELLS | {"be", "article", "object", "you", "we", "filler", "link"}
_ANOTHER = frozenset(("man", "go", "take", "put", "promote", "castle", "effect", "side", "deny", "stance", "opens"))
_DEEDS = frozenset(("guard", "pin", "block", "open"))
_REACH = 80  # characters between the move and the word


def say_later_checks(sentences: Iterable[Sequence[Lexeme]], reading: Reading) -> None:
    """Add to the moves of a reading the checks that are said of them in another clause of their sentence."""
    told = sorted(reading.mentions, key=_start)
    taken = [span for each in told for span in (each.phrase.span, *(place for _, place in each.effects))]
    known = {span.start for span in taken}
    for words in sentences:
        for place, word in enumerate(words):
            if "effect" not in word.categories or word.sense("effect") != "check":
                continue
            if word.span.start in known or not _ends(words, place + 1):
                continue
            before = bisect_left(told, word.span.start, key=_start)
            mention = told[before - 1] if before and _start(told[before - 1]) >= words[0].span.start else None
            if mention is not None and _is_told(mention) and _says_of(mention, words, place):
                mention.effects = (*mention.effects, (Effect.check, word.span))


def _start(mention: Mention) -> int:
    return mention.phrase.span.start


def _is_told(mention: Mention) -> bool:
    one = mention.state is State.read and len(mention.after) == 1 and not mention.asked
    return one and not mention.says(Effect.check, Effect.mate, Effect.double_check, Effect.discovered_check)


def _ends(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether nothing follows that may say when or by whom: "check if the pawn moves"."""
    word = words[place] if place < len(words) else None
    if word is None or word.kind in _SIGNS:
        return True
    return bool(word.categories & _TAILS) and word.sense("link") not in ("if", "then", "because")


def _says_of(mention: Mention, words: Sequence[Lexeme], check: int) -> bool:
    """Tell whether the words before "check" say it of a move behind which only a deed of its man is told."""
    begin = check
    while begin and words[begin - 1].categories & _LEADS and not words[begin - 1].sense("count"):
        begin -= 1
    if not any(each.categories & _TELLS for each in words[begin:check]):
        return False
    end = mention.phrase.span.end
    first = bisect_left(words, end, key=lambda word: word.span.start)
    if not first < begin or words[begin].span.start - end > _REACH:
        return False
    between = words[first:begin]
    deeds = [each for each in between if each.categories & _DEEDS]
    return bool(deeds) and not any(each.categories & _ANOTHER and not each.categories & _TELLS for each in between)
