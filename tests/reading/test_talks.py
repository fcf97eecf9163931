"""The talks of the corpus, written before or apart from the grammar that reads them: every move is understood."""

from corpus_checked import CORPUS, checked
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from keyproof.linter.results import PuzzleResult


def understood(puzzles: list[PuzzleResult]) -> tuple[int, int]:
    return sum(puzzle.checked for puzzle in puzzles), sum(puzzle.move_mentions for puzzle in puzzles)


def test_every_move_of_the_talks_is_understood() -> None:
    talks = [*(CORPUS / "demo").glob("talk-*"), *(CORPUS / "demo").glob("captions-*")]
    puzzles = [puzzle for path in talks for puzzle in checked(path).puzzles]
    read, mentions = understood(puzzles)
    assert len(talks) == 27
    assert read == mentions > 950


def test_a_recording_with_its_companion() -> None:
    film = CORPUS / "talks" / "film.vtt"
    result = check_file(str(film), Options(positions=str(film.with_name("film-positions.md"))))
    assert [puzzle.verdict for puzzle in result.puzzles] == ["sound"] * 3
    assert result.findings == ()
    read, mentions = understood(list(result.puzzles))
    assert read == mentions > 50
