"""Mates that are said of a move only behind it: "the rook checks on b5. He can't take. So it is mate"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from .hypothesis import Link, Placement


def mates_later(links: Sequence[Link], plies: int | None) -> dict[Frame, tuple[Effect, Span]]:
    """Return what is said later of moves that mate, up to the next move or paragraph, and right behind any.

    `plies` is the number of half-moves after which mate is due.
    """
    said = (*_at_once(links), *_alike(links))
    last = ((told, mate) for told, mate in said if all(end.ply == plies for end in told.ends()))
    found: dict[Frame, tuple[Effect, Span]] = {told.frame: mate for told, mate in last}
    before: Placement | None = None
    for link in links:
        frame = link.frame
        if link.placement is not None:
            before = link.placement
        elif isinstance(frame, Said) and frame.kind == "effect":
            if _says_mate(frame) and before is not None and all(end.mate for end in before.ends()):
                found.setdefault(before.frame, frame.effects[0])
        elif _breaks_off(frame):
            before = None
    return found


def _at_once(links: Sequence[Link]) -> Iterator[tuple[Placement, tuple[Effect, Span]]]:
    """Yield the mates that a sentence of their own says right behind a move: "Queen f2. Mate."."""
    for link, end, said, closes in zip(links, links[1:], links[2:], [*links[3:], None], strict=False):
        alone = _ends(end) and (closes is None or _ends(closes))
        if link.placement is not None and alone and _says_mate(said.frame):
            yield link.placement, said.frame.effects[0]


def _alike(links: Sequence[Link]) -> Iterator[tuple[Placement, tuple[Effect, Span]]]:
    """Yield the mates of two last moves of which any is said to do: "queen f3, or rook d3, as you please"."""
    for first, second, said, closes in zip(links, links[1:], links[2:], [*links[3:], None], strict=False):
        one, other = first.placement, second.placement
        either = isinstance(said.frame, Said) and "either" in said.frame.marks and said.placement is None
        goes_on = closes is not None and isinstance(closes.frame, Move)  # "either is met by 2...Kc8"
        if one is None or other is None or not either or goes_on:
            continue
        mates = any(end.mate for each in (one, other) for end in each.ends())  # else another place is meant
        if mates and one.starts() == other.starts() and "or" in other.frame.marks:
            yield from ((each, (Effect.mate, said.frame.span)) for each in (one, other))


def _says_mate(frame: Frame) -> bool:
    effect = isinstance(frame, Said) and frame.kind == "effect" and frame.effects[0][0]
    return effect is Effect.mate and frame.stance is Stance.asserted


def _ends(link: Link) -> bool:
    return isinstance(link.frame, Said) and link.frame.kind in ("end", "paragraph")


def _breaks_off(frame: Frame) -> bool:
    """Tell whether what is said behind some words may be said of another move than the one placed last."""
    return frame.kind == "paragraph" if isinstance(frame, Said) else not _is_denied(frame)


def _is_denied(frame: Move) -> bool:
    return frame.stance is Stance.denied
