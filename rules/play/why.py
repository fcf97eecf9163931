"""Why a printed move cannot be played, as a person would say it.

Articles are those of the FIDE Laws in force since 1 January 2023.
"""

import chess
from keyproof.grammar.moves import MovePhrase, Sort
from msgspec import Struct
from msgspec.structs import replace

from ..board.names import listing, man_at, side
from ..board.resolve import algebraic, captured_piece, destination_fits, fits, meant_moves, origin_fits
from ..finding import Edit
from ..retro import rights
from .castling import why_not_castle
from .node import Node


class Impossible(Struct, frozen=True):
    """The rule that is broken, the reason in words and, where one move must be meant, the repair."""

    rule: str
    message: str
    repair: tuple[Edit, ...] = ()


def why_not(node: Node, phrase: MovePhrase) -> Impossible:
    """Say why no legal move in `node` agrees with `phrase` (`meant_moves` returned none)."""
    board = node.board
    if board.is_checkmate() or board.is_stalemate():
        state = "mate" if board.is_checkmate() else "stalemate"
        return Impossible("move-after-the-end", f"no move is left here: the position is {state} already")
    if phrase.colour is not None and phrase.colour != board.turn:
        return Impossible("wrong-side", f"it is {side(board.turn)}'s move here, not {side(phrase.colour)}'s")
    if phrase.castling is not None:
        return Impossible(*why_not_castle(node, phrase.castling))
    if not phrase.exact:
        return _no_move_of_the_set(board, phrase)
    if phrase.descriptive:
        return _other_side(board, phrase) or _descriptive(node, phrase)
    return (
        _other_side(board, phrase)
        or _promotion(board, phrase)
        or _almost(board, phrase)
        or _en_passant(node, phrase)
        or _breaks_a_law(board, phrase)
        or _cannot_get_there(board, phrase)
    )


def _no_move_of_the_set(board: chess.Board, phrase: MovePhrase) -> Impossible:
    if phrase.piece is None:
        return Impossible("illegal-move", f"{side(board.turn)} has no such move here")
    name = chess.piece_name(phrase.piece)
    if not board.pieces(phrase.piece, board.turn):
        other = board.pieces(phrase.piece, not board.turn)
        if other:
            message = f"it is {side(board.turn)}'s move here, and {side(board.turn)} has no {name}"
            return Impossible("wrong-side", message)
        return Impossible("illegal-move", f"{side(board.turn)} has no {name}")
    what = "capture" if phrase.capture or phrase.captured else "move"
    return Impossible("illegal-move", f"no {chess.COLOR_NAMES[board.turn]} {name} has such a {what} here")


def _other_side(board: chess.Board, phrase: MovePhrase) -> Impossible | None:
    """Report a move only the other side can make, where the side to move has no man that could be meant."""
    turned = board.copy(stack=False)
    turned.turn = not board.turn
    turned.ep_square = None
    theirs = [move for move in turned.legal_moves if board.piece_type_at(move.to_square) != chess.KING]
    if not any(fits(turned, move, phrase) for move in theirs):
        return None
    if any(_reaches(board, move, phrase) for move in board.pseudo_legal_moves):
        return None
    if _another_man(board, phrase):
        return None  # a wrong letter is likelier than a wrong side
    return Impossible("wrong-side", f"it is {side(board.turn)}'s move here; only {side(not board.turn)} can play this")


