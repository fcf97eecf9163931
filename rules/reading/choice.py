"""Two readings of a text made one: sentence by sentence the one that places more of it truly.

The literal reading takes notation at its word, the walk understands words. Both say of each move from which position
it was played, counted from the same diagram, so that what one of them has placed stands beside what the other has.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise

import chess
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from ..play.node import Node
from .reading import Mention, PlacedClaim, Reading, Role, State
from .settled import failing, unanswered
from .tally import Found, Sentences, false_mentions, faultless, is_true, true_mentions
from .told import is_rest
from .walk.oracle import Oracle

_APART = 2  # signs between the moves of a list, at the least: ", "
BESIDE = 4  # signs between a move and the words that call it mate: " is "
_LOST = 0.2  # of the moves of a text, false or not understood: a reading has lost its way
_SLIPS = 3  # so many errors a text may have
_MORE = 0.12  # of what the literal reading places; so much more the walk must place to be the better explanation


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
    """Return what two readings from the same diagram have found, of each sentence what the one has that counts there.

    Which one does is for `Choice` to say, but in a sentence of `chosen`: there the walk counts if that is true, else
    the literal reading. `followed`: the literal reading has placed most of the text. `wholly`: it has placed all of it.
    The sentences of which the walk counts are returned too.
    """
    choice = Choice(literal, walk, Sentences(sentences), oracle, followed=followed, wholly=wholly)
    walked, parts = choice.walked(), choice.sentences
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
            span for span in reading.passed if kept(span) or choice.finds_nothing(parts.at(span))
        )  # where the literal reading found nothing, the walk knows what was left out
        found.borne_out += tuple(filter(kept, reading.borne_out))
        found.raised += tuple(filter(kept, reading.raised))
        found.named += reading.named
        found.others += reading.others
    found.settle()
    found.claims += _told_beside(found, walk, literal, parts)
    return found, frozenset(sentence for sentence in sentences if parts.at(sentence) in walked)


def _told_beside(found: Reading, walk: Reading, literal: Reading, parts: Sentences) -> Iterator[PlacedClaim]:
    """Yield what the walk takes for claimed in sentences that tell no move, right after the key as the walk has it.

    Such a sentence is none of which either reading may be the better one; the literal one has nothing there to say.
    """
    told = {parts.at(each.phrase.span) for reading in (walk, literal) for each in reading.mentions}
    told |= {parts.at(each.claim.span) for reading in (found, literal) for each in reading.claims}
    walked = {id(each) for each in walk.mentions}
    for each in walk.claims:
        before = bisect_left(found.mentions, each.claim.span.start, key=lambda one: one.phrase.span.start)
        last = found.mentions[before - 1] if before else None
        if last is None or last.role is not Role.key or id(last) not in walked or parts.at(each.claim.span) in told:
            continue
        if set(each.nodes) <= set(last.after):
            yield each


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


class Choice:
    """Which of two readings of a sentence counts: the walk, or else the literal one.

    Where neither is the better one, the literal reading has its way with printed moves, and with words the reading
    that places clearly more of the whole text.
    """

    def __init__(
        self, literal: Reading, walk: Reading, sentences: Sentences, oracle: Oracle, *, followed: bool, wholly: bool
    ) -> None:
        self.literal, self.walk, self.sentences, self.oracle, self.followed = literal, walk, sentences, oracle, followed
        self.printed, self.told = sentences.found(literal, _listed(literal, walk)), sentences.found(walk)
        self.words = _explains_more(walk, literal) or (not followed and true_mentions(walk) >= true_mentions(literal))
        self.faultless = faultless(literal)
        self.misfits = any(mention.state is State.impossible for mention in literal.mentions)
        self.wholly = wholly
        self.doubtful = {id(move) for reading in (literal, walk) for move in _doubtful(reading, oracle)}

    def walked(self) -> set[int]:
        """Return the places of the sentences of which the walk counts.

        Those are some more for the sake of others: in them the walk tells the moves from which moves of others go on,
        without which a text would answer a defence that it has not told.
        """
        places = {*self.printed, *self.told}
        walked = {place for place in places if self.walk_counts(self.printed[place], self.told[place])}
        known = {node for mention in self.literal.mentions for node in mention.after}
        starts = {node for place in walked for mention in self.told[place].moves for node in mention.at} - known
        tells: dict[Node, int] = {}
        for mention in self.walk.mentions:
            for node in mention.after:
                tells.setdefault(node, self.sentences.at(mention.phrase.span))
        before = {tells[node] for node in starts if node.ply > 1 and node in tells}
        return walked | {place for place in before if _as_good(self.printed[place], self.told[place])}

    def walk_counts(self, printed: Found, told: Found) -> bool:
        """Tell whether the walk counts in a sentence of which the literal reading has `printed`.

        It does where it places more; where it places all that the literal reading does, and more; where it places as
        much that is likelier; and where it places as much and leaves less waiting. A literal reading of the text
        without fault stands against the first unless the walk explains more of the whole text, and against the second
        if it has followed the text; against the third does one that has placed all of it, or has found a move that
        nobody can play.
        """
        likelier = not (self.wholly or self.misfits) and self._places_likelier(printed, told)
        return likelier or self._is_clearly_better(printed, told) or self._leaves_less(printed, told)

    def _is_clearly_better(self, printed: Found, told: Found) -> bool:
        """Tell whether the walk places more."""
        return ((self.words or not self.faultless) and _places_more(printed, told, self.words)) or (
            not (self.followed and self.faultless) and self._places_all_and_more(printed, told)
        )

    def _places_all_and_more(self, printed: Found, told: Found) -> bool:
        """Tell whether the walk puts each move of the literal reading where that puts it, and more.

        What it has besides must go on from those moves, unless the literal reading has lost the text.
        """
        return (
            not (printed.false + printed.left + told.false + told.left)
            and len(told.moves) - told.open > len(printed.moves)
            and all(any(_agree(move, other) for other in told.moves) for move in printed.moves)
            and (not self.followed or _goes_on(printed.moves, told.moves))
        )

    def _places_likelier(self, printed: Found, told: Found) -> bool:
        """Tell whether neither reading finds anything amiss and the proof prefers the walk, which leads up to it."""
        return (
            _as_good(printed, told)
            and _is_likelier(told.sure, printed.sure, self.oracle)
            and _stands(told.sure, self.walk)
        )

    def _leaves_less(self, printed: Found, told: Found) -> bool:
        """Tell whether neither reading finds anything false, and the walk leaves fewer moves in doubt."""
        amiss = printed.false + printed.held + told.false + told.passed + told.left
        if amiss or told.open > printed.open or told.true < printed.true:
            return False
        here, there = (sum(id(move) in self.doubtful for move in each.moves) for each in (told, printed))
        return here < there and _stands(told.moves, self.walk)

    def finds_nothing(self, place: int) -> bool:
        """Tell whether the literal reading has taken no word of a sentence for a move, in a text the walk knows better.

        It does if it is clearly better in some sentence.
        """
        return self.clearly and self.printed[place].nothing

    @cached_property
    def clearly(self) -> bool:
        """True where the walk is clearly better in some sentence."""
        return any(self._is_clearly_better(self.printed[at], self.told[at]) for at in {*self.printed, *self.told})


def _places_more(literal: Found, walk: Found, words: bool) -> bool:
    """Tell whether the walk places more of a sentence; `words`: it does so of the text as a whole."""
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


def _as_good(literal: Found, walk: Found) -> bool:
    """Tell whether both readings find a sentence true, and the walk places as much of it."""
    amiss = literal.false + literal.held + walk.false + walk.passed + walk.left + walk.open
    return not amiss and walk.true >= literal.true


def _doubtful(reading: Reading, oracle: Oracle) -> list[Mention]:
    """Return the printed moves that wait for an answer and the answers that fail, unless numbers tell their place."""
    waiting = (each for each in unanswered(reading, oracle) if not each.phrase.worded)
    return [*waiting, *(each for each in failing(reading, oracle) if each.turn.number is None)]


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


def _listed(literal: Reading, walk: Reading) -> frozenset[Span]:
    """Return the printed moves that nobody can play as answers, and that are replies too: "1.Qe5+ (Kxe5, Rxe5)"."""
    told = {mention.phrase.span: mention for mention in walk.mentions if not walk.is_open(mention.phrase.span.start)}
    found = set()
    for before, mention in pairwise(literal.mentions):
        phrase, one, other = mention.phrase, told.get(before.phrase.span), told.get(mention.phrase.span)
        if mention.state is not State.impossible or phrase.worded or mention.turn.number is not None:
            continue
        apart = phrase.span.start - before.phrase.span.end >= _APART
        if apart and one is not None and other is not None and one.at == other.at and is_true(one) and is_true(other):
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


def _explains_more(walk: Reading, literal: Reading) -> bool:
    left = len(walk.passed) if faultless(literal) else 0  # moves told that only the walk gives up
    before, after = true_mentions(literal), true_mentions(walk) - left
    if false_mentions(walk) > false_mentions(literal) + 1:
        return False
    more = 0 if faultless(literal) else _MORE * before  # where it finds no slip none can be explained away
    return after > before + more + 1 or (after >= before and _finds_its_way(literal, walk))


def _finds_its_way(literal: Reading, walk: Reading) -> bool:
    """Tell whether the literal reading has lost its way, in more than the slips of an author, and the walk has not."""
    lost = false_mentions(literal) >= max(_SLIPS, _LOST * len(literal.mentions))
    return (
        lost
        and 2 * false_mentions(walk) <= false_mentions(literal)
        and false_mentions(walk) <= _LOST * len(walk.mentions)
    )


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
