"""Claims in words that the author only reports, doubts or takes back."""

import re

from keyproof.grammar.spans import Span

from ..case import Case

_HEDGE = re.compile(
    r"\b(?:may|might|could|would|will|to|who|readers?|solvers?|people|one|you|we|i|they)\s+(?:\w+\s+)?"
    r"(?:fear(?:s|ed)?|say|says|said|object)\b"
    r"|\b(?:thinks?|thought|believe[sd]?|suppose[sd]?|assume[sd]?)\b"
    r"|\b(?:seem|appear|look)(?:s|ed)?\b|\b(?:apparently|supposedly|as\s+if|as\s+though|whether|unless|if)\b"
    r"|\b(?:not|never|nor|no\s+longer|far\s+from|untrue|wrong|hardly)\b",
    re.I,
)
_SENTENCE_END = re.compile(r"[.!?;]\s|\n\s*\n")
_QUESTION = re.compile(r"(?:(?![.!;]\s|\n\s*\n).)*?(?<![1-8+#!?O0QRBNS])\?", re.S)  # no sign of a move: "Kd5?"


def doubted(case: Case, claim: Span) -> bool:
    """Tell whether the words before a claim, in the same sentence, take away its force.

    "You may think that castling is forbidden" says what a reader believes, not what is so;
    "is castling forbidden?" says nothing.
    """
    before = case.masked[max(0, claim.start - 200) : claim.start]
    asked = _QUESTION.match(case.masked, claim.end, claim.end + 200) is not None
    return asked or _HEDGE.search(_SENTENCE_END.split(before)[-1]) is not None
