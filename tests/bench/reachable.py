"""How often the retro-analysis is wrong about positions that a game did reach: it must be never.

Plays random games from the initial array, half of them with a bent for captures and
promotions, and asks of every position whether it is impossible, whether its castling
rights are lost, and whether the move just played is among its last moves.

    python tests/bench/reachable.py [POSITIONS] [SEED]
"""

import random
import sys
import time
from collections.abc import Iterator

import chess
from keyproof.rules.retro import past, rights

LAST_MOVES_OF = 20  # the last moves of one position in so many are listed: that takes longest


def random_play(rng: random.Random, bent: bool, plies: int = 300) -> Iterator[tuple[chess.Board, chess.Move]]:
    """Yield the positions of a random game, each with the move that led to it."""
    board = chess.Board()
    while board.ply() < plies and not board.is_game_over(claim_draw=False):
        moves = list(board.legal_moves)
        weights = [_weight(board, move) if bent else 1 for move in moves]
        move = rng.choices(moves, weights)[0]
        board.push(move)
        yield board, move


def _weight(board: chess.Board, move: chess.Move) -> int:
    if move.promotion or board.is_castling(move) or board.is_en_passant(move):
        return 30
    if board.piece_type_at(move.from_square) == chess.PAWN:
        return 8 if board.is_capture(move) else 5
    return 2 if board.is_capture(move) else 1


def faults(board: chess.Board, move: chess.Move, list_moves: bool) -> Iterator[str]:
    """Yield what the retro-analysis says that the game refutes."""
    impossible = past.contradiction(board)
    if impossible is not None:
        yield f"called impossible: {impossible.reason}"
    kept = board.clean_castling_rights()
    judged = rights.judge(board)
    for right in judged.lost:
        if kept & chess.BB_SQUARES[right.rook]:
            yield f"castling right on {chess.square_name(right.rook)} called lost: {judged.lost[right]}"
    for first, second, reason in judged.exclusive:
        if kept & chess.BB_SQUARES[first.rook] and kept & chess.BB_SQUARES[second.rook]:
            yield f"rights called exclusive: {reason}"
    if list_moves and (move.from_square, move.to_square) not in {
        (last.origin, last.target) for last in past.last_moves(board, _unmoved(board)).moves
    }:
        yield f"the last move {move.uci()} was not found"


def _unmoved(board: chess.Board) -> chess.Bitboard:
    unmoved = board.clean_castling_rights()
    for colour in chess.COLORS:
        home = chess.BB_E1 if colour else chess.BB_E8
        if unmoved & (chess.BB_RANK_1 if colour else chess.BB_RANK_8):
            unmoved |= home
    return unmoved


def main() -> None:
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    rng = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    seen = wrong = games = 0
    began = time.perf_counter()
    while seen < wanted:
        games += 1
        for board, move in random_play(rng, bent=games % 2 == 0):
            seen += 1
            for fault in faults(board, move, list_moves=seen % LAST_MOVES_OF == 0):
                wrong += 1
                print(f"{board.fen()}: {fault}")
    seconds = time.perf_counter() - began
    print(f"{seen} positions of {games} games, {wrong} wrong verdicts, {seconds:.0f} s")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
