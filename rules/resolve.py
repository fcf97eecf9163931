"""From a printed phrase to the legal moves it stands for.

A phrase means the set of legal moves that agree with every part that says which
move is meant: man, origin, destination, promotion, castling side. Signs that only
describe the move (capture, check, e.p.) decide nothing here; rules compare them
afterwards. A phrase without a destination ("the king takes") means every legal
move that agrees with all of it.
"""

import chess
from keyproof.grammar.moves import MovePhrase, Sort


def is_light(square: chess.Square) -> bool:
    """Tell whether a square is light; a1 is dark."""
    return bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])


def captured_piece(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of man a move captures, a pawn for en passant, or None."""
    if board.is_en_passant(move):
        return chess.PAWN
    return board.piece_type_at(move.to_square) if board.is_capture(move) else None


def origin_fits(phrase: MovePhrase, square: chess.Square) -> bool:
    """Tell whether a man standing on `square` agrees with the origin the phrase names."""
    if phrase.origin_file is not None and chess.square_file(square) != phrase.origin_file:
        return False
    if phrase.origin_rank is not None and chess.square_rank(square) != phrase.origin_rank:
        return False
    if phrase.square_shade is not None and is_light(square) != phrase.square_shade:
        return False
    return phrase.wing is None or (chess.square_file(square) >= 4) == (phrase.wing == "king")


def destination_fits(phrase: MovePhrase, square: chess.Square) -> bool:
    """Tell whether `square` agrees with the destination the phrase names."""
    if phrase.destination is not None and square != phrase.destination:
        return False
    if phrase.destination_file is not None and chess.square_file(square) != phrase.destination_file:
        return False
    return phrase.destination_rank is None or chess.square_rank(square) == phrase.destination_rank


def fits(board: chess.Board, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a legal move of `board` is among those the phrase stands for."""
    if phrase.colour is not None and phrase.colour != board.turn:
        return False
    if phrase.sort in (Sort.any_move, Sort.any_other):
        return True
    castling = board.is_castling(move)
    if phrase.castling is not None:
        short = chess.square_file(move.to_square) > chess.square_file(move.from_square)
        return castling and phrase.castling in ("either", "short" if short else "long")
    if phrase.piece is not None and board.piece_type_at(move.from_square) != phrase.piece:
        return False
    if not origin_fits(phrase, move.from_square):
        return False
    ranks = abs(chess.square_rank(move.to_square) - chess.square_rank(move.from_square))
    if phrase.steps not in (None, ranks) and board.piece_type_at(move.from_square) == chess.PAWN:
        return False
    if phrase.promotion is not None and move.promotion != phrase.promotion:
        return False
    if not destination_fits(phrase, move.to_square) or (castling and phrase.names_destination):
        return False
    if phrase.exact:
        return True
    if phrase.underpromotion and move.promotion in (None, chess.QUEEN):
        return False
    taken = captured_piece(board, move)
    if phrase.capture and taken is None:
        return False
    return phrase.captured is None or taken == phrase.captured


def meant_moves(board: chess.Board, phrase: MovePhrase) -> list[chess.Move]:
    """Return the legal moves the phrase stands for; empty when none fits.

    The capture sign decides only between a pawn's push and its capture: "d5" printed
    alone is the push (FIDE C.9.3: a pawn's capture names the file it leaves), "xd5" the
    capture. Promotions to different men count as different moves.
    """
    # The masks only spare python-chess the generation of moves that cannot fit.
    men = chess.BB_ALL if phrase.piece is None else board.pieces_mask(phrase.piece, board.turn)
    squares = chess.BB_ALL if phrase.destination is None else chess.BB_SQUARES[phrase.destination]
    moves = [move for move in board.generate_legal_moves(men, squares) if fits(board, move, phrase)]
    if len(moves) > 1 and phrase.exact and phrase.piece == chess.PAWN and phrase.origin_file is None:
        wanted = [move for move in moves if (captured_piece(board, move) is not None) == phrase.capture]
        return wanted or moves
    if phrase.en_passant and not phrase.exact:
        moves = [move for move in moves if board.is_en_passant(move)] or moves
    if phrase.captures_last:
        if not board.move_stack and phrase.piece is None and not phrase.pronoun:
            return []  # "nobody may take it" where nothing has moved
        return [move for move in moves if takes_last(board, move)] or moves
    return moves


def takes_last(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether a move captures the man that moved last."""
    if not board.move_stack:
        return False
    taken = move.to_square
    if board.is_en_passant(move):
        taken = chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    return board.is_capture(move) and taken == board.move_stack[-1].to_square
