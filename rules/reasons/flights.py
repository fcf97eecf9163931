"""Flights: the squares a king can go to, how many there are, and which a move gives or takes."""

import re

import chess
from keyproof.grammar.statements import Reason

from ..board.names import listing, man_at
from ..play.node import Node
from .guards import guarded
from .judging import RIGHT, UNDECIDED, Judged, colour_of, men, says_all, shown, to_move


def immobile(node: Node, reason: Reason) -> Judged | None:
    """Judge "the pawn on b3 is stuck", "the bishop cannot move": the man has no legal move."""
    there = [] if reason.man is None else men(node.board, reason.man)
    if reason.man is None or reason.negated:
        return UNDECIDED
    if not there:
        return None
    if node.board.is_check() and any(node.board.piece_type_at(square) != chess.KING for square in there):
        return None  # then no man has many moves, and the words are not meant so
    moves = [_moves(node, square) for square in there]
    enough = all if says_all(reason.man) else any
    if enough(each == [] for each in moves):
        return RIGHT
    if None in moves:
        return UNDECIDED
    square, free = next((square, found) for square, found in zip(there, moves, strict=True) if found)
    moved = to_move(node, colour_of(node.board, square))
    assert moved is not None
    can = chess.square_name(free[0].to_square)
    return Judged("wrong", f"{man_at(node.board, square)} can move to {can}", shown(node, moved, free[0]))


def _moves(node: Node, square: chess.Square) -> list[chess.Move] | None:
    """Return the legal moves of a man, castling left out; None where its side cannot be given the move."""
    moved = to_move(node, colour_of(node.board, square))
    if moved is None:
        return None
    board = moved.board
    return [each for each in board.generate_legal_moves(chess.BB_SQUARES[square]) if not board.is_castling(each)]


def flights_of(node: Node, square: chess.Square) -> list[chess.Square]:
    """Return the squares a man can go to, were it its side's move, castling left out."""
    return sorted({move.to_square for move in _moves(node, square) or ()})


def flights(node: Node, reason: Reason) -> Judged | None:
    """Judge "the king has two squares, b3 and d3", "the king has nowhere to go", "the only flight is e6"."""
    board = node.board
    if reason.negated:
        return UNDECIDED
    there = [king for colour in chess.COLORS if (king := board.king(colour)) is not None]
    if reason.man is not None:
        there = men(board, reason.man)
    if not there:
        return None
    if reason.man is None or reason.man.pronoun:  # "he has only c4" may be told of a pawn
        near = [king for king in there if all(chess.square_distance(king, each) == 1 for each in reason.squares)]
        if not near:
            return UNDECIDED
    verdicts = [_has(node, square, reason) for square in there]
    if None in verdicts and len(there) > 1:  # in check, of which the attacker's king cannot be given the move
        defender = not node.path[0].board.turn
        verdicts = [each for each, square in zip(verdicts, there, strict=True) if colour_of(board, square) == defender]
    if True in verdicts:
        return RIGHT
    if None in verdicts:
        return UNDECIDED
    square = next((each for each in there if colour_of(board, each) != node.path[0].board.turn), there[0])
    return _refuted(node, square, reason)


def _has(node: Node, square: chess.Square, reason: Reason) -> bool | None:
    """Tell whether a man has the squares it is said to have; captures may be counted or not."""
    moves = _moves(node, square)
    if moves is None:
        return None
    targets = {move.to_square for move in moves}
    quiet = {target for target in targets if node.board.piece_at(target) is None}
    if not targets >= set(reason.squares):
        return False
    if reason.count is None:
        return bool(targets)
    return reason.count in (len(targets), len(quiet))


