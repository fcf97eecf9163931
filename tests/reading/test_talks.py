"""Talks that are true and not yet read without a fault: what is understood of them may not shrink.

A talk moves to corpus/demo when keyproof finds nothing in it.
"""

from pathlib import Path

from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file

TALKS = Path(__file__).parents[1] / "data" / "talks"


def test_nine_of_ten_moves_are_understood() -> None:
    results = [check_file(str(path), Options()) for path in sorted(TALKS.glob("*")) if "captions-03" not in path.name]
    puzzles = [puzzle for result in results for puzzle in result.puzzles]
    assert all(puzzle.verdict == "sound" for puzzle in puzzles)
    assert len(puzzles) == 22
    mentions = sum(puzzle.move_mentions for puzzle in puzzles)
    assert mentions > 380
    assert sum(puzzle.checked for puzzle in puzzles) >= 0.9 * mentions


def test_a_recording_with_its_companion() -> None:
    options = Options(positions=str(TALKS / "captions-03-positions.md"))
    result = check_file(str(TALKS / "captions-03.vtt"), options)
    assert [puzzle.verdict for puzzle in result.puzzles] == ["sound"] * 3
    assert sum(p.checked for p in result.puzzles) >= 0.9 * sum(p.move_mentions for p in result.puzzles) > 50
