"""Diagrams on the page, and lines of play that can be gone through move by move."""

from collections.abc import Iterable, Sequence
from itertools import count

import chess
from keyproof.rules.finding import Evidence
from keyproof.rules.play.node import PASS, numbered

from ..diagrams.svg import PLAIN, Arrow, Drawing, described, picture, symbols
from ..reports.play import evidence_ply
from ..results import PuzzleResult
from .markup import Markup, join, tag

MOST_ARROWS = 12


class Boards:
    """Draws the diagrams of one page; each gets names of its own."""

    def __init__(self) -> None:
        self._numbers = count(1)

    @staticmethod
    def definitions() -> Markup:
        """Return the shapes that every diagram uses, to stand once on the page."""
        return tag("svg", Markup(symbols()), width="0", height="0", aria_hidden="true", class_="shapes")

    def board(self, board: chess.Board, label: str, drawing: Drawing = PLAIN) -> Markup:
        """Return a diagram with its position in words for those who hear the page."""
        name = f"board{next(self._numbers)}"
        inside, (wide, high) = picture(board, drawing)
        return tag(
            "svg",
            tag("title", label, id=f"{name}-title"),
            tag("desc", described(board), id=f"{name}-words"),
            Markup(inside),
            viewBox=f"0 0 {wide} {high}",
            role="img",
            aria_labelledby=f"{name}-title {name}-words",
        )

    def evidence(self, evidence: Evidence, puzzle: PuzzleResult | None) -> Markup:
        """Return the evidence of a finding: a line to play through, or the moves concerned as arrows."""
        first = evidence_ply(evidence, puzzle)
        if evidence.kind == "line":
            return self.line(chess.Board(evidence.fen), evidence.moves, first)
        board = chess.Board(evidence.fen)
        moves = [board.parse_san(san) for san in evidence.moves]
        arrows = tuple(Arrow(move.from_square, move.to_square) for move in moves[:MOST_ARROWS] if move)
        shown = [numbered([san], first) for san in evidence.moves]
        return tag(
            "figure",
            self.board(board, "The position of these moves", Drawing(False, arrows=arrows)),
            tag("figcaption", ", ".join(shown), class_="moves"),
            class_="small",
        )

    def line(self, start: chess.Board, sans: Sequence[str], first: int) -> Markup:
        """Return a small diagram at the end of a line, and its moves, which lead to the positions on the way."""
        board = start.copy(stack=False)
        steps = [("diagram", board.copy(stack=False), "")]
        for ply, san in enumerate(sans, start=first):
            move = chess.Move.null() if san == "--" else board.parse_san(san)
            board.push(move)
            shown = san if san != "--" else PASS
            label = numbered([shown], ply) if ply == first or ply % 2 == 0 else shown
            steps.append((label, board.copy(stack=False), chess.square_name(move.to_square) if move else ""))
        last = steps[-1]
        marks = (chess.parse_square(last[2]),) if last[2] else ()
        return tag(
            "figure",
            self.board(last[1], _title(last[0]), Drawing(False, marks)),
            tag(
                "figcaption",
                _steps(steps),
                tag("p", described(last[1]), class_="words", aria_live="polite"),
            ),
            class_="small play",
        )


def _title(label: str) -> str:
    return "The diagram" if label == "diagram" else f"The position after {label}"


def _steps(steps: Iterable[tuple[str, chess.Board, str]]) -> Markup:
    """Return the moves of a line; the script of the page makes them buttons, so without it they are plain text."""
    steps = list(steps)
    shown = [
        tag(
            "span",
            label,
            class_="step",
            data_men=board.board_fen(),
            data_to=square or None,
            data_title=_title(label),
            data_words=described(board),
            aria_current="step" if index == len(steps) - 1 else None,
        )
        for index, (label, board, square) in enumerate(steps)
    ]
    return tag("span", join(*(join(step, " ") for step in shown)), class_="moves")
