"""A file's result made by hand, so that the printers are tested without the rules."""

from keyproof.grammar.spans import Span
from keyproof.linter.results import FileResult, PlacedFinding, PuzzleResult
from keyproof.rules.finding import Edit, Evidence, Finding, Level

from .conftest import FEN

TEXT = "♔ Wednesday Bulletin\r\n\r\nNo. 7\tThe patient king 𝄞\r\n" + FEN + "\r\n\t𝄞 1.Kg2! Kh4 2.Re3# or Re4\n"


def span(words: str, start: int = 0) -> Span:
    at = TEXT.index(words, start)
    return Span(at, at + len(words))


def puzzle(**changed: object) -> PuzzleResult:
    usual: dict[str, object] = {
        "line": 3,
        "title": "No. 7\tThe patient king 𝄞",
        "fen": FEN,
        "stipulation": "#2",
        "verdict": "sound",
        "keys": ("Kg2",),
        "move_mentions": 4,
        "checked": 4,
    }
    return PuzzleResult(**(usual | changed))  # type: ignore[arg-type]


NOT_MATE = Finding(
    "mate-without-check",
    Level.error,
    span("2.Re3#"),
    "2.Re3 is not mate, not even check",
    Evidence(FEN, ("Kg2", "Kh4", "Re3", "Kg4")),
    (Edit(span("e3#"), "e4#"),),
)
TWO_ANSWERS = Finding(
    "dual",
    Level.warning,
    span("Re4"),
    "two moves [of one rook] \x1b[31mmate\x1b[0m\u202e",
    Evidence("8/8/4N3/4R2p/7k/8/6K1/8 w - - 2 2", ("Re4#", "Re3"), "moves"),
)
ASIDE = Finding("not-understood", Level.note, span("Wednesday Bulletin"), "not understood")

RESULT = FileResult(
    "bulletin.md",
    TEXT,
    puzzles=(puzzle(),),
    findings=(PlacedFinding(NOT_MATE, 0), PlacedFinding(ASIDE, None), PlacedFinding(TWO_ANSWERS, 0)),
)
