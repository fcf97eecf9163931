"""One root, one finding: what a fault reported elsewhere accounts for."""

import re
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TypeVar

from ..board.resolve import captured_piece
from ..case.case import Case
from ..play.node import Node
from ..reading.reading import Mention, Role, State, effect_holds

T = TypeVar("T")


def ambiguous(mention: Mention) -> bool:
    """Tell whether a phrase that means one move fits several; what it claims cannot be judged."""
    phrase = mention.phrase
    one = phrase.exact or (phrase.capture and phrase.worded and not phrase.every)  # "the queen takes it"
    return one and any(len(after) > 1 for _, after in mention.ways)


def once(case: Case, what: str, node: Node | None, work: Callable[[], T]) -> T:
    """Return what `work` finds of a position, or of the whole puzzle (None), worked out when it is first asked for.

    A position may be printed as often as a text is long, and each time it is asked about all places that print it.
    """
    key = what, node
    if key not in case.noted:
        case.noted[key] = work()
    found: T = case.noted[key]
    return found


def after_false_key(case: Case, node: Node) -> bool:
    """Tell whether the line to `node` begins with a printed key that does not solve.

    What follows there was written for another move, the true key, or for another diagram.
    """
    return node.first is not None and false_key(case, node.first)


def false_key(case: Case, first: Node) -> bool:
    """Tell whether `first` is the position after a printed key that does not solve."""
    return first in case.false_keys


