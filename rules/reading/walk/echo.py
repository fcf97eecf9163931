"""Moves told once more: "King a6? - King a6, and it's the only thing that's wrong"."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Who
from keyproof.grammar.moves import MovePhrase
from msgspec.structs import replace

from ...play.node import Node
from ..reading import effect_holds
from . import costs
from .hypothesis import Hypothesis, Placement

_SAYS = (Stance.asserted, Stance.asked, Stance.quoted)


def told_before(frame: Move, at: Hypothesis) -> Placement | None:
    """Return the move of the line at hand, or the key, that a man and its square name again; None where none is."""
    phrases = frame.ways[0].choices
    if frame.stance not in _SAYS or len(phrases) != 1 or phrases[0].piece is None or phrases[0].destination is None:
        return None
    phrase, line = phrases[0], at.frontier[0].path[1:]
    keys = () if at.key is None else (at.key,)
    for node in (*reversed(line), *keys):
        if not node.move or node.parent is None:
            continue
        said = (*phrase.effects, *frame.effects)
        if _is_rook_of(node, phrase) and all(effect_holds(it, node) for it, _ in said):
            return Placement(frame, phrases, (((node.parent, (node,)),),), costs.DESCRIPTION, echo=True)
        if node.move.to_square != phrase.destination:
            continue
        ends = _beside(node, at) if node is at.frontier[0] else (node,)
        if all(_means(each, phrase) for each in ends) and all(effect_holds(it, end) for it, _ in said for end in ends):
            ways = tuple((end.parent, (end,)) for end in ends if end.parent is not None)
            return Placement(frame, phrases, (ways,), costs.DESCRIPTION, echo=True)
    return None


def narrowed(at: Hypothesis, told: Placement) -> Hypothesis:
    """Return where the text stands once it has said which of several moves it means: "the rook drops, rook to h8"."""
    ends = told.ends()
    if not set(ends) < set(at.frontier):
        return at
    first = bool(at.firsts) and ends[0].parent is at.firsts[-1].parent
    return replace(at, frontier=ends, firsts=(*at.firsts[:-1], ends[0]) if first else at.firsts)


def gives(frame: Move, at: Hypothesis) -> bool:
    """Tell whether what words say that a man gives holds where he came to his square last, or where the text stands.

    Words that say that he goes there, as he can, are no description of him, unless that was told: "rook to g5".
    """
    if frame.towards and told_before(frame, at) is None and _can_be_played(frame, at):
        return False
    squares = {phrase.destination for way in frame.ways for phrase in way.choices}
    front = at.frontier[0]
    node = next((each for each in reversed(front.path) if each.move and each.move.to_square in squares), front)
    return all(effect_holds(effect, node) for effect, _ in frame.effects)


def _can_be_played(frame: Move, at: Hypothesis) -> bool:
    """Tell whether a move can be played where the text stands, beside the move told last or after the key."""
    front = at.frontier[0]
    nodes = [*at.frontier, *(each for each in (front.parent, at.key) if each is not None)]
    return any(node.meant(phrase) for node in nodes for way in frame.ways for phrase in way.choices)


def moves_rook(frame: Move, at: Hypothesis) -> bool:
    """Tell whether the rook's part of castling is told by a verb: "White castles! The rook comes to d1"."""
    phrases = frame.ways[0].choices
    front = at.frontier[0]
    told = frame.stance is Stance.asserted and not (frame.effects or frame.marks & {"if", "but"})
    return told and len(phrases) == 1 and front.ply > 0 and _is_rook_of(front, phrases[0])


def stands(who: Who | None, at: Hypothesis) -> bool:
    """Tell whether a man stands on the square he is named with: in the diagram, after the key, where the text is."""
    if who is None or who.square is None or not who.kinds:
        return False
    keys = () if at.key is None else (at.key,)
    men = (node.board.piece_at(who.square) for node in (at.frontier[0].path[0], at.frontier[0], *keys))
    return any(man is not None and man.piece_type == who.kinds[0] and who.colour in (None, man.color) for man in men)


def _is_rook_of(node: Node, phrase: MovePhrase) -> bool:
    """Tell whether the rook's part of castling is told: "castle! Rook comes to f1"."""
    if node.parent is None or node.move is None or phrase.piece != chess.ROOK:
        return False
    board, move = node.parent.board, node.move
    if not board.is_castling(move):
        return False
    file = 5 if board.is_kingside_castling(move) else 3
    return phrase.destination == chess.square(file, chess.square_rank(move.to_square))


def _beside(node: Node, at: Hypothesis) -> tuple[Node, ...]:
    """Return the positions of the frontier reached by the same move."""
    return tuple(each for each in at.frontier if each.move == node.move)


def _means(node: Node, phrase: MovePhrase) -> bool:
    return node.parent is not None and node.move in node.parent.meant(phrase)


def promotes(at: Hypothesis) -> bool:
    """Tell whether a pawn has just been promoted where the text stands, by itself or in the line before."""
    front = at.frontier[0]
    return any(node.move is not None and bool(node.move.promotion) for node in front.path[-2:])
