"""Texts and positions the tests of this folder share."""

import chess
from hypothesis import strategies as st
from keyproof.grammar.document import Diagram, Document
from keyproof.grammar.sections import Sections
from keyproof.linter.kinds import Kind

START = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR"
START_RANKS = ("rnbqkbnr", "pppppppp", *["........"] * 4, "PPPPPPPP", "RNBQKBNR")

KINDS: tuple[Kind, ...] = ("text", "markdown")


def unmarked(text: str) -> Document:
    """A document without markup, as the position readers see it."""
    return Document("bulletin.txt", text, text, ())


def placement(diagram: Diagram) -> str:
    board = chess.BaseBoard.empty()
    board.set_piece_map(diagram.pieces)
    return board.board_fen()


def board_of(pieces: dict[chess.Square, chess.Piece]) -> chess.BaseBoard:
    board = chess.BaseBoard.empty()
    board.set_piece_map(pieces)
    return board


def ranks_of(pieces: dict[chess.Square, chess.Piece], empty: str = ".") -> list[str]:
    """The eight ranks as strings of eight signs, rank 8 first."""
    return [
        "".join(
            pieces[square].symbol() if (square := chess.square(file, rank)) in pieces else empty for file in range(8)
        )
        for rank in range(7, -1, -1)
    ]


@st.composite
def positions(draw: st.DrawFn, *, largest: int = 20) -> dict[chess.Square, chess.Piece]:
    """Men anywhere on the board, pawns on the last rank too, with one king a side."""
    squares = draw(st.lists(st.integers(0, 63), min_size=3, max_size=largest, unique=True))
    kinds = st.sampled_from([chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN])
    pieces = {square: chess.Piece(draw(kinds), draw(st.booleans())) for square in squares[2:]}
    pieces[squares[0]] = chess.Piece(chess.KING, chess.WHITE)
    pieces[squares[1]] = chess.Piece(chess.KING, chess.BLACK)
    return pieces


LINES = tuple(
    line
    for line in """
        White: Kg1, Qd1|Black: Kg8|Wh. Ke1|Bl. Ke8|Weiß: Kg1 Dd1 Schwarz: Kg8|Kg1|a2 b2|♔g1|Кр|é|🙂
        1.Sf4! Kd5|1...Kd5 2.Qb6#|1. Sf4|2. Qb6#|1.|3)|Key:|mate in two|No. 2|Solutions|Solution to No. 1:
        # Title|## Tries|===|---|* * *|- item|> quote|```|    code|[a](b)|![c](d)|<!-- e -->|<b>|&nbsp;|**|_|`
        8/8/8/8/8/8/8/K6k| w - - 0 1| w KQkq e3|8/9/x/8|/|a b c d e f g h|rnbqkbnr|........|8 . . k|+---+|--------
    """.splitlines()
    for line in line.strip().split("|")
)


def scraps() -> st.SearchStrategy[str]:
    """Text made of the scraps that puzzle columns are made of, in any order."""
    parts = (*LINES, "|", "| r | n |", "|---|---|", "\n".join(START_RANKS), "\\", "\t", " ", "\u00a0", "\u2028")
    ends = ("", " ", "\n", "\n\n", "\r\n", "\r")
    part = st.sampled_from(parts) | st.text(max_size=3)
    return st.lists(st.tuples(part, st.sampled_from(ends)).map("".join), max_size=25).map("".join)


def owners(sections: Sections, length: int) -> list[int]:
    """Count how often each character of a document is owned."""
    count = [0] * length
    spans = [*sections.loose, *sections.headings]
    for puzzle in sections.puzzles:
        spans += [*puzzle.prose, *puzzle.headings, *(diagram.span for diagram in puzzle.diagrams)]
    for span in spans:
        for place in range(*span):
            count[place] += 1
    return count
