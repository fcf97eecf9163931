"""The position of a puzzle, set up with the rights and the side to move that text and diagram tell."""

from functools import cached_property

import chess
from keyproof.grammar.document import Diagram

from ..board.endings import Tables, open_tables
from ..play import castling
from ..proof import prover
from ..proof.limits import Cancel
from ..retro import past
from .asking import Asking
from .before import with_the_past

# Faults that leave nothing to play: no king to mate, or a king that could be captured.
UNPLAYABLE = (
    chess.STATUS_NO_WHITE_KING
    | chess.STATUS_NO_BLACK_KING
    | chess.STATUS_TOO_MANY_KINGS
    | chess.STATUS_PAWNS_ON_BACKRANK
    | chess.STATUS_OPPOSITE_CHECK
    | chess.STATUS_EMPTY
)

LIKELY = 1  # million positions to find out what a puzzle may ask for


class SetUp(Asking, dict=True):
    """A puzzle's text and the position it stands on.

    `effort` limits each proof, in million positions. `cancel` stops the proofs, which are then incomplete.
    `tables_folder` holds endgame tables. `as_stated`: the fields of a FEN count whatever the diagram proves.
    """

    effort: float = prover.DEFAULT_EFFORT
    cancel: Cancel | None = None
    tables_folder: str | None = None
    as_stated: bool = False

    @cached_property
    def diagram(self) -> Diagram | None:
        """The printed position that is used: the first one that could be read."""
        return next((diagram for diagram in self.puzzle.diagrams if not diagram.faults), None)

    @cached_property
    def board(self) -> chess.Board | None:
        """The position under the composition conventions, None where none was printed.

        A list or a drawn board states no castling right, so king and rook at home may
        castle (WFCC Codex 16(1)); a FEN states the rights. Either way a right that is proved
        lost is none, and a capture en passant is open where the double step is proved (16(2)) or the text tells it.
        """
        diagram = self.diagram
        return None if diagram is None else self._set_up(diagram, self._turn(diagram))

    def _set_up(self, diagram: Diagram, turn: chess.Color) -> chess.Board:
        board = chess.Board(None)
        board.set_piece_map(diagram.pieces)
        board.turn = turn
        for colour in chess.COLORS:
            if not board.kings & chess.BB_SQUARES[castling.king_home(colour)]:
                continue
            for wing in ("short", "long"):
                letter = ("K" if wing == "short" else "Q") if colour else ("k" if wing == "short" else "q")
                at_home = self.at_home(board, colour, wing)
                if at_home and (diagram.castling is None or letter in diagram.castling):
                    board.castling_rights |= chess.BB_SQUARES[castling.rook_home(colour, wing)]
        board.ep_square = diagram.en_passant
        if board.status() & chess.STATUS_INVALID_EP_SQUARE:
            board.ep_square = None  # a field that no double step explains is reported and opens no capture
        if not board.status() & UNPLAYABLE:
            with_the_past(board, diagram, self.as_stated, self.masked, self.puzzle.stretches)
        return board

    def _turn(self, diagram: Diagram) -> chess.Color:
        if self.stated is not None and self.stated.help_play:
            return self.stated.first_to_move  # a FEN copied for help play often says "w" all the same
        if self.side_claims:
            said = self.side_claims[0][0]  # against the FEN too: its "b" is the likelier slip
            slip = diagram.turn is (not said) and self._solves(diagram, not said) and not self._solves(diagram, said)
            return said != slip  # but not against the proof
        if diagram.turn is not None:
            return diagram.turn
        return self.stated.first_to_move if self.stated is not None else chess.WHITE

    def _solves(self, diagram: Diagram, side: chess.Color) -> bool:
        """Tell whether a side that begins can do what a direct puzzle asks for."""
        board = self._set_up(diagram, side)
        if self.stated is None or self.stated.genre != "#" or board.status() & UNPLAYABLE:
            return False
        return bool(prover.prove(board, self.stated, effort=LIKELY, cancel=self.cancel).keys)

    @staticmethod
    def at_home(board: chess.Board, colour: chess.Color, wing: str) -> bool:
        """Tell whether king and rook of the castling stand on their original squares."""
        king, rook = chess.Piece(chess.KING, colour), chess.Piece(chess.ROOK, colour)
        return (
            board.piece_at(castling.king_home(colour)) == king
            and board.piece_at(castling.rook_home(colour, wing)) == rook
        )

    @cached_property
    def unreachable(self) -> past.Contradiction | None:
        """Why no game leads to the position, None if that is not proved. Asked only where it is `playable`."""
        assert self.board is not None
        return past.contradiction(self.board)

    @cached_property
    def men(self) -> dict[chess.Square, chess.Piece]:
        """The men of the position by square."""
        return {} if self.board is None else self.board.piece_map()

    @cached_property
    def playable(self) -> bool:
        """True if there is a position from which moves can be played."""
        return self.board is not None and not self.board.status() & UNPLAYABLE

    @cached_property
    def tables(self) -> Tables | None:
        """The endgame tables of the run, None where none were given."""
        return None if self.tables_folder is None else open_tables(self.tables_folder)
