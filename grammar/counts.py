"""How many men or replies there are: "nine white men and six black men", "Control: 7 + 2", "has three answers".

Words of other languages than English: common practice, no source.
"""

import re
from collections.abc import Iterator

import chess

from .document import MenCount
from .lexicon.lexemes import lexemes
from .spans import Span
from .words import NUMBERS, number_said, one_of

_N = rf"(?:\d{{1,2}}|{one_of(NUMBERS)})"
_MEN = r"\s+(?:men|units)\b"
_SIDE = r"(?:white|black)"
_AND = r"(?:\s*[,;]\s*(?:and\s+|while\s+)?|\s+(?:and|against|to|while)\s+)"
_ALONE = r"(?!\s+(?:more|of|on|left|fewer|less)\b)"
_TOLD = re.compile(
    rf"\b(?P<side>{_SIDE})\s+(?:has|have)\s+(?P<number>{_N}){_MEN}{_ALONE}"
    rf"(?:{_AND}(?P<other>{_SIDE})\s+(?:(?:has|have)\s+)?(?P<further>{_N})(?=\s*(?:{_MEN}|[.,;:!?)]|[\r\n]|$)))?"
    rf"|\b(?P<first>{_N})\s+(?P<first_side>{_SIDE})(?:{_MEN})?{_AND}(?P<second>{_N})\s+(?P<second_side>{_SIDE}){_MEN}",
    re.I,
)
_CONTROL = (
    r"(?:kontroll?[ea]?|control[e]?|contrôle|controllo|контроль|check|men|pieces|units|steine|figuren|pièces|piezas"
    r"|pezzi|stukken|peças|bierki|pjäser)"
)
_AGAINST = r"(?:\+|v|vs|versus|against|gegen|contre|contra|contro|tegen|mot|против)\.?"
_UPTO_16 = r"(?<!\d)(?:1[0-6]|[1-9])(?!\d)"
_BOTH = re.compile(
    rf"\b{_CONTROL}[ \t]*[:=.][ \t]*(?P<white>{_UPTO_16})[ \t]*(?:{_AGAINST}|[:/&–-])[ \t]*(?P<black>{_UPTO_16})"
    r"(?![\w+]|[.:/]\d)",
    re.I,
)
_BEHIND = re.compile(
    rf"[ \t]*[(\[][ \t]*(?P<white>{_UPTO_16})[ \t]*(?!\+){_AGAINST}[ \t]*(?P<black>{_UPTO_16})[ \t]*[)\]]", re.I
)
# "[White, 8; Black, 5.]", "White five, black four." by themselves; "nine men in all"; "seven men against five"
_LOOSE = re.compile(
    rf"(?:^|(?<=[.!?:\[(]))[ \t]*(?P<side>{_SIDE})[ \t]*[,:–-]?[ \t]*(?P<number>{_N})(?:{_MEN})?"
    rf"[ \t]*[,;][ \t]*(?:and[ \t]+)?(?P<other>{_SIDE})[ \t]*[,:–-]?[ \t]*(?P<further>{_N})(?:{_MEN})?"
    r"(?=[ \t]*(?:[.!)\]]|[\r\n]|$))"
    rf"|\b(?P<there>there\s+(?:are|were|stand|stood)\s+)?(?P<all>{_N})\s+(?:men|units|pieces)"
    r"(?:\s+(?:in\s+all|all\s+told|altogether|in\s+total)|(?:\s+\w+)?\s+on\s+(?:the\s+board|(?P<it>it)))\b"
    rf"|\b(?P<first>{_N})\s+(?:men|units)\s+(?:against|to|versus|vs?\.?)\s+(?P<second>{_N})"
    rf"(?=\s*(?:[.,;:!?)\]]|{_MEN}|\Z))",
    re.I | re.M,
)
# What makes it a number of some of the men, of one side, of another position or none at all.
_OTHERS = (
    "not if would could should had next last once first another other than of with white black his her my your our you"
    " i we he she they the these those least most about some nearly almost over under need needs needed only"
)
_OF_ANOTHER = frozenset(_OTHERS.split())
_SENTENCE_ENDS = (". ", "! ", "? ", "; ", ": ", "\n\n", ".\n", "!\n", "?\n")
_NEAR_BOARD = 120  # characters within which "it" may be a board
_GROUPS = (("side", "number"), ("other", "further"), ("first_side", "first"), ("second_side", "second"))


def told_counts(text: str, span: Span) -> Iterator[MenCount]:
    """Yield the numbers of men that the words in `span` state of either side, White's first where none is named."""
    behind = _BEHIND.match(text, *span)  # right behind the position; "(7+2)" is a claim of its own
    for both in (*([behind] if behind else []), *_BOTH.finditer(text, *span)):
        yield MenCount(Span(*both.span("white")), int(both["white"]), (chess.WHITE,))
        yield MenCount(Span(*both.span("black")), int(both["black"]), (chess.BLACK,))
    for told in _TOLD.finditer(text, *span):
        for side, number in _GROUPS:
            if told[number]:
                colour: chess.Color = told[side].lower() == "white"
                yield MenCount(Span(*told.span(number)), number_said(told[number]), (colour,))

    for loose in _LOOSE.finditer(text, *span):
        if loose["side"] and loose["side"].lower() != loose["other"].lower():
            for side, number in _GROUPS[:2]:
                yield MenCount(Span(*loose.span(number)), number_said(loose[number]), (loose[side].lower() == "white",))
        elif loose["all"] and not of_another(text, span.start, loose.start()):
            near = text[max(span.start, loose.start() - _NEAR_BOARD) : loose.start()].lower()
            if not loose["it"] or ("board" in near and loose["there"]):
                yield MenCount(Span(*loose.span("all")), number_said(loose["all"]), (chess.WHITE, chess.BLACK))


def told_pairs(text: str, span: Span) -> Iterator[tuple[Span, int, int]]:
    """Yield the numbers of men of both sides where words leave open which is whose: "seven men against five"."""
    for pair in _LOOSE.finditer(text, *span):
        if pair["first"] and not of_another(text, span.start, pair.start()):
            yield Span(*pair.span()), number_said(pair["first"]), number_said(pair["second"])


def of_another(text: str, begin: int, number: int) -> bool:
    """Tell whether the words of its sentence before a number make it that of something else."""
    begin = max([begin, *(text.rfind(end, begin, number) for end in _SENTENCE_ENDS)])
    words = [word.strip(".,;:!?()\"'“”’") for word in text[begin:number].lower().split()]
    return any(word in _OF_ANOTHER or word.endswith(("n't", "n’t")) for word in words)


def says_several_replies(text: str, span: Span, language: str = "english") -> bool:
    """Tell whether words speak of several replies, as "has three answers", "two good replies" or "Kd5 among others".

    Several men who can make one are several replies: "two of his men may take it", "both the knight and the rook".
    """
    words = [each for each in lexemes(text, span, language) if each.kind in ("word", "unknown")]
    for place, word in enumerate(words):
        count = word.sense("count")
        joined = any(each.sense("link") == "and" for each in words[place + 1 :])
        if "among" in word.categories or (word.sense("mark") == "again" and joined):
            return True  # "by that same move and by 1...Nb6"
        if count is not None and int(count) > 1:
            near = words[place + 1 :][:3]
            if any(each.sense("unit") == "move" for each in near[:2]) or any("man" in each.categories for each in near):
                return True
    return False
