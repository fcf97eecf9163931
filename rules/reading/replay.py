"""A run of half-moves played from a position, without recording it: what cannot be played, what is false."""

from __future__ import annotations

import re
from itertools import takewhile

import chess
from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn
from msgspec import Struct
from msgspec.structs import replace

from ..board.resolve import takes_last
from ..play.node import Node
from .reading import Mention, Reading, Role, State, effect_holds
from .told import claims_capture, is_rest, may_tell_again
from .work import MOST_LINES, Work

_BACK = re.compile(r"\b(?:back|re(?:tak|captur)\w+)\b", re.I)
_NO_END = (Effect.not_mate, Effect.denied)  # the words themselves say that the line does not end here


class Unit(Struct):
    """A run of half-moves that belong together, with what the text says of where it is played."""

    turns: list[Turn]
    intro: frozenset[str]
    mode: str | None  # "key", "try" or "set_play" when such a word governs the unit
    path: list[list[Node]]
    shift: int
    fresh: bool = False  # the first unit after that word
    anew: bool = False  # the first unit of a paragraph
    begins: bool = False  # it goes on from an attack that was not answered, so it can only tell another attack
    after_words: bool = False  # words stand between the last unit and this one
    counted: int | None = None  # which half-move the first turn is, where the turns before it have told

    @property
    def ply(self) -> int | None:
        """Return which half-move from the diagram the first turn is, counted back from the first numbered one."""
        if self.counted is not None:
            return self.counted
        for index, turn in enumerate(self.turns):
            if turn.number is not None and turn.number.ply is not None:
                return turn.number.ply - self.shift - index
        return None

    def has(self, sort: Sort) -> bool:
        """Tell whether some phrase of the unit is of this sort."""
        return any(phrase.sort is sort for turn in self.turns for phrase in turn.choices)


class Trial(Struct):
    """What a unit comes to when it is played from `start`."""

    start: list[Node]
    mentions: list[Mention]
    path: list[list[Node]]
    illegal: int = 0
    false: int = 0
    late: int = 0  # positions that lie beyond the end of the play

    @property
    def score(self) -> tuple[int, int]:
        """How wrong the unit is there, the less the better: what cannot be played counts before what is false."""
        return self.illegal + 10 * self.late, self.false

    @property
    def begun(self) -> bool:
        """Whether its first move can be played there, and an answer behind it."""
        return len(self.path) > 1 and bool(self.path[0]) and self.mentions[0].state is State.read

    def end(self) -> list[list[Node]]:
        """Return the line of play that the unit makes."""
        before = [[node] for node in self.start[0].path[:-1]]
        return [*before, self.start, *takewhile(bool, self.path)]


