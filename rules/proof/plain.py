"""The prover in plain python-chess: slow, short, and the oracle the kernel is compared with."""

from collections.abc import Iterable, Iterator

import chess
from msgspec import Struct

from ..board.stipulation import Genre
from .limits import Meter, SearchEnded
from .proof import Answer, Defence, FirstMove, KeyPlay


class Play(Struct, frozen=True):
    """What a search of attacking play found; `reached` says how far it got when its limits ended it.

    `all_decided`: of every first move it is known whether it is a key.
    """

    keys: tuple[Answer, ...]
    attempts: tuple[FirstMove, ...]
    all_decided: bool
    play: tuple[KeyPlay, ...] = ()
    set_play: tuple[Defence, ...] | None = None
    reached: str = ""


def can_pass(board: chess.Board) -> bool:
    """True if the side to move may be asked to pass: it is not in check."""
    return not board.is_check()


def _in_order(moves: Iterable[chess.Move]) -> list[chess.Move]:
    return sorted(moves, key=chess.Move.uci)


class Attack:
    """Attacking play of one genre on one board, which every method leaves as it found it.

    "Wins" and "loses" are said of the attacker's aim: the attacker to move wins within n
    moves; the defender to move loses when the attacker still has n moves to come.
    """

    def __init__(self, board: chess.Board, genre: Genre, meter: Meter) -> None:
        self.board = board
        self.genre = genre
        self.meter = meter

    def wins(self, n: int) -> bool:
        """True if some move forces the aim within n moves; checks are tried first."""
        return any(True for _ in self.winners(n))

    def winners(self, n: int) -> Iterator[chess.Move]:
        """Every move that forces the aim within n moves, checks first."""
        board = self.board
        moves = list(board.legal_moves)
        if n == 0 or (self.genre == "r#" and self._mates(moves)):
            return
        if self.genre == "#" and n > 1:
            moves.sort(key=board.gives_check, reverse=True)
        for move in moves:
            if self.loses_after(move, n - 1):
                yield move

    def loses_after(self, move: chess.Move, n: int) -> bool:
        """True if the defender loses after the attacker's move."""
        self.board.push(move)
        try:
            return self.loses(n)
        finally:
            self.board.pop()

    def loses(self, n: int) -> bool:
        """True if every reply leaves the attacker winning within n moves, or the aim is reached already."""
        self.meter.count()
        if n == 0 and self.genre in ("#", "="):
            return self.board.is_checkmate() if self.genre == "#" else self.board.is_stalemate()
        replies = self._moves()
        if not replies:
            return self._aim_reached()
        return all(self.falls_to(reply, n) for reply in replies)

    def falls_to(self, reply: chess.Move, n: int) -> bool:
        """True if the attacker still wins within n moves after this reply."""
        board = self.board
        board.push(reply)
        try:
            self.meter.count()
            return self._ends(board) or self.wins(n)
        finally:
            board.pop()

    def refutations(self, n: int) -> tuple[tuple[chess.Move, ...], bool]:
        """Every reply after which the attacker does not win within n moves, and whether there was no reply at all."""
        replies = _in_order(self._moves())
        if not replies:
            return (), not self._aim_reached()
        return tuple(reply for reply in replies if not self.falls_to(reply, n)), False

    def answers(self, n: int) -> tuple[Answer, ...]:
        """Every move of the attacker that wins within n moves, with its exact length."""
        found = []
        for move in list(self.winners(n)):
            length = next(m for m in range(1, n + 1) if m == n or self.loses_after(move, m - 1))
            found.append(Answer(move, length))
        return tuple(sorted(found, key=lambda answer: (answer.length, answer.move.uci())))

    def defence(self, reply: chess.Move, n: int) -> Defence:
        """The answers to one reply when the attacker has n moves to come."""
        self.board.push(reply)
        try:
            if self._ends(self.board):
                return Defence(reply, (), ends=True)
            return Defence(reply, self.answers(n))
        finally:
            self.board.pop()

    def defences(self, n: int) -> tuple[Defence, ...]:
        """Every reply with its answers."""
        return tuple(self.defence(reply, n) for reply in _in_order(self._moves()))

    def key_play(self, key: Answer, n: int) -> KeyPlay:
        """The play after a key when the attacker has n moves to come."""
        board = self.board
        board.push(key.move)
        try:
            threats: tuple[Answer, ...] = ()
            quiet = can_pass(board) and bool(self._moves())
            if quiet:
                board.push(chess.Move.null())
                try:
                    threats = self.answers(n)
                finally:
                    board.pop()
            defences = self.defences(n)
            return KeyPlay(key.move, key.length, threats, quiet and not threats, defences)
        finally:
            board.pop()

    def first_moves(self, n: int) -> Play:
        """Every key with its length, and all refutations of every other first move."""
        keys: list[Answer] = []
        attempts: list[FirstMove] = []
        moves = _in_order(self._moves())
        for done, move in enumerate(moves):
            self.board.push(move)
            try:
                refuted, no_reply = self.refutations(n - 1)
                if refuted or no_reply:
                    attempts.append(FirstMove(move, refuted, no_reply))
                else:
                    length = next(m for m in range(1, n + 1) if m == n or self.loses(m - 1))
                    keys.append(Answer(move, length))
            except SearchEnded:
                return Play(tuple(keys), tuple(attempts), False, reached=f"{done} of {len(moves)} first moves decided")
            finally:
                self.board.pop()
        keys.sort(key=lambda key: key.length)
        return Play(tuple(keys), tuple(attempts), True)

    def prove(self, n: int) -> Play:
        """Everything about the position: first moves, the play after each key, set play."""
        first = self.first_moves(n)
        if first.reached:
            return first
        play: list[KeyPlay] = []
        try:
            play.extend(self.key_play(key, n - 1) for key in first.keys)
            set_play = self.set_play(n - 1)
        except SearchEnded:
            reached = f"all first moves decided, the play after {len(play)} of {len(first.keys)} keys"
            return Play(first.keys, first.attempts, True, tuple(play), None, reached)
        return Play(first.keys, first.attempts, True, tuple(play), set_play)

    def set_play(self, n: int) -> tuple[Defence, ...] | None:
        """What would follow if the other side moved first, None if it cannot."""
        if not can_pass(self.board):
            return None
        self.board.push(chess.Move.null())
        try:
            return self.defences(n)
        finally:
            self.board.pop()

    def _moves(self) -> list[chess.Move]:
        """The legal moves that the genre allows: in reflexmate a mate in one must be given."""
        moves = list(self.board.legal_moves)
        if self.genre == "r#":
            return self._mates(moves) or moves
        return moves

    def _mates(self, moves: Iterable[chess.Move]) -> list[chess.Move]:
        mates = []
        for move in moves:
            self.meter.count()
            self.board.push(move)
            if self.board.is_checkmate():
                mates.append(move)
            self.board.pop()
        return mates

    def _aim_reached(self) -> bool:
        if self.genre == "#":
            return self.board.is_check()
        return self.genre == "=" and not self.board.is_check()

    def _ends(self, board: chess.Board) -> bool:
        return self.genre in ("s#", "r#") and board.is_checkmate()


class Help:
    """Help play on one board, towards mate or (`genre` "h=") stalemate of the side that does not move last."""

    def __init__(self, board: chess.Board, genre: Genre, meter: Meter) -> None:
        self.board = board
        self.aim_reached = board.is_stalemate if genre == "h=" else board.is_checkmate
        self.meter = meter

    def lines(self, plies: int) -> Iterator[tuple[chess.Move, ...]]:
        """Yield each line of exactly this many plies that reaches the aim."""
        for move in _in_order(self.board.legal_moves):
            self.board.push(move)
            try:
                self.meter.count()
                if plies > 1:
                    for rest in self.lines(plies - 1):
                        yield (move, *rest)
                elif self.aim_reached():
                    yield (move,)
            finally:
                self.board.pop()
