"""Scores of games printed between puzzles: played from the start array, so that they belong to no diagram."""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.sections import Sections
from keyproof.grammar.spans import Span
from msgspec.structs import replace

FEWEST_PLIES = 8  # legal from the start array one after the other; fewer may be legal on a diagram too

_START = chess.Board().piece_map()
_OPENING = re.compile(r"(?<![\w.])1\.\s?(?=(?:[a-h][34]|(?:N|S|Kt)[acfh]3)\s)")
_STEP = re.compile(
    r"\s*(?:\d{1,3}\.(?:\.\.)?|…|\{[^{}]*\}|[!?]+|[,;])*\s*"
    r"(?P<move>[O0]-[O0](?:-[O0])?|(?:Kt|[KQRBNS])?[a-h]?[1-8]?[x:]?[a-h][1-8](?:=?[QRBNS])?)(?P<signs>[+#!?]*)"
)
_RESULT = re.compile(r"\s*[.,;]?\s*(?:1-0|0-1|½-½|1/2-1/2)?[.]?")


def game_scores(text: str, span: Span) -> Iterator[Span]:
    """Yield the scores of games in a stretch of text, each from the beginning of its line."""
    for opening in _OPENING.finditer(text, *span):
        board, place, plies = chess.Board(), opening.end(), 0
        while step := _STEP.match(text, place, span.end):
            move = step["move"].replace("Kt", "N").replace("S", "N").replace(":", "x").replace("0", "O")
            try:
                board.push_san(move)
            except ValueError:
                break
            place, plies = step.end(), plies + 1
        if plies >= FEWEST_PLIES:
            end = _RESULT.match(text, place, span.end)
            line = max(text.rfind("\n", span.start, opening.start()) + 1, span.start)
            yield Span(line, end.end() if end else place)


def without_games(document: Document, sections: Sections) -> Sections:
    """Take the scores of games out of the puzzles they stand in; they are loose text then."""
    if _OPENING.search(document.masked) is None:
        return sections
    loose = list(sections.loose)
    puzzles: list[PuzzleText] = []
    for puzzle in sections.puzzles:
        from_start = any(diagram.pieces == _START for diagram in puzzle.diagrams)
        spans = () if from_start else puzzle.prose
        games = [game for span in spans for game in game_scores(document.masked, span)]
        left = [part for span in puzzle.prose for part in span.without(game for game in games if span.overlaps(game))]
        prose = [part for part in left if part.of(document.masked).strip()]
        puzzles.append(replace(puzzle, prose=tuple(prose)) if games else puzzle)
        loose += games
    return replace(sections, puzzles=tuple(puzzles), loose=tuple(sorted(loose)))
