"""Guards: a man guards a square to which it could capture, even if it is pinned (FIDE Laws 3.1.2 and 3.1.3)."""

import re

import chess
from keyproof.grammar.statements import Man, Reason
from msgspec.structs import replace

from ..board.names import listing, man_at, side
from ..play.node import Node
from .judging import RIGHT, UNDECIDED, Judged, colour_of, men, says_all, shown, to_move

_OF_ITS_OWN = re.compile(r"protect|defend|guarded|covered|support|\bback|\bheld\b|help", re.I)  # done by its own side


def guarded(node: Node, reason: Reason) -> Judged | None:
    """Judge "the rook guards e4 and f4", "e4 is covered", "nothing protects the queen"."""
    if reason.also is not None:
        return _both(node, reason)
    board = node.board
    guards = None if reason.other is None else men(board, reason.other)
    if guards == []:
        gone = reason.man is not None and reason.man.moved and reason.other is not None and not reason.negated
        return Judged("wrong", f"{_named(reason.other)} is not there to guard it") if gone else None
    squares = list(reason.squares)
    if not squares:
        if reason.man is None:
            return UNDECIDED
        if reason.man.kinds == (chess.KING,):
            return UNDECIDED  # "the pawn protects the king" is said of checks
        squares = men(board, reason.man)
        if reason.man.pronoun and reason.man.text.lower() == "it" and not reason.man.moved:
            return _it(node, reason, guards, squares)
        if not squares:
            return None
    if reason.negated:
        return _unguarded(node, reason, guards, squares)
    found = [_guards(board, square, reason, guards) for square in squares]
    enough = all if reason.squares or (reason.man is not None and says_all(reason.man)) else any
    if enough(each is True for each in found):
        return RIGHT
    if any(each is None for each in found) and not (enough is all and False in found):
        return UNDECIDED
    missed = [square for square, each in zip(squares, found, strict=True) if each is False]
    if not reason.squares and reason.man is not None and reason.man.pronoun and not _has_moved(node, missed):
        return None  # "the pawn protects her" is seldom said of one that stands where she stood
    if guards is not None and set(guards) & set(missed):
        return UNDECIDED  # "the rook holds e4" may be said of one that stands there
    return _refuted(node, reason, guards, missed)


def _has_moved(node: Node, squares: list[chess.Square]) -> bool:
    """Tell whether a man on one of these squares has come there by a move of the line."""
    return any(each.move and each.move.to_square in squares for each in node.path[1:])


def _both(node: Node, reason: Reason) -> Judged | None:
    """Judge "e4 is guarded by the rook and the knight": by each of them."""
    if reason.negated or len(reason.squares) > 1:
        return UNDECIDED
    assert reason.other is not None
    each = [guarded(node, replace(reason, other=man, also=None)) for man in (reason.other, reason.also)]
    if None in each:
        return None
    return next((one for one in each if one is not None and one.verdict != "right"), RIGHT)


def _it(node: Node, reason: Reason, guards: list[chess.Square] | None, there: list[chess.Square]) -> Judged | None:
    """Judge "the knight on e2 protects it": one of the squares told of before, or a man that may be meant."""
    assert reason.man is not None
    named = [square for square in reason.man.named if reason.other is None or square not in reason.other.squares]
    if reason.negated or reason.count is not None or not named or guards is None:
        return UNDECIDED
    if reason.other is None or (reason.man.kinds and not reason.other.squares):
        return UNDECIDED
    of_square = replace(reason, man=None, squares=(named[0],))
    if any(_guards(node.board, square, of_square, guards) is not False for square in [*named, *there]):
        return RIGHT if any(_guards(node.board, square, of_square, guards) for square in named) else UNDECIDED
    return _refuted(node, of_square, guards, named)


def _guards(board: chess.Board, square: chess.Square, reason: Reason, guards: list[chess.Square] | None) -> bool | None:
    """Tell whether a square, or the man on it, is guarded as the reason says; None where it may be seen either way."""
    if reason.count is not None:
        return _times(board, square, reason.count)
    near = [guard for guard in _candidates(board, square, reason, guards) if board.attacks_mask(guard) >> square & 1]
    if near:
        return True
    through = [_through(board, guard, square) for guard in _candidates(board, square, reason, guards)]
    return True if True in through else None if None in through else False


def _candidates(
    board: chess.Board, square: chess.Square, reason: Reason, guards: list[chess.Square] | None
) -> list[chess.Square]:
    """Return the men that may be the guards: those named, or all; a protected man has them on its own side."""
    found = [each for each in (board.piece_map() if guards is None else guards) if each != square]
    if not reason.squares and _OF_ITS_OWN.search(reason.text):
        return [each for each in found if board.color_at(each) == board.color_at(square)]
    return found


def _times(board: chess.Board, square: chess.Square, count: int) -> bool | None:
    numbers = []
    for colour in chess.COLORS:
        men_of = chess.SquareSet(board.occupied_co[colour])
        behind = sum(_through(board, each, square) is None for each in men_of)
        numbers.append((len(board.attackers(colour, square)), behind))
    if any(direct >= count for direct, _ in numbers):
        return True
    return None if any(direct + behind >= count for direct, behind in numbers) else False


def _through(board: chess.Board, guard: chess.Square, square: chess.Square) -> bool | None:
    """Tell whether a line piece reaches a square through the enemy king; None if only through a man of its own line."""
    if not _on_its_line(board, guard, square):
        return False
    between = chess.SquareSet(chess.between(guard, square) & board.occupied)
    if len(between) != 1:
        return False
    (middle,) = between
    if board.piece_type_at(middle) == chess.KING and board.color_at(middle) != board.color_at(guard):
        return True
    return None if _on_its_line(board, middle, square) else False


