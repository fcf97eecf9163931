"""At which positions of the play told so far a unit of text may begin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from keyproof.grammar.moves import Effect

from ..play.node import Node
from . import signals
from .reading import Role
from .replay import Unit
from .standing import Standing

_REMEMBERED = 60  # positions that words without a number may go back to; more would make long texts slow


class Starts(Standing):
    """The open points of a text: where the last unit ended, the points before it, the key, the tries, the diagram."""

    def _starts(self, unit: Unit) -> Iterator[list[Node]]:
        """Yield the open points at which a unit may begin, the likeliest first, none twice."""
        known: set[tuple[int, ...]] = set()
        first = unit.turns[0].choices[0]
        spoken = unit.ply is None and first.worded
        own = spoken and self._of_its_line(unit)
        reply = unit.ply is None and "if" in unit.intro and (len(unit.turns) > 1 or first.exact)
        for start in self._possible_starts(unit):
            key = tuple(id(node) for node in start)
            if (own and start not in unit.path) or (unit.begins and start and start[0].board.turn != self.attacker):
                continue
            if start and reply and start[0].ply and start[0].board.turn == self.attacker:
                continue  # "if" tells a reply, or another first move
            if start and key not in known:
                self.work.take(1)
                known.add(key)
                yield start

    def _of_its_line(self, unit: Unit) -> bool:
        """Tell whether words go on after the key: a reply that can be played there, with its answer."""
        if len(unit.path) < 2 or len(unit.turns) < 2 or not self._after_key(unit.path[1]):
            return False
        mated = any(effect is Effect.mate for turn in unit.turns for effect, _ in turn.effects)
        phrase = unit.turns[0].choices[0]
        return ("if" in unit.intro or (phrase.exact and mated)) and bool(self.replay.reached(unit.path[1][0], phrase))

    def _possible_starts(self, unit: Unit) -> Iterator[list[Node]]:
        path, ply, diagram = unit.path, unit.ply, [self.reading.diagram]
        yield from self._announced(unit)
        told = not unit.intro or (unit.mode == "try" and unit.intro == {"if"})  # "against Qf5 the defence is Kd6"
        if ply is None and unit.mode in ("key", "try") and unit.fresh and told:
            yield diagram
        elif signals.refutes_it(unit, self.sentence):
            yield path[1]
        else:
            if ply is None and unit.intro & {"refuted_by", "refuted_only_by", "but"} and len(path) > 1:
                firsts = signals.bracketed_firsts(self.bracketed, self.sentence)
                yield firsts or ([] if "but" in unit.intro else path[1])
            if ply == 1:
                yield diagram
                return
            yield from self._on_its_line(unit)
            if not unit.turns[0].placed:
                yield from self._told_before(unit)

    def _announced(self, unit: Unit) -> Iterator[list[Node]]:
        """Yield where words or signs at the unit say that it begins: after a pass, or in the diagram."""
        path, ply, first = unit.path, unit.ply, unit.turns[0].choices[0]
        diagram, set_play = [self.reading.diagram], self._set_play()
        if "threat" in unit.intro and (ply is None or ply % 2):
            yield _passed(self._latest_attack(path))
        if unit.mode == "set_play" and set_play and ply != 1:
            if len(path) > 1 and path[1] == set_play:
                yield from self._from_path(path, ply)
            if ply in (None, 2):
                yield set_play
        if ply is None and first.annotation in ("?", "??", "?!") and "if" not in unit.intro:
            yield diagram  # "my first idea was Qa8?"
        if ply is None and unit.anew and first.exact and not (unit.intro or self._after_key(path[-1])):
            yield diagram  # a new paragraph, after a try

    def _on_its_line(self, unit: Unit) -> Iterator[list[Node]]:
        """Yield the positions of the line that the text has told last, and what its numbers may count from there."""
        path, ply = unit.path, unit.ply
        if self.bracketed and ply == self.bracketed[0].ply + 1 and not unit.turns[0].placed:
            before = path[ply - 1] if ply <= len(path) else []
            yield [*before, *self.bracketed]  # "1...Kd5 (or 1...Ke4) 2.Qb6#"
            yield self.bracketed
        yield from self._from_path(path, ply)
        if len(path) == 1 and (ply is None or (ply == 2 and self._firsts() and unit.mode is None)):
            yield self._set_play()  # "in the diagram king takes a6 allows queen to a8 mate"
        if ply == 3 and len(path) == 2 and path[1][0].move and not unit.after_words:  # "1.Sf4! 2.Qd5#": the threat
            yield _passed(path[1])

    def _told_before(self, unit: Unit) -> Iterator[list[Node]]:
        """Yield the positions told before: after the key, after the tries, the latest first, at last the diagram."""
        ply, firsts = unit.ply, self._firsts()
        keys = [mention for mention in firsts if mention.role is Role.key]
        if ply in (None, 2):
            for mention in keys + [mention for mention in reversed(firsts) if mention.role is not Role.key]:
                yield mention.after[:1]
            if not firsts:
                yield self._set_play()
        for frontier in reversed(self.seen if ply is not None else self.seen[-_REMEMBERED:]):
            if firsts and unit.mode != "set_play" and self.reading.set_play in frontier[0].path:
                continue
            if ply is None or frontier[0].ply == ply - 1:
                yield frontier
        if ply is None:
            yield [self.reading.diagram]
            if unit.turns[0].choices[0].worded:  # "nothing else helps: the queen mates on h four"
                yield _passed(node for node in self._home()[-1] if node.move)

    def _set_play(self) -> list[Node]:
        return [] if self.reading.set_play is None else [self.reading.set_play]

    @staticmethod
    def _from_path(path: list[list[Node]], ply: int | None) -> Iterator[list[Node]]:
        if ply is None:
            yield from reversed(path)
        elif 0 < ply <= len(path):
            yield path[ply - 1]


def _passed(nodes: Iterable[Node]) -> list[Node]:
    """Return the positions with the other side to move, without those that are in check."""
    return [node for node in (node.pass_move() for node in nodes) if node is not None]
