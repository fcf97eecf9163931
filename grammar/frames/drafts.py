"""A draft into a move: every way in which its slots may be filled."""

from __future__ import annotations

from collections.abc import Iterator, Set
from itertools import pairwise
from typing import Any

import chess
from keyproof.grammar.moves import MovePhrase, Sort
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .values import Draft, Move, Way, Who

_TWO = 2
_OF_FIRST = frozenset(("key", "try"))  # marks that no move with a later number has
_LAST_RANKS = (0, 7)
_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)


def finished(draft: Draft, text: str, uncovered: tuple[Span, ...]) -> Move:
    """Return the move that a draft tells."""
    span = Span(draft.start, draft.end)
    ways = (Way(tuple(draft.phrases)),) if draft.phrases else tuple((_to_old if draft.old else _ways)(draft, text))
    who = draft.who
    told = (who is not None or draft.you) and not draft.carried
    does = told and bool(draft.to) and draft.verb in ("go", "put", "take")
    bare = not told or (not does and (who is None or (who.nameless and not draft.castling)))
    takes = who is not None and bool(who.kinds) and draft.victim is not None  # "the queen takes the pawn on c6"
    named = takes and draft.victim is not None and draft.victim.square is not None
    return Move(
        span=span,
        ways=ways,
        marks=_marks(draft),
        effects=tuple(draft.effects),
        stance=draft.stance,
        number=draft.number,
        who=who,
        bare=bare and not (draft.phrases or draft.promotes or (draft.to and draft.origin is not None)),
        vague=not (draft.to or draft.old or draft.phrases or draft.castling or draft.lands or named),
        listed=draft.listed,
        printed=bool(draft.phrases),
        uncovered=uncovered,
        cost=draft.cost,
        verb=draft.verb or ("take" if draft.take is not None else ""),
        able=draft.able,
        modal=draft.modal,
        towards=draft.towards and who is not None and bool(who.kinds),
        apart=draft.apart or draft.lands or (does and (who is None or who.nameless)),
        idle=draft.idle or draft.idles,
        signs=draft.signs,
        back=draft.back,
        posed=draft.verb == "stand" and not draft.effects,
        parted=_parted(draft, text, uncovered),
    )


def explains(draft: Draft, marks: Set[str], *, able: bool) -> bool:
    """Tell whether a man is told to stand or to have gone somewhere as a reason: "because the bishop went away"."""
    if draft.verb == "stand":
        gone = "if" in marks and len(draft.to) == 1 and not draft.effects  # "once the knight stands on d7"
        return not (draft.mates_new or gone)
    if "because" not in marks or marks & {"if", "then"} or able or draft.verb not in ("go", "put"):
        return False
    named = draft.who is not None and bool(draft.who.kinds) and not draft.who.indefinite
    return named and not (draft.placed or draft.every or draft.effects)


def _marks(draft: Draft) -> frozenset[str]:
    """Return what the words call a move: "the solution stays pure: nothing but 2.Bd2 mates" tells no key."""
    later = draft.number is not None and (draft.number.value or 0) > 1
    replies = draft.number is not None and draft.number.second and "set" in draft.marks  # "Solution. Set: 1...a5 2.Ra3"
    return frozenset(draft.marks) - (_OF_FIRST if later or replies else frozenset())


def _parted(draft: Draft, text: str, uncovered: tuple[Span, ...]) -> tuple[Move, ...]:
    """Return a list of squares as what a man does, and what answers it: "knight takes c7, g5".

    In speech that sets no signs each further square may be the next move: "king f eight a seven g four a eight queen".
    """
    named = draft.who is not None and bool(draft.who.kinds or draft.verb)
    if len(draft.to) < _TWO or draft.phrases or not (named or draft.take):
        return ()
    seams = [text[before.end : after.start].strip() for (_, before), (_, after) in pairwise(draft.to)]
    flows = not any(seams) and len(draft.to) > _TWO
    if not flows and (seams[-1] != "," or draft.promotes):
        return ()
    place = 1 if flows else len(draft.to) - 1
    end = draft.to[place - 1][1].end
    plain = replace(draft, to=draft.to[:place], end=end, effects=[], apart=False, promotes=None, promotion=None)
    *between, last = (
        Draft(span.start, span.end, to=[(square, span)], stance=draft.stance) for square, span in draft.to[place:]
    )
    last = replace(last, effects=draft.effects, promotes=draft.promotes, promotion=draft.promotion)
    return tuple(finished(each, text, uncovered) for each in (plain, *between, last))


