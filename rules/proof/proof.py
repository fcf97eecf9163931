"""What a search has proved about a position, as values.

Lengths are moves of the attacking side, its own first move included: a mate given at
once has length 1. Moves are legal in the position they are said to be played from.
"""

from functools import cached_property
from typing import Any, Literal

import chess
from msgspec import Struct

from ..board.stipulation import Stipulation

Verdict = Literal["sound", "unsound", "unproved", "impossible"]


class Searched(Struct, frozen=True):
    """What a proof cost: positions looked at, seconds taken, and whether every question was answered.

    `reached` says in words how far an incomplete search got; it is empty for a complete one.
    """

    positions: int
    seconds: float
    complete: bool
    reached: str = ""


class Answer(Struct, frozen=True):
    """A move of the attacker that reaches the aim by force, and the exact number of moves it needs."""

    move: chess.Move
    length: int


class Defence(Struct, frozen=True):
    """A reply and every answer to it that reaches the aim in time.

    Several answers are a dual; none is a reply without provision (in the set play) unless
    `ends` is true: then the reply itself fulfils the stipulation, as in a selfmate.
    """

    move: chess.Move
    answers: tuple[Answer, ...]
    ends: bool = False

    @property
    def dual(self) -> bool:
        """True if more than one answer reaches the aim in time."""
        return len(self.answers) > 1


class KeyPlay(Struct, frozen=True):
    """The actual play after one key.

    `threats` are the moves that would reach the aim in time if the defender could pass;
    empty when the key gives check. `zugzwang` is true when the defender is not in check and
    a pass would hold, so that only the obligation to move loses. `complete` is false when
    the search ended before every defence was answered.
    """

    move: chess.Move
    length: int
    threats: tuple[Answer, ...]
    zugzwang: bool
    defences: tuple[Defence, ...]
    complete: bool = True

    def defences_to(self, threat: chess.Move) -> tuple[Defence, ...]:
        """Return the replies after which a threatened move no longer reaches the aim in time."""
        return tuple(
            defence
            for defence in self.defences
            if not defence.ends and threat not in [answer.move for answer in defence.answers]
        )


class FirstMove(Struct, frozen=True):
    """A first move that does not solve, and what refutes it.

    `no_reply`: the move leaves the defender without a legal move and thereby misses the aim
    (stalemate instead of mate, mate instead of stalemate). `complete` is false when the
    search ended before every reply was decided; the refutations named are proved all the same.
    """

    move: chess.Move
    refutations: tuple[chess.Move, ...]
    no_reply: bool = False
    complete: bool = True

    @property
    def is_try(self) -> bool:
        """True if exactly one reply refutes it."""
        return self.complete and len(self.refutations) == 1


class Proof(Struct, frozen=True, dict=True):
    """Everything that was proved about one position under one stipulation.

    `verdict`: "sound" one key and no shorter solution (in help play: as many solutions as were
    stated, and none shorter); "unsound" no key, several keys or a shorter solution; "unproved"
    the search ended before that was decided; "impossible" the side to move has no legal move, or
    (to `prove` alone) no game leaves so many men on the board.
    `keys` are all first moves that reach the aim within the stipulated length; `attempts` are all
    others that were decided; `play` is the play after each key, in the order of `keys`.
    `set_play` answers what would follow if the other side moved first in the diagram: None when
    it could not (a king could be captured). `solutions` and `set_solutions` hold whole lines, in help play only.
    `shortest` is the length in moves of the shortest solution, None if there is none or none was found.
    """

    fen: str
    stipulation: Stipulation
    verdict: Verdict
    keys: tuple[chess.Move, ...]
    shortest: int | None
    attempts: tuple[FirstMove, ...]
    play: tuple[KeyPlay, ...]
    set_play: tuple[Defence, ...] | None
    solutions: tuple[tuple[chess.Move, ...], ...]
    set_solutions: tuple[tuple[chess.Move, ...], ...]
    searched: Searched

    @property
    def tries(self) -> tuple[FirstMove, ...]:
        """The first moves that exactly one reply refutes."""
        return tuple(attempt for attempt in self.attempts if attempt.is_try)

    @cached_property
    def _attempts_by_move(self) -> dict[chess.Move, FirstMove]:
        return {attempt.move: attempt for attempt in self.attempts}

    def attempt(self, move: chess.Move) -> FirstMove | None:
        """Return what refutes a first move, or None if it is a key or was not decided."""
        return self._attempts_by_move.get(move)

    def play_after(self, key: chess.Move) -> KeyPlay | None:
        """Return the play after a key, or None if the move is no key or was not followed."""
        return next((play for play in self.play if play.move == key), None)

    def changed_play(self, key: chess.Move) -> tuple[chess.Move, ...]:
        """Return the replies answered both in the set play and after a key, but by no common move: changed mates."""
        play = self.play_after(key)
        if play is None or self.set_play is None:
            return ()
        set_answers = {defence.move: {answer.move for answer in defence.answers} for defence in self.set_play}
        changed = []
        for defence in play.defences:
            before, now = set_answers.get(defence.move, set()), {answer.move for answer in defence.answers}
            if before and now and not before & now:
                changed.append(defence.move)
        return tuple(changed)

    def as_json(self) -> dict[str, Any]:
        """Return the proof as JSON values, moves in SAN with the English letters of the PGN standard.

        `threats`, `zugzwang` and `defences` are those after the first key.
        """
        from importlib.metadata import version  # it takes as long to import as this module

        board = chess.Board(self.fen)
        play = self.play[0] if self.play else None
        after, passed = board.copy(stack=False), None
        if play is not None:
            after.push(play.move)
            passed = _passed(after)
        flipped = _passed(board)
        return {
            "keyproof": version("keyproof"),
            "fen": self.fen,
            "stipulation": self.stipulation.symbol,
            "verdict": self.verdict,
            "keys": [board.san(key) for key in self.keys],
            "shortest": self.shortest,
            "tries": [
                {
                    "move": board.san(attempt.move),
                    "refutations": _sans(_after(board, attempt.move), attempt.refutations),
                }
                for attempt in self.tries
            ],
            "threats": [passed.san(threat.move) for threat in play.threats] if play and passed else [],
            "zugzwang": play.zugzwang if play else False,
            "defences": [_defence(after, defence) for defence in play.defences] if play else [],
            "set_play": [_defence(flipped, defence) for defence in self.set_play or ()],
            "solutions": [_line(board, line) for line in self.solutions],
            "set_solutions": [_line(flipped, line) for line in self.set_solutions],
            "searched": {
                "positions": self.searched.positions,
                "seconds": round(self.searched.seconds, 6),
                "complete": self.searched.complete,
                "reached": self.searched.reached,
            },
        }


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def _passed(board: chess.Board) -> chess.Board:
    return _after(board, chess.Move.null())


def _sans(board: chess.Board, moves: tuple[chess.Move, ...]) -> list[str]:
    return [board.san(move) for move in moves]


def _defence(board: chess.Board, defence: Defence) -> dict[str, Any]:
    after = _after(board, defence.move)
    return {"move": board.san(defence.move), "answers": [after.san(answer.move) for answer in defence.answers]}


def _line(board: chess.Board, line: tuple[chess.Move, ...]) -> list[str]:
    board = board.copy(stack=False)
    sans = []
    for move in line:
        sans.append(board.san(move))
        board.push(move)
    return sans
