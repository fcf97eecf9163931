"""Whether the pawns can have come to their squares with the captures that were made.

A pawn changes its file only by capturing, one file at a time, and each capture costs the
other side one of its missing men. Two pawns that began on one file can pass each other,
and a pawn can be promoted past its opposite number, only after somebody left the file.
"""

from collections.abc import Iterator
from functools import lru_cache

import chess
from msgspec import Struct

from ..board.names import listing, name, side
from .men import Men
from .origins import Origins, capturable

MOST_STORIES = 4000


class _Budget(Struct, frozen=True):
    """The captures one side can have made: by pawns still on the board, and by all its pawns."""

    standing: int
    every: int


def contradiction(men: Men, white: Origins, black: Origins) -> str:
    """Return why the pawns cannot have come to their squares, as a clause; empty if that is not proved."""
    if not (white.promoted or black.promoted) and _at_home_on_their_files(men):
        return ""
    pawns = {colour: men.of(chess.PAWN, colour) for colour in chess.COLORS}
    promoted = {chess.WHITE: white.count, chess.BLACK: black.count}
    lost = {colour: men.missing(colour) for colour in chess.COLORS}
    budgets = {colour: _Budget(capturable(men, not colour), lost[not colour]) for colour in chess.COLORS}
    for colour in chess.COLORS:
        needed = least_captures(pawns[colour], colour)
        if needed is None:
            return f"{side(colour)}'s pawns cannot all come from the {_rank(colour)} rank"
        if needed > budgets[colour].standing:
            return _too_many(men, colour, needed, budgets[colour])
    white_stories = _Stories(pawns[chess.WHITE], chess.WHITE, budgets[chess.WHITE].standing)
    black_stories = _Stories(pawns[chess.BLACK], chess.BLACK, budgets[chess.BLACK].standing)
    looked = 0
    for ours in white_stories:
        for theirs in black_stories:
            looked += 1
            if looked > MOST_STORIES or _fits(ours, theirs, promoted, budgets):
                return ""
    return _no_story(promoted, lost, white, black)


def _at_home_on_their_files(men: Men) -> bool:
    """Tell whether no pawn need have captured: no two of a side share a file, and none has passed another."""
    white, black = (men.of(chess.PAWN, colour) for colour in (chess.WHITE, chess.BLACK))
    for file in chess.BB_FILES:
        ours, theirs = white & file, black & file
        if ours & (ours - 1) or theirs & (theirs - 1) or (theirs and ours > theirs):
            return False
    return True


def _rank(colour: chess.Color) -> str:
    return "second" if colour == chess.WHITE else "seventh"


def _too_many(men: Men, colour: chess.Color, needed: int, budget: _Budget) -> str:
    crowded = _crowded(men.of(chess.PAWN, colour))
    where = f" (those on {listing([name(square) for square in crowded])} among them)" if crowded else ""
    if budget.standing < budget.every:
        lost = f"has lost {_men(budget.every)}, {budget.every - budget.standing} of which fell at home, to no pawn"
    else:
        lost = f"has lost only {_men(budget.every)}" if budget.every else "has lost no man"
    need = f"need at least {needed} capture{'s' if needed > 1 else ''} to stand where they do"
    return f"{side(colour)}'s pawns{where} {need}, and {side(not colour)} {lost}"


def _crowded(pawns: chess.Bitboard) -> list[chess.Square]:
    return [
        square
        for square in chess.scan_forward(pawns)
        if (pawns & chess.BB_FILES[chess.square_file(square)]).bit_count() > 1
    ]


def _men(count: int) -> str:
    return "one man" if count == 1 else f"{count} men"


def _no_story(promoted: dict[chess.Color, int], lost: dict[chess.Color, int], white: Origins, black: Origins) -> str:
    why = [group.why for side_origins in (white, black) for group in side_origins.promoted]
    first = f"{listing(why)}; " if any(promoted.values()) else ""
    return (
        f"{first}the pawns cannot have passed one another as they must have done: that takes more captures than the "
        f"{lost[chess.WHITE]} white and {lost[chess.BLACK]} black men that are missing allow"
    )


