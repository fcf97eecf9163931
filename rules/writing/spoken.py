"""Moves and positions as one reads them aloud."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import chess

from ..board.names import listing, side
from ..board.resolve import captured_piece
from .draft import Reply, after

# What a man does when it goes to a square: as it is said, and behind "can".
_GOES = {chess.KNIGHT: ("jumps", "jump"), chess.PAWN: ("moves", "move")}

Words = Callable[[chess.Board, chess.Move], str]


def name_of(board: chess.Board, square: chess.Square) -> str:
    """Return the name of the man on a square: "knight"."""
    return chess.piece_name(board.piece_type_at(square) or chess.PAWN)


def _several(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether another man of its kind could make the move as well."""
    kind = board.piece_type_at(move.from_square) or chess.PAWN
    others = board.pieces_mask(kind, board.turn) & ~chess.BB_SQUARES[move.from_square]
    return any(board.generate_legal_moves(others, chess.BB_SQUARES[move.to_square]))


def mover(board: chess.Board, move: chess.Move) -> str:
    """Name the man that moves, with its square where another of its kind could move there too."""
    who = f"the {name_of(board, move.from_square)}"
    return f"{who} on {chess.square_name(move.from_square)}" if _several(board, move) else who


def deed(board: chess.Board, move: chess.Move, *, can: bool = False) -> str:
    """Say what the man does: "goes to d4", "takes the rook on f4", "captures on d6 in passing". `can`: "go to d4"."""
    taken = captured_piece(board, move)
    target = chess.square_name(move.to_square)
    s = "" if can else "s"
    if board.is_en_passant(move):
        words = f"capture{s} on {target} in passing"
    elif taken is not None:
        words = f"take{s} the {chess.piece_name(taken)} on {target}"
    else:
        kind = board.piece_type_at(move.from_square) or chess.PAWN
        words = f"{_GOES.get(kind, ('goes', 'go'))[can]} to {target}"
    return words + _promoted(move, s)


def _promoted(move: chess.Move, s: str = "s") -> str:
    return f" and become{s} a {chess.piece_name(move.promotion)}" if move.promotion is not None else ""


def effect(board: chess.Board, move: chess.Move) -> str:
    """Return ", mate", ", check" or nothing."""
    end = after(board, move)
    return ", mate" if end.is_checkmate() else ", check" if end.is_check() else ""


def _castles(board: chess.Board, move: chess.Move) -> str:
    return f"{side(board.turn)} castles {'kingside' if board.is_kingside_castling(move) else 'queenside'}"


def spoken(board: chess.Board, move: chess.Move) -> str:
    """Say a move as one reads it aloud: "the knight on d3 takes the rook on f4, check"."""
    if board.is_castling(move):
        return f"{_castles(board, move)}{effect(board, move)}"
    return f"{mover(board, move)} {deed(board, move)}{effect(board, move)}"


def called(board: chess.Board, move: chess.Move) -> str:
    """Name a move as people do: "rook to e1, mate", "queen takes c7"; in whole words where that tells too little."""
    if board.is_castling(move) or move.promotion is not None or board.is_en_passant(move):
        return spoken(board, move)
    start = f" from {chess.square_name(move.from_square)}" if _several(board, move) else ""
    verb = "takes" if board.is_capture(move) else "to"
    to = chess.square_name(move.to_square)
    return f"{name_of(board, move.from_square)}{start} {verb} {to}{effect(board, move)}"


def answered(reply: Reply, move: chess.Move) -> str:
    """Say an answer to a reply: the man that has just moved is "it" when it is taken."""
    board = reply.after
    if move.to_square != reply.move.to_square or board.is_en_passant(move) or captured_piece(board, move) is None:
        return spoken(board, move)
    return f"{mover(board, move)} takes it{_promoted(move)}{effect(board, move)}"


