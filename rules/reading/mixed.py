"""Two readings of a text made one where somebody has said of each sentence which of them counts.

Both say of each move from which position it was played, counted from the same diagram, so that what one of them has
placed stands beside what the other has.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from keyproof.grammar.spans import Span

from .reading import Reading


def mixed(literal: Reading, walk: Reading, walked: Mapping[Span, bool]) -> Reading:
    """Return of each sentence what the walk has found there, or else the literal reading, where that is not `walked`.

    The words of a move that begin in a sentence are of it.
    """
    if all(walked.values()):
        return walk
    if not any(walked.values()):
        return literal
    sentences = sorted(walked)
    starts = [sentence.start for sentence in sentences]
    found = Reading(literal.diagram, literal.set_play, supposed=literal.supposed)
    for reading, walks in ((literal, False), (walk, True)):

        def kept(span: Span, walks: bool = walks) -> bool:
            return walked[sentences[max(0, bisect_right(starts, span.start) - 1)]] is walks

        known = [each.phrase.span for each in found.mentions]
        more = [each for each in reading.mentions if kept(each.phrase.span) and not _begun(each.phrase.span, known)]
        spans = [each.phrase.span for each in more]
        found.mentions = [each for each in found.mentions if not _begun(each.phrase.span, spans, before=1)] + more
        found.parries += [each for each in reading.parries if kept(each.phrase.span)]
        found.claims += [each for each in reading.claims if kept(each.claim.span)]
        found.not_understood += [each for each in reading.not_understood if kept(each.span)]
        found.reasons += [each for each in reading.reasons if kept(each.reason.span)]
        found.open += tuple(filter(kept, reading.open))
        found.passed += tuple(filter(kept, reading.passed))
        found.borne_out += tuple(filter(kept, reading.borne_out))
        found.raised += tuple(filter(kept, reading.raised))
        found.named += reading.named
        found.others += reading.others
    found.settle()
    return found


def _begun(span: Span, others: Sequence[Span], *, before: int = 0) -> bool:
    """Tell whether other words that begin no later reach into a span; `before`: they begin before it.

    Words that reach over two sentences, of which each reading has one, are read once, where they begin.
    """
    return any(other.overlaps(span) and other.start + before <= span.start for other in others)