@lru_cache(maxsize=4096)
def _ways(pawns: chess.Bitboard, colour: chess.Color) -> tuple[tuple[chess.Square, tuple[int, ...]], ...]:
    """Return each pawn with the files it can come from, the nearest first; the pawns with the fewest come first."""
    found = []
    for square in chess.scan_forward(pawns):
        file, rank = chess.square_file(square), chess.square_rank(square)
        steps = rank - 1 if colour == chess.WHITE else 6 - rank
        near = [origin for origin in range(8) if abs(origin - file) <= steps]
        found.append((square, tuple(sorted(near, key=lambda origin: abs(origin - file)))))
    return tuple(sorted(found, key=lambda each: len(each[1])))


@lru_cache(maxsize=4096)
def least_captures(pawns: chess.Bitboard, colour: chess.Color) -> int | None:
    """Return the least number of captures that brings pawns of a side to these squares, None if nothing does."""
    best: dict[int, int] = {0: 0}
    for square, ways in _ways(pawns, colour):
        further: dict[int, int] = {}
        for used, cost in best.items():
            for origin in ways:
                if used & 1 << origin:
                    continue
                key, total = used | 1 << origin, cost + abs(origin - chess.square_file(square))
                if total < further.get(key, 99):
                    further[key] = total
        best = further
    return min(best.values(), default=None)


class _Story(Struct, frozen=True):
    """Which file each standing pawn came from; `stayed` has the rank of those still on their file, by file."""

    cost: int
    used: int
    stayed: dict[int, int]


class _Stories:
    """The ways in which the standing pawns of a side can have come from their files, as long as captures last."""

    def __init__(self, pawns: chess.Bitboard, colour: chess.Color, captures: int) -> None:
        self.ways = _ways(pawns, colour)
        self.captures = captures

    def __iter__(self) -> Iterator[_Story]:
        yield from self._further(0, 0, 0, {})

    def _further(self, index: int, used: int, cost: int, stayed: dict[int, int]) -> Iterator[_Story]:
        if index == len(self.ways):
            yield _Story(cost, used, stayed)
            return
        square, ways = self.ways[index]
        file = chess.square_file(square)
        for origin in ways:
            total = cost + abs(origin - file)
            if used & 1 << origin or total > self.captures:
                continue
            now = {**stayed, file: chess.square_rank(square)} if origin == file else stayed
            yield from self._further(index + 1, used | 1 << origin, total, now)


def _fits(white: _Story, black: _Story, promoted: dict[chess.Color, int], budgets: dict[chess.Color, _Budget]) -> bool:
    """Tell whether two stories go together within the captures both sides can have made."""
    crossed = sum(rank > black.stayed[file] for file, rank in white.stayed.items() if file in black.stayed)
    # A promoted pawn from a file on which its opposite number still stands left that file.
    stuck_white = _stuck(white.used, black, promoted[chess.WHITE])
    stuck_black = _stuck(black.used, white, promoted[chess.BLACK])
    ours, theirs = budgets[chess.WHITE], budgets[chess.BLACK]
    for by_white in range(crossed + 1):  # one of the two leaves the file and comes back: two captures
        left_white = 2 * by_white
        left_black = 2 * (crossed - by_white)
        if white.cost + left_white > ours.standing or black.cost + left_black > theirs.standing:
            continue
        for white_goes in range(stuck_white + 1):  # it leaves, or the standing pawn leaves and comes back
            for black_goes in range(stuck_black + 1):
                total_white = white.cost + left_white + white_goes + 2 * (stuck_black - black_goes)
                total_black = black.cost + left_black + black_goes + 2 * (stuck_white - white_goes)
                if total_white <= ours.every and total_black <= theirs.every:
                    return True
    return False


def _stuck(used: int, other: _Story, promoted: int) -> int:
    """Return how many promoted pawns, at the least, come from files on which the opposite pawn stayed."""
    free = [file for file in range(8) if not used & 1 << file]
    clear = sum(file not in other.stayed for file in free)
    return max(0, promoted - clear)
