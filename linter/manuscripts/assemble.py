"""One text of the passages of a manuscript, with its blocks as the sections want them.

Passages stand in lines of their own with a blank line between, but for those that one position runs
through: a board typed in eight paragraphs, a list of men in two. Headings are those that the file calls so,
and those that the reader of plain text knows by their look.
"""

import re

from keyproof.grammar.document import Block, Document
from keyproof.grammar.positions import find_diagrams
from keyproof.grammar.spans import Span
from keyproof.grammar.traces import PRINTED_MOVE
from msgspec import Struct

from ..readers import text as plain
from .model import AUTHOR, Accepted, Comment, Extract, Manuscript, Passage, Piece, SourceKind, Stretch

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u2028\u2029]")
_OURS = re.compile(r"(?P<message>.*\S)\s+\[(?P<rule>[a-z]+(?:-[a-z]+)*)\]\s*")
_SIC = re.compile(r"\W*sic\W*(?P<rule>[a-z]+(?:-[a-z]+)+)?\W*", re.IGNORECASE)
_SYMBOLS = re.compile(r"[\uf020-\uf07e]")  # signs of a symbol font: ECMA-376 part 1, 17.3.3.30


class Assembled(Struct, frozen=True):
    """A manuscript as a document, and its pieces with their offsets in the text, in order."""

    document: Manuscript
    pieces: tuple[tuple[int, Piece], ...]


def assemble(path: str, extract: Extract, source: str | None = None, source_kind: SourceKind = "html") -> Assembled:
    """Make one document of all passages. `source` is the text of the file if it is text itself, of that kind."""
    passages = extract.passages
    for passage in passages:
        _number(passage)
    texts = [_clean(passage.text) for passage in passages]
    breaks = _breaks(texts)
    starts: list[int] = []
    place = 0
    for text, gap in zip(texts, breaks, strict=True):
        starts.append(place)
        place += len(text) + len(gap)
    whole = "".join(text + gap for text, gap in zip(texts, breaks, strict=True))
    masked, found = plain.read(whole)
    blocks, shown = _blocks(whole, masked, found, passages, starts, breaks)
    pieces = tuple(_placed(passages, starts))
    accepted, ours = _answers(extract, starts, whole)
    document = Manuscript(
        path,
        whole,
        shown,
        tuple(blocks),
        named=_named(passages, starts),
        passed_over=_notes(extract, starts),
        accepted=accepted,
        ours=ours,
        source=source,
        source_kind=source_kind,
        stretches=_stretches(pieces) if source is not None else (),
    )
    return Assembled(document, pieces)


def _clean(text: str) -> str:
    """Return a text without signs that no text has; its length stays."""
    text = _SYMBOLS.sub(lambda sign: chr(ord(sign[0]) - 0xF000), text)
    return _CONTROL.sub(" ", text)


def _number(passage: Passage) -> None:
    """Show the number of a list item that the file itself counts, if it is a move number or that of a puzzle."""
    if passage.number is None:
        return
    inside = passage.text.lstrip()
    if passage.kind == "item" and not PRINTED_MOVE.match(inside):
        passage.number = None
        return
    label = Piece(f"{passage.number}. ")
    passage.pieces.insert(0, label)
    by = len(label.text)
    passage.size += by
    passage.anchors = [(at + by, name) for at, name in passage.anchors]
    passage.places = [(at + by if at else 0, name) for at, name in passage.places]


def _breaks(texts: list[str]) -> list[str]:
    """Return what stands after each passage: one line end within a position, else two."""
    starts, place = [], 0
    for text in texts:
        starts.append(place)
        place += len(text) + 1
    close = "\n".join(texts)
    gaps = ["\n\n"] * len(texts)
    index = 0
    for diagram in find_diagrams(Document("", close, close, ())):
        while index + 1 < len(starts) and starts[index + 1] <= diagram.span.start:
            index += 1
        while index + 1 < len(starts) and starts[index + 1] < diagram.span.end:
            gaps[index] = "\n"
            index += 1
    return gaps