def _reaches(board: chess.Board, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a move is of the printed man to the printed square, whatever its origin and promotion."""
    if board.piece_type_at(move.from_square) != phrase.piece:
        return False
    if phrase.descriptive:
        return any(move.to_square == each.destination for each in algebraic(board, phrase))
    return destination_fits(phrase, move.to_square)


def _descriptive(node: Node, phrase: MovePhrase) -> Impossible:
    """Report a move in descriptive notation: the square may be left open, and a capture names the man taken."""
    board = node.board
    assert phrase.piece is not None
    asked = algebraic(board, phrase)
    whys = [replace(why_not(node, each), repair=()) for each in asked]  # no edit in a notation that is not its own
    known = [why for why in whys if why.rule != "illegal-move"]
    if known:
        return known[0]
    name, colour = chess.piece_name(phrase.piece), chess.COLOR_NAMES[board.turn]
    if phrase.capture and phrase.captured is not None:
        victim = chess.piece_name(phrase.captured)
        others = meant_moves(board, replace(phrase, captured=None, captured_of_side=None, promotion=None))
        if others:
            found = sorted({move.to_square for move in others if captured_piece(board, move) != phrase.captured})
            taken = listing([man_at(board, square) for square in found], "or")
            return Impossible("wrong-captured-man", f"the {name} can take no {victim} here; it can take {taken}")
        if not board.pieces(phrase.captured, not board.turn):
            return Impossible("illegal-move", f"{side(not board.turn)} has no {victim} to be taken")
        if len(whys) != 1:
            theirs = chess.COLOR_NAMES[not board.turn]
            return Impossible("illegal-move", f"no {colour} {name} can take a {theirs} {victim}")
    men = list(board.pieces(phrase.piece, board.turn))
    if len(whys) == 1 or not men:
        return whys[0]
    squares = listing([chess.square_name(each.destination) for each in asked if each.destination is not None], "or")
    where = listing([chess.square_name(square) for square in men])
    return Impossible("illegal-move", f"no {colour} {name} can go to {squares}: {_stands(men)} on {where}")


def _promotion(board: chess.Board, phrase: MovePhrase) -> Impossible | None:
    if phrase.promotion is None:
        return None
    if phrase.piece != chess.PAWN:
        return Impossible("wrong-promotion", "only a pawn is promoted (Laws 3.7.3.3)")
    if phrase.promotion in (chess.KING, chess.PAWN):
        name = chess.piece_name(phrase.promotion)
        message = f"a pawn becomes a queen, rook, bishop or knight, never a {name} (Laws 3.7.3.3)"
        return Impossible("wrong-promotion", message)
    last = 7 if board.turn == chess.WHITE else 0
    if phrase.destination is not None and chess.square_rank(phrase.destination) != last:
        square = chess.square_name(phrase.destination)
        return Impossible("wrong-promotion", f"a pawn that reaches {square} is not promoted yet (Laws 3.7.3.3)")
    return None


def _almost(board: chess.Board, phrase: MovePhrase) -> Impossible | None:
    """Report a legal move of the printed man to the printed square from another place than printed."""
    if phrase.origin_span is None:
        return None
    legal = [move for move in board.legal_moves if _reaches(board, move, phrase)]
    starts = sorted({move.from_square for move in legal})
    if not starts or board.is_castling(legal[0]):
        return None
    assert phrase.piece is not None
    name = chess.piece_name(phrase.piece)
    if phrase.origin_file is not None and phrase.origin_rank is not None:
        printed = "on " + chess.square_name(chess.square(phrase.origin_file, phrase.origin_rank))
    elif phrase.origin_file is not None:
        printed = f"on the {chess.FILE_NAMES[phrase.origin_file]}-file"
    else:
        assert phrase.origin_rank is not None
        printed = f"on rank {phrase.origin_rank + 1}"
    where = listing([chess.square_name(square) for square in starts], "or")
    target = chess.square_name(legal[0].to_square)
    message = f"the {name} that can go to {target} stands on {where}, not {printed}"
    repair: tuple[Edit, ...] = ()
    if len(starts) == 1 and not phrase.worded:
        hint = ""  # one man alone can go there (Laws C.10)
        if phrase.origin_file is not None and phrase.origin_rank is not None:
            hint = chess.square_name(starts[0])
        elif phrase.piece == chess.PAWN:
            hint = chess.FILE_NAMES[chess.square_file(starts[0])]
        repair = (Edit(phrase.origin_span, hint),)
    return Impossible("wrong-origin", message, repair)


def _en_passant(node: Node, phrase: MovePhrase) -> Impossible | None:
    """Report a pawn's capture on an empty square beside an enemy pawn that could have made a double step."""
    board = node.board
    target = phrase.destination
    if phrase.piece != chess.PAWN or target is None or board.piece_at(target) or target == board.ep_square:
        return None
    if chess.square_rank(target) != (5 if board.turn == chess.WHITE else 2):
        return None
    passed = target + (-8 if board.turn == chess.WHITE else 8)
    takers = board.pieces(chess.PAWN, board.turn) & chess.BB_PAWN_ATTACKS[not board.turn][target]
    takers = chess.SquareSet(square for square in takers if origin_fits(phrase, square))
    if not (phrase.capture or phrase.en_passant or phrase.origin_file is not None) or not takers:
        return None
    if board.piece_at(passed) != chess.Piece(chess.PAWN, not board.turn):
        return None
    start = chess.square_name(target + (8 if board.turn == chess.WHITE else -8))
    step = f"{start}-{chess.square_name(passed)}"
    if node.move is None:
        message = (
            f"en passant is open to a first move only if the last move was provably {step} "
            f"(WFCC Codex 16(2)), and {_not_the_last(rights.en_passant(board, target))}"
        )
        return Impossible("en-passant-unproved", message)
    last = node.evidence().moves[-1]
    message = f"en passant must follow at once on the double step {step} (Laws 3.7.3.2); the last move was {last}"
    return Impossible("en-passant-too-late", message)


def _not_the_last(judged: rights.EnPassant) -> str:
    mover = side(judged.step.colour)
    if judged.impossible:
        return "it cannot have been"
    if judged.given:
        needed = listing([right.may("may still") for right in judged.given], "or")
        return f"that follows only if {needed} (16(3))"
    if not judged.others:
        return "that was not decided"
    words = listing([str(last) for last in judged.others[:2]], "or")
    return f"{mover} may have played {words} instead"


def _breaks_a_law(board: chess.Board, phrase: MovePhrase) -> Impossible | None:
    """Report a move that the man can make but that leaves the king attacked."""
    moves = [
        move
        for move in board.pseudo_legal_moves
        if _reaches(board, move, phrase) and origin_fits(phrase, move.from_square) and not board.is_castling(move)
    ]
    if not moves:
        return None
    move = moves[0]
    target = chess.square_name(move.to_square)
    if phrase.piece == chess.KING:
        without_king = board.copy(stack=False)
        without_king.remove_piece_at(move.from_square)
        guards = without_king.attackers(not board.turn, move.to_square)
        names = listing([man_at(board, square) for square in guards])
        return Impossible(
            "king-into-check",
            f"the king cannot go to {target}: {names} {'guards' if len(guards) == 1 else 'guard'} it (Laws 3.9.2)",
        )
    king = board.king(board.turn)
    assert king is not None
    where = chess.square_name(king)
    # Along the line of its pin a pinned man may go: what forbids that is another man's check.
    if all(each.to_square not in board.pin(board.turn, each.from_square) for each in moves):
        start = move.from_square
        line = board.pin(board.turn, start) & board.occupied_co[not board.turn]
        pinner = next(
            (
                square
                for square in line
                if chess.SquareSet.between(king, square) & board.occupied == chess.SquareSet([start])
            ),
            None,
        )
        by = f" by {man_at(board, pinner)}" if pinner is not None else ""
        message = f"{man_at(board, start)} is pinned{by} to the king on {where} and cannot go to {target} (Laws 3.9.2)"
        return Impossible("pinned-man-moves", message)
    if board.is_check():
        checkers = listing([man_at(board, square) for square in board.checkers()])
        message = f"{side(board.turn)} is in check from {checkers}, and this move does not meet it (Laws 3.9.2)"
        return Impossible("check-not-met", message)
    message = f"this would leave the king on {where} in check (Laws 3.9.2)"
    return Impossible("pinned-man-moves", message)


def _cannot_get_there(board: chess.Board, phrase: MovePhrase) -> Impossible:
    """Report a man that is missing, blocked or too far away."""
    colour = chess.COLOR_NAMES[board.turn]
    if phrase.piece is None:  # words that name a square alone
        where = "make such a move" if phrase.destination is None else f"go to {chess.square_name(phrase.destination)}"
        return Impossible("illegal-move", f"no {colour} man can {where}")
    name = chess.piece_name(phrase.piece)
    men = [square for square in board.pieces(phrase.piece, board.turn) if origin_fits(phrase, square)]
    target = phrase.destination
    hint = _another_man(board, phrase)
    if not men:
        all_men = list(board.pieces(phrase.piece, board.turn))
        if not all_men:
            return Impossible("illegal-move", f"{side(board.turn)} has no {name}{hint}")
        where = listing([chess.square_name(square) for square in all_men])
        return Impossible("illegal-move", f"no {colour} {name} stands there: {_stands(all_men)} on {where}{hint}")
    if target is None:
        return Impossible("illegal-move", f"no {colour} {name} has such a capture here{hint}")
    square_name = chess.square_name(target)
    own = board.piece_at(target)
    if own is not None and own.color == board.turn:
        return Impossible("illegal-move", f"{square_name} is occupied by {side(board.turn)}'s own {_kind(own)}{hint}")
    if phrase.piece == chess.PAWN:
        return _pawn(board, phrase, men, target, hint)
    for start in men:
        if _on_empty_board(board, start, target):
            blocker = next(iter(chess.SquareSet.between(start, target) & board.occupied))
            between = f"{man_at(board, blocker)} is in the way (Laws 3.5)"
            message = f"{man_at(board, start)} cannot reach {square_name}: {between}{hint}"
            return Impossible("illegal-move", message)
    where = listing([chess.square_name(square) for square in men])
    message = f"no {colour} {name} can reach {square_name}: {_stands(men)} on {where}{hint}"
    return Impossible("illegal-move", message)


def _pawn(
    board: chess.Board, phrase: MovePhrase, men: list[chess.Square], target: chess.Square, hint: str
) -> Impossible:
    square_name = chess.square_name(target)
    colour = chess.COLOR_NAMES[board.turn]
    attackers = chess.BB_PAWN_ATTACKS[not board.turn][target]
    sideways = phrase.capture or (phrase.origin_file is not None and phrase.origin_file != chess.square_file(target))
    if sideways and any(attackers & chess.BB_SQUARES[square] for square in men) and not board.piece_at(target):
        return Impossible("captures-nothing", f"there is nothing to capture on {square_name} (Laws 3.7.3){hint}")
    step = 8 if board.turn == chess.WHITE else -8
    if not sideways and board.piece_at(target):
        behind = target - step
        if behind in men:
            message = f"{man_at(board, behind)} is blocked by {man_at(board, target)} (Laws 3.7.1){hint}"
            return Impossible("illegal-move", message)
    if sideways:
        return Impossible("illegal-move", f"no {colour} pawn can capture on {square_name}{hint}")
    return Impossible("illegal-move", f"no {colour} pawn can go to {square_name}{hint}")


def _on_empty_board(board: chess.Board, start: chess.Square, target: chess.Square) -> bool:
    alone = chess.Board(None)
    alone.set_piece_at(start, board.piece_at(start))
    return target in alone.attacks(start)


def _another_man(board: chess.Board, phrase: MovePhrase) -> str:
    """Name the other men that can legally go to the printed square, the likeliest misprint."""
    kinds = {
        board.piece_type_at(move.from_square)
        for move in board.legal_moves
        if phrase.destination is not None and move.to_square == phrase.destination and not board.is_castling(move)
    }
    names = [
        f"the {chess.piece_name(kind)}" for kind in sorted(kind for kind in kinds if kind and kind != phrase.piece)
    ]
    return f"; {listing(names, 'or')} can" if names else ""


def _stands(men: list[chess.Square]) -> str:
    return "it stands" if len(men) == 1 else "they stand"


def _kind(piece: chess.Piece) -> str:
    return chess.piece_name(piece.piece_type)


def is_set(phrase: MovePhrase) -> bool:
    """Tell whether a phrase may stand for several moves."""
    return phrase.sort is not Sort.move or not phrase.exact
