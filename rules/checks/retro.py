"""What the diagram tells of the game before it: castling rights, the double step, positions no game can reach."""

import re
from collections.abc import Iterator

import chess

from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..reading.reading import State
from ..retro import rights
from ..retro.men import Men
from ..retro.moves import overfull
from ..retro.origins import origins
from .moves import impossible
from .register import rule

_SAID_UNREACHABLE = re.compile(
    r"\bun-?reachable\b|\bnot\s+(?:be\s+)?(?:reachable|reached)\b|\bcannot\s+(?:arise|be\s+reached|occur)\b"
    r"|\b(?:illegal|impossible)\s+(?:position|setting|diagram)\b|\bposition\s+(?:is\s+)?(?:illegal|impossible)\b",
    re.I,
)
_SAID_PROMOTED = re.compile(r"\bpromot(?:ed|ee)\b|\bobtrusive\b", re.I)
_SAID_RETRO = re.compile(r"\bretro|\bP\.?R\.?A\b|\bpartial\b|\bRS\b|\ba\s+posteriori\b|\b(?:Codex|16\s?\(3\))", re.I)


def _text_of(case: Case) -> str:
    """Return all words that belong to the puzzle."""
    spans = (case.puzzle.span, *case.puzzle.prose, *case.puzzle.headings)
    return "\n".join(span.of(case.masked) for span in spans)


def _judged(case: Case) -> chess.Board | None:
    """Return the board if its past can be asked about: two kings, and nobody's king open to capture."""
    return case.board if case.playable else None


@rule("castling-provably-lost", Level.error)
def castling_provably_lost(case: Case) -> Iterator[Fault]:
    """The text castles, and the diagram proves that king or rook has moved before.

    In a composition castling is allowed unless it can be proved impossible. Proved means: if
    king and rook had never moved, the position could not have come about. Perhaps no other
    man of that side can have moved last; or a promoted man can only have passed the king
    with a check that drove it away.

    Source: WFCC Codex 16(1); FIDE Laws 3.8.2.1.

    Bad:
        FEN: 4k2r/5ppp/3K4/1P4N1/8/7R/8/8 w - - 0 1
        White to move. 1.Ra3 O-O

    Good:
        White: Kd6, Rh3, Ng5, Pb5; Black: Ke8, Rh8, Nh1, Pf7, Pg7, Ph7
        White to move. 1.Ra3 O-O
    """
    yield from impossible(case, "castling-provably-lost")


@rule("lost-right-in-position", Level.note)
def lost_right_in_position(case: Case) -> Iterator[Fault]:
    """The FEN grants a castling right that the diagram disproves, and the text does not use it.

    The proof is made without the right. The repair takes the letter out of the FEN.

    Source: WFCC Codex 16(1); PGN standard 16.1.3.3.

    Bad:
        FEN: 4k2r/5ppp/3K4/1P4N1/8/7R/8/8 w k - 0 1
        Mate in two.
        Key: 1.Ra3!

    Good:
        FEN: 4k2r/5ppp/3K4/1P4N1/8/7R/8/8 w - - 0 1
        Mate in two.
        Key: 1.Ra3!
    """
    board, diagram = _judged(case), case.diagram
    if board is None or diagram is None or diagram.castling is None or diagram.castling_span is None:
        return
    if any(why.rule == "castling-provably-lost" for _, _, why in case.impossible):
        return
    for right, reason in rights.judge(board).lost.items():
        letter = _letter(right)
        if letter in diagram.castling:
            message = (
                f"by the FEN {right.may()}, and it can be proved that king or rook has moved: "
                f"if neither had, {reason} (WFCC Codex 16(1))"
            )
            rest = diagram.castling.replace(letter, "") or "-"
            yield Fault(diagram.castling_span, message, None, (Edit(diagram.castling_span, rest),))


def _letter(right: rights.Right) -> str:
    letter = "K" if right.wing == "short" else "Q"
    return letter if right.colour == chess.WHITE else letter.lower()


@rule("castling-rights-exclusive", Level.warning)
def castling_rights_exclusive(case: Case) -> Iterator[Fault]:
    """The text castles, and the diagram proves that this right and another cannot both be there.

    Each castling alone is allowed; both are not. Then the solution has several parts, one for
    each case, or, where that gives no solution, the castling played first is deemed allowed
    and shuts out the other. Silent where the text speaks of retro-analysis.

    Source: WFCC Codex 16(3).

    Bad:
        White: Ke1, Rh1, Rd4, Pa2, Pb2, Pc2, Pd2
        Black: Ke8, Ra8, Pa7, Pb7, Pc7, Pe7, Pf5, Pg7, Ph7
        White to move. 1.Ra4 O-O-O

    Good:
        White: Ke1, Rh1, Rd4, Pa2, Pb3, Pc2, Pd2
        Black: Ke8, Ra8, Pa7, Pb7, Pc7, Pe7, Pf5, Pg7, Ph7
        White to move. 1.Ra4 O-O-O
    """
    board = _judged(case)
    if board is None or case.reading is None:
        return
    castlings = [m for m in case.reading.mentions if m.phrase.castling is not None and m.state is State.read]
    if not castlings or _SAID_RETRO.search(_text_of(case)):
        return
    exclusive = rights.judge(board).exclusive
    told: set[rights.Right] = set()
    for mention in castlings:
        for node in mention.after:
            if node.parent is None or node.move is None or not node.parent.board.is_castling(node.move):
                continue
            rank = 0 if node.parent.board.turn == chess.WHITE else 7
            file = 7 if node.parent.board.is_kingside_castling(node.move) else 0
            right = rights.Right(chess.square(file, rank))
            pairs = [(pair, pair[1] if pair[0] == right else pair[0]) for pair in exclusive if right in pair[:2]]
            if right in told or not pairs:
                continue
            told.add(right)
            (_, _, reason), other = pairs[0]
            message = (
                f"{right.may()} only if {other.may('may no longer')}: "
                f"if none of these kings and rooks had moved, {reason}. The text must say which convention decides "
                "(WFCC Codex 16(3)): each case a part of its own, or the castling played first is the one allowed"
            )
            yield Fault(mention.phrase.span, message)


