"""The moves that a frame means at some positions, and what taking it so costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said, Way
from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.spans import Span
from msgspec import Struct
from msgspec.structs import replace

from ...board.resolve import takes_last
from ...play.node import Node
from ..reading import effect_holds
from ..work import MOST_LINES
from . import costs
from .oracle import Oracle

_CLAIMS = (Stance.asserted, Stance.denied)


class Taken(Struct, frozen=True):
    """A frame taken at some positions: its phrases, their ways, the cost, and whether it is false there."""

    phrases: tuple[MovePhrase, ...]
    ways: tuple[tuple[tuple[Node, tuple[Node, ...]], ...], ...]
    cost: int
    false: bool

    def ends(self) -> tuple[Node, ...]:
        """Return the positions it leads to, none twice."""
        return tuple(dict.fromkeys([end for way in self.ways for _, ends in way for end in ends]))


class Situation(Struct, frozen=True):
    """Positions a frame may be taken at: `loose` are ends of a set of moves, of which some may be told elsewhere.

    `kinds` are the men named last, of Black and White; `told` the positions after replies told one by one.
    """

    nodes: tuple[Node, ...]
    kinds: tuple[chess.PieceType | None, chess.PieceType | None] = (None, None)
    told: frozenset[Node] = frozenset()
    loose: bool = False


def is_rest(phrase: MovePhrase) -> bool:
    """Tell whether a phrase speaks of all moves, or all of a man, that are not told one by one."""
    if phrase.sort in (Sort.any_other, Sort.any_move):
        return True
    sets = phrase.sort is Sort.any_of_piece and not (phrase.names_destination or phrase.capture or phrase.promotion)
    return sets and (phrase.every or not phrase.worded)


def is_of_others(phrases: Iterable[MovePhrase]) -> bool:
    """Tell whether a phrase speaks of all other moves, of any man: some may be told elsewhere, and not understood."""
    return any(phrase.sort is Sort.any_other for phrase in phrases)


def taken(frame: Move, at: Situation, oracle: Oracle, attacker: chess.Color) -> Iterable[Taken]:
    """Yield each way to take a frame at some positions, all with the same side to move."""
    if not at.nodes:
        return
    answers = at.nodes[0].board.turn == attacker and at.nodes[0].parent is not None
    if answers and is_of_others(frame.ways[0].choices):
        return  # "all other moves" are replies, or first moves
    for way in frame.ways:
        first = at.nodes[0].parent is None and len(way.choices) > 1
        others = oracle.man_of_key(at.nodes[0]) if first else None
        for men in _men(frame, way, at.kinds[at.nodes[0].board.turn], others):
            found = _way(frame, way, at, oracle, attacker, men)
            if found is None and answers:
                found = _by_squares(frame, way, at, oracle, attacker, men)
            elif found is None:
                found = _by_pawns(frame, way, at, oracle, attacker, men)
            if found is not None:
                yield found
                if at.nodes[0].board.turn != attacker:
                    yield from _of_one_man(frame, found, at)


def _by_squares(frame: Move, way: Way, at: Situation, oracle: Oracle, attacker: chess.Color, men: Men) -> Taken | None:
    """Take squares behind the first as those that other men mate on: after "Nb6 or Qa5", "then knight b6 or a5".

    They were told in full before; so it counts only where all of them are right.
    """
    first, *others = way.choices
    if not others or first.piece is None or any(each.capture or each.promotion for each in way.choices):
        return None
    choices = (first, *(replace(each, piece=None) for each in others))
    found = _way(frame, Way(choices, way.cost + costs.NOT_LAST_NAMED), at, oracle, attacker, men)
    return found if found is not None and all(oracle.right(end) for end in found.ends()) else None


def _by_pawns(frame: Move, way: Way, at: Situation, oracle: Oracle, attacker: chess.Color, men: Men) -> Taken | None:
    """Take squares of a list that its man does not reach as moves of pawns: "king d8, king d7, f4, all the same"."""
    first, *others = way.choices
    listed = at.nodes[0].parent is not None and first.piece not in (None, chess.PAWN)
    if not others or not listed or any(each.capture or each.promotion for each in way.choices):
        return None
    pawns = (each if _played(each, at.nodes) else replace(each, piece=chess.PAWN) for each in others)
    return _way(frame, Way((first, *pawns), way.cost + costs.NOT_LAST_NAMED), at, oracle, attacker, men)


def _played(phrase: MovePhrase, nodes: Iterable[Node]) -> bool:
    return any(node.meant(phrase) for node in nodes)


def _of_one_man(frame: Move, found: Taken, at: Situation) -> Iterator[Taken]:
    """Yield the other moves of one of several men of whom a move was told: "if that knight goes anywhere else"."""
    phrase, who = found.phrases[0], frame.who
    if len(found.ways) > 1 or not is_rest(phrase) or not phrase.worded or who is None or not who.kinds or who.plural:
        return
    men = {end.move.from_square for end in found.ends() if end.move is not None}
    known = {end.move.from_square for end in at.told if end.move is not None and end.parent in at.nodes}
    for man in sorted(men & known) if len(men) > 1 else ():
        way = tuple(
            (node, tuple(end for end in ends if end.move is not None and end.move.from_square == man))
            for node, ends in found.ways[0]
        )
        if all(ends for _, ends in way):
            yield replace(found, ways=(way,))


class Men(Struct, frozen=True):
    """The kinds of men that words without a man may mean, and what it costs to take them so. None: any."""

    kinds: frozenset[chess.PieceType] | None
    cost: int = 0


_ANY = Men(None)
_PAWN = Men(frozenset({chess.PAWN}))
_NO_KING = frozenset(chess.PIECE_TYPES) - {chess.KING}
_KING = Men(frozenset({chess.KING}))


def _men(frame: Move, way: Way, named: chess.PieceType | None, others: chess.PieceType | None = None) -> Iterator[Men]:
    """Yield the men that a move may be told of, the likeliest first."""
    phrase = way.choices[0]
    if phrase.piece is not None or phrase.sort in (Sort.any_other, Sort.any_move) or phrase.castling:
        yield _ANY
        return
    if phrase.names_destination and phrase.origin_file is not None and phrase.origin_rank is not None:
        yield _ANY
        return
    known = {named} - {None}
    if frame.who is None:
        yield _PAWN
        known.add(chess.PAWN)
    elif frame.who.pronoun == "he":
        yield _KING
        known.add(chess.KING)
    if named is not None:
        yield Men(frozenset({named}))
    if frame.who is None and others is not None and others != named:
        yield Men(frozenset({others}), 1)  # "the other leaps, to g8 and h7": of the man that makes the key
    if frame.who is None and len(way.choices) > 1 and named is not None:
        yield Men(frozenset({named, chess.PAWN}), 1)
    if frame.who is not None and frame.who.pronoun == "it":
        yield Men(_NO_KING, costs.NOT_LAST_NAMED)
    yield Men(None, costs.NOT_LAST_NAMED)


def _way(frame: Move, way: Way, at: Situation, oracle: Oracle, attacker: chess.Color, men: Men) -> Taken | None:
    nodes, turn = at.nodes, at.nodes[0].board.turn
    cost = way.cost + frame.cost + men.cost + _side_cost(frame, turn, attacker)
    ways = []
    false = False
    for phrase in way.choices:
        pairs, lines = [], 0
        for node in nodes:
            moves = node.meant(phrase)
            looked_at = len(moves) or 1
            lines += looked_at
            oracle.work.take(looked_at)
            if lines > MOST_LINES:
                return None
            if phrase.promotion_span is not None:  # "the pawn promotes"
                moves = [move for move in moves if move.promotion]
            if frame.back:
                moves = [move for move in moves if takes_last(node.board, move)]
            if men.kinds is not None:
                moves = [move for move in moves if node.board.piece_type_at(move.from_square) in men.kinds]
            ends = [node.play(move) for move in moves]
            if is_rest(phrase):
                ends = [end for end in ends if end not in at.told] or ends
            ends, narrowing = _narrowed(frame, phrase, ends, oracle, turn == attacker)
            pairs.append((node, tuple(ends)))
            cost += narrowing
        if at.loose and turn == attacker:
            pairs = _less_loose(pairs, oracle)
        here = sum(bool(ends) for _, ends in pairs)
        if not here:
            return None
        cost += costs.LOOSE * (here < len(nodes)) if at.loose else costs.MISSING * (len(nodes) - here)
        effects = (*phrase.effects, *frame.effects)
        if not _true(effects, [end for _, ends in pairs for end in ends], turn == attacker):
            false = True
        ways.append(tuple(pairs))
    if false:
        cost += costs.FALSE if frame.stance in _CLAIMS else 1
    return Taken(way.choices, tuple(ways), cost, false)


def _less_loose(pairs: list[tuple[Node, tuple[Node, ...]]], oracle: Oracle) -> list[tuple[Node, tuple[Node, ...]]]:
    """Leave out what does not do of an answer to a set of moves, told elsewhere maybe, unless it does for none."""
    kept = [(node, ends if any(oracle.right(end) is not False for end in ends) else ()) for node, ends in pairs]
    return kept if any(ends for _, ends in kept) else pairs


def _side_cost(frame: Move, turn: chess.Color, attacker: chess.Color) -> int:
    who = frame.who
    if who is None or who.ours is None or who.colour is not None:
        return 0
    if who.ours == (turn == attacker):
        return 0
    return costs.SPEAKER if who.pronoun == "i" else costs.SIDE_MISFITS


def _narrowed(
    frame: Move, phrase: MovePhrase, ends: list[Node], oracle: Oracle, attacks: bool
) -> tuple[list[Node], int]:
    """Keep of several moves that words may mean those of which what is said is true, or that reach the aim."""
    if len(ends) < 2 or phrase.every or phrase.sort is Sort.any_other:
        return ends, 0
    effects = [*phrase.effects, *frame.effects]
    one_pawn = len({(end.move.from_square, end.move.to_square) for end in ends if end.move}) == 1
    if frame.printed and one_pawn and not effects:
        return ends, 0  # what it becomes is not printed
    true = [end for end in ends if all(effect_holds(effect, end) for effect, _ in effects)] if effects else ends
    if attacks and true and true[0].ply == 1 and frame.marks & {"key", "was key"}:
        true = [end for end in true if oracle.solves(end)] or true
    elif attacks and true and not (frame.printed and true[0].ply == 1):
        true = [end for end in true if oracle.right(end)] or true
    elif true and frame.marks & {"refute", "was refute", "but", "was futile"}:
        true = [end for end in true if oracle.refutes(end)] or true
    kept = true or ends
    return kept, costs.SEVERAL if len(kept) > 1 else 0


def _true(effects: Iterable[tuple[Effect, Span]], ends: list[Node], attacks: bool) -> bool:
    """Tell whether all that is said of a move holds; that a line ends in mate is no claim about the defender's move."""
    said = [effect for effect, _ in effects if attacks or effect is not Effect.mate]
    return all(effect_holds(effect, end) for effect in said for end in ends)


