"""The one door to the proof search: the kernel where it was built, plain python-chess elsewhere.

Every function takes a board with both kings; castling and en passant rights are exactly
those of the board, and the side to move is the attacker, or in `refutations` and `tree` the defender.
`effort` is in millions of positions, so that a verdict does not depend on the machine;
`seconds` is an extra limit that does.
"""

import os
from collections.abc import Iterator

import chess
from msgspec import Struct

from ..board.fens import fen_of
from ..board.playable import check_playable, clean
from ..board.stipulation import MOST_MOVES, Genre, Stipulation
from . import native
from .limits import Cancel, Limits, Meter, SearchEnded
from .memory import remembered
from .plain import Attack, Help
from .proof import Answer, Defence, Proof, Searched, Verdict

DEFAULT_EFFORT = 50.0
MOST_EFFORT = 1e9
MOST_SOLUTIONS = 1000


class Solved(Struct, frozen=True):
    """Every first move that mates by force within the asked length, with its exact length in moves.

    When `complete` is false the limits ended the search; the lengths given are proved all the same.
    """

    lengths: dict[chess.Move, int]
    complete: bool
    positions: int


class Refuted(Struct, frozen=True):
    """The replies after which the attacker has no forced mate in time.

    `stalemate`: the defender has no legal move and is not in check, which refutes as well.
    `mated`: the defender is mated already. When `complete` is false the limits ended the search.
    """

    moves: tuple[chess.Move, ...]
    stalemate: bool
    mated: bool
    complete: bool
    positions: int


class Shortest(Struct, frozen=True):
    """The length in moves of the shortest forced mate; None if there is none within `within` moves.

    When `complete` is false the limits ended the search and nothing longer than `within` moves is decided.
    """

    length: int | None
    within: int
    complete: bool
    positions: int


def backend() -> str:
    """Return "native" if the compiled kernel serves, "plain" if python-chess alone does.

    The environment variable KEYPROOF_PROVER=plain asks for the latter.
    """
    if native.kernel is None or os.environ.get("KEYPROOF_PROVER") == "plain":
        return "plain"
    return "native"


