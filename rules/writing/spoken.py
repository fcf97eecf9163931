"""Moves and positions as one reads them aloud."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from ..board.names import listing, side
from ..board.resolve import captured_piece
from .draft import Reply, after


def name_of(board: chess.Board, square: chess.Square) -> str:
    """Return the name of the man on a square: "knight"."""
    return chess.piece_name(board.piece_type_at(square) or chess.PAWN)


def mover(board: chess.Board, move: chess.Move) -> str:
    """Name the man that moves, with its square where its side has another of its kind, or a pawn captures."""
    kind = board.piece_type_at(move.from_square) or chess.PAWN
    who = f"the {name_of(board, move.from_square)}"
    by_pawn = kind == chess.PAWN and captured_piece(board, move) is not None
    if len(board.pieces(kind, board.turn)) > 1 or by_pawn:
        who += f" on {chess.square_name(move.from_square)}"
    return who


def deed(board: chess.Board, move: chess.Move) -> str:
    """Say what the man does: "goes to d4", "takes the rook on f4", "takes on d6 in passing"."""
    taken = captured_piece(board, move)
    target = chess.square_name(move.to_square)
    if board.is_en_passant(move):
        words = f"captures on {target} in passing"
    elif taken is not None:
        words = f"takes the {chess.piece_name(taken)} on {target}"
    else:
        words = f"goes to {target}"
    if move.promotion is not None:
        words += f" and becomes a {chess.piece_name(move.promotion)}"
    return words


def effect(board: chess.Board, move: chess.Move) -> str:
    """Return ", mate", ", check" or nothing."""
    end = after(board, move)
    return ", mate" if end.is_checkmate() else ", check" if end.is_check() else ""


def spoken(board: chess.Board, move: chess.Move) -> str:
    """Say a move as one reads it aloud: "the knight on d3 takes the rook on f4, check"."""
    if board.is_castling(move):
        wing = "kingside" if board.is_kingside_castling(move) else "queenside"
        return f"{side(board.turn)} castles {wing}{effect(board, move)}"
    return f"{mover(board, move)} {deed(board, move)}{effect(board, move)}"


def answered(reply: Reply, move: chess.Move) -> str:
    """Say an answer to a reply: the man that has just moved is "it" when it is taken."""
    board = reply.after
    if move.to_square != reply.move.to_square or board.is_en_passant(move) or captured_piece(board, move) is None:
        return spoken(board, move)
    promotion = f" and becomes a {chess.piece_name(move.promotion)}" if move.promotion is not None else ""
    return f"{mover(board, move)} takes it{promotion}{effect(board, move)}"


def spoken_together(replies: Sequence[Reply]) -> str:
    """Say moves of which any may be made: those of one man as one, "the knight goes to f3, f5 or g2"."""
    by_man: dict[str, list[Reply]] = {}
    for reply in replies:
        quiet = not reply.before.is_capture(reply.move) and reply.move.promotion is None
        plain = quiet and not reply.before.is_castling(reply.move) and not effect(reply.before, reply.move)
        said = mover(reply.before, reply.move) if plain else spoken(reply.before, reply.move)
        by_man.setdefault(said, []).append(reply)
    parts = []
    for said, same in by_man.items():
        squares = [chess.square_name(reply.move.to_square) for reply in same]
        plain = said == mover(same[0].before, same[0].move)
        parts.append(f"{said} goes to {either(squares)}" if plain else said)
    return " or ".join(parts)  # commas would part the moves of a sentence from each other


def either(words: Sequence[str]) -> str:
    """Join words of which any may be meant: "a, b or c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def setting_up(board: chess.Board) -> str:
    """Say a position in the order in which one sets up a board: "White: king f2, rooks a7 and c6. Black: king g4."."""
    return " ".join(f"{side(colour)}: {_men(board, colour)}." for colour in (chess.WHITE, chess.BLACK))


def _men(board: chess.Board, colour: chess.Color) -> str:
    said = []
    for kind in (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN):
        squares = [chess.square_name(square) for square in board.pieces(kind, colour)]
        if squares:
            said.append(f"{chess.piece_name(kind)}{'s' if len(squares) > 1 else ''} {listing(squares)}")
    return ", ".join(said)


def can_be_said(board: chess.Board) -> bool:
    """Tell whether the men alone make the position: it has the castling rights that are taken for granted, no others.

    WFCC Codex 16(1): castling is possible unless it is proved not to be; a capture in passing must be proved.
    """
    usual = board.copy(stack=False)
    usual.castling_rights = board.rooks & (chess.BB_A1 | chess.BB_H1 | chess.BB_A8 | chess.BB_H8)
    return board.ep_square is None and usual.clean_castling_rights() == board.clean_castling_rights()
