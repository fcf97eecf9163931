"""Talks whose positions stand in another file: captions, and scripts that show none."""

import json
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from keyproof.grammar.sections import puzzle_texts
from keyproof.grammar.talks import Position, borrowing
from keyproof.linter.cli import cli
from keyproof.linter.kinds import Kind
from keyproof.linter.sources import document_from_text

from .texts import FEN

CORNER = "1R6/b7/k1K5/2p2Qp1/1p4R1/5P2/P7/8 w - - 0 1"
POSITIONS = f"# No. 7: The waiting king\n\n{FEN}\n\n#2\n\n# No. 9: Into the corner\n\n{CORNER}\n\n#2\n"
KING = """the key is king to g2
if the king goes to h4 then rook to e4 is mate
if the pawn goes to h4 then rook to g5 is mate"""
ROOK = """the key is rook to a8
if the king goes to a5 then rook takes a7 is mate
if the pawn goes to c4 then queen to b5 is mate
if the pawn goes to b3 then rook to a4 is mate"""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("positions.md").write_text(POSITIONS)


def captions(*cues: str) -> str:
    timed = [f"00:0{number}:00.000 --> 00:0{number}:50.000\n{cue}\n" for number, cue in enumerate(cues, start=1)]
    return "\n".join(["WEBVTT\n", *timed])


def run(text: str, *arguments: str, name: str = "talk.vtt", positions: str = "positions.md") -> Result:
    Path(name).write_text(text)
    return CliRunner().invoke(cli, ["check", "--positions", positions, *arguments, name], prog_name="keyproof")


def entry(text: str, name: str = "talk.vtt", positions: str = "positions.md") -> dict[str, object]:
    result = run(text, "--as", "json", name=name, positions=positions)
    (file,) = json.loads(result.stdout)["files"]
    return file  # type: ignore[no-any-return]


def told(file: dict[str, object]) -> list[tuple[str, list[str], int]]:
    """Return title, key and number of moves read of each puzzle; only a right position lets them be read."""
    assert file["findings"] == []
    return [(each["title"], each["keys"], each["checked"]) for each in file["puzzles"]]  # type: ignore[attr-defined]


def remarks(file: dict[str, object]) -> list[str]:
    return [each["message"] for each in file["remarks"]]  # type: ignore[attr-defined]


SEVENTH, NINTH = ("No. 7: The waiting king", ["Kg2"], 5), ("No. 9: Into the corner", ["Ra8"], 7)


@pytest.mark.parametrize(
    "second",
    [
        "our next problem",
        "next position",
        "now our second puzzle",
        "and now number nine",
        "problem nine please",
        "puzzle no. 9",
        "this one is called into the corner",
        "into the corner",
        "next one and again it is white to move",
    ],
)
def test_the_next_puzzle_is_called_by_title_number_or_order(second: str) -> None:
    file = entry(captions("good evening", f"problem seven\n{KING}", second, ROOK))
    assert told(file) == [SEVENTH, NINTH]
    assert remarks(file) == []
    assert [puzzle["time"] for puzzle in file["puzzles"]] == ["00:02:00.000", "00:03:00.000"]  # type: ignore[attr-defined]


def test_the_first_needs_no_call() -> None:
    assert told(entry(captions("good evening", KING, "next problem", ROOK))) == [SEVENTH, NINTH]


def test_a_name_goes_before_the_order() -> None:
    file = entry(captions("first puzzle of the evening into the corner", ROOK, "next the waiting king", KING))
    assert told(file) == [NINTH, SEVENTH]


def test_what_is_to_come_is_no_call() -> None:
    file = entry(captions("tonight the waiting king and into the corner", KING, "second problem", ROOK))
    assert told(file) == [SEVENTH, NINTH]


def test_looking_back_is_no_call() -> None:
    file = entry(
        captions("problem seven", KING, "that was the first problem now problem nine", ROOK, "like problem seven")
    )
    assert told(file) == [SEVENTH, NINTH]