def _on_its_line(board: chess.Board, man: chess.Square, square: chess.Square) -> bool:
    """Tell whether a man is a line piece that would reach a square, were nothing in between."""
    kind = board.piece_type_at(man)
    across = abs(chess.square_file(man) - chess.square_file(square))
    up = abs(chess.square_rank(man) - chess.square_rank(square))
    straight, oblique = 0 in (across, up), across == up
    return (kind in (chess.QUEEN, chess.ROOK) and straight) or (kind in (chess.QUEEN, chess.BISHOP) and oblique)


def _unguarded(
    node: Node, reason: Reason, guards: list[chess.Square] | None, squares: list[chess.Square]
) -> Judged | None:
    """Judge "e7 is not guarded", "the knight no longer guards e7", "nothing protects the queen"."""
    board = node.board
    if reason.count is not None:
        return UNDECIDED
    names = listing([chess.square_name(square) for square in squares])
    if guards is not None:
        free = [each for each in guards if not all(board.attacks_mask(each) >> square & 1 for square in squares)]
        if free:
            return _lost(node, reason, free[0])
        return Judged("wrong", f"{man_at(board, guards[0])} does guard {names}")
    if reason.squares:
        for square in squares:
            if not all(board.attackers(colour, square) for colour in chess.COLORS):
                return RIGHT
        square = squares[0]
        if any(not board.attackers_mask(colour, square) & ~board.kings for colour in chess.COLORS):
            return UNDECIDED  # a king that stands beside the square is seldom meant
        white, black = (next(iter(board.attackers(colour, square))) for colour in (chess.WHITE, chess.BLACK))
        what = chess.square_name(square)
        return Judged("wrong", f"{what} is guarded by {man_at(board, white)} and by {man_at(board, black)}")
    bare = [square for square in squares if not board.attackers(colour_of(board, square), square)]
    if bare:
        return RIGHT
    guard = next(iter(board.attackers(colour_of(board, squares[0]), squares[0])))
    return Judged("wrong", f"{man_at(board, squares[0])} is protected by {man_at(board, guard)}")


_LOST = re.compile(r"\b(?:no\s+longer|any\s?more|any\s+longer|guard\s+of)\b", re.I)


def _lost(node: Node, reason: Reason, guard: chess.Square) -> Judged | None:
    """Judge "no longer guards e7" where the man does not guard it: earlier in the line it must have done so."""
    if not reason.squares or not _LOST.search(reason.text):
        return RIGHT
    if len(node.path) < 2:
        return None  # it may be said before the move is told
    assert reason.other is not None
    anywhere = replace(reason.other, squares=())
    for before in node.path[:-1]:
        there = men(before.board, anywhere)
        if all(_guards(before.board, square, reason, there) is not False for square in reason.squares):
            return RIGHT
    names = listing([chess.square_name(square) for square in reason.squares])
    return Judged("wrong", f"{man_at(node.board, guard)} did not guard {names} before")


def _refuted(node: Node, reason: Reason, guards: list[chess.Square] | None, missed: list[chess.Square]) -> Judged:
    board = node.board
    square = missed[0]
    what = chess.square_name(square) if reason.squares else man_at(board, square)
    if reason.count is not None:
        counts = [f"{len(board.attackers(colour, square))} of {side(colour)}'s men" for colour in chess.COLORS]
        return Judged("wrong", f"{what} is guarded by {counts[0]} and {counts[1]}")
    moves = _capture_on(node, square)
    if guards is None:
        return Judged("wrong", f"nothing guards {what}", moves)
    if len(guards) == 1:
        return Judged("wrong", f"{man_at(board, guards[0])} does not guard {what}", moves)
    assert reason.other is not None
    return Judged("wrong", f"no {_kind(board, reason.other, guards)} guards {what}", moves)


def _named(man: Man | None) -> str:
    """Name a man that is not there, as the words do."""
    if man is None or not man.kinds:
        return "the man it may mean"
    colour = "" if man.colour is None else f"{chess.COLOR_NAMES[man.colour]} "
    return f"a {colour}{chess.piece_name(man.kinds[0])}"


def looks_at(board: chess.Board, man: chess.Square, square: chess.Square) -> bool:
    """Tell whether a man guards a square or would if nothing stood between."""
    alone = chess.Board(None)
    alone.set_piece_at(man, board.piece_at(man))
    return bool(alone.attacks_mask(man) >> square & 1)


def _kind(board: chess.Board, man: Man, there: list[chess.Square]) -> str:
    kinds = {board.piece_type_at(each) for each in there}
    kind = kinds.pop() if len(kinds) == 1 else None
    colour = "" if man.colour is None else f"{chess.COLOR_NAMES[man.colour]} "
    return f"{colour}{chess.piece_name(kind)}" if kind else f"{colour}man it may mean"


def _capture_on(node: Node, square: chess.Square) -> tuple[chess.Move, ...]:
    """Return a king's move to an unguarded square, where there is one: it shows that nothing guards the square."""
    for colour in chess.COLORS:
        moved = to_move(node, colour)
        king = node.board.king(colour)
        if moved is None or king is None:
            continue
        move = chess.Move(king, square)
        if move in moved.board.legal_moves:
            return shown(node, moved, move)
    return ()
