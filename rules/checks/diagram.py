"""The diagram and its caption: position, piece count, side to move, stipulation."""

from collections.abc import Iterator

import chess
from keyproof.grammar.spans import Span

from ..board.names import listing, side
from ..board.playable import too_many
from ..case.case import Case
from ..case.men_counts import false_counts
from ..finding import Fault, Level
from ..reading.reading import Role
from .register import rule


@rule("unreadable-position", Level.error)
def unreadable_position(case: Case) -> Iterator[Fault]:
    """The printed position cannot be read: a rank with nine squares, an unknown letter, two men on a square.

    Words that only keyproof does not know are noted, and are no error.

    Source: PGN standard 16.1 for FEN.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/9 w - - 0 1
        Mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
    """
    for diagram in case.puzzle.diagrams:
        for fault in diagram.faults:
            yield Fault(fault.span, fault.message, level=Level.note if fault.unread else None)


@rule("impossible-position", Level.error)
def impossible_position(case: Case) -> Iterator[Fault]:
    """The position cannot arise: a king is missing, a pawn stands on the first or last rank, there are too many men.

    Source: FIDE Laws 3.10.3; a promoted man costs a pawn (3.7.3.3), so the pawns left and the
    men beyond the first set are at most eight a side.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/P7 w - - 0 1
        Mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
    """
    board, diagram = case.board, case.diagram
    if board is None or diagram is None:
        return
    for message in _faults_of(board):
        yield Fault(diagram.span, message)


def _faults_of(board: chess.Board) -> Iterator[str]:
    for colour in chess.COLORS:
        kings = len(board.pieces(chess.KING, colour))
        if kings != 1:
            yield f"{side(colour)} has {kings or 'no'} king{'s' if kings > 1 else ''}"
    pawns = chess.SquareSet(board.pawns & (chess.BB_RANK_1 | chess.BB_RANK_8))
    if pawns:
        where = listing([chess.square_name(square) for square in pawns])
        yield f"a pawn cannot stand on {where}"
    status = board.status()
    if status & chess.STATUS_OPPOSITE_CHECK and not status & (chess.STATUS_NO_WHITE_KING | chess.STATUS_NO_BLACK_KING):
        yield f"{side(not board.turn)} is in check while {side(board.turn)} is to move"
    yield from too_many(board)


@rule("diagrams-differ", Level.error)
def diagrams_differ(case: Case) -> Iterator[Fault]:
    """The same puzzle is printed twice (FEN, list of men, drawn board), and the two do not agree.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        White: Kf2, Re5, Nd6; Black: Kg4, Ph5
        Mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        White: Kf2, Re5, Ne6; Black: Kg4, Ph5
        Mate in two.
    """
    first = case.diagram
    if first is None:
        return
    for other in case.puzzle.diagrams:
        if other is first or other.faults or other.pieces == first.pieces:
            continue
        squares = sorted(square for square in chess.SQUARES if first.pieces.get(square) != other.pieces.get(square))
        told = [f"{chess.square_name(square)} {_man(other.pieces.get(square))}" for square in squares[:4]]
        rest = f" and {len(squares) - 4} more squares" if len(squares) > 4 else ""
        kinds = {"fen": "the FEN", "list": "the list of men", "board": "the drawn board"}
        where = "above" if first.span < other.span else "below"
        message = f"this does not agree with {kinds[first.kind]} {where}: here {listing(told)}{rest}"
        span = next((other.piece_spans[square] for square in squares if square in other.piece_spans), other.span)
        yield Fault(span, message)


def _man(piece: chess.Piece | None) -> str:
    if piece is None:
        return "is empty"
    return f"holds a {chess.COLOR_NAMES[piece.color]} {chess.piece_name(piece.piece_type)}"


@rule("wrong-piece-count", Level.error)
def wrong_piece_count(case: Case) -> Iterator[Fault]:
    """The count of men in the caption, "(3+2)", does not fit the diagram.

    So is that of one side, "White (8)" over a list of men, and those told in words before the first
    move ("White has eight men and Black has nine", "White five, Black four", "twelve men on the board", "seven men
    against five", which leaves open whose they are). White is counted first, kings and pawns included
    (common practice, no source). The count is there to catch a wrongly copied diagram.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        (3+3) Mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        (3+2) Mate in two.
    """
    for span, message in false_counts(case):
        yield Fault(span, message)


@rule("wrong-side-to-move", Level.error)
def wrong_side_to_move(case: Case) -> Iterator[Fault]:
    """The FEN and the text name different sides to move.

    Source: PGN standard 16.1.3.2.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 b - - 0 1
        White to play and mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        White to play and mate in two.
    """
    diagram = case.diagram
    if diagram is None or diagram.turn is None:
        return
    for colour, span in case.side_claims:
        helped = case.stipulation and case.stipulation.help_play
        if colour != diagram.turn and not (helped or _heads_set_play(case, span)):
            yield Fault(span, f"the text lets {side(colour)} begin, the FEN {side(diagram.turn)}")
            return


def _heads_set_play(case: Case, words: Span) -> bool:
    """Tell whether words stand above the set play: "Diagram, Black to move: 1...Kd5 2.Qe4#"."""
    told = () if case.reading is None else case.reading.mentions
    behind = [each for each in told if each.phrase.span.start >= words.end]
    return bool(behind) and min(behind, key=lambda each: each.phrase.span.start).role is Role.set_play


@rule("no-stipulation", Level.warning)
def no_stipulation(case: Case) -> Iterator[Fault]:
    """A puzzle with a solution does not say what is asked for, so no key can be judged.

    Only a note where the key it gives is the one first move that mates in two, or in three: then nobody is left in
    doubt.

    One line for the whole file, before the first diagram, is enough ("All are mates in two").

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Key: 1.Kg2! Kh4 2.Re4#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Key: 1.Kg2!
    """
    if case.reading is None or case.stated is not None or case.diagram is None:
        return
    if case.supposed is not None and case.supposed.words is not None:
        return
    if case.result is not None or case.other_genre is not None:
        return
    for mention in case.reading.first_moves(Role.key).values():
        if mention.marked:
            message = "a key is printed, and nothing says what it should achieve: mate in how many?"
            told = None if case.likely is None else case.likely[0]
            sure = told is not None and mention.after == [case.reading.diagram.play(move) for move in told.keys]
            yield Fault(mention.phrase.span, message, level=Level.note if sure else None)
            return
