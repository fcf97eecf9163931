"""Why a position is mate, square by square, as a columnist would say it.

The net of a mate is the check, the king's field (the squares next to the king) with the
reason why each is no flight, and the men that could meet the check if they were not
pinned. FIDE Laws 1.4.1 and 3.9.
"""

import chess
from msgspec import Struct

from ..board.names import listing, side


class NoFlight(Struct, frozen=True):
    """A square of the king's field that the king cannot go to.

    `block` is the kind of the king's own man that stands there, else `guards` are the squares of the
    men that guard it, and `through_king` those of them whose line reaches it only through the king's
    own square. `held` is the kind of the mating side's man that stands there and is protected.
    """

    square: chess.Square
    block: chess.PieceType | None
    guards: tuple[chess.Square, ...]
    through_king: tuple[chess.Square, ...]
    held: chess.PieceType | None


class PinnedHelp(Struct, frozen=True):
    """A man that could capture the checking man or step between, were its own king not open to `pinners` then."""

    man: chess.Square
    target: chess.Square
    capture: bool
    en_passant: bool
    pinners: tuple[chess.Square, ...]


class MatingNet(Struct, frozen=True):
    """Everything that makes a position mate; squares in the order a1, b1 ... h8."""

    king: chess.Square
    checkers: tuple[chess.Square, ...]
    field: tuple[NoFlight, ...]
    pinned: tuple[PinnedHelp, ...]

    @property
    def through_king(self) -> tuple[chess.Square, ...]:
        """The squares of the field that are guarded through the king only."""
        return tuple(each.square for each in self.field if each.guards and each.guards == each.through_king)


def mating_net(board: chess.Board) -> MatingNet:
    """Take a mate apart. ValueError if the side to move is not mated."""
    if not board.is_checkmate():
        raise ValueError(f"the side to move is not mated ({board.fen()})")
    king = board.king(board.turn)
    assert king is not None
    return MatingNet(
        king,
        tuple(board.checkers()),
        tuple(_no_flight(board, king, square) for square in chess.SquareSet(chess.BB_KING_ATTACKS[king])),
        tuple(_pinned(board)),
    )


def _no_flight(board: chess.Board, king: chess.Square, square: chess.Square) -> NoFlight:
    man = board.piece_at(square)
    if man is not None and man.color == board.turn:
        return NoFlight(square, man.piece_type, (), (), None)
    direct = board.attackers(not board.turn, square)
    gone = board.copy(stack=False)
    gone.remove_piece_at(king)
    guards = gone.attackers(not board.turn, square)
    through = guards - direct
    return NoFlight(square, None, tuple(guards), tuple(through), man.piece_type if man else None)


def _pinned(board: chess.Board) -> list[PinnedHelp]:
    """Return the moves that meet every check and are illegal all the same: they open another line to the king."""
    king = board.king(board.turn)
    assert king is not None
    checkers = board.checkers()
    found = []
    for move in board.pseudo_legal_moves:
        if move.from_square == king or move.promotion not in (None, chess.QUEEN):
            continue
        after = board.copy(stack=False)
        after.push(move)
        attackers = after.attackers(not board.turn, king)
        if attackers and not attackers & checkers:
            capture, en_passant = board.is_capture(move), board.is_en_passant(move)
            found.append(PinnedHelp(move.from_square, move.to_square, capture, en_passant, tuple(attackers)))
    return sorted(found, key=lambda each: (each.man, each.target))


def sentences(board: chess.Board, net: MatingNet) -> list[str]:
    """Say the net in whole sentences, man by man: who gives check and guards what, what is blocked, who is pinned.

    No sentence holds a printed move, so that the text around keeps its own.
    """
    said = []
    if len(net.checkers) > 1:
        said.append(f"{_capitalised(_men(board, net.checkers))} give check together, so only the king could move.")
    guards = [each for each in chess.SquareSet(board.occupied_co[not board.turn]) if each not in net.checkers]
    for square in (*net.checkers, *guards):
        deeds = ["gives check"] if net.checkers == (square,) else []
        deeds.extend(_deeds(board, net, square))
        if deeds:
            said.append(f"{_capitalised(man_on(board, square))} {listing(deeds)}.")
    said.extend(_blocks(board, net))
    said.extend(_pin(board, pinned) for pinned in net.pinned)
    return said


def _deeds(board: chess.Board, net: MatingNet, man: chess.Square) -> list[str]:
    """Say what one man does to the king's field."""
    guarded = [each for each in net.field if man in each.guards and each.held is None]
    direct = [each.square for each in guarded if man not in each.through_king]
    through = [each.square for each in guarded if man in each.through_king]
    held = [each.square for each in net.field if man in each.guards and each.held is not None]
    deeds = []
    if direct:
        deeds.append(f"guards {_squares(direct)}")
    if through:
        deeds.append(f"guards {_squares(through)} through the king's own square")
    if held:
        deeds.append(f"protects {listing([man_on(board, square) for square in held])}")
    return deeds


def _blocks(board: chess.Board, net: MatingNet) -> list[str]:
    name = side(board.turn)
    blocked: dict[chess.PieceType, list[chess.Square]] = {}
    for each in net.field:
        if each.block is not None:
            blocked.setdefault(each.block, []).append(each.square)
    said = []
    for kind, squares in blocked.items():
        several = len(squares) > 1
        verb = "block" if several else "blocks"
        said.append(f"{name}'s own {chess.piece_name(kind)}{'s' if several else ''} {verb} {_squares(squares)}.")
    return said


def man_on(board: chess.Board, square: chess.Square) -> str:
    """Name a man without its colour: "the queen on b4"."""
    kind = board.piece_type_at(square)
    assert kind is not None
    return f"the {chess.piece_name(kind)} on {chess.square_name(square)}"


def _men(board: chess.Board, squares: tuple[chess.Square, ...]) -> str:
    return listing([man_on(board, square) for square in squares])


def _squares(squares: list[chess.Square]) -> str:
    return listing([chess.square_name(square) for square in squares])


def _capitalised(words: str) -> str:
    return words[0].upper() + words[1:]


def _pin(board: chess.Board, pinned: PinnedHelp) -> str:
    target = chess.square_name(pinned.target)
    if pinned.en_passant:
        what = f"cannot capture en passant on {target}"
    elif pinned.capture:
        what = f"cannot capture on {target}"
    else:
        what = f"cannot step between on {target}"
    man, pinners = _capitalised(man_on(board, pinned.man)), _men(board, pinned.pinners)
    if board.is_pinned(board.turn, pinned.man):
        return f"{man} {what}, because it is pinned by {pinners}."
    return f"{man} {what}, because that would open the line of {pinners}."
