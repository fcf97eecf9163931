"""Which piece of the initial array each man can be, and which must have been promoted."""

from itertools import chain

import chess
from msgspec import Struct

from ..board.names import listing, name, side
from .men import Men, homes

_KINDS = (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN)


class Promoted(Struct, frozen=True):
    """Men of one kind, colour and, for bishops, shade of which at least `least` were promoted.

    `squares` are the men that are not certainly original. `why` is a clause.
    """

    kind: chess.PieceType
    colour: chess.Color
    squares: tuple[chess.Square, ...]
    least: int
    why: str


class Origins(Struct, frozen=True):
    """What the pieces of a side show: the promoted ones, or why some man cannot stand where it does."""

    promoted: tuple[Promoted, ...]
    contradiction: str = ""

    @property
    def count(self) -> int:
        """Return the least number of promoted men."""
        return sum(group.least for group in self.promoted)


def origins(men: Men, colour: chess.Color) -> Origins:
    """Match the pieces of a side with those of the initial array, as far as the fixed men let them through."""
    king = men.board.king(colour)
    if king is not None:
        home = chess.BB_SQUARES[homes(chess.KING, colour)[0]]
        if not men.reach(chess.KING, colour, home) & chess.BB_SQUARES[king]:
            return Origins(
                (), f"the {chess.COLOR_NAMES[colour]} king cannot have come to {name(king)} past men that never moved"
            )
    if not any(men.of(kind, colour) for kind in _KINDS):
        return Origins(())
    promotion = men.promotion_squares(colour)
    found: list[Promoted] = []
    for kind in _KINDS:
        masks: tuple[chess.Bitboard, ...] = (chess.BB_ALL,)
        if kind == chess.BISHOP:
            masks = (chess.BB_LIGHT_SQUARES, chess.BB_DARK_SQUARES)
        for mask in masks:
            stand = [*chess.scan_forward(men.of(kind, colour) & mask)]
            if not stand:
                continue
            ways = [
                men.reach(kind, colour, chess.BB_SQUARES[home])
                for home in homes(kind, colour)
                if chess.BB_SQUARES[home] & mask
            ]
            from_pawns = men.reach(kind, colour, promotion & mask) if promotion & mask else chess.BB_EMPTY
            group, contradiction = _match(men, kind, colour, stand, ways, from_pawns)
            if contradiction:
                return Origins((), contradiction)
            if group is not None:
                found.append(group)
    pawns = men.of(chess.PAWN, colour).bit_count()
    total = sum(group.least for group in found)
    if found and pawns + total > 8:
        why = listing([group.why for group in found])
        return Origins(tuple(found), f"{why}, and {side(colour)} has {_pawns(pawns)} on the board")
    return Origins(tuple(found))


def _match(
    men: Men,
    kind: chess.PieceType,
    colour: chess.Color,
    stand: list[chess.Square],
    ways: list[chess.Bitboard],
    from_pawns: chess.Bitboard,
) -> tuple[Promoted | None, str]:
    """Give each man an original piece if one can have come there; first those that no pawn can have become."""
    owner: dict[int, chess.Square] = {}

    def place(square: chess.Square, tried: set[int]) -> bool:
        for index, way in enumerate(ways):
            if index in tried or not way & chess.BB_SQUARES[square]:
                continue
            tried.add(index)
            if index not in owner or place(owner[index], tried):
                owner[index] = square
                return True
        return False

    noun = f"{chess.COLOR_NAMES[colour]} {chess.piece_name(kind)}"
    first = [square for square in stand if not from_pawns & chess.BB_SQUARES[square]]
    for square in first:
        if not place(square, set()):
            if any(way & chess.BB_SQUARES[square] for way in ways):
                rivals = listing([name(other) for other in first])
                return None, f"of the {noun}s on {rivals} one must be promoted, and no pawn can have become it"
            return None, f"the {noun} on {name(square)} can neither be an original one nor a promoted one"
    for square in stand:
        if square not in owner.values():
            place(square, set())
    least = len(stand) - len(owner)
    if not least:
        return None, ""
    unmatched = [square for square in stand if not any(way & chess.BB_SQUARES[square] for way in ways)]
    if len(unmatched) == least:
        names = listing([name(square) for square in unmatched])
        plural = "s" if len(unmatched) > 1 else ""
        shut = [
            name(home)
            for home in homes(kind, colour)
            if men.reach(kind, colour, chess.BB_SQUARES[home]) == chess.BB_SQUARES[home]
            and (kind != chess.BISHOP or _shade(home) == _shade(unmatched[0]))
        ]
        because = f" (the original{'s' if len(shut) > 1 else ''} never left {listing(shut)})" if shut else ""
        why = f"the {noun}{plural} on {names} {_is(least)} promoted{because}"
        return Promoted(kind, colour, tuple(unmatched), least, why), ""
    shade = f" on {'light' if _shade(stand[0]) else 'dark'} squares" if kind == chess.BISHOP else ""
    count = f"{len(stand)} {noun}s{shade}"
    return Promoted(kind, colour, tuple(stand), least, f"of the {count} at least {least} {_is(least)} promoted"), ""


def _shade(square: chess.Square) -> bool:
    return bool(chess.BB_SQUARES[square] & chess.BB_LIGHT_SQUARES)


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def _pawns(count: int) -> str:
    return "8 pawns" if count == 8 else f"{count} pawn{'s' if count != 1 else ''} still"


def capturable(men: Men, colour: chess.Color) -> int:
    """Return how many of the missing men of a side pawns that still stand on the board can have captured.

    Not those that never left the first rank of their own side: no pawn captures there and stays a pawn.
    """
    first_rank = chess.BB_RANK_1 if colour == chess.WHITE else chess.BB_RANK_8
    never = 0
    for kind in _KINDS:
        stand = men.of(kind, colour)
        ways = [men.reach(kind, colour, chess.BB_SQUARES[home]) for home in homes(kind, colour)]
        inside = [way for way in ways if not way & ~first_rank]
        if inside:
            # Men in the same closed quarters may be any of those that began there.
            quarters = set(chain(inside))
            for way in quarters:
                began = sum(other == way for other in ways)
                never += max(0, began - (stand & way).bit_count())
    return men.missing(colour) - never
