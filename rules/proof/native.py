"""The kernel's side of the prover: boards to integers, result words to values."""

import math
from array import array
from collections.abc import Sequence
from functools import cache
from operator import itemgetter
from types import ModuleType

import chess
from msgspec import Struct

from ..board.playable import check_playable
from ..board.stipulation import Genre
from .limits import Limits
from .plain import Play
from .proof import Answer, Defence, FirstMove, KeyPlay

try:
    from .kernel import _search

    kernel: ModuleType | None = _search
except ImportError:  # installed where no compiler was at hand
    kernel = None

_GENRES = ("#", "=", "s#", "r#", "h#", "h=")
_PROVE, _LENGTHS, _REPLIES, _SHORTEST, _LINES = range(5)
_UNDECIDED, _KEY, _REFUTED, _UNFINISHED, _NO_REPLY = range(5)
_PROMOTED = (None, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN)

Position = tuple[int, int, int, int, int, int, int, int, int, int, int]


def position_of(board: chess.Board) -> Position:
    """Return a board as the kernel takes it."""
    rights = board.castling_rights
    castling = (
        (1 if rights & chess.BB_H1 else 0)
        | (2 if rights & chess.BB_A1 else 0)
        | (4 if rights & chess.BB_H8 else 0)
        | (8 if rights & chess.BB_A8 else 0)
    )
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.occupied_co[chess.BLACK],
        0 if board.turn == chess.WHITE else 1,
        castling,
        board.ep_square or 0,
    )


@cache
def move_of(word: int) -> chess.Move:
    """Return the move that a result word stands for."""
    return chess.Move(word & 63, word >> 6 & 63, _PROMOTED[word >> 12 & 7])


@cache
def _spelling(word: int) -> str:
    """Return the move of a result word as UCI spells it."""
    return move_of(word).uci()


def word_of(move: chess.Move) -> int:
    """Return a move as the kernel writes it."""
    return move.from_square | move.to_square << 6 | _PROMOTED.index(move.promotion) << 12


def legal(board: chess.Board) -> tuple[Sequence[int], bool]:
    """Return the legal moves as the kernel writes them, in no order to rely on, and whether there is a check."""
    if kernel is None:
        return array("H", map(word_of, board.legal_moves)), board.is_check()
    moves, check = kernel.moves(position_of(board))
    return array("H", moves), check


class Found(Struct, frozen=True):
    """The words of one search and what it cost."""

    words: Sequence[int]
    positions: int
    seconds: float
    ended: bool


def _run(board: chess.Board, genre: Genre, task: int, n: int, limits: Limits, most_lines: int = 0) -> Found:
    assert kernel is not None
    try:
        data, positions, seconds, ended = kernel.search(
            position_of(board),
            _GENRES.index(genre),
            task,
            n,
            limits.positions,
            math.inf if limits.seconds is None else limits.seconds,
            most_lines,
            None if limits.cancel is None else limits.cancel.flag,
        )
    except ValueError:
        check_playable(board)  # says why it cannot be played from
        raise
    return Found(array("H", data), positions, seconds, ended)


class _Reader:
    """Takes result words one after another."""

    def __init__(self, words: Sequence[int]) -> None:
        self._words = words
        self._at = 0

    def number(self) -> int:
        self._at += 1
        return self._words[self._at - 1]

    def move(self) -> chess.Move:
        return move_of(self.number())

    def answers(self) -> tuple[Answer, ...]:
        start = self._at + 1
        self._at = start + 2 * self._words[start - 1]
        moves, lengths = self._words[start : self._at : 2], self._words[start + 1 : self._at : 2]
        told = sorted(zip(lengths, map(_spelling, moves), moves, strict=True))
        return tuple([Answer(move_of(word), length) for length, _, word in told])

    def defences(self) -> tuple[Defence, ...]:
        found = []
        for _ in range(self.number()):
            word, ends = self.number(), self.number() == 1
            found.append((_spelling(word), Defence(move_of(word), self.answers(), ends)))
        return tuple([defence for _, defence in sorted(found, key=itemgetter(0))])

    def moves(self) -> tuple[chess.Move, ...]:
        start = self._at + 1
        self._at = start + self._words[start - 1]
        return tuple(map(move_of, self._words[start : self._at]))


def prove(board: chess.Board, genre: Genre, n: int, limits: Limits) -> tuple[Play, Found]:
    """Prove attacking play: first moves, the play after each key, set play."""
    found = _run(board, genre, _PROVE, n, limits)
    read = _Reader(found.words)
    keys: list[Answer] = []
    attempts: list[tuple[str, FirstMove]] = []
    number = read.number()
    for _ in range(number):
        word, state = read.number(), read.number()
        if state == _KEY:
            keys.append(Answer(move_of(word), read.number()))
        elif state != _UNDECIDED:
            attempt = FirstMove(move_of(word), read.moves(), state == _NO_REPLY, state != _UNFINISHED)
            attempts.append((_spelling(word), attempt))
    play = []
    for key in keys:
        may_pass, threats, defences, ended = read.number() == 1, read.answers(), read.defences(), read.number() == 1
        play.append(KeyPlay(key.move, key.length, threats, may_pass and not threats and not ended, defences, not ended))
    set_play = read.defences() if read.number() else None
    decided = len(keys) + len(attempts)
    reached = ""
    if decided < number:
        reached = f"{decided} of {number} first moves decided"
    elif found.ended:
        done = sum(after.complete for after in play)
        reached = f"all first moves decided, the play after {done} of {len(keys)} keys"
    order = {move: at for at, move in enumerate(sorted((key.move for key in keys), key=chess.Move.uci))}
    keys.sort(key=lambda key: (key.length, order[key.move]))
    play.sort(key=lambda after: (after.length, order[after.move]))
    attempts.sort(key=itemgetter(0))
    tried = tuple([attempt for _, attempt in attempts])
    return Play(tuple(keys), tried, decided == number, tuple(play), set_play, reached), found


def lengths(board: chess.Board, n: int, limits: Limits) -> tuple[dict[chess.Move, int], Found]:
    """Find every first move that mates by force within n moves, with its exact length."""
    found = _run(board, "#", _LENGTHS, n, limits)
    read = _Reader(found.words)
    return {read.move(): read.number() for _ in range(len(found.words) // 2)}, found


def replies(board: chess.Board, n: int, limits: Limits) -> tuple[tuple[chess.Move, ...], Found]:
    """Find every reply after which the attacker has no forced mate within n moves."""
    found = _run(board, "#", _REPLIES, n, limits)
    read = _Reader(found.words)
    read.number()  # the state; `found.ended` tells it as well
    return read.moves(), found


def shortest(board: chess.Board, n: int, limits: Limits) -> tuple[int | None, int, Found]:
    """Find the length of the shortest forced mate up to n moves, and the number of moves decided."""
    found = _run(board, "#", _SHORTEST, n, limits)
    return found.words[0] or None, found.words[1], found


def help_lines(
    board: chess.Board, genre: Genre, plies: int, limits: Limits, most: int
) -> tuple[tuple[tuple[chess.Move, ...], ...], Found]:
    """Find every line of exactly this many plies that reaches the aim of help play, up to `most` lines."""
    found = _run(board, genre, _LINES, plies, limits, most)
    moves = [move_of(word) for word in found.words]
    lines = (tuple(moves[at : at + plies]) for at in range(0, len(moves), plies))
    return tuple(sorted(lines, key=lambda line: [move.uci() for move in line])), found