def _refuted(node: Node, square: chess.Square, reason: Reason) -> Judged:
    board = node.board
    name, moves = man_at(board, square), _moves(node, square) or []
    targets = sorted({move.to_square for move in moves})
    moved = to_move(node, colour_of(board, square))
    assert moved is not None
    absent = [each for each in reason.squares if each not in targets]
    if absent:
        return Judged("wrong", f"{name} cannot go to {chess.square_name(absent[0])}{_guard(board, square, absent[0])}")
    if not targets:
        return Judged("wrong", f"{name} has no square to go to")
    extra = next((move for move in moves if move.to_square not in reason.squares), moves[0])
    can = listing([chess.square_name(each) for each in targets])
    only = " only" if reason.count is not None and reason.count > len(targets) else ""
    return Judged("wrong", f"{name} can go to {can}{only}", shown(node, moved, extra))


def _guard(board: chess.Board, king: chess.Square, square: chess.Square) -> str:
    """Say why a king cannot go to a square."""
    colour = colour_of(board, king)
    if chess.square_distance(king, square) > 1:
        return ", which is not next to it"
    if board.color_at(square) == colour:
        return f", where {man_at(board, square)} stands"
    guards = board.attackers(not colour, square)
    return f", which {man_at(board, next(iter(guards)))} guards" if guards else ""


# -- given and taken ---------------------------------------------------------------


def flight_given(node: Node, reason: Reason) -> Judged | None:
    """Judge "the key gives the king a flight on d5": a square to go to that it had not before the move."""
    return _changed(node, reason, gives=True)


def flight_taken(node: Node, reason: Reason) -> Judged | None:
    """Judge "the queen takes d5 from the king", "takes a flight": a square it cannot go to after the move."""
    return _changed(node, reason, gives=False)


def _changed(node: Node, reason: Reason, *, gives: bool) -> Judged | None:
    if reason.negated:
        return UNDECIDED
    if not gives and reason.squares:
        judged = guarded(node, reason)
        takers = [] if reason.other is None else men(node.board, reason.other)
        stands = all(square in takers for square in reason.squares)
        if stands or judged is None or judged.verdict != "wrong":
            return RIGHT if stands else judged
    if node.parent is None or not node.move or (gives and node.board.is_game_over()):
        return None
    mover = node.parent.board.turn
    colour = mover if re.search(r"\bown\b", reason.text, re.I) else not mover
    if reason.man is not None and reason.man.colour is not None:
        colour = reason.man.colour
    found = _change(node, node.parent, colour, reason, gives)
    if found is not False:
        return RIGHT if found else UNDECIDED
    king = node.board.king(colour)
    assert king is not None
    name = man_at(node.board, king)
    targets = {move.to_square for move in _moves(node, king) or []}
    if reason.squares:
        wrong = [each for each in reason.squares if (each in targets) != gives] or list(reason.squares)
        what = chess.square_name(wrong[0])
        if not gives:
            return Judged("wrong", f"{name} can go to {what}")
        return Judged("wrong", f"{name} cannot go to {what}{_guard(node.board, king, wrong[0])}")
    what = "no flight that it had not before" if gives else "every flight that it had before"
    return Judged("wrong", f"{name} has {what}")


def _change(node: Node, parent: Node, colour: chess.Color, reason: Reason, gives: bool) -> bool | None:
    """Tell whether the move into `node` gave a king the flights, or took them; None where it cannot be compared."""
    king = node.board.king(colour)
    if king is None or parent.board.king(colour) != king:
        return False
    if any(chess.square_distance(king, square) > 1 for square in reason.squares):
        return False if gives else None
    earlier, later = _moves(parent, king), _moves(node, king)
    if earlier is None or later is None:
        return None
    before, after = ({move.to_square for move in moves} for moves in (earlier, later))
    changed = after - before if gives else before - after
    if reason.squares:
        if changed >= set(reason.squares):
            return True
        unchanged = after if gives else set(chess.SQUARES) - after
        return None if unchanged >= set(reason.squares) else False
    if reason.count is not None and reason.count > len(changed):
        return None if changed else False
    return bool(changed)
