"""Which words that were put nowhere may tell a move all the same: not those that only name what is told beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, takewhile

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move, Said
from keyproof.grammar.moves import MovePhrase, Sort
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from ...play.node import Node
from .hypothesis import Link, Placement

_SENTENCES = 1  # that may end between words for some moves and the move that is one of them


def passed_over(links: Sequence[Link]) -> Iterator[Span]:
    """Yield the words of moves that were put nowhere."""
    return (link.frame.span for link in links if _is_passed(link))


def only_named(links: Sequence[Link]) -> Iterator[Span]:
    """Yield those of them that are no move of their own, though a part of what is said of moves is not understood."""
    for place, link in enumerate(links):
        if _is_passed(link) and isinstance(link.frame, Move):
            before, behind = links[:place][::-1], links[place + 1 :]
            beside = [told for each in (before, behind) if (told := _next_told(each)) is not None]
            named = _is_no_move(link.frame) or any(_names(link.frame, told) for told in beside)
            idle = _leads_to_none(link.frame, behind) or _opens(link.frame, behind)
            if named or idle or _tells_why(link.frame, before):
                yield link.frame.span


def hanging(links: Sequence[Link]) -> Iterator[Move]:
    """Yield the printed moves right behind one that nobody can play: they go on from it, and are not examined."""
    behind = False
    for link in links:
        frame = link.frame
        if link.placement is not None:
            behind = link.placement.illegal and not _may_be_letters(link.placement)
        elif isinstance(frame, Move):
            behind = behind and frame.printed
            if behind:
                yield frame
        elif frame.kind in ("end", "paragraph"):
            behind = False


def initials(links: Sequence[Link]) -> Iterator[Placement]:
    """Yield letters of old notation among words, which may be no move, as nobody can play it: "bus R to K 5"."""
    for before, link in pairwise((None, *links)):
        told = None if link is None else link.placement
        in_line = before is not None and isinstance(before.frame, Move)
        if told is not None and told.illegal and not in_line and _may_be_letters(told):
            yield told


def _may_be_letters(told: Placement) -> bool:
    plain = told.frame.number is None and not (told.frame.marks or told.frame.effects)
    return plain and all(each.descriptive and not (each.effects or each.annotation) for each in told.phrases)


def _is_passed(link: Link) -> bool:
    if not isinstance(link.frame, Move) or link.placement or link.known:
        return False
    return not (_denies_vaguely(link.frame) or _only_rest(link.frame))


def _is_no_move(frame: Move) -> bool:
    """Tell whether nothing but a man is named, or what can be done without saying where, or neither man nor square."""
    phrases = [phrase for way in frame.ways for phrase in way.choices]
    nothing = frame.who is None and all(each.captured is None and not each.captures_last for each in phrases)
    return frame.alone or frame.posed or (frame.vague and (frame.able or (nothing and not frame.effects)))


def _leads_to_none(frame: Move, behind: Sequence[Link]) -> bool:
    """Tell whether words for moves of a man are the condition of no move: "once the queen leaves, b3 is hit"."""
    return _leaves(frame) and not any(isinstance(link.frame, Move) for link in _sentence(behind))


def _opens(frame: Move, behind: Sequence[Link]) -> bool:
    """Tell whether a man gives check once another leaves, as in the move told next: "so Rb5 is double check"."""
    gives = next((link for link in _sentence(behind) if isinstance(link.frame, Move)), None)
    if not _leaves(frame) or frame.who is None or gives is None or not isinstance(gives.frame, Move):
        return False
    told = _next_told(behind[behind.index(gives) + 1 :])
    if told is None or not (_is_passed(gives) and gives.frame.vague and _gives(gives.frame, told)):
        return False
    moves = [(end.parent, end.move) for end in told.ends()]
    kind = frame.who.kinds[0]
    return all(at is not None and by is not None and at.board.piece_type_at(by.from_square) == kind for at, by in moves)


def _leaves(frame: Move) -> bool:
    """Tell whether a man is told to go nowhere in particular, as a condition: "once the queen leaves"."""
    if not (frame.vague and frame.verb == "go" and frame.who is not None and frame.who.kinds):
        return False
    return bool(frame.marks & {"if"}) or any(phrase.every for way in frame.ways for phrase in way.choices)


def _sentence(links: Sequence[Link]) -> Iterator[Link]:
    return takewhile(lambda link: not (isinstance(link.frame, Said) and link.frame.kind == "end"), links)


def _tells_why(frame: Move, before: Sequence[Link]) -> bool:
    """Tell whether it is said why the move told just before mates: "and it is mate: the pawn would take her"."""
    told = next((link.placement for link in before if isinstance(link.frame, Move)), None)
    ended = any(isinstance(link.frame, Said) and link.frame.kind == "end" for link in _up_to_told(before))
    return frame.vague and not frame.marks and told is not None and not ended and all(e.mate for e in told.ends())


def _up_to_told(links: Sequence[Link]) -> Iterator[Link]:
    return takewhile(lambda link: not isinstance(link.frame, Move), links)


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
        if (isinstance(link.frame, Move) and not link.known) or paragraph or ends > _SENTENCES:
            return None
    return None


def _names(frame: Move, told: Placement) -> bool:
    """Tell whether words without a square are a name for what is told beside them: "the knight check 1.Nc6+"."""
    if _gives(frame, told):
        return True
    phrases = [replace(phrase, captures_last=False) for way in frame.ways for phrase in way.choices]
    if "if" in frame.marks and any(start.ply for start in told.starts()):
        return False  # what follows is rather the answer
    if not frame.vague and any(phrase.destination is not None for phrase in phrases):
        return False
    moves = [(start, end.move) for way in told.ways for start, ends in way for end in ends if end.move]
    return bool(moves) and all(any(_means(start, move, phrase) for phrase in phrases) for start, move in moves)


def _means(start: Node, move: chess.Move, phrase: MovePhrase) -> bool:
    """Tell whether a phrase names a move, or what the rook does in it: "the king goes two squares, the rook hops"."""
    if phrase.piece == chess.ROOK and start.board.is_castling(move):
        return True
    return move in start.meant(phrase)


def _gives(frame: Move, told: Placement) -> bool:
    """Tell whether it is said which man gives the check of a move: "a discovered check by the queen"."""
    if not frame.effects or frame.verb or frame.who is None or not frame.who.kinds:
        return False
    boards = [end.board for end in told.ends()]
    men = [{board.piece_type_at(square) for square in board.checkers()} for board in boards]
    return bool(men) and all(frame.who.kinds[0] in each for each in men)
