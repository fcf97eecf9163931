"""Whether words that may tell a move only name a man, or name one that the side to move does not have."""

from __future__ import annotations

import chess
from keyproof.grammar.lexicon.apart import is_a_line
from keyproof.grammar.moves import Sort

from ..finding import Finding
from ..reading.reading import Mention

_OF_A_MAN = frozenset(("ambiguous-move", "wrong-capture-sign"))


def has_no_such_man(mention: Mention | None) -> bool:
    """Tell whether words name no side, the one to move has no man of the kind, and the other could play it."""
    if mention is None or mention.phrase.colour is not None or mention.phrase.piece is None or not mention.at:
        return False
    if any(node.board.pieces(mention.phrase.piece, node.board.turn) for node in mention.at):
        return False
    turned = [passed for node in mention.at if (passed := node.pass_move()) is not None]
    return any(passed.meant(mention.phrase) for passed in turned)


def stands_there(mention: Mention | None) -> bool:
    """Tell whether a man is only named where he stands, "his knight, on c2", or a line by its ends, "e5-c3"."""
    if mention is None or mention.phrase.piece is None or mention.phrase.destination is None:
        return False
    if not mention.phrase.worded:
        return is_a_line(mention.phrase)
    there = (node.board.piece_at(mention.phrase.destination) for node in mention.at)
    return any(man is not None and man.piece_type == mention.phrase.piece for man in there)


def is_the_others(mention: Mention | None) -> bool:
    """Tell whether only a square is named, to which a man of the other side can go.

    "His rook can only slide. To f8, we take it."
    """
    if mention is None or not mention.phrase.worded or mention.phrase.text.lower() not in chess.SQUARE_NAMES:
        return False
    place = mention.phrase.destination
    turned = [passed for node in mention.at if (passed := node.pass_move()) is not None]
    return any(move.to_square == place for passed in turned for move in passed.board.legal_moves)


def of_a_kind(mention: Mention) -> bool:
    """Tell whether words speak of the moves of a man, "he has a king move and four knight moves", and tell no line."""
    return mention.phrase.worded and mention.phrase.sort is Sort.any_of_piece and len(mention.after) > 1


def tells(mention: Mention) -> bool:
    """Tell whether a move is told in words, and not only the rest of the moves called up."""
    return mention.phrase.worded and mention.phrase.sort not in (Sort.any_other, Sort.any_move)


def names_no_man(finding: Finding, mention: Mention | None) -> bool:
    """Tell whether no man is named, so that words may tell no move: "leaves him d4", "it takes f2 from him"."""
    if mention is None or finding.rule not in _OF_A_MAN or mention.turn.number is not None:
        return False
    return mention.phrase.piece is None
