"""Why another mate fails behind a defence, told in words that are no move: "1...Rxb2, and a3 is free".

The proof knows what escapes from each mate that was threatened. Words beside a defence tell one of these replies if
enough of it is named: its square, its man, the mate itself, how it escapes. They stand in the reading as that reply.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from itertools import islice, pairwise

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect, MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn
from msgspec import Struct

from ..play.node import Node
from . import weights
from .reading import Mention, Reading, Role, State
from .walk.oracle import Oracle
from .walk.threats import Threats
from .work import RunsAway

_MOST_DEFENCES = 6  # that one word or list may tell of which something is said together
_MOST_MATES = 8  # told behind other defences, of which it is looked whether they fail behind one
_NEAR = 120  # characters between a move and the reply by which it fails, at the most
_SENTENCES = 1  # that may end between a defence and what is said of it

TAKES = frozenset({"take", "lose", "retake"})
BLOCKS = frozenset({"block", "amid"})
LETS = frozenset({"open", "frees", "vacant", "unit", "flee", "door"})
HOLDS = frozenset({"guard", "gaze", "pin"})
MOVES = frozenset({"go", "put", "shift", "have", "toward", "back", "can", "away"})
SUPPOSES = frozenset({"modal", "suppose", "unreal", "stance", "deny", "can"})
_LINKS = ("if", "because", "but", "instead", "then")
_KINDS = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name}
_FAILS = ("meets", "fail", "futile", "refute", "refutes")
_WHENCE = frozenset({"from", "at", "stands"})


class Word(Struct, frozen=True):
    """A square that is named, the man that is printed before it, and where."""

    span: Span
    square: chess.Square
    kind: chess.PieceType | None


class Escape(Struct, frozen=True, eq=False):
    """A reply that escapes from a mate which fails behind a defence."""

    defence: Node
    mate: Node
    move: chess.Move

    @property
    def takes(self) -> bool:
        """Whether it takes the man that should mate."""
        return self.mate.move is not None and self.move.to_square == self.mate.move.to_square

    @property
    def runs(self) -> bool:
        """Whether the king flees."""
        return self.mate.board.piece_type_at(self.move.from_square) == chess.KING and not self.takes


class Clause(Struct, frozen=True):
    """What is said of a defence: the words behind it up to the next, without the play that they tell."""

    words: tuple[Lexeme, ...]
    squares: tuple[Word, ...]
    categories: frozenset[str]
    men: frozenset[chess.PieceType]
    checks: bool
    fails: bool  # it is said that something fails, or is met
    supposes: bool
    diagram: bool  # it is said of the diagram, or that it is so no longer


def with_escapes(found: Reading, blocks: Sequence[Sequence[Lexeme]], oracle: Oracle) -> Reading:
    """Return a reading with what its words tell of mates that fail; `blocks` are the words of its paragraphs."""
    if oracle.plies is None or oracle.plies < 2 or found.ran_away:
        return found
    with suppress(RunsAway):
        known = {end for mention in (*found.parries, *found.mentions) for end in mention.after}
        for mention in _Escapes(found, Threats(oracle)).told(blocks):
            if known.isdisjoint(mention.after):
                found.parries.append(mention)
                known.update(mention.after)
                _give_up(found.mentions, mention)
    return found


def _give_up(mentions: Iterable[Mention], escape: Mention) -> None:
    """Let the moves that fail by a reply that is told beside them not be taken for mates that are claimed."""
    for mention in mentions:
        near = abs(mention.phrase.span.start - escape.phrase.span.start) <= _NEAR
        if near and not mention.says(Effect.mate) and mention.after and set(mention.after) <= set(escape.at):
            mention.effects = (*mention.effects, (Effect.not_mate, escape.phrase.span))


class _Escapes:
    def __init__(self, found: Reading, threats: Threats) -> None:
        self.threats = threats
        mentions = [mention for mention in found.mentions if mention.state is State.read]
        self.mentions = sorted(mentions, key=lambda each: each.phrase.span)
        self.ends = [end for mention in mentions for end in mention.after]
        self.mates = [end for end in self.ends if end.mate]
        self.facts: dict[Node, list[Escape]] = {}

    def told(self, blocks: Sequence[Sequence[Lexeme]]) -> Iterator[Mention]:
        """Yield the replies told, sentence by sentence."""
        at, over = 0, 0
        before: list[Mention] = []
        first: Node | None = None

        for block in blocks:
            for sentence in sentences(block):
                start, end = sentence[0].span.start, sentence[-1].span.end
                here = []
                while at < len(self.mentions) and self.mentions[at].phrase.span.start < end:
                    if self.mentions[at].phrase.span.start >= start:
                        here.append(self.mentions[at])
                    at += 1
                told = [mention for mention in here if self._defences(mention)]
                if any(mention.role in (Role.key, Role.try_) for mention in here):
                    before = []
                first = next((end.first for mention in reversed(here) for end in mention.after), first)
                parts = list(_parts(sentence, told))
                if parts and not parts[0][0] and before and over < _SENTENCES:
                    parts[0] = (before, parts[0][1])
                elif parts and not parts[0][0] and len(parts) > 1:
                    parts[:2] = [(parts[1][0], parts[0][1] + parts[1][1])]
                if told and all(mention.phrase.worded for mention in told):
                    others = [mention for mention in here if mention not in told]
                    for mention in (*(before if over < _SENTENCES else ()), *told):
                        words = [each for each in sentence if each.span.start >= mention.phrase.span.start]
                        yield from self._of_clause(self._defences(mention), words, others, first, weights.OTHERWISE)
                for defences, words in parts:
                    nodes = [node for mention in defences for node in self._defences(mention)]
                    yield from self._of_clause(nodes, words, here, first)
                before, over = (parts[-1][0], 0) if told else (before, over + 1)

    def _defences(self, mention: Mention) -> list[Node]:
        nodes = [end for end in mention.after if self.threats.defence(end) is end]
        return nodes if len(nodes) <= _MOST_DEFENCES else []

    def _of_clause(
        self,
        nodes: list[Node],
        words: list[Lexeme],
        here: list[Mention],
        first: Node | None,
        least: int = weights.ENOUGH,
    ) -> Iterator[Mention]:
        if not words:
            return
        come_from = [] if first is None else list(self._come_from(words, first))
        for node in dict.fromkeys([*nodes, *come_from]):
            line = {node, *node.path}
            mates = {child for mention in here for child in mention.after if child.mate and child.parent in nodes}
            play = [mention for mention in here if not line.isdisjoint(mention.after) or _is_of(mention, mates)]
            clause = clause_of(words, play, node.move)
            if clause.squares or clause.categories & TAKES:
                failing = {end for mention in here for end in mention.after if end.parent is node and not end.mate}
                yield from self._of_defence(node, clause, failing, least)

    def _come_from(self, words: Sequence[Lexeme], first: Node) -> Iterator[Node]:
        """Yield the defences that lead to a square from which something is said to be done: "from d6 to f8"."""
        if first.board.turn == first.diagram.board.turn or not first.move:
            return
        for word, place in pairwise(words):
            if word.categories & _WHENCE and place.square is not None:
                moves = [move for move in first.legal if move.to_square == place.square]
                for move in moves:
                    node = first.play(move)
                    if self.threats.defence(node) is node:
                        yield node

    def _of_defence(self, node: Node, clause: Clause, failing: set[Node], least: int) -> Iterator[Mention]:
        """Yield the replies behind a defence that a clause tells, one for each square."""
        best: dict[chess.Square, tuple[int, list[Escape]]] = {}
        for escape in self._facts(node):
            score = _score(escape, clause, failing)
            known = best.get(escape.move.to_square, (least - 1, []))
            if score > known[0]:
                best[escape.move.to_square] = (score, [escape])
            elif score == known[0] and known[1]:
                known[1].append(escape)
        for square, (_, told) in best.items():
            ways: dict[Node, list[Node]] = {}
            for escape in told:
                ways.setdefault(escape.mate, []).append(escape.mate.play(escape.move))
            yield escape_mention(clause, square, list(ways.items()))

    def _facts(self, node: Node) -> list[Escape]:
        found = self.facts.get(node)
        if found is None:
            mates = list(dict.fromkeys([*self.threats.behind(node, self.ends), *self._elsewhere(node)]))
            self.threats.oracle.work.take(sum(len(mate.legal) for mate in mates) or 1)
            moves = ((mate, move) for mate in mates if not mate.mate for move in sorted(mate.legal, key=str))
            found = self.facts[node] = [Escape(node, mate, move) for mate, move in moves]
        return found

    def _elsewhere(self, node: Node) -> Iterator[Node]:
        """Yield the positions after the mates that are told behind other defences."""
        ends = (end for end in self.mates if end.ply == node.ply + 1 and end.first is node.first)
        moves = islice(dict.fromkeys(end.move for end in ends if end.move in node.legal), _MOST_MATES)
        return (node.play(move) for move in moves if move)


def _score(escape: Escape, clause: Clause, failing: set[Node]) -> int:
    """Return how much of a reply is told; nothing if its square is not named, unless the man who mates is taken."""
    board, mate = escape.mate.board, escape.mate.move
    assert mate is not None
    kind = board.piece_type_at(escape.move.from_square)
    squares = [word for word in clause.squares if word.square == escape.move.to_square]
    says_taken = escape.takes and bool(clause.categories & TAKES)
    if any(word.kind not in (None, kind, board.piece_type_at(mate.to_square)) for word in squares):
        return 0
    itself = all(word.kind == board.piece_type_at(mate.to_square) for word in squares)
    if escape.takes and itself and not (says_taken or clause.fails):
        return 0  # "2.Nc3" tells the mate itself
    told = weights.SQUARE * bool(squares)
    if not squares and not (says_taken and (escape.mate in failing or clause.checks)):
        return 0
    by_mate = escape.mate in failing or any(word.square == mate.to_square for word in clause.squares)
    taken = escape.defence.board.piece_type_at(mate.to_square)
    by_mate = by_mate or (taken in clause.men and not escape.takes and bool(clause.categories & TAKES))
    told += weights.MATE * (by_mate and (not escape.takes or escape.mate in failing)) or weights.CHECK * clause.checks
    told += weights.MAN * (kind in clause.men or any(word.kind == kind for word in squares))
    told += weights.SUPPOSED * clause.supposes
    return told + _manner(escape, clause, says_taken)


def _manner(escape: Escape, clause: Clause, says_taken: bool) -> int:
    """Return what words for the manner of an escape count."""
    holds = HOLDS | (LETS if escape.runs else frozenset())
    if escape.takes:
        lost = bool(clause.categories & (HOLDS | LETS))
        return weights.MANNER if says_taken or lost or clause.fails else 0
    if clause.categories & (LETS | holds if escape.runs else BLOCKS | HOLDS):
        return weights.MANNER
    return weights.MOVES * bool(clause.categories & MOVES)


def sentences(block: Sequence[Lexeme]) -> Iterator[list[Lexeme]]:
    """Cut the words of a paragraph into sentences."""
    sentence: list[Lexeme] = []
    for lexeme in block:
        sentence.append(lexeme)
        if lexeme.kind in ("stop", "question") and len(sentence) > 1:
            yield sentence
            sentence = []
    if sentence:
        yield sentence


def _parts(sentence: list[Lexeme], told: list[Mention]) -> Iterator[tuple[list[Mention], list[Lexeme]]]:
    """Cut a sentence before each defence that something stands before of which it is not one more."""
    mentions: list[Mention] = []
    words: list[Lexeme] = []
    rest = list(told)
    for lexeme in sentence:
        if rest and lexeme.span.end > rest[0].phrase.span.start:
            joined = not words or not any(each.square is not None or each.phrase for each in words)
            if mentions and joined:
                mentions = [*mentions, rest.pop(0)]
            else:
                yield mentions, words
                mentions, words = [rest.pop(0)], []
        words.append(lexeme)
    yield mentions, words


def clause_of(words: Iterable[Lexeme], play: Sequence[Mention], defence: chess.Move | None) -> Clause:
    """Return what words say beside the play that they tell."""
    spans = [mention.phrase.span for mention in play]
    free = tuple(each for each in words if not any(each.span.overlaps(span) for span in spans))
    squares = []
    for each in free:
        phrase = each.phrase
        square = each.square if phrase is None else phrase.destination
        if square is not None and (defence is None or square != defence.to_square):
            squares.append(Word(each.span, square, None if phrase is None else phrase.piece))
    categories = frozenset(category for each in free for category in each.categories)
    return Clause(
        free,
        tuple(squares),
        categories,
        frozenset(_men(free)),
        any(map(_checks, free)),
        any(map(_fails, free)),
        any(map(_supposes, free)),
        any(map(_of_diagram, free)),
    )


def _men(words: Iterable[Lexeme]) -> Iterator[chess.PieceType]:
    for each in words:
        man, pronoun = each.sense("man"), each.sense("pronoun")
        if man in _KINDS:
            yield _KINDS[man]
        if pronoun in ("he", "his"):
            yield chess.KING


def _checks(word: Lexeme) -> bool:
    return word.sense("effect") in ("check", "double", "discovered")


def _fails(word: Lexeme) -> bool:
    return word.sense("mark") in _FAILS


def _supposes(word: Lexeme) -> bool:
    return bool(word.categories & SUPPOSES) or word.sense("link") in _LINKS


def _of_diagram(word: Lexeme) -> bool:
    no_longer = {"open", "deny"} <= word.categories
    return no_longer or word.sense("mark") == "set" or word.sense("anchor") == "diagram"


def _is_of(mention: Mention, mates: set[Node]) -> bool:
    return bool(mention.after) and set(mention.after) <= mates


def escape_mention(clause: Clause, square: chess.Square, ways: list[tuple[Node, list[Node]]]) -> Mention:
    """Return the mention of a reply that a clause tells by its square, or by words for a capture."""
    spans = [word.span for word in clause.squares if word.square == square]
    taking = (each.span for each in clause.words if each.categories & TAKES)
    span = spans[0] if spans else next(taking, clause.words[0].span)
    phrase = MovePhrase(span, "", destination=square, worded=True)
    turn = Turn(span, None, (phrase,), ())
    return Mention(phrase, turn, Role.defence, State.read, ways, frozenset(), ())