def test_a_title_of_common_words_is_no_call_in_passing() -> None:
    Path("plain.md").write_text(POSITIONS.replace("Into the corner", "The King").replace("No. 9: ", ""))
    file = entry(captions("problem seven", KING, "this puzzle is called the king", ROOK), positions="plain.md")
    assert told(file) == [SEVENTH, ("The King", ["Ra8"], 7)]


def test_a_false_answer_has_the_time_of_its_cue() -> None:
    result = run(captions("problem seven", KING.replace("e4", "e3"), "problem nine", ROOK))
    place = "talk.vtt:8:43: error: at 00:02:00: 2.Re3 is not mate, not even check"
    assert any(line.startswith(place) for line in result.stdout.splitlines()), result.stdout
    assert "talk.vtt, line 4, 00:01:00: No. 7: The waiting king (#2, 3+2, proved sound)" in result.stdout
    assert result.exit_code == 1


def test_a_position_nobody_speaks_of_is_named() -> None:
    file = entry(captions("problem nine", ROOK))
    assert told(file) == [NINTH]
    assert remarks(file) == ["positions.md has a position that nothing here was matched with: No. 7: The waiting king"]


def test_a_puzzle_without_a_position_is_named() -> None:
    text = captions("problem seven", KING, "next problem", ROOK, "next problem", KING)
    result = run(text, "--bar", "note")
    line = "talk.vtt:21:1: note: at 00:05:00: positions.md has no position for the puzzle that begins here"
    assert line in result.stdout.splitlines()
    assert result.exit_code == 1
    assert "Found 1 note." in result.stdout


def test_another_stipulation_is_named() -> None:
    file = entry(captions("problem seven white mates in three moves mate in three"))
    assert "the talk asks for #3, positions.md for #2" in remarks(file)


def test_a_talk_with_positions_of_its_own_keeps_them() -> None:
    file = entry(captions(f"{FEN}\nmate in two", KING))
    assert told(file) == [("", ["Kg2"], 5)]
    assert remarks(file) == ["the positions are those printed here: positions.md is not used"]


def test_the_file_of_the_positions_may_be_checked_too() -> None:
    assert remarks(entry(POSITIONS, name="positions.md")) == []


SCRIPT = f"""# An evening

Good evening to all.

## The waiting king

{KING.replace("the key", "The key").replace(chr(10) + "if", ".  If")}.

## Into the corner

{ROOK.replace("the key", "The key").replace(chr(10) + "if", ".  If")}.

## Good night

Mind the step.
"""


@pytest.mark.parametrize("name", ["script.md", "script.txt"])
@pytest.mark.parametrize(
    "headings",
    [("The waiting king", "Into the corner"), ("Problem 7", "Problem 9"), ("To begin with", "Then")],
)
def test_a_script_is_parted_at_its_headings(name: str, headings: tuple[str, str]) -> None:
    text = SCRIPT.replace("The waiting king", headings[0]).replace("Into the corner", headings[1])
    file = entry(text, name)
    assert told(file) == [SEVENTH, NINTH]
    assert remarks(file) == []


def test_any_known_kind_of_file_holds_positions() -> None:
    Path("positions.epd").write_text(f'{FEN[:-4]} id "7"; dm 2;\n{CORNER[:-4]} id "9"; dm 2;\n')
    file = entry(captions("problem seven", KING, "next problem", ROOK), positions="positions.epd")
    assert [puzzle["keys"] for puzzle in file["puzzles"]] == [["Kg2"], ["Ra8"]]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("No puzzle here.\n", "positions.txt holds no position"),
        ("\x01", "the positions cannot be read: positions.txt:1:1: control character 0x01 in the text"),
        (None, "the positions cannot be read: positions.txt:1:1: no such file or directory"),
    ],
)
def test_a_file_without_positions_is_misuse(content: str | None, message: str) -> None:
    if content is not None:
        Path("positions.txt").write_text(content)
    result = run(captions(KING), positions="positions.txt")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.splitlines()[0] == f"keyproof: error: {message}"


def test_a_faulty_position_is_told_where_it_is_spoken_of() -> None:
    Path("faulty.md").write_text(POSITIONS.replace(FEN, FEN.replace("5K2", "5K3")))
    result = run(captions("problem seven", KING, "problem nine", ROOK), positions="faulty.md")
    assert "talk.vtt:4:1: error: at 00:01:00: " in result.stdout
    assert "[unreadable-position]" in result.stdout


