"""What words say that a move does: check of any kind, mate, stalemate, or none of these."""

import re
from collections.abc import Iterator

from .lexing import Token
from .moves import Effect
from .spans import Span


def effects_said(token: Token) -> Iterator[tuple[Effect, Span]]:
    """Yield what words such as "with mate", "is only check" or "gives double check" say that a move does."""
    words = token.value.lower()
    denied = token.type != "CHECK_ONLY" and re.search(r"\b(?:not|no)\s", words)
    core = re.search(r"double\s+check|dbl|dis|stalemate|mate|check", words)
    assert core is not None
    start, end = token.span
    span = Span(start + core.start(), end)
    while span.end > span.start and token.value[span.end - start - 1] in ")":
        span = Span(span.start, span.end - 1)
    if core[0] == "check" and re.search(r"check-?mate", words):
        effect = Effect.mate
    else:
        first = core[0].split()[0]
        effect = {
            "double": Effect.double_check,
            "dbl": Effect.double_check,
            "dis": Effect.discovered_check,
            "stalemate": Effect.stalemate,
            "mate": Effect.mate,
            "check": Effect.check,
        }[first]
    if denied and effect not in (Effect.mate, Effect.check):
        return  # "is no stalemate": no claim that a rule knows
    if denied and effect is Effect.mate:
        effect = Effect.not_mate
    elif denied and effect is Effect.check:
        effect = Effect.not_check
    elif effect is Effect.check and re.search(r"\b(?:only|just)\s|\bbut\b", words):  # "is check but not mate"
        yield Effect.not_mate, span
    yield effect, span
