"""Which words that were put nowhere may tell a move all the same: not those that only name what is told beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said
from keyproof.grammar.moves import Sort
from keyproof.grammar.spans import Span

from .hypothesis import Link, Placement

_SENTENCES = 1  # that may end between words for some moves and the move that is one of them


def passed_over(links: Sequence[Link]) -> Iterator[Span]:
    """Yield the words of moves that were put nowhere."""
    return (link.frame.span for link in links if _is_passed(link))


def only_named(links: Sequence[Link]) -> Iterator[Span]:
    """Yield those of them that are no move of their own, though a part of what is said of moves is not understood."""
    for place, link in enumerate(links):
        if _is_passed(link) and isinstance(link.frame, Move):
            beside = (_next_told(links[place + 1 :]), _next_told(links[:place][::-1]))
            if _is_no_move(link.frame) or any(told is not None and _names(link.frame, told) for told in beside):
                yield link.frame.span


def _is_passed(link: Link) -> bool:
    if not isinstance(link.frame, Move) or link.placement or link.known:
        return False
    return not (_denies_vaguely(link.frame) or _only_rest(link.frame))


def _is_no_move(frame: Move) -> bool:
    """Tell whether nothing but a man is named, or what can be done without saying where."""
    return frame.alone or (frame.able and frame.vague)


def _denies_vaguely(frame: Move) -> bool:
    """Tell whether it is said that men have no move, capture or castling, without a square: "he can't take her"."""
    nowhere = frame.vague or all(way.choices[0].destination is None for way in frame.ways)
    return nowhere and frame.stance is Stance.denied


def _only_rest(frame: Move) -> bool:
    """Tell whether nothing is told but that there are other moves: "other moves are met by shorter play"."""
    told = [phrase for way in frame.ways for phrase in way.choices]
    return frame.number is None and not frame.effects and all(each.sort is Sort.any_other for each in told)


def _next_told(links: Sequence[Link]) -> Placement | None:
    """Return the first move told in some links, if no more than one sentence ends before it."""
    ends = 0
    for link in links:
        if link.placement is not None:
            return link.placement
        ends += isinstance(link.frame, Said) and link.frame.kind == "end"
        paragraph = isinstance(link.frame, Said) and link.frame.kind == "paragraph"
        if isinstance(link.frame, Move) or paragraph or ends > _SENTENCES:
            return None
    return None


def _names(frame: Move, told: Placement) -> bool:
    """Tell whether words without a square are a name for what is told beside them: "the knight check 1.Nc6+"."""
    phrases = [phrase for way in frame.ways for phrase in way.choices]
    if "if" in frame.marks and any(start.ply for start in told.starts()):
        return False  # what follows is rather the answer
    if not frame.vague and any(phrase.destination is not None for phrase in phrases):
        return False
    moves = [(start, end.move) for way in told.ways for start, ends in way for end in ends if end.move]
    return bool(moves) and all(any(move in start.meant(phrase) for phrase in phrases) for start, move in moves)