class Replay:
    """Plays units from positions of one reading.

    `mater` is the side that mates in the end, `plies` the half-move by which it must have mated. `work` counts the
    positions that are looked at.
    """

    def __init__(self, reading: Reading, mater: chess.Color, plies: int | None, work: Work) -> None:
        self.reading = reading
        self.work = work
        self.attacker = reading.diagram.board.turn
        self.mater = mater
        self.plies = plies
        self._men: dict[int, tuple[MovePhrase, ...]] = {}

    def play(self, unit: Unit, start: list[Node]) -> Trial:
        """Replay a unit from `start` without recording it."""
        trial = Trial(start, [], [])
        groups = [[node] for node in start]
        # After "any other" where every move is printed, and after "1...O-O is impossible", there is
        # no position to go on from, and what follows holds of no line at all.
        nowhere = False
        for turn in unit.turns:
            choices, nothing = turn.choices, False
            if not choices:  # the reply that a plan leaves out
                groups = [[after] for group in groups for node in group if (after := node.pass_move()) is not None]
                trial.path.append([node for group in groups for node in group])
                continue
            paired = len(groups) > 1 and len(groups) == len(choices)
            everywhere = [node for group in groups for node in group]
            following: list[list[Node]] = []
            for index, phrase in enumerate(choices):
                mention = self._apply(phrase, turn, groups[index] if paired else everywhere, unit)
                if index and mention.state is State.impossible and turn.bare_square:
                    following.append([])  # "1...Kd5, d4 is guarded": the name of a square
                    continue
                trial.mentions.append(mention)
                following.append(mention.after)
                if nowhere or (mention.says(Effect.denied) and not mention.after):
                    mention.state = State.read
                    continue
                if mention.state is State.impossible:
                    trial.illegal += 10
                elif mention.state is State.not_examined:
                    trial.illegal += 1
                other = phrase.sort is Sort.any_other
                trial.illegal += sum(not self.reached(node, phrase, said_too=other) for node in mention.missed)
                made = phrase.sort is Sort.any_of_piece and not mention.says(Effect.denied)
                if made and not any(self.reached(n, phrase, said_too=True) for n in mention.at):
                    trial.illegal += 10  # "the knight moves" where no knight can
                    nothing = True
                if phrase.worded and phrase.exact and phrase.capture:
                    # "the queen takes d4": rather where something stands there
                    trial.false += bool(mention.after) and not any(map(_captures, mention.after))
                if _BACK.search(phrase.text) and phrase.captures_last:
                    trial.illegal += any(node.move is None for node in mention.at)
                if phrase.captures_last and any(node.move for node in mention.at):
                    # "takes it": rather where the man that moved last can be taken
                    trial.false += not any(_takes_last(node) for node in mention.after)
                trial.false += self._mates_for_other(unit, turn, mention)
                for effect, _ in mention.effects:
                    trial.false += sum(not effect_holds(effect, node) for node in mention.after)
            if not any(following) and not nothing:
                nowhere = nowhere or all(mention.state is State.read for mention in trial.mentions[-len(choices) :])
            if unit.ply is None and turn.choices[0].worded:
                attacks = (m for m in trial.mentions if m.at and m.at[0].board.turn == self.attacker)
                open_end = any(mention.says(*_NO_END) for mention in attacks)
                mates = any(m.says(Effect.mate) for m in trial.mentions[-len(choices) :])
                trial.late += self._too_late(groups, following, open_end=open_end, mates=mates)
            groups = following
            trial.path.append([node for group in groups for node in group])
        return trial

    def _mates_for_other(self, unit: Unit, turn: Turn, mention: Mention) -> bool:
        """Tell whether the printed end of a line without numbers is called mate where the other side moves.

        "R to Q 5; R takes R, mate" is rather a reply and its answer.
        """
        if unit.ply is not None or len(unit.turns) < 2 or turn is not unit.turns[-1] or mention.phrase.worded:
            return False
        said = any(effect is Effect.mate for effect, _ in (*turn.effects, *mention.phrase.effects))
        return said and bool(mention.at) and mention.at[0].board.turn != self.mater

    def hopeless(self, unit: Unit, start: list[Node]) -> int:
        """Return how much `play` will find illegal, at the least, if the first move cannot be played at all; else 0."""
        turn, *more = unit.turns
        if not turn.choices or _denied(turn):
            return 0
        phrase = turn.choices[0]
        if phrase.sort not in (Sort.move, Sort.any_of_piece):
            return 0
        self.work.take(len(start))
        senses = self._senses(phrase)
        if any(node.meant(sense) for node in start for sense in senses):
            return 0
        illegal = 20 if phrase.sort is Sort.any_of_piece and claims_capture(phrase) else 10
        after = 0 if len(turn.choices) > 1 else sum(len(each.choices) for each in more if not _denied(each))
        return illegal + len(start) + after

    def _too_late(self, groups: list[list[Node]], following: list[list[Node]], *, open_end: bool, mates: bool) -> int:
        """Count the positions after the last half-move of the stipulation in which nobody is mated.

        A move that is said to mate (`mates`) may be false and is not too late for that. With
        `open_end`, where the words themselves say that nobody is mated, only the attacker's moves
        beyond it count. A sentence without numbers is read there only if nothing else fits: the words
        rather speak of another first move.
        """
        if self.plies is None:
            return 0
        before = [node for group in groups for node in group]
        if mates:
            return sum(node.ply >= self.plies for node in before)
        late = sum(node.ply >= self.plies and (not open_end or node.board.turn == self.attacker) for node in before)
        if open_end:
            return late
        return late + sum(node.ply == self.plies and not node.mate for group in following for node in group)

    def _apply(self, phrase: MovePhrase, turn: Turn, nodes: list[Node], unit: Unit) -> Mention:
        said = self._effects(phrase, turn, nodes)
        ways = self._ways(phrase, said, nodes)
        if ways is None:
            return Mention(phrase, turn, Role.answer, State.not_examined, [], unit.intro, said, too_many=True)
        state = State.read
        if not nodes:
            state = State.not_examined
        elif (not is_rest(phrase) or claims_capture(phrase) or phrase.castling) and not any(a for _, a in ways):
            state = State.impossible
        return Mention(phrase, turn, self._role(nodes), state, ways, unit.intro, said)

    def _ways(
        self, phrase: MovePhrase, said: tuple[tuple[Effect, Span], ...], nodes: list[Node]
    ) -> list[tuple[Node, list[Node]]] | None:
        """Return the positions a phrase leads to from each of `nodes`; None where they are too many to be looked at."""
        ways, lines = [], 0
        for node in nodes:
            after = _narrowed(phrase, said, self.reached(node, phrase))
            lines += max(1, len(after))
            if lines > MOST_LINES:
                return None
            ways.append((node, after))
        return ways

    def _effects(self, phrase: MovePhrase, turn: Turn, nodes: list[Node]) -> tuple[tuple[Effect, Span], ...]:
        return phrase.effects + self.of_side(turn.effects, nodes)

    def of_side(self, effects: tuple[tuple[Effect, Span], ...], nodes: list[Node]) -> tuple[tuple[Effect, Span], ...]:
        """Leave out what the side to move cannot claim: "1...Kd5, mate" tells how the line goes on."""
        if nodes and nodes[0].board.turn != self.mater:
            return tuple(each for each in effects if each[0] is not Effect.mate)
        return effects

    def reached(self, node: Node, phrase: MovePhrase, *, said_too: bool = False) -> list[Node]:
        """Return the positions that a phrase leads to from `node`; a pronoun means the man spoken of last that fits.

        Words for the rest leave out what was said of other moves, unless `said_too`.
        """
        self.work.take(1)
        for each in self._senses(phrase):
            if moves := self._moves(node, each, said_too):
                likely = [move for move in moves if move.from_square == each.likely_origin]
                self.work.take(len(likely or moves))
                return [node.play(move) for move in likely or moves]
        return []

    def _senses(self, phrase: MovePhrase) -> tuple[MovePhrase, ...]:
        """Return a phrase with each man that its pronoun may mean, the likeliest first, then as it stands."""
        if not phrase.referents:
            return (phrase,)
        if id(phrase) not in self._men:  # which holds the phrase, so that no other takes its id
            men = (replace(phrase, piece=kind, likely_origin=square) for kind, square in phrase.referents)
            self._men[id(phrase)] = (*men, phrase)
        return self._men[id(phrase)]

    def _moves(self, node: Node, phrase: MovePhrase, said_too: bool) -> list[chess.Move]:
        moves = node.meant(phrase)
        if is_rest(phrase) and not said_too:
            said = {
                after.move
                for mention in self.reading.printed_after(node)
                if mention.phrase.sort is not Sort.any_other
                for at, nodes in mention.ways
                if at is node
                for after in nodes
                # "any other move: queen to c2. That covers both moves of the bishop."
                if mention.phrase.span < phrase.span or self.reading.printed_after(after)
            }
            left = [move for move in moves if move not in said]
            return left or (moves if may_tell_again(phrase) else [])
        return moves

    def _role(self, nodes: list[Node]) -> Role:
        if not nodes:
            return Role.answer
        node = nodes[0]
        if node is self.reading.diagram:
            return Role.first
        if node.move is not None and not node.move and node.board.turn == self.attacker:
            return Role.threat
        if node is self.reading.set_play:
            return Role.set_play
        return Role.answer if node.board.turn == self.attacker else Role.defence


def _narrowed(phrase: MovePhrase, said: tuple[tuple[Effect, Span], ...], after: list[Node]) -> list[Node]:
    """Keep of the moves that words may mean those of which what is said is true, where any is.

    "Mate on b6" and "the queen mates" name the move by what it does; "every move of the queen" means them all.
    """
    if len(after) < 2 or not said or phrase.every:
        return after
    if not (phrase.descriptive or (phrase.worded and not phrase.exact)):  # "Kt-B6 ch" is the one that gives check
        return after
    return [node for node in after if all(effect_holds(effect, node) for effect, _ in said)] or after


def _denied(turn: Turn) -> bool:
    """Tell whether something is said not to be possible in a half-move."""
    said = [*turn.effects, *(each for phrase in turn.choices for each in phrase.effects)]
    return any(effect is Effect.denied for effect, _ in said)


def _captures(node: Node) -> bool:
    return node.parent is not None and node.move is not None and node.parent.board.is_capture(node.move)


def _takes_last(node: Node) -> bool:
    return node.parent is not None and node.move is not None and takes_last(node.parent.board, node.move)
