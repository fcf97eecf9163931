"""One puzzle on the desk: its text, position, reading and proof, each worked out once and shared by all rules."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from typing import Any

import chess
from keyproof.grammar.letters import FIGURINES, LANGUAGES
from msgspec import field

from ..board.stipulation import Stipulation
from ..finding import Finding
from ..play.node import PASS, Node
from ..proof import prover
from ..proof.proof import Proof
from ..reading.reading import Mention, Role
from . import setting
from .held import Held
from .house import House
from .prices import Prices
from .replayed import Replayed
from .sic import Sic
from .supposed import Supposed, supposed


class Case(Replayed, dict=True):
    """A puzzle and all that is known about it.

    `house` is the style asked for, `usual` the form of each sign that the file prints most often. `column` are all
    puzzles of the file, this one among them, for the rules that look at them together.
    """

    house: House = field(default_factory=House)
    usual: Mapping[str, str] = field(default_factory=dict)
    column: Sequence["Case"] = ()
    where: Callable[[int], str] | None = None  # names the place of an offset, "line 12"; None: as `text` counts
    solved: dict[Node, prover.Solved] = field(default_factory=dict)  # what `mating_moves` found
    sound: list[Mention] | None = None  # what `checks.roots.sound_mentions` found
    noted: dict[tuple[str, Node | None], Any] = field(default_factory=dict)  # what `checks.roots.once` found
    priced: Prices = field(default_factory=Prices)  # what `binding` found
    sic: list[Sic] = field(default_factory=list)  # the author's [sic] marks, set by `checks.run.findings`
    sic_used: list[Sic] = field(default_factory=list)  # those of them that some finding needed
    held: list[Held] = field(default_factory=list)  # findings from clauses that were not wholly understood
    stood: list[Finding] = field(default_factory=list)  # findings that could be held against the text
    gate: object | None = None  # says which findings may stand: a `checks.gate.Gate`, which is above this room

    @property
    def stipulation(self) -> Stipulation | None:
        """What the puzzle asks for, as it is stated or else `supposed`."""
        return self.stated or (None if self.supposed is None else self.supposed.stipulation)

    @cached_property
    def supposed(self) -> Supposed | None:
        """What the puzzle is taken to ask for where nothing states it; the reading does not rest on it."""
        if self.stated is not None or self.result is not None or self.other_genre is not None or self.reading is None:
            return None
        if self.granted or self.likely is None:  # a proof made before a right was granted says nothing
            return None
        others = {other.stated for other in self.column if other.stated is not None}
        return supposed(self.likely[0], self.reading, others, self.masked, self.puzzle, self.loose, self.told_in[0])

    @cached_property
    def fitting(self) -> setting.Fitting | None:
        """The other position that the whole solution fits, where it does not fit its own."""
        if self.board is None or self.reading is None:
            return None
        replay = partial(self.replay, faultless=True)
        solution = setting.Solution(replay, self.stated, self.effort)
        return setting.fitting(self.board, self.reading, solution, self.neighbours())

    def neighbours(self) -> Iterator[tuple[int, chess.Board]]:
        """Yield the boards of the puzzles near this one in the column, the nearest first, with their places in it."""
        place = next((index for index, other in enumerate(self.column) if other is self), None)
        if place is None:
            return
        most = setting.MOST_NEIGHBOURS
        near = range(max(0, place - most), min(len(self.column), place + most + 1))
        for index in sorted(near, key=lambda index: abs(index - place))[1 : most + 1]:
            board = self.column[index].board
            if board is not None and self.column[index].playable:
                yield index, board

    @property
    def proof(self) -> Proof | None:
        """All that can be proved of the position, None without a position or a stipulation."""
        return self.stated_proof if self.supposed is None else self.supposed.proof

    @cached_property
    def false_keys(self) -> set[Node]:
        """The positions after printed keys that do not solve."""
        if self.proof is None or self.reading is None or not self.has_key:
            return set()
        keys = self.reading.first_moves(Role.key)
        return {node for node in keys if node.move and self.proof.attempt(node.move) is not None}

    @property
    def direct(self) -> bool:
        """True for a direct mate, whose threats, defences and answers the rules compare with the proof."""
        return self.stipulation is not None and self.stipulation.genre == "#"

    @property
    def has_key(self) -> bool:
        """True where one side forces the aim, so that the text has a key and tries (#, =, s#, r#)."""
        return self.stipulation is not None and not self.stipulation.help_play

    def moves_left(self, node: Node) -> int:
        """Return how many moves the attacker still has after `node`, by the stipulation."""
        assert self.stipulation is not None
        return self.stipulation.moves - (node.ply + 1) // 2

    def mating_moves(self, node: Node) -> prover.Solved:
        """Return the attacker's moves in `node` that mate within the stipulated length."""
        left = self.moves_left(node)
        if left < 1:  # a line printed beyond the stipulated length
            return prover.Solved({}, complete=True, positions=0)
        solved = self.solved.get(node)
        if solved is None:
            solved = self._answered_in_proof(node) or prover.mating_moves(
                node.board, left, effort=self.effort, cancel=self.cancel
            )
            self.solved[node] = solved
        return solved

    def _answered_in_proof(self, node: Node) -> prover.Solved | None:
        """Return the answers that the proof lists already: to a reply to a key or, in the set play, to a move."""
        proof, first = self.proof, node.parent
        if proof is None or first is None or first.move is None or node.ply != 2 or not self.direct:
            return None
        if not proof.searched.complete or self.reading is None or first.parent is not self.reading.diagram:
            return None
        if first.move:
            play = proof.play_after(first.move)
            defences = () if play is None else play.defences
        else:
            defences = proof.set_play or ()
        answers = next((defence.answers for defence in defences if defence.move == node.move), None)
        if answers is None:
            return None
        return prover.Solved({answer.move: answer.length for answer in answers}, complete=True, positions=0)

    def refutations(self, node: Node) -> prover.Refuted:
        """Return the defender's replies in `node` after which there is no mate in time."""
        if node.over:
            return prover.Refuted((), node.stalemate, node.mate, complete=True, positions=0)
        return prover.refutations(node.board, max(0, self.moves_left(node)), effort=self.effort, cancel=self.cancel)

    @cached_property
    def piece_letters(self) -> dict[str, str]:
        """English piece letters to the author's."""
        printed = {
            letter: piece
            for letter, piece in LANGUAGES[self.language].items()
            if letter not in FIGURINES and len(letter) <= 2
        }
        knights = [m.phrase.text for m in (self.reading.mentions if self.reading else [])]
        letters: dict[str, str] = {}
        for letter, piece in printed.items():
            english = chess.piece_symbol(piece).upper()
            if english == "N" and self.language == "en":
                letters["N"] = "S" if any(text.startswith("S") for text in knights) else "N"
            else:
                letters.setdefault(english, letter)
        return letters

    def say(self, node: Node, move: chess.Move) -> str:
        """Print a move with its number and the author's piece letters: "1.Sf4", "2...Kd5"."""
        return node.number + self.letters(node.board.san(move))

    def letters(self, san: str) -> str:
        """Put SAN in the author's piece letters, and a pass in words."""
        return re.sub(r"[KQRBN]", lambda m: self.piece_letters.get(m[0], m[0]), san).replace("--", PASS)

    def say_all(self, node: Node, moves: Iterable[chess.Move], most: int = 6) -> str:
        """Print several moves of one position; beyond `most` only their number."""
        moves = list(moves)
        sans = [self.letters(node.board.san(move)) for move in moves[:most]]
        if len(moves) > most:
            return f"{node.number}{', '.join(sans)} and {len(moves) - most} more"
        return node.number + (sans[0] if len(sans) == 1 else f"{', '.join(sans[:-1])} and {sans[-1]}")
