"""Moves that cannot be played, or are not printed as they are played."""

from collections.abc import Iterator
from itertools import chain

import chess
from keyproof.grammar.moves import Effect

from ..board.names import man_at
from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, State
from .becomes import is_told_apart
from .register import rule
from .roots import after_false_key, from_falsely_signed, sound_mentions
from .singled import singled
from .untold import untold


def impossible(case: Case, name: str) -> Iterator[Fault]:
    """Report the mentions whose reason for being unplayable is the rule `name`."""
    found = [entry for entry in case.impossible if entry[2].rule == name]
    if not found:
        return
    judged = {id(mention) for mention in sound_mentions(case)}
    for mention, node, why in found:
        if id(mention) in judged and not _explained(case, node):
            line = node.evidence() if node.moves else None
            rest = "; the rest of this line was not examined" if _goes_on(case, mention) else ""
            yield Fault(mention.phrase.span, why.message + rest, line, why.repair)


def _explained(case: Case, node: Node) -> bool:
    """Tell whether the fault lies in the moves before and is reported there."""
    return after_false_key(case, node) or from_falsely_signed(case, node)


def _goes_on(case: Case, mention: Mention) -> bool:
    """Tell whether the line that `mention` breaks off is printed further."""
    assert case.reading is not None
    following = case.reading.mentions[case.reading.mentions.index(mention) + 1 :]
    return bool(following) and following[0].state is State.not_examined


@rule("illegal-move", Level.error)
def illegal_move(case: Case) -> Iterator[Fault]:
    """No man of the printed kind can go to the printed square.

    The message says what a person would: there is no such man, another man stands in
    the way, one's own man stands on the square, a pawn is blocked. Where another man
    can go there, it is named, since a wrong letter is the commonest misprint. What
    follows in the same line of play is not examined, and the message says so.

    Source: FIDE Laws 3.1 to 3.7.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Be4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    yield from impossible(case, "illegal-move")


@rule("move-after-the-end", Level.error)
def move_after_the_end(case: Case) -> Iterator[Fault]:
    """A move is printed after mate or stalemate.

    Source: FIDE Laws 5.1.1 and 5.2.1: mate and stalemate end the game at once.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4# Kh3, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#
        1...h4 2.Rg5#
    """
    yield from impossible(case, "move-after-the-end")


@rule("wrong-side", Level.error)
def wrong_side(case: Case) -> Iterator[Fault]:
    """The move is printed where it is the other side's turn.

    Source: FIDE Laws 1.1: the players move alternately.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Re4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    yield from impossible(case, "wrong-side")


@rule("wrong-origin", Level.error)
def wrong_origin(case: Case) -> Iterator[Fault]:
    """The man that can go there does not stand on the file, rank or square that is printed.

    Source: FIDE Laws C.10, PGN standard 8.2.3.4. The repair puts the right letter or digit.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Rd5-e4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kf2-g2! Kg4-h4 2.Re5-e4#, 1...h5-h4 2.Re5-g5#
    """
    yield from impossible(case, "wrong-origin")


@rule("pinned-man-moves", Level.error)
def pinned_man_moves(case: Case) -> Iterator[Fault]:
    """The man is pinned: moving it would leave its own king in check.

    Source: FIDE Laws 3.9.2.

    Bad:
        FEN: 7k/6n1/8/8/8/8/1B6/K7 b - - 0 1
        1...Nf5

    Good:
        FEN: 7k/6b1/8/8/8/8/1B6/K7 b - - 0 1
        1...Be5
    """
    yield from impossible(case, "pinned-man-moves")


