"""What a solution text has to tell of a sound puzzle, every line proved; `voices` puts it in words."""

from collections.abc import Iterable, Sequence

import chess
from msgspec import Struct

from ..board.stipulation import Stipulation
from ..play.mating_net import mating_net
from ..proof.proof import Answer, FirstMove, KeyPlay, Proof
from ..proof.prover import DEFAULT_EFFORT, prove, tree

MOST_TRIES = 4
_MOST_NAMED = 6  # moves that a refusal names
_MOST_LINES = 12  # replies of one position whose play is followed, in a mate in three
_FEWER_LINES = 3  # the same in longer puzzles, where a column gives the main lines only


class NoDraft(ValueError):
    """There is nothing sound to write about, or it could not be proved; the message says which."""


class Reply(Struct, frozen=True):
    """A reply, every answer that reaches the aim in time, shortest first, and the play after the first answer.

    `before` is the position the reply is made in. `further` is empty where the answer ends the
    play or comes before the stipulated length.
    """

    before: chess.Board
    move: chess.Move
    answers: tuple[Answer, ...]
    further: tuple["Reply", ...] = ()

    @property
    def after(self) -> chess.Board:
        """The position after the reply."""
        return after(self.before, self.move)


class Draft(Struct, frozen=True):
    """The facts of a solution: key, threats, play after the key, tries; set play in two-movers; lines of help play.

    `after_key` and `key` are None in help play. Threats are moves in `after_key` after a pass.
    """

    board: chess.Board
    stipulation: Stipulation
    key: chess.Move | None
    after_key: chess.Board | None
    threats: tuple[chess.Move, ...]
    zugzwang: bool
    replies: tuple[Reply, ...]
    set_play: tuple[Reply, ...]
    tries: tuple[FirstMove, ...]
    solutions: tuple[tuple[chess.Move, ...], ...]


def after(board: chess.Board, *moves: chess.Move) -> chess.Board:
    """Return the position after some moves."""
    board = board.copy(stack=False)
    for move in moves:
        board.push(move)
    return board


def draft(board: chess.Board, stipulation: Stipulation, *, effort: float = DEFAULT_EFFORT, solutions: int = 0) -> Draft:
    """Prove a puzzle and gather what its solution text has to tell. Raises NoDraft, and ValueError as `prove` does.

    `solutions` is the number stated under a help problem; 0: as many as there are.
    """
    proof = prove(board, stipulation, effort=effort, solutions=solutions or 1)
    if stipulation.help_play:
        return _help(board, proof, solutions)
    if proof.verdict != "sound" or not proof.searched.complete:
        raise NoDraft(_why_not(board, proof))
    if stipulation.genre != "#" and stipulation.moves > 2:
        raise NoDraft(f"a draft of {stipulation} would need play that is proved for direct mates only")
    play = proof.play[0]
    after_key = after(board, play.move)
    shortest = min((threat.length for threat in play.threats), default=0)
    try:
        replies = _replies(after_key, play, stipulation, effort)
    except TimeoutError as ended:
        raise NoDraft(f"not proved within the effort: {ended}") from None
    return Draft(
        board=board,
        stipulation=stipulation,
        key=play.move,
        after_key=after_key,
        threats=tuple(threat.move for threat in play.threats if threat.length == shortest),
        zugzwang=play.zugzwang,
        replies=replies,
        set_play=_set_play(board, proof) if stipulation.moves == 2 else (),
        tries=_tempting(board, proof.tries),
        solutions=(),
    )


def _why_not(board: chess.Board, proof: Proof) -> str:
    if proof.verdict == "unproved" or not proof.searched.complete:
        return f"not proved within the effort ({proof.searched.reached}): nothing is written that is not proved"
    if proof.shortest is not None and proof.shortest < proof.stipulation.moves:
        short = [play.move for play in proof.play if play.length == proof.shortest] or proof.keys
        return f"unsound: there is a solution in {proof.shortest} ({_named(board, short)})"
    if len(proof.keys) > 1:
        return f"unsound: {len(proof.keys)} first moves solve {proof.stipulation} ({_named(board, proof.keys)})"
    return f"unsound: no first move solves {proof.stipulation}"


def _named(board: chess.Board, moves: Sequence[chess.Move]) -> str:
    more = f" and {len(moves) - _MOST_NAMED} more" if len(moves) > _MOST_NAMED else ""
    return ", ".join(board.san(move) for move in moves[:_MOST_NAMED]) + more


