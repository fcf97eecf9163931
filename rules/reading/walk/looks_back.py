"""What refutes a first move, told by what was told before: "1.Rg4? likewise", "Queen b4, she is taken there too".

What refutes it is known. It is told here where each reply is told already, or was told of a first move before and a
word says that it is so again, or takes a man and a word says that one is lost, or goes to a square that is named
beside it. What remains of it unexplained was not told, and then nothing of it was.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Hint, Move, Said, Way
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from msgspec import Struct
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Hypothesis, Link, Placement
from .oracle import Oracle

_FAR = 48  # frames, at the most, back to the replies that are told again
_MOST = 4  # replies that are told so: more are told by a number, if at all


class _First(Struct):
    """A first move that is told, and the stretch of the text that may tell its replies."""

    node: Node
    start: int
    after: int  # where its own words end
    end: int


def looked_back(frame: Said, at: Hypothesis, diagram: Node, oracle: Oracle) -> Hypothesis:
    """Return where the text stands at the end of a sentence once its words have told what refutes its first moves."""
    if not frame.hints or oracle.proof is None:
        return at
    links = _lately(at)
    told = _replies(links, diagram)
    known = [link.frame.span for link in links if link.placement is not None or not _asserts(link)]
    for first in _firsts(frame, links, at, diagram, oracle):
        found = list(_explained(first, frame, known, told, oracle))
        if found:
            at = _with(at, found)
            told.setdefault(first.node, []).extend(node for node, _ in found)
    return at


def _lately(at: Hypothesis) -> list[Link]:
    """Return the last frames, in the order of the text."""
    found, link = list[Link](), at.link
    while link is not None and len(found) < _FAR:
        found.append(link)
        link = link.before
    return found[::-1]


def _firsts(frame: Said, links: Sequence[Link], at: Hypothesis, diagram: Node, oracle: Oracle) -> list[_First]:
    """Return the first moves of a sentence that do not solve, and those before it of which it may speak."""
    ends = [place for place, link in enumerate(links) if _is_end(link)]
    begin = ends[-1] + 1 if ends else 0
    start = last = links[ends[-1]].frame.span.end if ends else 0
    told = list[tuple[Placement, int]]()  # with the end of the move before, behind which words may lead to it
    for link in links[begin:]:
        if (move := _played(link)) is not None:
            if move.starts()[0] is diagram and not move.rest:
                told.append((move, last))
            last = max(last, move.frame.span.end)
    over = [*(move.frame.span.start for move, _ in told), frame.span.end]
    found = [
        _First(node, begins, move.frame.span.end, behind)
        for (move, begins), behind in zip(told, over[1:], strict=True)
        for node in move.ends()[:_MOST]
    ]
    before = _firsts_before(links[:begin], diagram)
    if before and (told or at.frontier[0].first in before):
        found = [*(_First(node, start, start, over[0]) for node in before), *found]
    return [each for each in found if oracle.solves(each.node) is False]


def _firsts_before(links: Sequence[Link], diagram: Node) -> list[Node]:
    """Return where the first moves told last led to, where all that follows is told of the last of them."""
    found = list[Node]()
    for told in filter(None, map(_played, reversed(links))):
        if told.starts()[0] is diagram and len(found) < _MOST:
            found = [*told.ends()[:_MOST], *found]
        elif found or told.starts()[0].ply != 1:
            break
    return found


def _replies(links: Sequence[Link], diagram: Node) -> dict[Node, list[Node]]:
    """Return the replies that were told lately, by the first moves, or the pass, that they answer."""
    found = dict[Node, list[Node]]()
    for told in filter(None, map(_played, links)):
        for end in () if told.rest else told.ends():
            if end.ply == 2 and end.parent is not None and end.parent.parent is diagram:
                found.setdefault(end.parent, []).append(end)
    return found


def _explained(
    first: _First, frame: Said, known: Sequence[Span], told: dict[Node, list[Node]], oracle: Oracle
) -> Iterator[tuple[Node, Hint]]:
    """Yield what refutes a first move and is not told yet, each with the words that tell it; all or nothing."""
    assert oracle.proof is not None
    node = first.node
    attempt = None if node.move is None else oracle.proof.attempt(node.move)
    here = {reply.move for reply in told.get(node, ())}
    start = first.after if here else first.start  # "nor 1.Bd3: h6 and Kg5" only leads to it, and all is told
    hints = [hint for hint in frame.hints if start <= hint.span.start < first.end]
    hints = [hint for hint in hints if hint.kind != "square" or not any(map(hint.span.overlaps, known))]
    if attempt is None or not attempt.complete or not 0 < len(attempt.refutations) <= _MOST or not hints:
        return
    if here and (not here <= set(attempt.refutations) or any(hint.kind == "sole" for hint in hints)):
        return  # what the author tells is wrong, or all that he means
    hints = [hint for hint in hints if hint.kind != "sole"]
    missing = [move for move in attempt.refutations if move not in here]
    before = [reply for start, replies in told.items() if start is not node for reply in replies]
    pairs = [(move, _hint(node, move, hints, before)) for move in missing]
    if all(hint is not None for _, hint in pairs):
        yield from ((node.play(move), hint) for move, hint in pairs if hint is not None)


def _hint(first: Node, move: chess.Move, hints: Sequence[Hint], before: Sequence[Node]) -> Hint | None:
    """Return the words that tell a reply, None where there are none."""
    for hint in hints:
        if hint.kind == "square":
            squares = hint.squares
            if hint.old and not first.board.turn:
                squares = chess.flip_vertical(squares)
            told = bool(squares & chess.BB_SQUARES[move.to_square])
        elif hint.kind == "lost":
            told = first.board.is_capture(move)
        else:
            told = any(_like(move, first, node) for node in before)
        if told:
            return hint
    return None


def _like(move: chess.Move, first: Node, before: Node) -> bool:
    """Tell whether a reply is one that was told before, or takes the man that has just moved as that one did."""
    if before.move == move:
        return True
    if before.parent is None or before.parent.move is None or before.move is None or first.move is None:
        return False
    takes = move.to_square == first.move.to_square and before.move.to_square == before.parent.move.to_square
    return takes and bool(before.parent.move)


def _with(at: Hypothesis, found: Sequence[tuple[Node, Hint]]) -> Hypothesis:
    """Return where the text stands, which is where it stood, with more replies told."""
    link = at.link
    for node, hint in found:
        link = Link(Said("again", hint.span), _placement(node, hint), link)
    return replace(at, link=link)


def _placement(node: Node, hint: Hint) -> Placement:
    first, move = node.parent, node.move
    assert first is not None
    assert move is not None
    phrase = MovePhrase(
        hint.span,
        "",
        piece=first.board.piece_type_at(move.from_square),
        origin_file=chess.square_file(move.from_square),
        origin_rank=chess.square_rank(move.from_square),
        destination=move.to_square,
        promotion=move.promotion,
        worded=True,
    )
    frame = Move(hint.span, (Way((phrase,)),))
    return Placement(frame, (phrase,), (((first, (node,)),),), 0, repeats=True)


def _asserts(link: Link) -> bool:
    """Tell whether what words tell is so: not "if the king had not gone to h4"."""
    return not isinstance(link.frame, Move) or link.frame.stance in (Stance.asserted, Stance.asked)


def _played(link: Link) -> Placement | None:
    """Return the move that words were taken for, None where it was not played."""
    told = link.placement
    return None if told is None or told.supposed or told.illegal else told


def _is_end(link: Link) -> bool:
    return isinstance(link.frame, Said) and link.frame.kind in ("end", "paragraph")
