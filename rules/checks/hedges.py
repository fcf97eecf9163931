"""Claims in words that the author only reports, doubts or takes back."""

import re

from keyproof.grammar.spans import Span
from keyproof.grammar.words import SPOKEN_SQUARE, square_of

from ..case.case import Case
from ..reading.reading import PlacedReason
from ..reasons.impossible import impossible

_HEDGE = re.compile(
    r"\b(?:may|might|could|would|will|to|who|readers?|solvers?|people|one|you|we|i|they)\s+(?:\w+\s+)?"
    r"(?:fear(?:s|ed)?|say|says|said|object)\b"
    r"|\b(?:thinks?|thought|believe[sd]?|suppose[sd]?|assume[sd]?)\b"
    r"|\b(?:seem|appear|look)(?:s|ed)?\b|\b(?:apparently|supposedly|as\s+if|as\s+though|whether|unless|if)\b",
    re.I,
)
_NEGATED = re.compile(r"\b(?:not|never|nor|(?:no|kein)(?=\s+\Z)|no\s+longer|far\s+from|untrue|wrong|hardly)\b", re.I)
_PARTS = ",:;()"
_CONTRAST = re.compile(r"\b(?:but|yet|however|aber|mais|pero|maar)\b", re.I)
_IF_ALONE = re.compile(r"(?<!as )\bif\b", re.I)
_SENTENCE_END = re.compile(r"[.!?;]\s|\n\s*\n")
_QUESTION = re.compile(r"(?:(?![.!;]\s|\n\s*\n).)*?(?<![1-8+#!?O0QRBNS])\?", re.S)  # no sign of a move: "Kd5?"


def doubted(case: Case, claim: Span, told: int = 0, *, by_parts: bool = False) -> bool:
    """Tell whether the words before a claim, in the same sentence, take away its force.

    "You may think that castling is forbidden" says what a reader believes, not what is so;
    "is castling forbidden?" says nothing. An "if" before the offset `told` leads to a move that is replayed.
    `by_parts`: what is denied before a comma is denied there alone ("not 1.Qe4 either, yet ...h5 is the one answer").
    """
    start = max(0, claim.start - 200)
    told = max(start, told)
    before = _IF_ALONE.sub("", case.masked[start:told]) + case.masked[told : claim.start]
    asked = _QUESTION.match(case.masked, claim.end, claim.end + 200) is not None
    sentence = _SENTENCE_END.split(before)[-1]
    if by_parts:
        sentence = _CONTRAST.split(sentence)[-1]  # "it looks great, but there is one answer"
    part = sentence[max(map(sentence.rfind, _PARTS)) + 1 :] if by_parts else sentence
    return asked or _HEDGE.search(sentence) is not None or _NEGATED.search(part) is not None


_ONLY_THOUGHT = re.compile(
    r"\b(?:think|thinks|thought|believe[sd]?|suppose[sd]?|fear(?:s|ed)?|assume[sd]?|say|says|said|object|hope[sd]?|wish"
    r"|imagine|pretend|want(?:s|ed)?|seem(?:s|ed)?|appear(?:s|ed)?|look(?:s|ed)?\s+(?:as|like)"
    r"|apparently|supposedly|as\s+if|as\s+though|whether|unless|until|wrong|twin|originally"
    r"|(?:earlier|first|other|original)\s+(?:version|setting)|without\s+(?:the|a|his|its)"
    r"|with\s+(?:[\w-]+\s+){1,4}?(?:empty|gone|away|absent|missing|removed|vacated|out\s+of))\b",
    re.I,
)
_DENIED = re.compile(
    r"\b(?:not|never|nor|neither|far\s+from|untrue|hardly|nobody|nothing|nowhere|without|would|could|might|may|were"
    r"|almost|nearly)\b|n['’]t\b",
    re.I,
)
_PLAINLY = re.compile(
    r"\b(?:it\s+)?(?:must|should|can|may|has\s+to)\s+(?:also\s+)?be\s+(?:said|supposed)\s+that\b", re.I
)
_TURN_GIVEN = re.compile(
    r"\bif\s+(?:it\s+(?:were|was|is)|it['’]s)\s+(?:now\s+)?(?:his|black['’]s|the\s+king['’]s)\s+(?:turn|move|go)\b"
    r"|\bwere\s+it\s+(?:his|black['’]s)\s+(?:turn|move|go)\b",
    re.I,
)  # who may move is no condition for where a king can go
NEW_CLAUSE = re.compile(r"[,:()]|\b(?:because|since|for|as|so|and|but|while|then|now)\b", re.I)
_NOT_SO = re.compile(r"\b(?:not\s+\w+|no(?:\s+\w+)?)\s*$", re.I)
_OF_ANOTHER = re.compile(r"(?:because|on\s+account)\s+of\b|(?:which|that|who)\s+(?:the|a|his|her|our|my|its)\b", re.I)
_IF_AFTER = re.compile(
    r"\s*,?\s*(?:only\s+)?(?:if|unless|when(?:ever)?|once|until|after|before|provided|in\s+case|as\s+(?:soon|long))\b",
    re.I,
)
_IF = re.compile(
    r"\b(?:if|once|when(?:ever)?|wherever|suppose|after(?!\s+(?:that|this|it)\b)|as\s+soon\s+as|as\s+long\s+as)\b", re.I
)


def only_supposed(case: Case, placed: PlacedReason) -> bool:
    """Tell whether a reason is asked, thought, denied or made to depend on something that no move of the text tells.

    "If the king moves to a4, 2.Qa2 is mate, because the rook is pinned" depends on moves that are replayed,
    "if the rook is pinned" on nothing that is.
    """
    span = placed.reason.span
    asked = re.compile(r"\s*\?").match(case.masked, span.end) is not None
    asked = asked or _QUESTION.match(case.masked, span.end, span.end + 200) is not None
    before = case.masked[max(placed.sentence.start, span.start - 200) : span.start]
    plain = (_PLAINLY, _TURN_GIVEN) if placed.reason.kind == "flights" else (_PLAINLY,)
    for each in plain:
        before = each.sub(lambda found: " " * len(found[0]), before)
    denied = _DENIED.search(NEW_CLAUSE.split(before)[-1]) or _NOT_SO.search(before)
    if _OF_ANOTHER.match(case.masked, span.start):
        denied = None  # "he cannot go there, because of the knight": he cannot, and she does it
    if asked or denied or _ONLY_THOUGHT.search(before):
        return True
    if placed.anchored:
        return False
    assert case.reading is not None
    told = [mention.phrase.span.start for mention in case.reading.mentions]
    if _IF_AFTER.match(case.masked, span.end, placed.sentence.end) and not any(
        span.end < each < placed.sentence.end for each in told
    ):
        return True
    conditions = list(_IF.finditer(before))
    if not conditions or impossible(placed.reason):
        return False
    start = span.start - len(before) + conditions[-1].start()
    return not any(start < each < span.start for each in told) and not _led_to(placed, before[conditions[-1].end() :])


def _led_to(placed: PlacedReason, condition: str) -> bool:
    """Tell whether a condition only repeats where a move told before has put its man: "once it stands on g3"."""
    squares = {square_of(found[0]) for found in SPOKEN_SQUARE.finditer(condition)}
    return any(node.move and node.move.to_square in squares for node in placed.nodes)
