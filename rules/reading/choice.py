"""Two readings of a text made one: sentence by sentence the one that places more of it truly.

The literal reading takes notation at its word, the walk understands words. Both say of each move from which position
it was played, counted from the same diagram, so that what one of them has placed stands beside what the other has.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

import chess
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..board.resolve import captured_piece
from ..play.node import Node
from .reading import Mention, Reading, Role, State, effect_holds
from .told import is_rest
from .walk.oracle import Oracle

_APART = 2  # signs between the moves of a list, at the least: ", "
BESIDE = 4  # signs between a move and the words that call it mate: " is "
_LOST = 0.2  # of the moves of a text, false or not understood: a reading has lost its way
_SLIPS = 3  # so many errors a text may have
_MORE = 0.12  # of what the literal reading places; so much more the walk must place to be the better explanation


def true_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading places for sure where all that is said of them is so."""
    return sum(_true(mention) and not reading.is_open(mention.phrase.span.start) for mention in reading.mentions)


def judged_mentions(reading: Reading) -> int:
    """Count the moves of a text that a reading is sure of, be what is said of them true or false."""
    return sum(not reading.is_open(mention.phrase.span.start) for mention in reading.mentions)


def faultless(reading: Reading) -> bool:
    """Tell whether a reading places all it found, and finds nothing false."""
    return not reading.not_understood and all(map(_true, reading.mentions))


def united(
    literal: Reading,
    walk: Reading,
    sentences: Sequence[Span],
    chosen: Mapping[Span, bool],
    oracle: Oracle,
    *,
    followed: bool = True,
    wholly: bool = True,
) -> tuple[Reading, frozenset[Span]]:
    """Return what two readings from the same diagram have found, of each sentence what the better one has.

    Where neither is the better one, the literal reading has its way with printed moves, and with words the reading
    that places clearly more of the whole text. A literal reading without fault stands unless the walk does so.
    `followed`: the literal reading has placed most of the text; else the walk need not place more to be believed.
    `wholly`: it has placed all of it; else, of sentences in which neither finds anything amiss, the walk has those in
    which it places as much, since it knows what stood before in words.
    Of a sentence in `chosen` the walk counts if that is true there, else the literal reading. The sentences of which
    the walk counts are returned too.
    """
    words = _explains_more(walk, literal) or (not followed and true_mentions(walk) >= true_mentions(literal))
    parts = _Parts(sentences)
    printed, told = parts.of(literal, _listed(literal, walk)), parts.of(walk)
    walked: set[int] = set()
    if not faultless(literal) or words:
        walked = {place for place in {*printed, *told} if _is_walked(printed[place], told[place], words)}
    if not (followed and faultless(literal)):
        walked |= parts.same_and_more(literal, walk, anywhere=not followed)
    clearly = bool(walked)
    if not (wholly or any(mention.state is State.impossible for mention in literal.mentions)):
        here, there = parts.sure(literal), parts.sure(walk)
        walked |= {
            place
            for place, part in told.items()
            if _as_good(printed[place], part)
            and _is_likelier(there[place], here[place], oracle)
            and _stands(there[place], walk)
        }
    walked |= parts.told_before(walked, literal, walk, lambda place: _as_good(printed[place], told[place]))
    for sentence, way in chosen.items():
        (walked.add if way else walked.discard)(parts.at(sentence))
    literal = with_what_is_said(literal, walk)
    if not walked:
        return literal, frozenset()
    found = Reading(literal.diagram, literal.set_play, supposed=literal.supposed)
    for reading, walks in ((literal, False), (walk, True)):

        def kept(span: Span, walks: bool = walks) -> bool:
            return (parts.at(span) in walked) is walks

        known = [each.phrase.span for each in found.mentions]
        more = [each for each in reading.mentions if kept(each.phrase.span) and not _begun(each.phrase.span, known)]
        spans = [each.phrase.span for each in more]
        found.mentions = [each for each in found.mentions if not _begun(each.phrase.span, spans, before=1)] + more
        found.claims += [each for each in reading.claims if kept(each.claim.span)]
        found.not_understood += [each for each in reading.not_understood if kept(each.span)]
        found.reasons += [each for each in reading.reasons if kept(each.reason.span)]
        found.open += tuple(filter(kept, reading.open))
        found.passed += tuple(
            span for span in reading.passed if kept(span) or (clearly and printed[parts.at(span)] == _Part())
        )  # where the literal reading found nothing, the walk knows what was left out
        found.others += reading.others
    found.settle()
    return found, frozenset(sentence for sentence in sentences if parts.at(sentence) in walked)


def _begun(span: Span, others: Sequence[Span], *, before: int = 0) -> bool:
    """Tell whether other words that begin no later reach into a span; `before`: they begin before it.

    Words that reach over two sentences, of which each reading has one, are read once, where they begin.
    """
    return any(other.overlaps(span) and other.start + before <= span.start for other in others)


def doubted(literal: Reading, walk: Reading) -> tuple[Span, ...]:
    """Return the words that the literal reading takes for a move nobody can play, and the walk for no move at all."""
    moves = [*(mention.phrase.span for mention in walk.mentions), *walk.passed]
    return tuple(
        span
        for mention in literal.mentions
        if mention.phrase.worded
        and mention.state is State.impossible
        and not any(map((span := mention.phrase.span).overlaps, moves))
    )