def meant_again(phrase: MovePhrase, span: Span) -> MovePhrase:
    """Return the move of a phrase as words elsewhere ("the same again") mean it, none of whose signs stand there."""
    return replace(
        phrase,
        span=span,
        text="",
        worded=True,
        capture_span=None,
        promotion_span=None,
        origin_span=None,
        effects=(),
        annotation="",
    )


def becomes_new(frame: Move) -> bool:
    """Tell whether it is told what a pawn becomes: "make it a rook", "a rook on d8"."""
    told = frame.who is None or frame.who.indefinite or frame.who.kinds == (chess.PAWN,)
    promotes = any(phrase.promotion is not None for way in frame.ways for phrase in way.choices)
    return told and promotes and frame.stance is Stance.asserted


def signed(frame: Move) -> bool:
    """Tell whether a printed move has a sign that only moves have: "dxc4!"."""
    return frame.printed and any(
        phrase.capture or phrase.annotation or phrase.effects for way in frame.ways for phrase in way.choices
    )


def last_of_rest(frames: Sequence[Frame]) -> int:
    """Return the place of the last frame that speaks of all other moves, or may repeat one that does; -1: none."""
    last = -1
    for index, frame in enumerate(frames):
        if isinstance(frame, Said):
            last = index if last >= 0 and frame.kind in ("again", "effect") else last
        elif speaks_of_rest(frame):
            last = index
    return last


def speaks_of_rest(frame: Frame) -> bool:
    """Tell whether a frame speaks of all moves, or all of a man, that are not told one by one."""
    return isinstance(frame, Move) and any(is_rest(phrase) for way in frame.ways for phrase in way.choices)
