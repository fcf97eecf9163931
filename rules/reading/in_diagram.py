"""What the defender could do in the diagram, told in words that are no move: "on b5 the a-pawn could have had it".

They stand in the reading as that move, the turn passed, if enough of it is named. It is a capture, or a square of the
king that the key takes away, and no reply may be told in the same sentence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme

from ..play.node import Node
from . import weights
from .failing import HOLDS, LETS, MOVES, SUPPOSES, TAKES, Clause, clause_of, escape_mention, sentences
from .reading import Mention, Reading, State
from .walk.oracle import Oracle
from .work import RunsAway

_HANGS = TAKES | HOLDS | {"sacrifice"}
_REPLY = 2  # half-moves up to a reply to a first move
_CUES = SUPPOSES | {"past"}


def with_diagram(found: Reading, blocks: Sequence[Sequence[Lexeme]], oracle: Oracle) -> Reading:
    """Return a reading with what its words tell of the defender's moves in the diagram."""
    if found.set_play is None or found.ran_away or not oracle.keys:
        return found
    with suppress(RunsAway):
        known = {end for mention in (*found.parries, *found.mentions) for end in mention.after}
        for mention in _told(found, found.set_play, blocks, oracle):
            if known.isdisjoint(mention.after):
                found.parries.append(mention)
                known.update(mention.after)
    return found


def _told(found: Reading, passed: Node, blocks: Sequence[Sequence[Lexeme]], oracle: Oracle) -> Iterator[Mention]:
    moves = list(_facts(found.diagram, passed, oracle))
    mentions = sorted((each for each in found.mentions if each.state is State.read), key=lambda each: each.phrase.span)
    at = 0
    for block in blocks if moves else ():
        for sentence in sentences(block):
            here = []
            while at < len(mentions) and mentions[at].phrase.span.start < sentence[-1].span.end:
                here.append(mentions[at])
                at += 1
            firsts = [mention for mention in here if all(end.ply < _REPLY for end in mention.after)]
            clause = clause_of(sentence, firsts, None)
            if len(firsts) < len(here) and not clause.diagram:
                continue
            ranked = [(_score(move, passed.board, clause), move) for move in moves]
            most = max(score for score, _ in ranked)
            told = [move for score, move in ranked if score == most and score >= weights.ENOUGH]
            for move in told:
                yield escape_mention(clause, move.to_square, [(passed, [passed.play(move)])])


def _facts(diagram: Node, passed: Node, oracle: Oracle) -> Iterator[chess.Move]:
    """Yield the captures of the diagram and the squares of the king that the key takes away."""
    keys = [diagram.play(key).legal for key in oracle.keys]
    for move in sorted(passed.legal, key=str):
        king = passed.board.piece_type_at(move.from_square) == chess.KING
        if passed.board.is_capture(move) or (king and not any(move in legal for legal in keys)):
            yield move


def _score(move: chess.Move, board: chess.Board, clause: Clause) -> int:
    """Return how much of a move in the diagram is told; nothing where no word says that it could be played there."""
    kind, taken = board.piece_type_at(move.from_square), board.piece_type_at(move.to_square)
    square = any(word.square == move.to_square and word.kind in (None, kind, taken) for word in clause.squares)
    cue = clause.diagram or bool(clause.categories & _CUES)
    manner = bool(clause.categories & (_HANGS if taken else HOLDS | LETS | MOVES))
    man = kind in clause.men and (kind != taken or clause.men == {kind})
    if not (square or (taken in clause.men and man)) or not (cue or "sacrifice" in clause.categories):
        return 0
    if not manner:
        return 0
    told = weights.SQUARE * square + weights.TAKEN * (taken in clause.men) + weights.MAN * man
    return told + weights.MANNER + weights.SUPPOSED * (cue + clause.diagram)
