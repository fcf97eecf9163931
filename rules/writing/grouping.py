"""Replies put together that are answered alike, in the order in which they are told: the prettiest last."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Literal

import chess
from msgspec import Struct

from ..play.mating_net import man_on, mating_net
from .draft import Reply, after, self_block

_MOST_ANSWERS = 3  # beyond which a reply that is met by short play is left out, in a mate in three or more
_SO_MANY = 7  # replies with the same answers, from which on they are "any other"
_MANY = 3  # moves of one man with the same answers, from which on they are told together
_FEW = 4  # replies that are named one by one where all are answered alike
PRETTY = 2  # points, from which on a mate is kept for the end

Say = Callable[[chess.Board, chess.Move], str]


class Group(Struct, frozen=True):
    """Replies that are answered by the same moves, word for word, and how they are named."""

    replies: tuple[Reply, ...]
    answers: tuple[chess.Move, ...]
    who: Literal["each", "any move of the man", "any other", "any"] = "each"

    @property
    def first(self) -> Reply:
        """The reply that stands for all."""
        return self.replies[0]

    @property
    def rest(self) -> bool:
        """True where the replies are those that were not named."""
        return self.who in ("any other", "any")


class Told(Struct, frozen=True):
    """The replies of one position as they are told. `left`: what others do, in a word; "" where none is left out."""

    groups: tuple[Group, ...]
    left: str = ""


def told(replies: Sequence[Reply], say: Say, threats: Sequence[chess.Move] = (), *, brief: bool = False) -> Told:
    """Put replies together that are answered alike; those that fall to the threats come last, as "any other".

    `say` prints a move: "Nxe5#" cannot stand for "Ne5#", so what is printed decides. With `brief`
    replies that many moves answer before their time are left out, as the trade does in longer puzzles.
    """
    alike: dict[tuple[str, ...], list[Reply]] = {}
    going_on: dict[object, list[Reply]] = {}
    rest: list[Reply] = []
    found: list[Group] = []
    left = 0
    threatened = _threats_in_print(replies, say, threats)
    for reply in replies:
        if reply.further:
            # "1...a/b 2.c d; or 2.e" tells the other answer of b only.
            key = _tree(reply, say) if len(reply.answers) == 1 else reply.move
            going_on.setdefault(key, []).append(reply)
        elif threatened and threatened <= set(_printed(reply, say)):
            rest.append(reply)
        elif brief and len(reply.answers) > _MOST_ANSWERS:
            left += 1
        else:
            alike.setdefault(_printed(reply, say), []).append(reply)
    found.extend(Group(tuple(same), _moves(same[0])) for same in going_on.values())
    if left:
        words = "are met by the threat or by shorter play" if rest else "are met by shorter play"
        return Told((*found, *(group for same in alike.values() for group in _by_man(same))), words)
    complete = bool(replies) and len(replies) == replies[0].before.legal_moves.count()
    if complete and not rest and alike:
        largest = max(alike.values(), key=len)
        if len(largest) >= _SO_MANY:
            rest = largest
            alike = {key: same for key, same in alike.items() if same is not largest}
            threats = _moves(largest[0])
    found.extend(group for same in alike.values() for group in _by_man(same))
    if len(rest) == 1 < len(replies):  # it is named: "any other" would make a riddle of it
        found.append(Group((rest[0],), _moves(rest[0])))
    elif rest:
        shared = tuple(threat for threat in threats if threat in _moves(rest[0]))
        # "1...a/b 2.c" says that nothing else mates; "any move 2.c" does not.
        if len(rest) == len(replies) <= _FEW and all(set(_moves(reply)) == set(shared) for reply in rest):
            return Told(tuple(_by_man(rest)))
        found.append(Group(tuple(rest), shared, "any" if len(rest) == len(replies) else "any other"))
    return Told(tuple(found))


def _moves(reply: Reply) -> tuple[chess.Move, ...]:
    return tuple(answer.move for answer in reply.answers)


def _printed(reply: Reply, say: Say) -> tuple[str, ...]:
    return tuple(say(reply.after, answer.move) for answer in reply.answers)


def _tree(reply: Reply, say: Say) -> tuple[object, ...]:
    """Return the play after a reply as it is printed: the same after two promotions, or two ways to one square."""
    further = tuple((say(each.before, each.move), _tree(each, say)) for each in reply.further)
    return _printed(reply, say), further


def _threats_in_print(replies: Sequence[Reply], say: Say, threats: Sequence[chess.Move]) -> set[str]:
    """Return the threats as they are printed once Black has passed."""
    if not replies or not threats:
        return set()
    passed = after(replies[0].before, chess.Move.null())
    return {say(passed, threat) for threat in threats}


def _by_man(together: list[Reply]) -> Iterator[Group]:
    """Yield the replies of one set of answers: all moves of one kind of man as one, if there are several."""
    board = together[0].before
    left = list(together)
    for kind in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT):
        legal = set(board.generate_legal_moves(board.pieces_mask(kind, board.turn)))
        of_kind = [reply for reply in left if reply.move in legal]
        if len(of_kind) == len(legal) >= _MANY:
            yield Group(tuple(of_kind), _moves(of_kind[0]), "any move of the man")
            left = [reply for reply in left if reply not in of_kind]
    if not left:
        return
    # "1...a/b 2.c/d" would pair each reply with its own answer.
    for each in [[reply] for reply in left] if len(left) == len(left[0].answers) > 1 else [left]:
        yield Group(tuple(each), _moves(each[0]))


def in_order(groups: Sequence[Group]) -> list[Group]:
    """Put groups in the order in which they are told: play that goes on, plain mates, pretty mates, the rest."""

    def rank(group: Group) -> tuple[bool, bool, int]:
        return group.rest, not group.first.further, prettiness(group)

    return sorted(groups, key=rank)


def prettiness(group: Group) -> int:
    """Return how much there is to see in a mate that every reply of a group allows; 0 where they have no one answer.

    Counted are double checks, castling, captures in passing and promotions to less than a queen (3 points), mates that
    need a pinned man or a square that the reply blocks (2), discovered checks (1). The weights are a matter of taste.
    """
    if group.rest or len(group.answers) != 1:
        return 0
    return min(_points(reply) for reply in group.replies)


def _points(reply: Reply) -> int:
    move, board = reply.answers[0].move, reply.after
    mated = after(board, move)
    if not mated.is_checkmate():
        return 0
    rare = board.is_castling(move) or board.is_en_passant(move) or move.promotion not in (None, chess.QUEEN)
    checkers = mated.checkers()
    points = 3 * (rare or len(checkers) > 1)
    points += 2 * bool(mating_net(mated).pinned)
    points += 2 * (self_block(reply, move) is not None)
    return points + any(square != move.to_square for square in checkers)


def pinned_men(group: Group) -> list[str]:
    """Name the men that are pinned in every mate of a group, and without the pin would save the king."""
    if group.rest or not all(reply.answers for reply in group.replies):
        return []
    mates = [after(reply.after, reply.answers[0].move) for reply in group.replies]
    if not all(mated.is_checkmate() for mated in mates):
        return []
    pinned = [{each.man for each in mating_net(mated).pinned} for mated in mates]
    return [man_on(mates[0], square) for square in sorted(set.intersection(*pinned))]


def blocked_squares(group: Group) -> list[chess.Square]:
    """Return the squares that the replies of a group block for their king, none where one of them blocks nothing."""
    if group.rest or not all(reply.answers for reply in group.replies):
        return []
    squares = [self_block(reply, reply.answers[0].move) for reply in group.replies]
    return [] if None in squares else [square for square in dict.fromkeys(squares) if square is not None]