def _ways(draft: Draft, text: str) -> Iterator[Way]:
    span = Span(draft.start, draft.end)
    said: dict[str, Any] = {"span": span, "text": span.of(text), "worded": True}
    said["every"] = draft.every and ((draft.who is not None and bool(draft.who.kinds)) or draft.to_rank is not None)
    if draft.castling:
        yield Way((MovePhrase(**said, castling=draft.castling, piece=chess.KING, sort=_sort(draft, True)),))
        return
    if draft.sort_other and draft.who is None and draft.promotes is None:
        yield Way((MovePhrase(**said, sort=Sort.any_other),))
        return
    if draft.promotes is not None:
        said["every"] = said["every"] or draft.sort_other  # "other promotions": those that are told nowhere else
        said.update(promotion=draft.promotion, promotion_span=draft.promotes, piece=chess.PAWN)
    if draft.take is not None:
        said.update(capture=True, capture_span=draft.take)
        said.update({"captures_last": True} if draft.back and draft.victim is None else _victim(draft.victim))
    said.update(steps=draft.steps, en_passant=draft.en_passant)
    if not draft.to:
        said.update(heading=draft.heading, along=draft.along)
        said.update(destination_rank=draft.to_rank, destination_file=draft.to_file)
    if draft.origin is not None:
        said.update(_origin(draft.origin, span))
    targets = [square for square, _ in draft.to]
    if not targets and draft.victim is not None and draft.victim.square is not None:
        targets = [draft.victim.square]
    if draft.idle and draft.who is not None:
        said.update(piece=chess.PAWN, promotion=draft.who.kinds[0], promotion_span=span, sort=Sort.any_of_piece)
        yield Way((MovePhrase(**said),))
        return
    men = [] if draft.idles else list(_who(draft.who, span))
    for own, square_is_target in men:
        goes: list[chess.Square | None] = [*targets]
        if square_is_target is not None:
            if targets:
                continue
            goes = [square_is_target]
        sorts = {square: _sort(draft, square is not None) for square in goes or [None]}
        phrases = tuple(
            MovePhrase(**{**_of_target(said, square, goes), **own, "destination": square, "sort": sort})
            for square, sort in sorts.items()
        )
        yield Way(phrases, 2 if (square_is_target is not None) is not draft.lands else 0)
    if draft.arrives_new:
        said.update(piece=chess.PAWN, promotion=draft.who.kinds[0] if draft.who else None, promotion_span=span)
        yield Way(tuple(MovePhrase(**said, destination=square) for square in targets), 1 if draft.becomes_new else 3)
    if draft.either and draft.take is not None and draft.who is not None and draft.who.kinds:
        said["captured"] = draft.who.kinds[0]  # "toma el caballo": the knight takes, or is taken
        square = targets[0] if targets else draft.who.square
        yield Way((MovePhrase(**said, destination=square, sort=_sort(draft, square is not None)),), 4)
    who = draft.who
    new = who is not None and who.square is not None and chess.square_rank(who.square) in (0, 7)
    if who is not None and new and not draft.to and draft.take is None and who.kinds and who.kinds[0] in _PROMOTED:
        said.update(piece=chess.PAWN, promotion=who.kinds[0], promotion_span=who.span, destination=who.square)
        yield Way((MovePhrase(**said),), 0 if who.indefinite else 3)


def _of_target(said: dict[str, Any], square: chess.Square | None, goes: list[chess.Square | None]) -> dict[str, Any]:
    """Return what is said of a move to one of some squares: "h4 or a1 queening" promotes on the last rank."""
    lasts = [each is not None and chess.square_rank(each) in _LAST_RANKS for each in goes]
    if square is None or not any(lasts) or chess.square_rank(square) in _LAST_RANKS:
        return said
    return {name: value for name, value in said.items() if name not in ("promotion", "promotion_span")}


def _to_old(draft: Draft, text: str) -> Iterator[Way]:
    """Yield the way to squares named in descriptive notation: "has gone to Kt 5"."""
    span = Span(draft.start, draft.end)
    own, _ = next(_who(draft.who, span))
    told = {**own, "span": span, "text": span.of(text), "worded": True, "descriptive": True, "sort": Sort.move}
    yield Way(tuple(MovePhrase(**told, destinations=mask) for mask in draft.old))


def _sort(draft: Draft, exact: bool) -> Sort:
    return Sort.move if exact and not draft.every else Sort.any_of_piece


def _victim(victim: Who | None) -> dict[str, Any]:
    if victim is None or victim.nameless:
        return {} if victim is None or not victim.pronoun else {"captures_last": victim.pronoun == "it"}
    return {"captured": victim.kinds[0]}


def _origin(square: chess.Square, span: Span) -> dict[str, Any]:
    file, rank = chess.square_file(square), chess.square_rank(square)
    return {"origin_file": file, "origin_rank": rank, "origin_span": span}


def _who(who: Who | None, span: Span) -> Iterator[tuple[dict[str, Any], chess.Square | None]]:
    """Yield what the name of a man says of the move, and the square beside the name where it may be the target."""
    if who is None:
        yield {}, None
        return
    own: dict[str, Any] = {"colour": who.colour, "square_shade": who.light, "wing": who.wing}
    if who.kinds:
        own["piece"] = who.kinds[0]
    if who.pronoun in ("it", "she"):
        own["pronoun"] = True
    if who.file is not None:
        own.update(origin_file=who.file)
    if who.square is None:
        yield own, None
        return
    yield {**own, **_origin(who.square, span)}, None
    yield own, who.square
