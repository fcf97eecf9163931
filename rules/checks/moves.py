"""Moves that cannot be played, or are not printed as they are played."""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from ..board.names import man_at
from ..board.resolve import captured_piece
from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, State, effect_holds
from .register import rule
from .roots import after_false_key, capturing, doubtful, from_doubtful, sound_mentions


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
    return after_false_key(case, node) or from_doubtful(case, node)


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


@rule("captures-nothing", Level.error)
def captures_nothing(case: Case) -> Iterator[Fault]:
    """A pawn is said to capture on a square where nothing stands.

    Source: FIDE Laws 3.7.3.

    Bad:
        FEN: 7k/3p4/8/8/3P4/8/8/7K w - - 0 1
        1.dxe5

    Good:
        FEN: 7k/3p4/8/4p3/3P4/8/8/7K w - - 0 1
        1.dxe5
    """
    yield from impossible(case, "captures-nothing")


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
    for mention, node, moves in _several(case):
        if len({(move.from_square, move.to_square) for move in moves}) == 1 and not _is_told_apart(case, mention):
            message = "the text does not say what the pawn becomes: queen, rook, bishop or knight (Laws 3.7.3.3)"
            yield Fault(mention.phrase.span, message, node.choices(moves))


def _is_told_apart(case: Case, mention: Mention) -> bool:
    """Tell whether the words around a pawn's move speak of what it becomes: "the pawn on h1, whatever it becomes"."""
    span = mention.phrase.span
    around = [clause.sentence for clause in case.clauses if clause.sentence.start <= span.start < clause.sentence.end]
    words = lexemes(case.masked, around[0]) if around and mention.phrase.worded else []
    return any({"promote", "promoting"} & word.categories or word.sense("mark") == "any" for word in words)


@rule("ambiguous-move", Level.error)
def ambiguous_move(case: Case) -> Iterator[Fault]:
    """Two men of the same kind can make the printed move, and nothing says which.

    A man that is pinned so that it cannot make the move does not count.

    In descriptive notation the square may be left open as well, "R-B1" for c1 or f1, or the
    square of a capture: that is in order where only one legal move agrees, or only one that
    gives the check or mate that is printed (common practice, no source).

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
            readings = case.say_all(node, moves).replace(" and ", " or ")
            yield Fault(mention.phrase.span, f"this may be {readings}: nothing says which", node.choices(moves))
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


def _single(case: Case) -> Iterator[tuple[Mention, Node, chess.Move]]:
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
    for mention, node, move in _single(case):
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


@rule("wrong-capture-sign", Level.error)
def wrong_capture_sign(case: Case) -> Iterator[Fault]:
    """A capture is printed, or told in words, where nothing is captured.

    Source: FIDE Laws 3.1.1 and C.13.3.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Rxe4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5!
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention, _, move in _single(case):
        span = mention.phrase.capture_span
        if _belied(mention) or any(from_doubtful(case, node) for node in mention.at):
            continue
        if mention.phrase.capture and span is not None and not any(capturing(mention)):
            square = chess.square_name(move.to_square)
            repair = () if mention.phrase.worded else (Edit(span, ""),)
            yield Fault(mention.phrase.span, f"nothing stands on {square} to be captured", None, repair)


def _belied(mention: Mention) -> bool:
    """Tell whether what is said of the move is false: that is the graver fault, and reported."""
    return any(not effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def _stuck(case: Case, mention: Mention) -> bool:
    """Tell whether a reply printed to the move cannot be played, so that another move may have been meant."""
    assert case.reading is not None
    return any(m.state is State.impossible for node in mention.after for m in case.reading.printed_after(node))


@rule("missing-capture-sign", Level.note)
def missing_capture_sign(case: Case) -> Iterator[Fault]:
    """A capture is printed without its sign in a text that prints the sign elsewhere.

    FIDE Laws C.9 makes the sign optional, so a text without any is left alone.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rh5? Kxh5!
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rh5? Kh5!
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    captures = [
        (mention, all(capturing(mention)))  # an answer to several defences may capture after some of them
        for mention, _, _ in _single(case)
        if not mention.phrase.worded
    ]
    signs: dict[bool, str] = {}  # the first one in algebraic notation, and in descriptive
    for mention, is_capture in captures:
        if is_capture and mention.phrase.capture_span:
            signs.setdefault(mention.phrase.descriptive, mention.phrase.capture_span.of(case.text))
    for mention, is_capture in captures:
        sign = signs.get(mention.phrase.descriptive)
        if sign is None or not is_capture or mention.phrase.capture:
            continue
        if not doubtful(mention) and not _stuck(case, mention):
            message = "this is a capture; elsewhere this text prints the capture sign"
            repair = () if mention.phrase.descriptive else _with_sign(case, mention, sign)
            yield Fault(mention.phrase.span, message, None, repair)


def _with_sign(case: Case, mention: Mention, sign: str) -> tuple[Edit, ...]:
    """Return the edit that puts the capture sign before the destination."""
    squares = list(re.finditer("[a-h][1-8]", mention.phrase.span.of(case.text)))
    if not squares:
        return ()
    place = mention.phrase.span.start + squares[-1].start()
    dash = case.text[place - 1] in "-–−"  # "Re4-h4"
    return (Edit(Span(place - dash, place), sign),)


@rule("wrong-captured-man", Level.error)
def wrong_captured_man(case: Case) -> Iterator[Fault]:
    """The text names another man than the one that is captured.

    Source: FIDE Laws 3.1.1.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? But the king takes the knight on h5.
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? But the king takes the rook on h5.
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention, node, move in _single(case):
        named = mention.phrase.captured
        taken = captured_piece(node.board, move)
        if named is not None and taken is not None and named != taken:
            message = f"the man captured is a {chess.piece_name(taken)}, not a {chess.piece_name(named)}"
            yield Fault(mention.phrase.span, message)
    yield from impossible(case, "wrong-captured-man")  # "B x Kt": in descriptive notation the man is the move


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
        if not mention.misnumbered or number is None:
            continue
        right = mention.at[0].number
        yield Fault(number.span, f'the number here should be "{right}"', None, (Edit(number.span, right),))


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