def _help(board: chess.Board, proof: Proof, stated: int) -> Draft:
    full = (proof.stipulation.plies + 1) // 2
    if not proof.searched.complete:
        raise NoDraft(f"not proved within the effort ({proof.searched.reached}): nothing is written that is not proved")
    if proof.shortest is not None and proof.shortest < full:
        raise NoDraft(f"unsound: there is a shorter solution, in {proof.shortest}")
    if not proof.solutions or (stated and len(proof.solutions) != stated):
        raise NoDraft(f"unsound: {len(proof.solutions)} solutions" + (f", {stated} stated" if stated else ""))
    return Draft(board, proof.stipulation, None, None, (), False, (), (), (), proof.solutions)


def _replies(after_key: chess.Board, play: KeyPlay, stipulation: Stipulation, effort: float) -> tuple[Reply, ...]:
    if stipulation.genre != "#":
        return tuple(Reply(after_key, each.move, each.answers) for each in play.defences)
    threats = {threat.move for threat in play.threats}
    return _followed(after_key, stipulation.moves - 1, effort, stipulation.moves, threats)


def _followed(
    board: chess.Board, n: int, effort: float, moves: int, threats: Iterable[chess.Move] = ()
) -> tuple[Reply, ...]:
    """Return the replies of a position with their play, as far as a column follows it.

    A mate in three is told to its end; of a longer one the full-length lines, and below the
    second move of each only the first.
    """
    branches = list(tree(board, n, effort=effort))
    deep = moves > 3 and n < moves - 1
    full = [branch for branch in branches if branch.answers and branch.answers[0].length == n]
    leading = [branch for branch in full if not any(answer.move in threats for answer in branch.answers)]
    most = _MOST_LINES if moves <= 3 else 1 if n < moves - 2 else _FEWER_LINES
    if not leading:  # every full-length line is the threat's: one of them is told
        leading, most = full[:1], 1
    told: list[Reply] = []
    followed = 0
    for branch in branches:
        for move in branch.defences:
            further: tuple[Reply, ...] = ()
            if n > 1 and branch in leading and followed < most:
                further = _followed(after(board, move, branch.answers[0].move), n - 1, effort, moves)
                followed += 1
            if not deep or further or (n == 1 and branch in full):
                told.append(Reply(board, move, branch.answers, further))
    return tuple(told)


def _set_play(board: chess.Board, proof: Proof) -> tuple[Reply, ...]:
    """Return the replies that are provided for in the diagram."""
    if not proof.set_play or board.is_check():
        return ()
    passed = after(board, chess.Move.null())
    return tuple(Reply(passed, each.move, each.answers) for each in proof.set_play if each.answers)


def _tempting(board: chess.Board, tries: Iterable[FirstMove]) -> tuple[FirstMove, ...]:
    """Choose the tries to print: quiet ones first, then by the number of replies they hold against.

    Of several by one man with one refutation only the best is told; a try that leaves Black no choice
    at all tempts nobody, and is told only if there is no other.
    """
    ranked = []
    for attempt in tries:
        held = after(board, attempt.move).legal_moves.count() - 1
        crude = board.gives_check(attempt.move) or board.is_capture(attempt.move)
        ranked.append(((held == 0, crude, -held, attempt.move.uci()), attempt))
    ranked.sort(key=lambda rank: rank[0])
    chosen: dict[tuple[chess.Square, chess.Move], FirstMove] = {}
    for (forced, *_), attempt in ranked:
        if not forced or not chosen:
            chosen.setdefault((attempt.move.from_square, attempt.refutations[0]), attempt)
    return tuple(chosen.values())[:MOST_TRIES]


def flights(board: chess.Board) -> tuple[chess.Square, ...]:
    """Return the squares the king of the side to move can go to, castling left out."""
    king = board.king(board.turn)
    moves = (move for move in board.legal_moves if move.from_square == king and not board.is_castling(move))
    return tuple(sorted(move.to_square for move in moves))


def self_block(reply: Reply, answer: chess.Move) -> chess.Square | None:
    """Return the square next to its own king that a reply has blocked, if the king could use it in the mate else."""
    mated = after(reply.after, answer)
    if not mated.is_checkmate():
        return None
    square = reply.move.to_square
    if not any(each.square == square and each.block is not None for each in mating_net(mated).field):
        return None
    if reply.before.piece_type_at(reply.move.from_square) == chess.KING:
        return None
    empty = mated.copy(stack=False)
    empty.remove_piece_at(square)
    empty.remove_piece_at(mated.king(mated.turn) or 0)
    return None if empty.is_attacked_by(not mated.turn, square) else square
