"""Two readings of a text made one: the walk through its words, but the literal one in sentences that ask for it.

The literal reading takes notation at its word, the walk understands words. Both say of each move from which position
it was played, counted from the same diagram, so that what one of them has placed stands beside what the other has.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Sequence

from keyproof.grammar.spans import Span

from .reading import Reading


def united(literal: Reading, walk: Reading, sentences: Sequence[Span], printed: Collection[Span]) -> Reading:
    """Return what the walk has found, and in the sentences of `printed` what the literal reading has.

    Both start from the same diagram.
    """
    if not printed:
        return walk
    starts = sorted({sentence.start for sentence in sentences})
    literally = {bisect_right(starts, sentence.start) for sentence in printed}
    found = Reading(literal.diagram, literal.set_play, supposed=literal.supposed)
    for reading, walks in ((literal, False), (walk, True)):

        def kept(span: Span, walks: bool = walks) -> bool:
            return (bisect_right(starts, span.start) in literally) is not walks

        known = [each.phrase.span for each in found.mentions]
        more = [each for each in reading.mentions if kept(each.phrase.span) and not _begun(each.phrase.span, known)]
        spans = [each.phrase.span for each in more]
        found.mentions = [each for each in found.mentions if not _begun(each.phrase.span, spans, before=1)] + more
        found.claims += [each for each in reading.claims if kept(each.claim.span)]
        found.not_understood += [each for each in reading.not_understood if kept(each.span)]
        found.reasons += [each for each in reading.reasons if kept(each.reason.span)]
        found.open += tuple(filter(kept, reading.open))
        found.borne_out += tuple(filter(kept, reading.borne_out))
        found.raised += tuple(filter(kept, reading.raised))
        found.passed += tuple(filter(kept, reading.passed))
        found.named += tuple(filter(kept, reading.named))
        found.others += reading.others
    found.settle()
    return found


def _begun(span: Span, others: Sequence[Span], *, before: int = 0) -> bool:
    """Tell whether other words that begin no later reach into a span; `before`: they begin before it.

    Words that reach over two sentences, of which each reading has one, are read once, where they begin.
    """
    return any(other.overlaps(span) and other.start + before <= span.start for other in others)
