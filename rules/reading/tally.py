"""What a reading has found in a text, sentence by sentence."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Collection, Sequence

from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from msgspec import Struct, field

from ..board.resolve import captured_piece
from .reading import Mention, Reading, State, effect_holds


class Found(Struct):
    """What one reading has found in one sentence: its moves, and how many of them are what."""

    moves: list[Mention] = field(default_factory=list)
    sure: list[Mention] = field(default_factory=list)  # of those the moves that are placed for sure
    true: int = 0  # moves told exactly and placed for sure, of which all that is said is so
    false: int = 0  # moves judged, of which something is not so
    left: int = 0  # what could not be judged
    passed: int = 0  # moves told that were put nowhere
    slips: int = 0  # moves placed where the author has printed them amiss
    open: int = 0  # moves it is not sure of
    held: int = 0  # moves behind one that cannot be played

    @property
    def nothing(self) -> bool:
        """True where no word of the sentence was taken for a move."""
        return not (self.moves or self.left or self.passed)


class Sentences:
    """The sentences of a text, by place."""

    def __init__(self, sentences: Sequence[Span]) -> None:
        self.starts = sorted({sentence.start for sentence in sentences})

    def at(self, span: Span) -> int:
        """Return the place of the sentence a span begins in."""
        return bisect_right(self.starts, span.start)

    def found(self, reading: Reading, listed: Collection[Span] = ()) -> defaultdict[int, Found]:
        """Return what a reading has found in each sentence, but for moves that are rather one more of a list."""
        found: defaultdict[int, Found] = defaultdict(Found)
        for mention in reading.mentions:
            span = mention.phrase.span
            if span not in listed:
                _count(found[self.at(span)], mention, reading)
        for each in reading.not_understood:
            found[self.at(each.span)].left += 1
        for span in reading.passed:
            found[self.at(span)].passed += 1
        return found


def _count(part: Found, mention: Mention, reading: Reading) -> None:
    is_open = reading.is_open(mention.phrase.span.start)
    part.moves.append(mention)
    if mention.after and not is_open:
        part.sure.append(mention)
    part.slips += _slips(mention, reading)
    part.open += is_open
    part.held += mention.state is State.not_examined
    if mention.state is State.not_examined or _takes_nothing(mention) or _mates_at_once(mention, reading):
        part.left += 1
    elif not is_true(mention):
        part.false += 1
    elif mention.phrase.exact and not is_open:
        part.true += 1


def true_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading places for sure where all that is said of them is so."""
    return sum(is_true(mention) and not reading.is_open(mention.phrase.span.start) for mention in reading.mentions)


def judged_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading is sure of, be what is said of them true or false."""
    return sum(not reading.is_open(mention.phrase.span.start) for mention in reading.mentions)


def faultless(reading: Reading) -> bool:
    """Tell whether a reading places all it found, and finds nothing false."""
    return not reading.not_understood and all(map(is_true, reading.mentions))


def is_true(mention: Mention) -> bool:
    """Tell whether a move can be played where it was placed, and all that is said of it is so."""
    if mention.state is not State.read or mention.misnumbered:
        return False
    return all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def false_mentions(reading: Reading) -> int:
    """Count what a reading does not understand, and the moves that it finds false."""
    return len(reading.not_understood) + sum(not is_true(mention) for mention in reading.mentions)


def _takes_nothing(mention: Mention) -> bool:
    """Tell whether a capture told in words captures nothing where it was put: it rather stands elsewhere."""
    if not (mention.phrase.worded and mention.phrase.capture and mention.after):
        return False
    return all(
        node.parent is not None and node.move is not None and captured_piece(node.parent.board, node.move) is None
        for node in mention.after
    )


def _mates_at_once(mention: Mention, reading: Reading) -> bool:
    """Tell whether words call a first move mate, and it is none: they rather speak of the end of a line."""
    if not mention.phrase.worded or not mention.at or mention.at[0] is not reading.diagram:
        return False
    return mention.says(Effect.mate) is not None and not all(node.mate for node in mention.after)


def _slips(mention: Mention, reading: Reading) -> bool:
    """Tell whether a printed move captures without a sign, or answers in the set play and does not mate."""
    if mention.phrase.worded or not mention.after:
        return False
    taken = [
        n.parent is not None and n.move is not None and captured_piece(n.parent.board, n.move) for n in mention.after
    ]
    answers = len(mention.at) == 1 and mention.at[0].parent is not None and mention.at[0].parent is reading.set_play
    return (all(taken) and not mention.phrase.capture) or (answers and not all(node.mate for node in mention.after))
