"""Claims in words that the author only reports, doubts or takes back."""

import re

from keyproof.grammar.spans import Span

from ..case import Case

_HEDGE = re.compile(
    r"\b(?:may|might|could|would|will|to|who|readers?|solvers?|people|one|you|we|i|they)\s+(?:\w+\s+)?"
    r"(?:think|thinks|thought|believe[sd]?|suppose[sd]?|fear(?:s|ed)?|assume[sd]?|say|says|said|object)\b"
    r"|\b(?:seem|appear|look)(?:s|ed)?\b|\b(?:apparently|supposedly|as\s+if|as\s+though|whether|unless|if)\b"
    r"|\b(?:not|never|nor|no\s+longer|far\s+from|untrue|wrong|hardly)\b",
    re.I,
)
_SENTENCE_END = re.compile(r"[.!?;]\s|\n\s*\n")


def doubted(case: Case, claim: Span) -> bool:
    """Tell whether the words before a claim, in the same sentence, take away its force.

    "You may think that castling is forbidden" says what a reader believes, not what is so.
    """
    before = case.masked[max(0, claim.start - 200) : claim.start]
    return _HEDGE.search(_SENTENCE_END.split(before)[-1]) is not None
