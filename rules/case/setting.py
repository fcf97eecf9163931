"""Another position on which a solution plays that does not play on its own diagram.

A diagram set upside down, in the wrong colours or as its mirror image, or solutions that
changed places, leave a text full of moves that cannot be played. That is one fault, and it is
believed only when the whole text plays on the other position: every move legal, every sign
true and, where the aim is known, the printed key proved.
"""

from collections.abc import Callable, Iterable
from typing import Literal

import chess
from msgspec import Struct

from ..board.stipulation import Stipulation
from ..proof import prover
from ..reading.reading import Reading, Role, State, effect_holds
from ..retro import rights

LEAST_MENTIONS = 3  # fewer moves than these may play on some other board by chance
_MOST_PLAYED = 0.7  # the part of a text's moves that may play on its own diagram, where they belong to another
MOST_NEIGHBOURS = 12  # puzzles of the file that are worth trying, the nearest first

Men = dict[chess.Square, chess.Piece]


class Change(Struct, frozen=True):
    """A way to set up a diagram wrongly: `words` say what has happened to the one printed."""

    words: str
    apply: Callable[[Men], Men]


CHANGES = (
    Change("turned upside down (by 180 degrees)", lambda men: {63 - square: piece for square, piece in men.items()}),
    Change("with the colours exchanged", lambda men: {square: _other(piece) for square, piece in men.items()}),
    Change("mirrored from left to right", lambda men: {square ^ 7: piece for square, piece in men.items()}),
    Change("mirrored from top to bottom", lambda men: {square ^ 56: piece for square, piece in men.items()}),
    Change(
        "turned upside down with the colours exchanged",
        lambda men: {63 - square: _other(piece) for square, piece in men.items()},
    ),
)


def _other(piece: chess.Piece) -> chess.Piece:
    return chess.Piece(piece.piece_type, not piece.color)


class Fitting(Struct, frozen=True):
    """The position a solution belongs to: a change of its own diagram, or the diagram at `place` in the column."""

    kind: Literal["turned", "misplaced"]
    board: chess.Board
    change: Change | None = None
    place: int | None = None


class Solution(Struct, frozen=True):
    """A solution text that can be replayed from any board.

    `replay` reads it from a board, only as far as it is faultless. `effort` limits the proof of its key,
    in million positions.
    """

    replay: Callable[[chess.Board], Reading]
    stipulation: Stipulation | None
    effort: float

    def plays(self, board: chess.Board) -> bool:
        """Tell whether all of the text is true from a board and, where the aim is known, its key proved."""
        reading = self.replay(board.copy(stack=False))
        if any(mention.state is not State.read for mention in reading.mentions) or reading.not_understood:
            return False
        if len(reading.mentions) < LEAST_MENTIONS:
            return False
        for mention in reading.mentions:
            if not all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after):
                return False
        if self.stipulation is None:
            return True
        proof = prover.prove(board, self.stipulation, effort=self.effort)
        firsts = [*reading.first_moves(Role.key), *reading.first_moves(Role.first)]
        if self.stipulation.help_play:
            firsts = [node for mention in reading.mentions for node in mention.after if node.ply == 1]
        return bool(firsts) and all(node.move in proof.keys for node in firsts)


def fitting(
    board: chess.Board, reading: Reading, solution: Solution, neighbours: Iterable[tuple[int, chess.Board]]
) -> Fitting | None:
    """Return the position that the whole solution fits, if it does not fit its own `board`, where it is `reading`.

    `neighbours` are the boards of other puzzles of the file with their places in it, the nearest first.
    """
    if len(reading.mentions) + len(reading.passed) < LEAST_MENTIONS:
        return None
    if not any(mention.state is State.impossible for mention in reading.mentions):
        return None
    played = sum(mention.state is State.read for mention in reading.mentions)
    if played > _MOST_PLAYED * (len(reading.mentions) + len(reading.passed)):
        return None
    for change in CHANGES:
        turned = conventional(change.apply(board.piece_map()), board.turn)
        if turned is not None and solution.plays(turned):
            return Fitting("turned", turned, change=change)
    for place, theirs in neighbours:
        if theirs.board_fen() != board.board_fen() and solution.plays(theirs):
            return Fitting("misplaced", theirs, place=place)
    return None


def conventional(men: Men, turn: chess.Color) -> chess.Board | None:
    """Return a board with the castling rights of the convention (WFCC Codex 16(1)), None if it cannot be played."""
    board = chess.Board(None)
    board.set_piece_map(men)
    board.turn = turn
    if board.status() & (
        chess.STATUS_PAWNS_ON_BACKRANK
        | chess.STATUS_OPPOSITE_CHECK
        | chess.STATUS_NO_WHITE_KING
        | chess.STATUS_NO_BLACK_KING
    ):
        return None
    lost = rights.judge(board).lost
    for right in rights.at_home(board):
        if right not in lost:
            board.castling_rights |= chess.BB_SQUARES[right.rook]
    return board