def _blocks(
    text: str, masked: str, found: list[Block], passages: list[Passage], starts: list[int], breaks: list[str]
) -> tuple[list[Block], str]:
    """Return the blocks: those of plain text where a passage is a mere paragraph, else one for each passage."""
    shown = list(masked)
    blocks: list[Block] = []
    by_start = sorted(found, key=lambda block: block.span)
    next_block, index = 0, 0
    while index < len(passages):
        last = index
        while breaks[last] == "\n" and last + 1 < len(passages):
            last += 1
        span = Span(starts[index], starts[last] + passages[last].size)
        while next_block < len(by_start) and by_start[next_block].span.start < span.start:
            next_block += 1
        passage = passages[index]
        if passage.kind == "paragraph" and last == index:
            while next_block < len(by_start) and by_start[next_block].span.start < span.end:
                blocks.append(by_start[next_block])
                next_block += 1
        elif inked := _inked(text, span):
            shown[span.start : span.end] = span.of(text)
            kind = passage.kind if last == index else "paragraph"
            block = Block(kind, inked, passage.level if kind == "heading" else 0)
            if last == index and _flows_on(passages, index, blocks):
                block = Block(blocks[-1].kind, blocks.pop().span.to(inked))
            blocks.append(block)
        index = last + 1
    return blocks, "".join(shown)


def _flows_on(passages: list[Passage], index: int, blocks: list[Block]) -> bool:
    """Tell whether a numbered item is the next move of the line of play in the item before."""
    number = passages[index].number
    return (
        bool(blocks)
        and index > 0
        and passages[index].kind == "item"
        and number is not None
        and passages[index - 1].kind == "item"
        and passages[index - 1].number == number - 1
    )


def _inked(text: str, span: Span) -> Span | None:
    words = span.of(text)
    if not words.strip():
        return None
    return Span(span.start + len(words) - len(words.lstrip()), span.start + len(words.rstrip()))


def _placed(passages: list[Passage], starts: list[int]) -> list[tuple[int, Piece]]:
    placed = []
    for passage, place in zip(passages, starts, strict=True):
        for piece in passage.pieces:
            placed.append((place, piece))
            place += len(piece.text)
    return placed


def _named(passages: list[Passage], starts: list[int]) -> tuple[tuple[int, str], ...]:
    named: list[tuple[int, str]] = []
    for passage, start in zip(passages, starts, strict=True):
        named += [(start + at, name) for at, name in passage.places]
    return tuple(named)


def _notes(extract: Extract, starts: list[int]) -> tuple[tuple[Span, str], ...]:
    """Return what was not read, each at the end of the passage before it."""
    ends = [start + passage.size for start, passage in zip(starts, extract.passages, strict=True)]
    places = [(ends[min(index, len(ends)) - 1] if index and ends else 0, words) for index, words in extract.notes]
    return tuple((Span(place, place), words) for place, words in places)


def _stretches(pieces: tuple[tuple[int, Piece], ...]) -> tuple[Stretch, ...]:
    """Return the parts of the text that stand in the file, which is text itself."""
    return tuple(
        Stretch(Span(start, start + len(piece.text)), piece.at, piece.size, piece.exact)
        for start, piece in pieces
        if piece.node is not None
    )


def _answers(extract: Extract, starts: list[int], text: str) -> tuple[tuple[Accepted, ...], tuple[Accepted, ...]]:
    """Return what the comments in a file accept, and the comments of keyproof that nobody answered."""
    edges: dict[str, int] = {}
    for passage, start in zip(extract.passages, starts, strict=True):
        edges.update({name: start + at for at, name in passage.anchors})
    placed = [
        (comment, Span(min(first, last), max(first, last)))
        for comment in extract.comments
        if (first := edges.get(comment.names[0])) is not None
        and (last := edges.get(comment.names[1], first)) is not None
    ]
    accepted: list[Accepted] = []
    standing: list[Accepted] = []
    for comment, span in placed:
        said = _OURS.match(comment.text.split("\n")[0]) if comment.author == AUTHOR else None
        if said is None:
            continue
        others = [other.text for other, there in placed if other.author != AUTHOR and _within(there, span)]
        if any(_SIC.fullmatch(words) for words in (*comment.answers, *others, *_added(comment))):
            accepted.append(Accepted(span, said["rule"]))
        elif comment.resolved:
            accepted.append(Accepted(span, said["rule"], said["message"]))
        else:
            standing.append(Accepted(span, said["rule"], said["message"]))
    return tuple(accepted), tuple(standing)


def _within(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start and inner.end <= outer.end


def _added(comment: Comment) -> list[str]:
    """Return the lines of a comment after the first: someone may have typed "sic" into it."""
    return comment.text.split("\n")[1:]
