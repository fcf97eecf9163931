"""What a new user types first: nearly right commands are helped, and no command costs a file."""

import io
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from keyproof.linter import progress, slowness
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

from .conftest import FAULTY, FEN, SOUND, Keyproof

MEN = "White: Kf2, Re5, Ne6; Black: Kg4, h5"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def texts(*names: str) -> dict[str, bytes]:
    for name in names:
        Path(name).write_text(SOUND)
    return {name: Path(name).read_bytes() for name in names}


def test_a_pattern_behind_an_option_costs_no_text(keyproof: Keyproof) -> None:
    """A shell makes `-o *.txt` into `-o a.txt b.txt c.txt`."""
    kept = texts("a.txt", "b.txt", "c.txt")
    for command in ("sheet", "diagram"):
        result = keyproof(command, "-o", *kept) if command == "sheet" else keyproof(command, "b.txt", "-o", "a.txt")
        assert result.exit_code == 2
        assert "a.txt: name a file that ends in" in result.stderr
    assert {path.name: path.read_bytes() for path in Path().iterdir()} == kept


@pytest.mark.parametrize(
    "arguments",
    [
        ["sheet", "b.txt", "--reading-as-html.html", "-o", "page.html"],
        ["sheet", "b.txt", "page.html", "-o", "page.html"],
        ["sheet", "b.txt", "-o", "page.html", "--positions", "page.html"],
        ["sheet", "b.txt", "-o", "link.html", "page.html"],
        ["diagram", "page.svg", "-o", "page.svg"],
    ],
)
def test_no_command_writes_over_what_it_reads(keyproof: Keyproof, arguments: list[str]) -> None:
    kept = texts("b.txt", "page.html", "page.svg")
    Path("link.html").symlink_to("page.html")
    assert keyproof(*arguments).exit_code == 2
    assert {name: Path(name).read_bytes() for name in kept} == kept


def test_a_page_that_would_show_nothing_leaves_the_old_one(keyproof: Keyproof) -> None:
    Path("page.html").write_text("the page of yesterday")
    assert keyproof("sheet", "gone.md", "-o", "page.html").exit_code == 2
    assert Path("page.html").read_text() == "the page of yesterday"


@pytest.mark.parametrize("name", ["column.txt", "no such column.md", "-", "folder"])
def test_a_file_in_place_of_a_command(keyproof: Keyproof, name: str) -> None:
    texts("column.txt")
    Path("folder").mkdir()
    result = keyproof(name)
    shown = f"'{name}'" if " " in name else name
    assert result.exit_code == 2
    assert f"is no command; to proofread it: keyproof check {shown}\n" in result.stderr


def test_other_words_are_still_no_command(keyproof: Keyproof) -> None:
    assert "keyproof check" not in keyproof("chekc").stderr.replace("try 'keyproof", "")


@pytest.mark.parametrize(
    "position", [f"{MEN}", f"{MEN}. Mate in two.", "White Kf2 Re5 Se6 Black Kg4 Ph5", f"{FEN} mate in two", FEN]
)
@pytest.mark.parametrize("asked", ["#2", "mate in two", "White to play and mate in 2"])
def test_positions_and_stipulations_as_people_give_them(keyproof: Keyproof, position: str, asked: str) -> None:
    told = keyproof("prove", position, "--stipulation", asked)
    assert (told.exit_code, "Key: 1.Kg2!" in told.stdout) == (0, True)
    assert keyproof("draft", position, "--stipulation", asked).exit_code == 0
    drawn = keyproof("diagram", position, "-o", "-")
    assert "White: king f2, rook e5, knight e6; Black: king g4, pawn h5" in drawn.stdout


def test_a_stipulation_in_the_position_is_enough(keyproof: Keyproof) -> None:
    assert keyproof("prove", f"{MEN}. Mate in two.").exit_code == 0
    result = keyproof("prove", MEN)
    assert (result.exit_code, "add --stipulation" in result.stderr) == (2, True)


@pytest.mark.parametrize("words", ["soon", "mate", "2#2", "mate in soon"])
def test_what_is_no_stipulation(keyproof: Keyproof, words: str) -> None:
    result = keyproof("prove", FEN, "--stipulation", words)
    assert (result.exit_code, "words such as 'mate in two'" in result.stderr) == (2, True)


@pytest.mark.parametrize("command", ["prove", "draft"])
def test_one_puzzle_of_a_file(keyproof: Keyproof, command: str) -> None:
    Path("column.txt").write_text(f"{SOUND}\n{SOUND.replace('No. 1  The waiting king', 'No. 2  The other king')}")
    result = keyproof(command, "column.txt", "--number", "2")
    assert result.exit_code == 0
    assert "The other king" in result.stdout
    assert "The waiting king" not in result.stdout
    result = keyproof(command, "column.txt", "--number", "3")
    assert (result.exit_code, "there is no puzzle number 3: 2 found" in result.stderr) == (2, True)


def test_a_sheet_takes_positions_and_settings(keyproof: Keyproof) -> None:
    Path("positions.md").write_text(f"# No. 7: The waiting king\n\n{FEN}\n\n#2\n")
    Path("talk.vtt").write_text(
        "WEBVTT\n\n00:01.000 --> 00:09.000\nproblem seven the key is king to g2\n"
        "if the king goes to h4 then rook to e3 is mate\n"
    )
    Path("house.toml").write_text('pieces = "KQRBS"\n')
    result = keyproof("sheet", "talk.vtt", "-o", "-", "--positions", "positions.md", "--settings", "house.toml")
    assert result.exit_code == 0
    assert "not mate, not even check" in result.stdout
    result = keyproof("sheet", "talk.vtt", "-o", "-", "--positions", "none.md")
    assert (result.exit_code, "the positions cannot be read" in result.stderr) == (2, True)


