"""The places of a manuscript as a person finds them, counted while it is read, and the figures in it."""

from msgspec import Struct, field

from .model import BETWEEN_CELLS, Extract, Passage, Piece
from .pictures import fen_of

_EMPTY_CELL = " " * 40  # so that what stands beside it is seen to stand in a column further right
_KINDS = ("paragraph", "table", "footnote", "endnote", "text box", "figure", "comment")


class Counter(Struct):
    """Counts the parts of one manuscript."""

    counts: dict[str, int] = field(default_factory=lambda: dict.fromkeys(_KINDS, 0))

    def next(self, kind: str) -> str:
        """Return the name of the next part of a kind: "footnote 5"."""
        self.counts[kind] += 1
        return f"{kind} {self.counts[kind]}"


def add_figure(extract: Extract, counter: Counter, data: bytes, title: str, *, outside: bool = False) -> None:
    """Take in a picture: its position if it names one, else a note that it was not read."""
    name = counter.next("figure")
    fen = fen_of(data)
    if fen is not None:
        passage = Passage(places=[(0, name)], figure=True)
        passage.add(Piece(fen))
        extract.passages.append(passage)
        return
    words = " ".join(title.split())
    called = f' ("{words if len(words) <= 60 else words[:57] + "..."}")' if words else ""
    where = " in another file" if outside else ""
    extract.note(f"{name}{called} is a picture{where}: a position in it cannot be read and was compared with nothing")


def join_row(extract: Extract, edges: list[int]) -> None:
    """Make one line of a table row where each cell is one; `edges` are the passages at which its cells begin."""
    if not edges:
        return
    start = edges[0]
    passages = extract.passages
    ends = [*edges[1:], len(passages)]
    cells = [passages[first:last] for first, last in zip(edges, ends, strict=True)]
    if any(len(cell) > 1 or any(each.figure or "\n" in each.text for each in cell) for cell in cells):
        return
    row = Passage("cell")
    for cell in cells:
        if not cell:
            row.add(Piece(_EMPTY_CELL))
        for each in cell:
            if row.size:
                row.add(Piece(BETWEEN_CELLS))
            row.places += [(row.size + at, name) for at, name in each.places]
            row.anchors += [(row.size + at, name) for at, name in each.anchors]
            for piece in each.pieces:
                row.add(piece)
    passages[start:] = [row] if row.text.strip() else []
    extract.notes[:] = [(min(at, start), words) for at, words in extract.notes]