@rule("en-passant-right-missing", Level.warning)
def en_passant_right_missing(case: Case) -> Iterator[Fault]:
    """The FEN allows no capture en passant, and the diagram proves that the last move was the double step.

    Every other last move is impossible, so the capture is legal by convention and is counted
    as legal here. A FEN with "-" makes other people's boards refuse it; the repair names the square.

    Source: WFCC Codex 16(2); PGN standard 16.1.3.4.

    Bad:
        FEN: 6Nk/6pp/2P1P3/2KpP3/8/8/8/8 w - - 0 1
        White to move. 1.exd6 e.p.

    Good:
        White: Kc5, Ng8, Pc6, Pe5, Pe6; Black: Kh8, Pd5, Pg7, Ph7
        White to move. 1.exd6 e.p.
    """
    board, diagram = _judged(case), case.diagram
    if board is None or diagram is None or not diagram.has_en_passant_field or diagram.en_passant is not None:
        return
    if board.ep_square is not None:
        square = chess.square_name(board.ep_square)
        judged = rights.en_passant(board, board.ep_square)
        message = (
            f"the last move was provably {judged.step}, no other is possible, so en passant on {square} is open "
            f"(WFCC Codex 16(2)): put {square!r} in the fourth field of the FEN"
        )
        yield Fault(diagram.span, message)


@rule("false-double-step", Level.error)
def false_double_step(case: Case) -> Iterator[Fault]:
    """The FEN says that the last move was a double step, and the diagram proves that it was not.

    Source: PGN standard 16.1.3.4; WFCC Codex 16(2).

    Bad:
        FEN: 4k3/8/8/R2pP3/8/5b2/8/7K w - d6 0 1
        White to move. 1.Kg1

    Good:
        FEN: 4k3/8/8/R2pP3/8/8/8/7K w - d6 0 1
        White to move. 1.Kg1
    """
    board, diagram = _judged(case), case.diagram
    if board is None or diagram is None or diagram.en_passant is None:
        return
    square = diagram.en_passant
    if square in rights.en_passant_squares(board):
        judged = rights.en_passant(board, square)
        if judged.impossible and case.unreachable is None:
            message = f"the FEN says that the last move was {judged.step}, and that cannot have been the last move here"
            yield Fault(diagram.span, message)


@rule("unreachable-position", Level.warning)
def unreachable_position(case: Case) -> Iterator[Fault]:
    """No game from the initial array leads to the diagram.

    Only what is proved is reported: pawns that need more captures than there are men missing,
    pieces that can have got where they are neither from home nor by promotion, checks that no
    move can have given, a side that has no last move. The puzzle is proved all the same. Silent
    where the text says that the position cannot be reached.

    Source: FIDE Laws 3.10.3; WFCC Codex, Art. 14.

    Bad:
        FEN: rnbqkbnr/pppppppp/8/8/8/P7/P1PPPPPP/RNBQKBNR w KQkq - 0 1

    Good:
        FEN: rnbqkbnr/1ppppppp/8/8/8/P7/P1PPPPPP/RNBQKBNR w KQkq - 0 1
    """
    board, diagram = _judged(case), case.diagram
    if board is None or diagram is None or overfull(board):
        return  # reported by impossible-position
    found = case.unreachable
    if found is not None and not _SAID_UNREACHABLE.search(_text_of(case)):
        yield Fault(diagram.span, f"no game leads to this position: {found.reason}")


@rule("obtrusive-man", Level.note)
def obtrusive_man(case: Case) -> Iterator[Fault]:
    """A piece in the diagram can only have come from promotion.

    Allowed, and held to be a blemish (common practice, no source). Silent where the text
    says that a man is promoted.

    Bad:
        FEN: 7k/8/8/8/8/4B3/1P1P4/K7 w - - 0 1

    Good:
        FEN: 7k/8/8/8/8/4B3/3P4/K7 w - - 0 1
    """
    board, diagram = _judged(case), case.diagram
    if board is None or diagram is None or overfull(board) or case.unreachable is not None:
        return
    men = Men(board)
    promoted = [group for colour in chess.COLORS for group in origins(men, colour).promoted]
    if not promoted or _SAID_PROMOTED.search(_text_of(case)):
        return
    for group in promoted:
        places = [diagram.piece_spans[square] for square in group.squares if square in diagram.piece_spans]
        yield Fault(places[-1] if places else diagram.span, group.why)
