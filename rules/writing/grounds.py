"""Why a position is mate, in as few words as prove it: each square of the king's field with one guard."""

from collections.abc import Iterator

import chess

from ..board.names import listing, side
from ..play.mating_net import MatingNet, man_on, mating_net, sentences


def grounds(board: chess.Board) -> list[str]:
    """Return the reasons of a mate in sentences, none for other positions. That there is check goes without saying.

    A square that several men guard is told of one: of the man that gives check, or else of the one that guards most.
    """
    if not board.is_checkmate():
        return []
    net = mating_net(board)
    told = []
    if len(net.checkers) > 1:
        told.append(f"It is double check from {listing([f'the {_name(board, each)}' for each in net.checkers])}.")
    guards, protected = _guards(board, net), _protected(board, net)
    for man in dict.fromkeys((*guards, *protected)):
        deeds = (
            [f"guards {listing([chess.square_name(each) for each in sorted(guards[man])])}"] if man in guards else []
        )
        if man in protected:
            deeds.append(f"protects {listing([f'the {_name(board, each)}' for each in protected[man]])}")
        told.append(f"The {_name(board, man)} {' and '.join(deeds)}.")
    return [*told, *_blocked(board, net), *_pinned(board, net)]


def _blocked(board: chess.Board, net: MatingNet) -> Iterator[str]:
    """Say which squares the king's own men stand on."""
    squares: dict[chess.PieceType, list[str]] = {}
    for each in net.field:
        if each.block is not None:
            squares.setdefault(each.block, []).append(chess.square_name(each.square))
    for kind, named in squares.items():
        name = chess.piece_name(kind)
        if len(named) == 1:
            yield f"{side(board.turn)}'s own {name} blocks {named[0]}."
        else:
            yield f"The squares {listing(named)} are blocked by {chess.COLOR_NAMES[board.turn]} {name}s."


def _pinned(board: chess.Board, net: MatingNet) -> Iterator[str]:
    """Say which men could meet the check, were they not pinned."""
    said = sentences(board, net)
    for each in net.pinned:
        if board.is_pinned(board.turn, each.man):
            pinners = listing([man_on(board, pinner) for pinner in each.pinners])
            yield f"The {man_on(board, each.man).removeprefix('the ')} is pinned by {pinners}."
        else:  # a capture in passing that would open a line by taking two men from it
            yield from (line for line in said if " in passing" in line or " en passant" in line)


def _guards(board: chess.Board, net: MatingNet) -> dict[chess.Square, list[chess.Square]]:
    """Share the empty squares of the field out among the men that guard them."""
    left = {each.square: set(each.guards) for each in net.field if each.guards and each.held is None}
    shared: dict[chess.Square, list[chess.Square]] = {}
    men = [*net.checkers, *sorted(set().union(*left.values()) - set(net.checkers))]
    while left:
        checker = next((man for man in net.checkers if any(man in guards for guards in left.values())), None)
        man = checker if checker is not None else max(men, key=lambda each: sum(each in by for by in left.values()))
        shared[man] = [square for square, guards in left.items() if man in guards]
        left = {square: guards for square, guards in left.items() if man not in guards}
    return shared


def _protected(board: chess.Board, net: MatingNet) -> dict[chess.Square, list[chess.Square]]:
    """Return one protector of each man that stands next to the king, with those it protects."""
    found: dict[chess.Square, list[chess.Square]] = {}
    for each in net.field:
        if each.held is not None and each.guards:
            guard = min(each.guards, key=lambda square: (square in net.checkers, square))
            found.setdefault(guard, []).append(each.square)
    return found


def _name(board: chess.Board, square: chess.Square) -> str:
    """Name a man, with its square where its side has another of its kind."""
    piece = board.piece_at(square)
    assert piece is not None
    name = chess.piece_name(piece.piece_type)
    several = len(board.pieces(piece.piece_type, piece.color)) > 1
    return f"{name} on {chess.square_name(square)}" if several or piece.piece_type == chess.PAWN else name
