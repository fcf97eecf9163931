"""Captures: where nothing is captured, without their sign, of another man than is named."""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.spans import Span

from ..board.resolve import captured_piece
from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..reading.reading import Mention, State, effect_holds
from .moves import impossible, single
from .register import rule
from .roots import capturing, falsely_signed, from_falsely_signed


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
    for mention, _, move in single(case):
        span = mention.phrase.capture_span
        if _belied(mention) or any(from_falsely_signed(case, node) for node in mention.at):
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
        for mention, _, _ in single(case)
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
        if not falsely_signed(mention) and not _stuck(case, mention):
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
    for mention, node, move in single(case):
        named = mention.phrase.captured
        taken = captured_piece(node.board, move)
        if named is not None and taken is not None and named != taken:
            message = f"the man captured is a {chess.piece_name(taken)}, not a {chess.piece_name(named)}"
            yield Fault(mention.phrase.span, message)
    yield from impossible(case, "wrong-captured-man")  # "B x Kt": in descriptive notation the man is the move