@remembered(Proof, backend)
def prove(
    board: chess.Board,
    stipulation: Stipulation,
    *,
    effort: float = DEFAULT_EFFORT,
    solutions: int = 1,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Proof:
    """Prove a position: keys, refutations, threats, defences and their answers, set play; solutions in help play.

    The side to move begins. `solutions` is the number stated under a help problem.
    """
    board = _ready(board, played_on=stipulation.help_play)
    limits = _limits(effort, seconds, cancel)
    if stipulation.help_play:
        return _help_proof(board, stipulation, limits, solutions)
    return _attack_proof(board, stipulation, limits)


@remembered(Solved, backend)
def mating_moves(
    board: chess.Board,
    n: int,
    *,
    effort: float = DEFAULT_EFFORT,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Solved:
    """Return every legal move that mates by force within n moves, with its exact length."""
    _check_length(n, 1)
    board = _ready(board)
    limits = _limits(effort, seconds, cancel)
    if backend() == "native":
        lengths, found = native.lengths(board, n, limits)
        return Solved(lengths, not found.ended, found.positions)
    meter = Meter(limits)
    lengths = {}
    try:
        search = Attack(board, "#", meter)
        for length in range(1, n + 1):
            for move in sorted(board.legal_moves, key=chess.Move.uci):
                if move not in lengths and search.loses_after(move, length - 1):
                    lengths[move] = length
    except SearchEnded:
        pass
    return Solved(lengths, not meter.ended, meter.positions)


@remembered(Refuted, backend)
def refutations(
    board: chess.Board,
    n: int,
    *,
    effort: float = DEFAULT_EFFORT,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Refuted:
    """Return every reply of the side to move after which its opponent has no forced mate within n further moves."""
    _check_length(n, 0)
    board = _ready(board)
    limits = _limits(effort, seconds, cancel)
    if not any(board.legal_moves):
        mated = board.is_check()
        return Refuted((), not mated, mated, True, 0)
    if backend() == "native":
        moves, found = native.replies(board, n, limits)
        return Refuted(moves, False, False, not found.ended, found.positions)
    meter = Meter(limits)
    holding: list[chess.Move] = []
    try:
        search = Attack(board, "#", meter)
        replies = sorted(board.legal_moves, key=chess.Move.uci)
        holding.extend(reply for reply in replies if not search.falls_to(reply, n))
    except SearchEnded:
        pass
    return Refuted(tuple(holding), False, False, not meter.ended, meter.positions)


@remembered(Shortest, backend)
def shortest_mate(
    board: chess.Board,
    n: int,
    *,
    effort: float = DEFAULT_EFFORT,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Shortest:
    """Return the length of the shortest forced mate of the side to move, looking no further than n moves."""
    _check_length(n, 1)
    board = _ready(board)
    limits = _limits(effort, seconds, cancel)
    if backend() == "native":
        shortest, within, found = native.shortest(board, n, limits)
        return Shortest(shortest, within, not found.ended, found.positions)
    meter = Meter(limits)
    search = Attack(board, "#", meter)
    for length in range(1, n + 1):
        try:
            if search.wins(length):
                return Shortest(length, length, True, meter.positions)
        except SearchEnded:
            return Shortest(None, length - 1, False, meter.positions)
    return Shortest(None, n, True, meter.positions)


def has_mate(
    board: chess.Board,
    n: int,
    *,
    effort: float = DEFAULT_EFFORT,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> bool | None:
    """Return whether the side to move mates by force within n moves; None if the limits left it unproved."""
    found = shortest_mate(board, n, effort=effort, seconds=seconds, cancel=cancel)
    if found.length is not None:
        return True
    return False if found.complete else None


class Branch(Struct, frozen=True):
    """Replies that share one set of answers, and the way on.

    `fen` is the position with the defender to move, `n` the attacker's moves to come there.
    Replies without any answer in time have empty `answers`.
    """

    fen: str
    n: int
    defences: tuple[chess.Move, ...]
    answers: tuple[Answer, ...]

    def then(
        self, defence: chess.Move, answer: chess.Move, *, effort: float = DEFAULT_EFFORT, cancel: Cancel | None = None
    ) -> Iterator["Branch"]:
        """Yield the branches that follow one defence and one answer; none after mate."""
        if defence not in self.defences or answer not in [known.move for known in self.answers]:
            raise ValueError(f"{defence.uci()} {answer.uci()} is no line of this branch")
        board = chess.Board(self.fen)
        board.push(defence)
        board.push(answer)
        return tree(board, self.n - 1, effort=effort, cancel=cancel)


def tree(
    board: chess.Board, n: int, *, effort: float = DEFAULT_EFFORT, cancel: Cancel | None = None
) -> Iterator[Branch]:
    """Yield the play with the defender to move and n attacking moves to come, replies grouped by their answers.

    Groups come in the order of their shortest answer, longest first, so that the full-length
    play leads. TimeoutError if `effort`, spent anew on each reply, does not suffice.
    """
    _check_length(n, 0)
    board = _ready(board, played_on=True)
    groups: dict[tuple[Answer, ...], list[chess.Move]] = {}
    for defence in _defences(board, n, effort, cancel):
        groups.setdefault(defence.answers, []).append(defence.move)
    for answers, moves in sorted(groups.items(), key=lambda group: -_length(group[0], n)):
        yield Branch(board.fen(en_passant="fen"), n, tuple(moves), answers)


def _length(answers: tuple[Answer, ...], n: int) -> int:
    return answers[0].length if answers else n + 1


def _defences(board: chess.Board, n: int, effort: float, cancel: Cancel | None) -> list[Defence]:
    found = []
    for reply in sorted(board.legal_moves, key=chess.Move.uci):
        board.push(reply)
        answers: tuple[Answer, ...] = ()
        if n:
            solved = mating_moves(board, n, effort=effort, cancel=cancel)
            if not solved.complete:
                raise TimeoutError(f"the play after {reply.uci()} is unproved ({board.fen()})")
            answers = tuple(
                Answer(move, length)
                for move, length in sorted(solved.lengths.items(), key=lambda item: (item[1], item[0].uci()))
            )
        board.pop()
        found.append(Defence(reply, answers))
    return found


def _attack_proof(board: chess.Board, stipulation: Stipulation, limits: Limits) -> Proof:
    if backend() == "native":
        play, found = native.prove(board, stipulation.genre, stipulation.moves, limits)
        searched = Searched(found.positions, found.seconds, not found.ended, play.reached)
    else:
        meter = Meter(limits)
        play = Attack(board, stipulation.genre, meter).prove(stipulation.moves)
        searched = Searched(meter.positions, meter.seconds, not meter.ended, play.reached)
    shortest = min((key.length for key in play.keys), default=None)
    verdict: Verdict
    if not any(board.legal_moves):
        verdict = "impossible"
    elif len(play.keys) > 1 or (shortest is not None and shortest < stipulation.moves):
        verdict = "unsound"
    elif not play.all_decided:
        verdict = "unproved"
    else:
        verdict = "sound" if play.keys else "unsound"
    return Proof(
        fen=fen_of(board, "fen"),
        stipulation=stipulation,
        verdict=verdict,
        keys=tuple(key.move for key in play.keys),
        shortest=shortest,
        attempts=play.attempts,
        play=play.play,
        set_play=play.set_play,
        solutions=(),
        set_solutions=(),
        searched=searched,
    )


def _help_proof(board: chess.Board, stipulation: Stipulation, limits: Limits, stated: int) -> Proof:
    plies = stipulation.plies
    search = _HelpSearch(stipulation.genre, limits)
    shortest = None
    for fewer in range(2 - plies % 2, plies, 2):
        if search.lines(board, fewer, most=1):
            shortest = (fewer + 1) // 2
            break
    shorter_decided = not search.reached or shortest is not None
    solutions = search.lines(board, plies, most=MOST_SOLUTIONS)
    all_found = shorter_decided and not search.reached
    if solutions and shortest is None and shorter_decided:
        shortest = (plies + 1) // 2
    set_solutions: tuple[tuple[chess.Move, ...], ...] = ()
    if plies > 1 and not board.is_check():
        board.push(chess.Move.null())
        set_solutions = search.lines(board, plies - 1, most=MOST_SOLUTIONS)
        board.pop()
    verdict: Verdict
    if not any(board.legal_moves):
        verdict = "impossible"
    elif len(solutions) > stated or (shortest is not None and shortest < (plies + 1) // 2):
        verdict = "unsound"
    elif not all_found:
        verdict = "unproved"
    else:
        verdict = "sound" if len(solutions) == stated else "unsound"
    return Proof(
        fen=board.fen(en_passant="fen"),
        stipulation=stipulation,
        verdict=verdict,
        keys=tuple(dict.fromkeys(line[0] for line in solutions)),
        shortest=shortest,
        attempts=(),
        play=(),
        set_play=None,
        solutions=solutions,
        set_solutions=set_solutions,
        searched=Searched(search.positions, search.seconds, not search.reached, search.reached),
    )


class _HelpSearch:
    """Searches of help play that share one budget."""

    def __init__(self, genre: Genre, limits: Limits) -> None:
        self.genre = genre
        self.limits = limits
        self.positions = 0
        self.seconds = 0.0
        self.reached = ""

    def lines(self, board: chess.Board, plies: int, *, most: int) -> tuple[tuple[chess.Move, ...], ...]:
        """Return the lines of exactly this many plies, `most` at most; once the budget is spent, none."""
        limits = self.limits
        if self.positions >= limits.positions:
            return ()
        left = Limits(
            limits.positions - self.positions,
            None if limits.seconds is None else limits.seconds - self.seconds,
            limits.cancel,
        )
        if backend() == "native":
            lines, found = native.help_lines(board, self.genre, plies, left, most + 1)
            positions, seconds, ended = found.positions, found.seconds, found.ended
        else:
            meter = Meter(left)
            gathered = []
            try:
                for line in Help(board.copy(stack=False), self.genre, meter).lines(plies):
                    gathered.append(line)
                    if len(gathered) > most:
                        break
            except SearchEnded:
                pass
            lines, positions, seconds, ended = tuple(gathered), meter.positions, meter.seconds, meter.ended
        self.positions += positions
        self.seconds += seconds
        if (ended and len(lines) <= most) or (len(lines) > most > 1):
            self.reached = self.reached or f"ended among the lines of {plies} plies, {min(len(lines), most)} found"
        return lines[:most]


def _limits(effort: float, seconds: float | None, cancel: Cancel | None) -> Limits:
    if not 0 < effort <= MOST_EFFORT:
        raise ValueError(
            f"the effort must be more than 0 and at most {MOST_EFFORT:.0f} million positions, not {effort}"
        )
    return Limits(int(effort * 1_000_000), seconds, cancel)


def _check_length(n: int, least: int) -> None:
    if not least <= n <= MOST_MOVES:
        raise ValueError(f"the number of moves must be {least} to {MOST_MOVES}, not {n}")


def _ready(board: chess.Board, *, played_on: bool = False) -> chess.Board:
    """Return the board to be searched, a copy where moves will be played on it. Raises ValueError if none can be."""
    plain_rights = not (board.castling_rights or board.ep_square is not None or board.chess960)
    if plain_rights and not played_on and backend() == "native":
        return board  # the kernel itself refuses what cannot be played from
    check_playable(board)
    return clean(board)