def _plain(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether a move is told by its man and its square."""
    return not board.is_capture(move) and move.promotion is None and not board.is_castling(move)


def spoken_together(board: chess.Board, moves: Sequence[chess.Move], words: Words = spoken) -> str:
    """Say moves of which any may be made: those of one man as one, "the knight jumps to f3, f5 or g2".

    What they do is said once, at the end, where it is the same for all.
    """
    effects = {effect(board, move) for move in moves}
    uniform = len(effects) == 1
    common = effects.pop() if uniform else ""
    alike: dict[tuple[str, ...], list[chess.Move]] = {}
    for move in moves:
        what = chess.square_name(move.from_square) if _plain(board, move) else move.uci()[:4]  # of promotions
        alike.setdefault((what, "" if common else effect(board, move)), []).append(move)
    parts: list[str] = []
    before, last = "", -1
    for (_, own), same in alike.items():
        if _plain(board, same[0]):
            squares = either([chess.square_name(move.to_square) for move in same])
            said = f"{mover_of(board, same, moves)} {deed(board, same[0]).rpartition(' ')[0]} {squares}"
        elif len(same) > 1:
            said = f"{mover(board, same[0])} {_becomes(board, same)}"
        else:
            said = words(board, same[0]).removesuffix(effect(board, same[0]))
        who = mover_of(board, same, moves)
        again = uniform and who == before and said.startswith(f"{who} ") and same[0].from_square == last
        parts.append(f"{said.removeprefix(f'{who} ') if again else said}{own}")
        before, last = who, same[0].from_square
    # What one move does stands between commas; else they would part the moves of a sentence from each other.
    return ", or ".join(parts) if not uniform else " or ".join(parts) + common


def can_do(board: chess.Board, moves: Sequence[chess.Move]) -> str:
    """Say what one man can do: "go to d4 or e5 or take the rook on f4", "become a queen or a rook on f8"."""
    going = [move for move in moves if _plain(board, move)]
    deeds = []
    if going:
        squares = either([chess.square_name(move.to_square) for move in going])
        deeds.append(f"{deed(board, going[0], can=True).rpartition(' ')[0]} {squares}")
    left = [move for move in moves if move not in going]
    targets = dict.fromkeys(move.to_square for move in left)
    deeds += [_becomes(board, [move for move in left if move.to_square == target], can=True) for target in targets]
    return " or ".join(deeds)


def _becomes(board: chess.Board, same: Sequence[chess.Move], *, can: bool = False) -> str:
    """Say the promotions of one pawn on one square: "becomes a queen or a rook on f8", "takes the rook on f8 and ...".

    A move that is no promotion stands alone.
    """
    if len(same) == 1:
        return deed(board, same[0], can=can)
    kinds = either(
        [f"a {chess.piece_name(kind)}" for kind in sorted((each.promotion or 0 for each in same), reverse=True)]
    )
    becomes = f"become{'' if can else 's'} {kinds}"
    if not board.is_capture(same[0]):
        return f"{becomes} on {chess.square_name(same[0].to_square)}"
    captures = deed(board, chess.Move(same[0].from_square, same[0].to_square), can=can)
    return f"{captures} and {becomes}"


def mover_of(board: chess.Board, same: Sequence[chess.Move], moves: Sequence[chess.Move]) -> str:
    """Name the man that makes some of these moves, with its square where it could be taken for another of them."""
    start = same[0].from_square
    kind = board.piece_type_at(start)
    twice = any(move.from_square != start and board.piece_type_at(move.from_square) == kind for move in moves)
    known = next((move for move in same if _several(board, move)), same[0])
    return f"the {name_of(board, start)} on {chess.square_name(start)}" if twice else mover(board, known)


def either(words: Sequence[str]) -> str:
    """Join words of which any may be meant: "a, b or c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def setting_up(board: chess.Board) -> str:
    """Say a position in the order in which one sets up a board: "White: king f2, rooks a7 and c6. Black: king g4."."""
    return " ".join(f"{side(colour)}: {_men(board, colour)}." for colour in (chess.WHITE, chess.BLACK))


def _men(board: chess.Board, colour: chess.Color) -> str:
    said = []
    for kind in (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN):
        found = sorted(board.pieces(kind, colour), key=lambda square: (chess.square_file(square), square))
        squares = [chess.square_name(square) for square in found]
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