@pytest.mark.parametrize("name", ["CHECK-NOT-MATE", "[check-not-mate]", "check not mate", "check_not_mate"])
def test_a_rule_is_found_as_it_is_typed(keyproof: Keyproof, name: str) -> None:
    result = keyproof("explain", name)
    assert result.exit_code == 0
    bad = result.stdout.split("Bad:\n")[1].split("It is answered:")[0]
    text = "\n".join(line.removeprefix("    ") for line in bad.splitlines())
    (message,) = [each.finding.message for each in check_text("a.txt", text, Options()).findings]
    assert f"It is answered:\n    {message}\n" in result.stdout


def test_the_clash_that_is_named_is_the_one_there_is(keyproof: Keyproof) -> None:
    texts("a.txt")
    assert "--show-reading does not go with --repair" in keyproof("check", "a.txt", "--show-reading", "--repair").stderr


@pytest.mark.parametrize("kernel", [None, "at hand"])
def test_slow_proofs_are_told_once(keyproof: Keyproof, monkeypatch: pytest.MonkeyPatch, kernel: object) -> None:
    monkeypatch.setenv("KEYPROOF_CACHE", str(Path("kept").absolute()))
    monkeypatch.setattr(slowness, "kernel", kernel)
    texts("a.txt")
    told = [keyproof("check", "a.txt").stderr.count("no C compiler was at hand") for _ in range(3)]
    assert told == ([1, 0, 0] if kernel is None else [0, 0, 0])


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("variable", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_no_escape_sequence_where_none_is_wanted(monkeypatch: pytest.MonkeyPatch, variable: str, value: str) -> None:
    # no-color.org asks for no colour; a terminal that is "dumb" knows no control at all (terminfo).
    monkeypatch.setenv(variable, value)
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with progress.Progress(3, "proving", "puzzles") as shown:
        shown._show()  # what the timer does after a second
        shown.within(5, 400)
        with shown.hidden():
            pass
        shown.advance()
    assert terminal.getvalue() == "proving 0/3 puzzles\n"


@pytest.mark.parametrize("doing", ["proving", "checking"])
def test_the_bar_says_what_it_counts(monkeypatch: pytest.MonkeyPatch, doing: str) -> None:
    for variable in ("NO_COLOR", "FORCE_COLOR", "COLUMNS"):
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with progress.Progress(2, doing, "files") as shown:
        shown._show()
        shown.within(120, 400)
    assert doing in terminal.getvalue()
    assert "120 of 400 puzzles" in terminal.getvalue()


def test_one_large_file_tells_of_its_puzzles(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[tuple[int, int]] = []
    monkeypatch.setattr(progress.Progress, "within", lambda self, done, total: told.append((done, total)))
    Path("large.txt").write_text("\n".join(FAULTY.replace("No. 2", f"No. {number}") for number in range(1, 6)))
    assert CliRunner().invoke(cli, ["check", "large.txt"]).exit_code == 1
    assert told == [(number, 5) for number in range(5)]


def test_a_file_that_the_settings_leave_out_is_named(keyproof: Keyproof) -> None:
    texts("a.old.txt")
    Path("keyproof.toml").write_text('leave-out = ["*.old.txt"]\n')
    result = keyproof("check", "a.old.txt")
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == "keyproof: warning: nothing is checked: the settings leave out a.old.txt\n"


def test_what_was_not_understood_in_captions_is_quoted_without_times(keyproof: Keyproof) -> None:
    Path("talk.vtt").write_text(
        f"WEBVTT\n\nNOTE FEN: {FEN} mate in two\n\n00:01.000 --> 00:02.000\nthe key is king to g2 and then Qj\n\n"
        "00:03.000 --> 00:04.000\n9 if the king goes to h4 the rook goes to e4 mate\n"
    )
    assert "-->" not in keyproof("check", "talk.vtt").stdout


def test_a_diagram_that_cannot_be_read_is_no_puzzle_with_nothing_to_prove(keyproof: Keyproof) -> None:
    Path("a.txt").write_text(SOUND.replace(FEN, FEN.replace("K2", "Z2")))
    said = keyproof("check", "a.txt").stdout
    assert "its position cannot be read" in said
    assert "1 puzzle in 1 file: 1 without a position that can be read." in said
    assert "nothing to prove" not in said


def test_words_of_a_move_that_was_read_are_not_passed_over(keyproof: Keyproof) -> None:
    Path("talk.txt").write_text(
        f"{FEN}\n\nMate in two. The key is a quiet one: the king goes from f2 to g2. If black plays king h4, then the "
        "rook from e5 comes to e4 and that is mate.\n"
    )
    said = keyproof("check", "--show-reading", "talk.txt").stdout
    assert "answer 2.Re4#" in said
    assert "passed over" not in said


def test_a_flight_that_is_taken_is_no_capture(keyproof: Keyproof) -> None:
    # 1.Kb6 attacks a7 and b7 (FIDE Laws 3.8.1), and nothing stands there.
    Path("talk.txt").write_text(
        "White: king b5, rook f5. Black: king a8.\n\nWhite to play and mate in two.\n\nThe key is king to b6. It takes "
        "the flights a7 and b7. The threat is rook to f8, mate. Black has only one move: the king goes to b8, and the "
        "rook goes to f8, mate.\n"
    )
    said = keyproof("check", "talk.txt")
    assert (said.exit_code, "captured" in said.stdout) == (0, False)
