"""The moves among the frames of a text, for the tests of how people tell them."""

import chess
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span


def moves_of(text: str) -> list[Move]:
    """Return the moves that a text tells, in order, but for men who may as well stand where they are named."""
    found = frames(text, lexemes(text, Span(0, len(text))))
    return [each for each in found if isinstance(each, Move) and not each.posed]


def squares_of(move: Move) -> list[str]:
    """Return the squares that a move goes to, in the first of the ways to take its words."""
    return [chess.square_name(each.destination) for each in move.ways[0].choices if each.destination is not None]
