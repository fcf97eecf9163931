"""From a printed phrase to the legal moves it stands for.

A phrase means the set of legal moves that agree with every part that says which
move is meant: man, origin, destination, promotion, castling side. Signs that only
describe the move (capture, check, e.p.) decide nothing here; rules compare them
afterwards. A phrase without a destination ("the king takes") means every legal
move that agrees with all of it.
"""

import chess
from keyproof.grammar.moves import MovePhrase, Sort
from msgspec.structs import replace

from .headings import heads, likeliest


def is_light(square: chess.Square) -> bool:
    """Tell whether a square is light; a1 is dark."""
    return bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])


def captured_piece(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of man a move captures, a pawn for en passant, or None."""
    if chess.BB_SQUARES[move.to_square] & board.occupied_co[not board.turn] and move.from_square != move.to_square:
        return board.piece_type_at(move.to_square)
    return chess.PAWN if move.to_square == board.ep_square and board.is_en_passant(move) else None


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


def seen(board: chess.Board, squares: chess.Bitboard) -> chess.Bitboard:
    """Return the squares that the side to move means where White would mean `squares`."""
    return squares if board.turn == chess.WHITE else chess.flip_vertical(squares)


def _named(board: chess.Board, phrase: MovePhrase) -> chess.Bitboard:
    """Return the squares that a phrase in descriptive notation names; who speaks may count from either side."""
    return seen(board, phrase.destinations) | (phrase.destinations if phrase.worded else 0)


def _descriptive_fits(board: chess.Board, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a move of the printed man agrees with the rest of a phrase in descriptive notation.

    A pawn captures only where a capture is printed: "P-K4" is always a step.
    """
    if not seen(board, phrase.origins) & chess.BB_SQUARES[move.from_square]:
        return False
    if not _named(board, phrase) & chess.BB_SQUARES[move.to_square]:
        return False
    taken = captured_piece(board, move)
    if phrase.capture:
        return taken is not None and phrase.captured in (None, taken)
    return taken is None or phrase.piece != chess.PAWN or phrase.sort is not Sort.move


def _left_unsaid(board: chess.Board, phrase: MovePhrase, moves: list[chess.Move]) -> list[chess.Move]:
    """Part the moves that a phrase in descriptive notation leaves open as its readers did.

    A move printed without capture is none where it can be none. The king's rook or knight is
    the one further to the king's side, since which one it was is not known in a problem.
    """
    if phrase.exact and not phrase.capture:
        moves = [move for move in moves if not board.is_capture(move)] or moves
    for side, squares in (
        (phrase.of_side, [move.from_square for move in moves]),
        (phrase.captured_of_side, [move.to_square for move in moves]),
    ):
        if side is not None and moves:
            files = [chess.square_file(square) for square in squares]
            wanted = max(files) if side == "king" else min(files)
            moves = [move for move, file in zip(moves, files, strict=True) if file == wanted]
    return moves


def _line(move: chess.Move) -> str | None:
    """Return the kind of line a move runs along."""
    files = abs(chess.square_file(move.to_square) - chess.square_file(move.from_square))
    ranks = abs(chess.square_rank(move.to_square) - chess.square_rank(move.from_square))
    return "file" if not files else "rank" if not ranks else "diagonal" if files == ranks else None


def _steps_fit(board: chess.Board, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a man goes as many squares as was said; a knight's leap is not counted so."""
    kind = board.piece_type_at(move.from_square)
    if kind == chess.KNIGHT:
        return True
    if kind == chess.PAWN and _line(move) == "diagonal" and not phrase.capture:
        return False
    return chess.square_distance(move.from_square, move.to_square) in phrase.steps


def fits(board: chess.Board, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a legal move of `board` is among those the phrase stands for."""
    if phrase.colour is not None and phrase.colour != board.turn:
        return False
    if phrase.sort in (Sort.any_move, Sort.any_other):
        return True
    castling = bool(board.kings & chess.BB_SQUARES[move.from_square]) and board.is_castling(move)
    if phrase.castling is not None:
        short = chess.square_file(move.to_square) > chess.square_file(move.from_square)
        return castling and phrase.castling in ("either", "short" if short else "long")
    if phrase.piece is not None and board.piece_type_at(move.from_square) != phrase.piece:
        return False
    if not origin_fits(phrase, move.from_square):
        return False
    if phrase.along is not None and _line(move) != phrase.along:
        return False
    if phrase.steps and not _steps_fit(board, move, phrase):
        return False
    if phrase.heading and not all(heads(board, move, heading) for heading in phrase.heading):
        return False
    if phrase.promotion is not None and move.promotion != phrase.promotion:
        return False
    if phrase.descriptive:
        return not (castling and phrase.exact) and _descriptive_fits(board, move, phrase)
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
    if phrase.descriptive:
        men, squares = men & seen(board, phrase.origins), _named(board, phrase)
    moves = [move for move in board.generate_legal_moves(men, squares) if fits(board, move, phrase)]
    if phrase.descriptive:
        return _left_unsaid(board, phrase, moves)
    if len(moves) > 1 and phrase.exact and phrase.piece == chess.PAWN and phrase.origin_file is None:
        wanted = [move for move in moves if (captured_piece(board, move) is not None) == phrase.capture]
        return wanted or moves
    if phrase.heading and len(moves) > 1:
        moves = likeliest(board, moves, phrase.heading)
    if phrase.en_passant and not phrase.exact:
        moves = [move for move in moves if board.is_en_passant(move)] or moves
    if phrase.captures_last:
        if not board.move_stack and phrase.piece is None and not phrase.pronoun:
            return []  # "nobody may take it" where nothing has moved
        return [move for move in moves if takes_last(board, move)] or moves
    return moves


def algebraic(board: chess.Board, phrase: MovePhrase) -> list[MovePhrase]:
    """Return the algebraic phrases that a single move in descriptive notation may stand for, legal or not.

    There is one for each square: those named, and of these for a capture only where a man of the
    named kind stands, or a pawn may be taken en passant.
    """
    squares = chess.SquareSet(seen(board, phrase.destinations))
    if phrase.capture:
        victims = board.occupied_co[not board.turn]
        if phrase.captured is not None:
            victims = board.pieces_mask(phrase.captured, not board.turn)
        if phrase.captured == chess.PAWN and phrase.piece == chess.PAWN and board.ep_square is not None:
            victims |= chess.BB_SQUARES[board.ep_square]
        squares &= victims
    starts = chess.SquareSet(seen(board, phrase.origins))
    files, ranks = ({of(square) for square in starts} for of in (chess.square_file, chess.square_rank))
    file, rank = (next(iter(lines)) if len(lines) == 1 else None for lines in (files, ranks))
    plain = replace(
        phrase,
        descriptive=False,
        origins=chess.BB_ALL,
        destinations=chess.BB_ALL,
        origin_file=file,
        origin_rank=rank,
        origin_span=None if file is rank is None else phrase.span,
    )
    return [replace(plain, destination=square) for square in squares]


def takes_last(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether a move captures the man that moved last."""
    if not board.move_stack:
        return False
    taken = move.to_square
    if board.is_en_passant(move):
        taken = chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    return board.is_capture(move) and taken == board.move_stack[-1].to_square