class _Part(Struct):
    """What one reading has found in one sentence."""

    true: int = 0  # moves told exactly and placed for sure, of which all that is said is so
    false: int = 0  # moves judged, of which something is not so
    left: int = 0  # what could not be judged
    passed: int = 0  # moves told that were put nowhere
    slips: int = 0  # moves placed where the author has printed them amiss
    open: int = 0  # moves it is not sure of
    held: int = 0  # moves behind one that cannot be played


def _is_walked(literal: _Part, walk: _Part, words: bool) -> bool:
    """Tell whether the walk is the better reading of a sentence; `words`: it is of the text's words as a whole."""
    if words:
        gives_up = walk.passed + walk.false + walk.left > 0
        return not (gives_up and literal.true > walk.true and literal.false + literal.left <= walk.false + walk.left)
    if (
        literal.slips > walk.slips
        and walk.true + walk.open >= literal.true
        and not walk.false + walk.left + walk.passed
    ):
        return True  # of equals the one in which the author makes no slip
    return walk.true > literal.true + literal.false and walk.false <= literal.false + literal.left


def _as_good(literal: _Part, walk: _Part) -> bool:
    """Tell whether both readings find a sentence true, and the walk places as much of it."""
    amiss = literal.false + literal.held + walk.false + walk.passed + walk.left + walk.open
    return not amiss and walk.true >= literal.true


def _is_likelier(more: Sequence[Mention], given: Sequence[Mention], oracle: Oracle) -> bool:
    """Tell whether one reading of a sentence takes all words for moves that another does, and the proof prefers it.

    Of two with which the proof agrees as much that is preferred which has more lines, told one by one, if no key or
    refutation of the other is none in it; where the other has none the proof must agree.
    """
    if not all(any(move.phrase.span.overlaps(other.phrase.span) for other in more) for move in given):
        return False
    (agreed, lines), (agreed_less, lines_less) = _weight(more, oracle), _weight(given, oracle)
    same = all(any(_same_role(move, other) for other in more) for move in given)
    return agreed > agreed_less or (bool(given) and same and agreed == agreed_less and lines > lines_less)


def _stands(moves: Sequence[Mention], walk: Reading) -> bool:
    """Tell whether moves are played from positions that words told exactly have led to, or the diagram."""
    known = {walk.diagram, walk.set_play}
    known |= {node for move in walk.mentions if move.phrase.exact for node in move.after}
    starts = (node if node.move or node.parent is None else node.parent for move in moves for node in move.at)
    return all(node in known for node in starts)


def _weight(moves: Sequence[Mention], oracle: Oracle) -> tuple[int, int]:
    """Count the lines of moves of which the proof says that they are right, and all lines told one by one."""
    told = [move for move in moves if move.phrase.exact]  # vague words were taken for what the proof says
    ends = {node for move in told for node in move.after}
    agreed = sum(bool(oracle.right(node) if node.ply % 2 else oracle.refutes(node)) for node in ends)
    return agreed, sum(len(move.after) for move in told if not is_rest(move.phrase))


class _Parts:
    """The sentences of a text, by place."""

    def __init__(self, sentences: Sequence[Span]) -> None:
        self.starts = sorted({sentence.start for sentence in sentences})

    def at(self, span: Span) -> int:
        """Return the place of the sentence a span begins in."""
        return bisect_right(self.starts, span.start)

    def of(self, reading: Reading, listed: frozenset[Span] = frozenset()) -> dict[int, _Part]:
        """Return what a reading has found in each sentence, but for moves that are rather one more of a list."""
        found: dict[int, _Part] = defaultdict(_Part)
        for mention in reading.mentions:
            if mention.phrase.span in listed:
                continue
            part = found[self.at(mention.phrase.span)]
            part.slips += _slips(mention, reading)
            part.open += reading.is_open(mention.phrase.span.start)
            part.held += mention.state is State.not_examined
            if mention.state is State.not_examined or _takes_nothing(mention) or _mates_at_once(mention, reading):
                part.left += 1
            elif not _true(mention):
                part.false += 1
            elif mention.phrase.exact and not reading.is_open(mention.phrase.span.start):
                part.true += 1
        for each in reading.not_understood:
            found[self.at(each.span)].left += 1
        for span in reading.passed:
            found[self.at(span)].passed += 1
        return found

    def sure(self, reading: Reading) -> dict[int, list[Mention]]:
        """Return the moves of each sentence that a reading is sure of."""
        found: dict[int, list[Mention]] = defaultdict(list)
        for mention in reading.mentions:
            if not reading.is_open(mention.phrase.span.start) and mention.after:
                found[self.at(mention.phrase.span)].append(mention)
        return found

    def told_before(self, walked: set[int], literal: Reading, walk: Reading, may: Callable[[int], bool]) -> set[int]:
        """Return the sentences in which the walk tells the moves from which those of `walked` go on, if they `may`.

        Without them a text would answer a defence that it has not told.
        """
        given = {node for mention in literal.mentions for node in mention.after}
        tells: dict[Node, int] = {}
        for mention in walk.mentions:
            for node in mention.after:
                tells.setdefault(node, self.at(mention.phrase.span))
        starts = {node for mention in walk.mentions if self.at(mention.phrase.span) in walked for node in mention.at}
        told = (tells[node] for node in starts - given if node.ply > 1 and node in tells)
        return {place for place in told if may(place)} - walked

    def same_and_more(self, literal: Reading, walk: Reading, *, anywhere: bool) -> set[int]:
        """Return the sentences in which the walk puts each move of the literal reading where that puts it, and more.

        What it has besides must go on from those moves, unless it may stand `anywhere`.
        """
        given, more, less = defaultdict[int, list[Mention]](list), defaultdict[int, list[Mention]](list), set[int]()
        for reading, found in ((literal, given), (walk, more)):
            for mention in reading.mentions:
                place = self.at(mention.phrase.span)
                if _true(mention) and not _mates_at_once(mention, reading) and not _takes_nothing(mention):
                    found[place].append(mention)
                else:
                    less.add(place)
            less |= {self.at(each.span) for each in reading.not_understood}
        return {
            place
            for place, moves in more.items()
            if place not in less
            and sum(not walk.is_open(move.phrase.span.start) for move in moves) > len(given[place])
            and all(any(_agree(move, other) for other in moves) for move in given[place])
            and (anywhere or _goes_on(given[place], moves))
        }