@rule("king-into-check", Level.error)
def king_into_check(case: Case) -> Iterator[Fault]:
    """The king would step onto a guarded square.

    A pinned man still guards (FIDE Laws 3.1.3), and a line that passes through the
    king's own square guards what lies behind it.

    Source: FIDE Laws 3.9.2.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kg5 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    yield from impossible(case, "king-into-check")


@rule("check-not-met", Level.error)
def check_not_met(case: Case) -> Iterator[Fault]:
    """The side to move is in check, and the printed move does not meet it.

    Source: FIDE Laws 3.9.2.

    Bad:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5+ g6+ 2.Rc8#

    Good:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5+ Kh8 2.Rc8#, 1...Kg8 2.Rc8#
    """
    yield from impossible(case, "check-not-met")


@rule("wrong-promotion", Level.error)
def wrong_promotion(case: Case) -> Iterator[Fault]:
    """A promotion is printed where none can take place, or to a man a pawn cannot become.

    Source: FIDE Laws 3.7.3.3.

    Bad:
        FEN: 8/3PK3/k7/8/8/8/8/1R6 w - - 0 1
        Mate in two.
        1.d8=K! Ka7 2.Qa5#

    Good:
        FEN: 8/3PK3/k7/8/8/8/8/1R6 w - - 0 1
        Mate in two.
        1.d8=Q! Ka7 2.Qa5#
    """
    yield from impossible(case, "wrong-promotion")


@rule("missing-promotion", Level.error)
def missing_promotion(case: Case) -> Iterator[Fault]:
    """A pawn reaches the last rank and the text does not say what it becomes.

    Source: FIDE Laws 3.7.3.3 and C.11: the choice is part of the move.

    Bad:
        FEN: 8/3PK3/k7/8/8/8/8/1R6 w - - 0 1
        Mate in two.
        1.d8! Ka7 2.Qa5#

    Good:
        FEN: 8/3PK3/k7/8/8/8/8/1R6 w - - 0 1
        Mate in two.
        1.d8(Q)! Ka7 2.Qa5#
    """
    for mention, node, moves in chain(_several(case), untold(case)):
        if len({(move.from_square, move.to_square) for move in moves}) == 1 and not is_told_apart(case, mention):
            message = "the text does not say what the pawn becomes: queen, rook, bishop or knight (Laws 3.7.3.3)"
            yield Fault(mention.phrase.span, message, node.choices(moves))


@rule("ambiguous-move", Level.error)
def ambiguous_move(case: Case) -> Iterator[Fault]:
    """Two men of the same kind can make the printed move, and nothing says which.

    A man that is pinned so that it cannot make the move does not count.

    In descriptive notation the square may be left open as well, "R-B1" for c1 or f1, or the
    square of a capture: that is in order where only one legal move agrees, or only one that
    gives the check or mate that is printed (common practice, no source). Where only one of them
    solves, or what is told next can only follow one, it is no more than a note.

    Source: FIDE Laws C.10, PGN standard 8.2.3.4.

    Bad:
        FEN: 5k2/8/6R1/8/1R6/5K2/8/8 w - - 0 1
        1.Rb6 Ke7

    Good:
        FEN: 5k2/8/6R1/8/1R6/5K2/8/8 w - - 0 1
        1.Rbb6 Ke7
    """
    for mention, node, moves in _several(case):
        starts = sorted({move.from_square for move in moves})
        if mention.phrase.descriptive and len({(move.from_square, move.to_square) for move in moves}) > 1:
            level = Level.note if singled(case, node, moves) else None
            readings = case.say_all(node, moves).replace(" and ", " or ")
            yield Fault(
                mention.phrase.span, f"this may be {readings}: nothing says which", node.choices(moves), level=level
            )
            continue
        if len(starts) < 2:
            continue
        names = " or ".join(man_at(node.board, square) for square in starts)
        message = f"this may be {names}: the file, rank or square it leaves must be given (Laws C.10)"
        yield Fault(mention.phrase.span, message, node.choices(moves))


def _several(case: Case) -> Iterator[tuple[Mention, Node, list[chess.Move]]]:
    """Yield the mentions that mean one move and fit several, with the position."""
    for mention in sound_mentions(case):
        if not mention.phrase.exact:
            continue
        for node, after in mention.ways:
            if len(after) > 1:
                yield mention, node, [child.move for child in after if child.move is not None]
                break


def single(case: Case) -> Iterator[tuple[Mention, Node, chess.Move]]:
    """Yield the mentions that were read as one move, with the position and the move."""
    for mention in sound_mentions(case):
        if mention.state is not State.read or not mention.phrase.exact:
            continue
        for node, after in mention.ways:
            if len(after) == 1 and after[0].move is not None:
                yield mention, node, after[0].move
                break


@rule("needless-origin", Level.note)
def needless_origin(case: Case) -> Iterator[Fault]:
    """The file or rank a man leaves is printed though only one man of its kind can make the move.

    Only moves count, so a pinned twin needs no help. Long notation (Sd3-f4) is a style
    of its own and passes, as does the file of a capturing pawn.

    Source: FIDE Laws C.10, PGN standard 8.2.3.4.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Ree4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention, node, move in single(case):
        phrase = mention.phrase
        if phrase.origin_span is None or phrase.worded or phrase.piece == chess.PAWN:
            continue
        if phrase.origin_file is not None and phrase.origin_rank is not None:
            continue
        twins = [
            other
            for other in node.board.legal_moves
            if other.to_square == move.to_square
            and other.from_square != move.from_square
            and node.board.piece_type_at(other.from_square) == phrase.piece
        ]
        if not twins:
            name = chess.piece_name(node.board.piece_type_at(move.from_square) or chess.PAWN)
            printed = phrase.origin_span.of(case.text)
            message = f"no other {name} can go to {chess.square_name(move.to_square)}, so the {printed!r} says nothing"
            yield Fault(phrase.span, message, repair=(Edit(phrase.origin_span, ""),))


@rule("wrong-move-number", Level.error)
def wrong_move_number(case: Case) -> Iterator[Fault]:
    """The move fits the line of play, but its number or its dots do not.

    Source: PGN standard 8.2.2.1: a move number may be left out, and must be right where it stands.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 3.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention in sound_mentions(case):
        number = mention.turn.number
        if not mention.misnumbered or number is None or _of_the_full_move(mention):
            continue
        right = mention.at[0].number
        yield Fault(number.span, f'the number here should be "{right}"', None, (Edit(number.span, right),))


def _of_the_full_move(mention: Mention) -> bool:
    """Tell whether a descriptive text gives the second half of a move its number without dots: "(a) 1. P to R 5"."""
    number, node = mention.turn.number, mention.at[0]
    return (
        mention.phrase.descriptive and number is not None and bool(node.ply % 2) and number.value == node.ply // 2 + 1
    )


@rule("move-possible", Level.error)
def move_possible(case: Case) -> Iterator[Fault]:
    """The text says a move cannot be played, and it can.

    Source: FIDE Laws 3.10.1.

    Bad:
        FEN: 1r5k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        Here 1.O-O-O is impossible.

    Good:
        FEN: 3r3k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        Here 1.O-O-O is impossible.
    """
    for mention in case.reading.mentions if case.reading else ():
        span = mention.says(Effect.denied)
        if span is not None and mention.after:
            node = mention.after[0]
            assert node.move is not None
            message = f"{case.say(mention.at[0], node.move)} can be played here"
            yield Fault(span, message, node.evidence())