def falsely_signed(mention: Mention) -> bool:
    """Tell whether a sign of the phrase is false everywhere, so that another move may have been meant."""
    if not mention.after:
        return False
    capture = mention.phrase.capture and not any(capturing(mention))
    return capture or any(not effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def capturing(mention: Mention) -> list[bool]:
    """Tell for each position that the phrase leads to whether a man was captured."""
    return [
        captured_piece(node.board, child.move) is not None
        for node, after in mention.ways
        for child in after
        if child.move is not None
    ]


def sound_mentions(case: Case) -> list[Mention]:
    """Return the mentions that can be judged by themselves, in text order.

    Left out is what goes on from a move that cannot be played, or from a key that does not solve,
    up to the next half-move of the same number or a lower one: it was read somewhere else, and
    whatever it seems to say there was not meant. Of alternatives ("2.Qb3/Qf7") that are all wrong
    the first stands for all.
    """
    if case.sound is None:
        case.sound = list(_sound_mentions(case))
    return case.sound


def _sound_mentions(case: Case) -> Iterator[Mention]:
    if case.reading is None:
        return
    mentions = case.reading.mentions
    broken: tuple[int, Mention] | None = None
    turns: dict[int, list[Mention]] = {}
    for mention in mentions:
        turns.setdefault(id(mention.turn), []).append(mention)
    for mention in mentions:
        turn = turns[id(mention.turn)]
        ply = _printed_ply(case, mention)
        if broken is not None:
            if not _begins_anew(case, mention, ply, *broken):
                continue
            broken = None
        if mention is turn[-1] and all(other.state is State.impossible for other in turn):
            broken = (ply if ply is not None else mention.at[0].ply + 1, mention)
        elif mention.role is Role.key and any(false_key(case, node) for node in mention.after):
            broken = (1, mention)
        if mention is turn[0] or not all(other.state is State.impossible or falsely_signed(other) for other in turn):
            yield mention


def _printed_ply(case: Case, mention: Mention) -> int | None:
    number = mention.turn.number
    if number is None or number.ply is None or case.reading is None:
        return None
    return number.ply - case.reading.diagram.shift


def _begins_anew(case: Case, mention: Mention, ply: int | None, broken: int, root: Mention) -> bool:
    if ply is not None and mention.phrase is mention.turn.choices[0]:
        return ply <= broken
    assert case.reading is not None
    if mention.at and mention.at[0] is case.reading.diagram and mention.marked:
        return True
    between = case.text[root.phrase.span.end : mention.phrase.span.start]
    if broken == 1:
        return root.role is not Role.key and re.search(r"\n\s*\n", between) is not None
    return mention.phrase.worded and re.search(r"[.!?;]\s|\n", between) is not None


def from_falsely_signed(case: Case, node: Node) -> bool:
    """Tell whether the move into `node` is printed with a false sign, so that another one may have been meant."""
    reading = case.reading
    assert reading is not None
    return once(
        case,
        "from falsely signed",
        node,
        lambda: any(
            mention.phrase.exact and falsely_signed(mention) and not reading.is_open(mention.phrase.span.start)
            for mention in reading.printed_into(node)
        ),
    )


def lost_after(case: Case, node: Node) -> bool:
    """Tell whether a move printed at `node` cannot be played."""
    reading = case.reading
    assert reading is not None
    return once(case, "lost after", node, lambda: any(m.state is State.impossible for m in reading.printed_after(node)))


def misprints(case: Case, start: Node) -> int:
    """Count the replies printed at `start` that may stand for others: not playable, or with a wrong answer."""
    return once(case, "misprints", start, lambda: sum(_misprinted(case, mention) for mention in _exact(case, start)))


def _exact(case: Case, start: Node) -> list[Mention]:
    assert case.reading is not None
    return [mention for mention in case.reading.printed_after(start) if mention.phrase.exact]


def _misprinted(case: Case, mention: Mention) -> bool:
    if mention.state is State.impossible:
        return True
    return any(once(case, "wrongly answered", node, partial(_wrongly_answered, case, node)) for node in mention.after)


def _wrongly_answered(case: Case, node: Node) -> bool:
    """Tell whether an answer is printed to the reply that led to `node`, and is wrong or cannot be played."""
    assert case.reading is not None
    answers = [
        [child.move for child in after]
        for mention in case.reading.printed_after(node)
        for at, after in mention.ways
        if at is node
    ]
    if not answers or not case.direct:
        return False
    right = case.mating_moves(node)
    return right.complete and any(not set(moves) & set(right.lengths) for moves in answers)


def _named(case: Case, start: Node) -> set[Node]:
    return {node for mention in _exact(case, start) for node in mention.after}


def unexplained(case: Case, replies: Sequence[Node], mention: Mention) -> list[Node]:
    """Return the replies (the positions after them) that `mention` does not answer, less those a misprint may hide.

    Where one printed reply cannot be played or has no right answer, "any other" covers the
    reply that was meant as well, and its answer need not do for that one. Nor need it where the reply is told in
    words that fit another man, for whose move it does, or in words for many, of which it answers some, and this one is
    answered rightly elsewhere.
    """
    kept = []
    partly = not set(mention.at).issubset(replies)
    for reply in replies:
        start = reply.parent
        if start is not None and _may_be_another(case, start, reply, replies):
            continue
        named = start is not None and reply in once(case, "named", start, partial(_named, case, start))
        if partly and case.direct and not named and _is_answered(case, reply):
            continue
        if named or start is None or sum(other.parent is start for other in replies) > misprints(case, start):
            kept.append(reply)
    return kept


def _may_be_another(case: Case, start: Node, reply: Node, replies: Sequence[Node]) -> bool:
    """Tell whether a reply is told in words that fit another man's move too, which is none of `replies`."""
    assert case.reading is not None
    named = [each for each in case.reading.printed_after(start) if each.phrase.piece is not None and ambiguous(each)]
    return any(reply in each.after and not set(each.after).issubset(replies) for each in named)


def _is_answered(case: Case, reply: Node) -> bool:
    """Tell whether a right answer to a reply is told somewhere."""
    assert case.reading is not None
    told = {
        end.move for each in case.reading.printed_after(reply) for at, ends in each.ways if at is reply for end in ends
    }
    right = case.mating_moves(reply)
    return right.complete and bool(told & set(right.lengths))