def _listed(literal: Reading, walk: Reading) -> frozenset[Span]:
    """Return the printed moves that nobody can play as answers, and that are replies too: "1.Qe5+ (Kxe5, Rxe5)"."""
    told = {mention.phrase.span: mention for mention in walk.mentions if not walk.is_open(mention.phrase.span.start)}
    found = set()
    for before, mention in pairwise(literal.mentions):
        phrase, one, other = mention.phrase, told.get(before.phrase.span), told.get(mention.phrase.span)
        if mention.state is not State.impossible or phrase.worded or mention.turn.number is not None:
            continue
        apart = phrase.span.start - before.phrase.span.end >= _APART
        if apart and one is not None and other is not None and one.at == other.at and _true(one) and _true(other):
            found.add(phrase.span)
    return frozenset(found)


def _goes_on(given: Sequence[Mention], moves: Sequence[Mention]) -> bool:
    """Tell whether all of the moves stand where given ones do, or are played from where one of those leads."""
    ends = [node.moves for each in given for node in each.after]
    more = (move for move in moves if not any(_agree(each, move) for each in given))
    return all(node.moves in ends for move in more for node in move.at)


def _same_role(one: Mention, other: Mention) -> bool:
    """Tell whether two readings take the same words for a move, and for a key or a refutation where the first does."""
    same = other.role is one.role or one.role not in (Role.refutation, Role.key)
    return same and one.phrase.span.overlaps(other.phrase.span)


def _agree(one: Mention, other: Mention) -> bool:
    """Tell whether two readings of the same words see the same move in the same places."""
    return _same_role(one, other) and _lines(one) == _lines(other)


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


def _explains_more(walk: Reading, literal: Reading) -> bool:
    left = len(walk.passed) if faultless(literal) else 0  # moves told that only the walk gives up
    before, after = true_mentions(literal), true_mentions(walk) - left
    if _false(walk) > _false(literal) + 1:
        return False
    more = 0 if faultless(literal) else _MORE * before  # where it finds no slip none can be explained away
    return after > before + more + 1 or (after >= before and _finds_its_way(literal, walk))


def _finds_its_way(literal: Reading, walk: Reading) -> bool:
    """Tell whether the literal reading has lost its way, in more than the slips of an author, and the walk has not."""
    lost = _false(literal) >= max(_SLIPS, _LOST * len(literal.mentions))
    return lost and 2 * _false(walk) <= _false(literal) and _false(walk) <= _LOST * len(walk.mentions)


def with_what_is_said(literal: Reading, walk: Reading) -> Reading:
    """Add to the moves of the literal reading what only the walk has found to be said of them, where both agree.

    "1.c8=Q is checkmate on the spot": the phrases of the literal reading end before the words that call it mate.
    """
    found = {mention.phrase.span: mention for mention in walk.mentions if not walk.is_open(mention.phrase.span.start)}
    for mention in literal.mentions:
        other = found.get(mention.phrase.span)
        if other is not None and _lines(other) == _lines(mention):
            known = {effect for effect, _ in mention.effects}
            end = mention.phrase.span.end
            mention.effects += tuple(
                (effect, span)
                for effect, span in other.effects
                if effect is Effect.mate and effect not in known and 0 <= span.start - end <= BESIDE
            )
    return literal


def _lines(mention: Mention) -> list[list[chess.Move]]:
    return [node.moves for node in mention.after]


def _true(mention: Mention) -> bool:
    if mention.state is not State.read or mention.misnumbered:
        return False
    return all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def _false(reading: Reading) -> int:
    return len(reading.not_understood) + sum(not _true(mention) for mention in reading.mentions)