def test_processes_share_the_positions() -> None:
    names = [f"talk{number}.vtt" for number in range(5)]
    for name in names:
        Path(name).write_text(captions("problem seven", KING, "problem nine", ROOK))
    arguments = ["check", "--jobs", "2", "--show-reading", "--positions", "positions.md", *names]
    result = CliRunner().invoke(cli, arguments)
    assert "10 puzzles in 5 files: 10 proved sound. Checked 60 of 60 move mentions." in result.stdout
    assert result.stdout.count("key 1.Kg2") == 5


TALKS = Path(__file__).parents[2] / "corpus" / "talks"


def test_the_talk_of_the_corpus_has_its_planted_error_and_no_other() -> None:
    text, positions = (TALKS / "evening.vtt").read_text(), str(TALKS / "positions.md")
    file = entry(text, positions=positions)
    assert [(each["rule"], each["time"]) for each in file["findings"]] == [  # type: ignore[attr-defined]
        ("check-not-mate", "00:00:19.500")
    ]
    right = text.replace("then rook to e4 is mate", "then rook to g5 is mate")
    assert right != text
    assert [each[1] for each in told(entry(right, positions=positions))] == [["Kg2"], ["Ra8"]]


WORDS = [
    "problem",
    "seven",
    "number",
    "nine",
    "next",
    "the waiting king",
    "into the corner",
    "first",
    "last",
    "position",
]
WORDS += ["king to g2", "1.Ra8", "mate", "if", "white to move", "\n", "\n\n", "# ", "## Good night\n", "NOTE ", ". "]
WORDS += ["00:00:01.000 --> 00:00:02.000\n"]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])  # the folder is not used here
@given(st.lists(st.sampled_from(WORDS), max_size=30).map(" ".join), st.sampled_from(["captions", "markdown", "text"]))
def test_any_talk_is_parted_so_that_each_word_has_one_owner(text: str, kind: Kind) -> None:
    document = document_from_text("a", text, kind)
    sections, faults = borrowing(document, lent(), "positions.md")
    spans = [*sections.loose, *sections.headings]
    spans += [span for puzzle in sections.puzzles for span in (*puzzle.prose, *puzzle.headings)]
    places = [place for span in spans for place in range(*span)]
    assert len(places) == len(set(places))
    assert not "".join(sign for place, sign in enumerate(document.masked) if place not in set(places)).strip()
    titles = [puzzle.title for puzzle in sections.puzzles if puzzle.diagrams]
    assert len(titles) == len(set(titles))
    without = sum(not puzzle.diagrams for puzzle in sections.puzzles)
    assert len(faults) == without + (len(titles) < 2)


@cache
def lent() -> tuple[Position, ...]:
    sections = puzzle_texts(document_from_text("positions.md", POSITIONS, "markdown"))
    return tuple(Position(puzzle.title, puzzle.diagrams[0], "#2") for puzzle in sections.puzzles)


def beside(text: str, name: str = "talk.vtt") -> Result:
    Path(name).write_text(text)
    return CliRunner().invoke(cli, ["check", name], prog_name="keyproof")


def test_the_file_named_after_a_talk_holds_its_positions() -> None:
    Path("talk.positions.md").write_text(POSITIONS)
    result = beside(captions("problem seven", KING))
    assert "1 proved sound" in result.stdout
    result = beside(captions("problem seven", KING.replace("rook to g5", "rook to f5")))
    assert "(#2, 3+2, proved sound)" in result.stdout
    assert result.exit_code == 1


def test_a_recording_without_positions_says_that_nothing_was_checked() -> None:
    result = beside(captions("problem seven", KING))
    assert (
        "no position is shown here, so that nothing of this was checked: name its file with --positions"
        in result.stdout
    )
    Path("talk.positions.md").write_text("Nothing but words.\n")
    assert "talk.positions.md holds no position" in beside(captions("problem seven", KING)).stdout
