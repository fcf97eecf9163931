"""`check --show-reading`: how each sentence was understood."""

import io
import json
from pathlib import Path

import pytest
from corpus_checked import CORPUS
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file, check_text
from keyproof.linter.reports import reading
from keyproof.linter.reports.terminal import Writer
from keyproof.linter.understood import in_braces

from .conftest import FEN, SOUND, Keyproof
from .test_json import VALIDATOR

# Each line of the solution, and beneath it what must be printed. The play is what the Laws of Chess
# allow in the position; the layout is ours.
TOLD = {
    "1.Kg2! with zugzwang.": ["key 1.Kg2", "claim: after 1.Kg2: zugzwang"],
    "If the king moves then the rook goes to e4 mate.": ["after 1.Kg2: defence 1...Kh4, answer 2.Re4# (said: mate)"],
    "1...h4 2.Rg5#": ["after 1.Kg2: defence 1...h4, answer 2.Rg5#"],
    "1.Re4+? Kf5!": ["try 1.Re4+, refutation 1...Kf5"],
    "If 1...Kf3 then 2.Re3 mate.": ['after 1.Kg2: defence 1...no legal move: "Kf3", not examined: "Re3"'],
    "1...Zd5 is silent.": ['not understood: "1...Zd5"'],
    "Is 1.Ra5 mate?": ["first move, nothing claimed 1.Ra5 (a question, nothing claimed)"],
    "The rook on e5 guards e1 and h5.": ["claim: after 1.Kg2: guarded (holds): e1 and h5, by the white rook on e5"],
    "The rook on e5 guards f4.": ["claim: after 1.Kg2: guarded (false): a rook on e5 cannot guard f4"],
    "The rook is not pinned.": ["claim: after 1.Kg2: not pinned (holds): the white rook on e5"],
    "You may think that the rook guards f4.": ["claim: guarded (not decided)"],
    "The square f4 is quiet.": ["nothing read"],
    "All the year round it rains.": [],
}


def shown(text: str, width: int | None = None) -> list[str]:
    result = check_text("a.txt", text, Options(show_reading=True))
    out = io.StringIO()
    Writer(out, terminal=width is not None, width=width).write(reading.report(result))
    return out.getvalue().splitlines()


@pytest.mark.parametrize("line", TOLD)
def test_beneath_a_sentence_stands_what_it_was_taken_for(line: str) -> None:
    text = (
        f"{FEN}\nMate in two.\n1.Kg2! wins.\n\n{line}\n" if "1.Kg2" not in line else f"{FEN}\nMate in two.\n\n{line}\n"
    )
    lines = shown(text)
    number = text.splitlines().index(line) + 1
    heads = [place for place, printed in enumerate(lines) if printed.startswith(f"  {number}: ")]
    if not TOLD[line]:
        assert heads == []
        return
    (place,) = heads
    words = lines[place].removeprefix(f"  {number}: ")
    assert words == line.rstrip(".?")
    beneath = []
    for printed in lines[place + 1 :]:
        if not printed.startswith("      "):
            break
        beneath.append(printed.strip())
    assert beneath == TOLD[line]


def test_a_set_of_moves_stands_in_braces() -> None:
    lines = shown(f"{FEN}\nMate in two.\n1.Kg2! Any other move: 2.Re4#, or 1...~ 2.Rg5#\n")
    assert any("1...{" in line for line in lines), lines
    assert in_braces(["Nb7", "Nc4"]) == "{Nb7, Nc4}"
    assert in_braces(["Nb7"]) == "Nb7"
    assert in_braces([f"Nb{rank}" for rank in range(1, 8)], most=2) == "{Nb1, Nb2 and 5 more}"


def test_the_threat_is_told_after_a_pass() -> None:
    # "--" for a pass as in PGN files (common practice, no source).
    text = "8/8/8/8/8/1K6/7R/k7 w - - 0 1\n#2\nKey: 1.Rg2 with the threat 2.Rg1#\n"
    assert "      after 1.Rg2 (pass): threat 2.Rg1#" in shown(text)


def test_words_are_shortened_and_lines_fit_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    long = " ".join(["the hall is cold and"] * 20)
    for line in shown(f"{FEN}\nMate in two.\nKey: 1.Kg2, {long} yet quiet. 1...Kh4 2.Re4#, 1...h4 2.Rg5#\n", width=80):
        assert len(line) <= 80
    whole = shown(f"{FEN}\nMate in two.\nKey: 1.Kg2, {long} yet quiet.\n")
    (head,) = [line for line in whole if line.startswith("  3: ")]
    assert head.endswith(" …")


def test_without_a_position_nothing_is_read() -> None:
    lines = shown(f"{FEN[:-13]}/8 w - - 0 1\nMate in two.\n1.Kg2!\n")
    assert lines[1] == "  Not read: there is no position that can be played from."


def test_it_is_printed_for_each_puzzle_before_the_findings(keyproof: Keyproof, tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(SOUND.replace("2.Rg5#", "2.Re4#"))
    plain = keyproof("check", str(path)).stdout
    shown = keyproof("check", "--show-reading", str(path)).stdout
    assert shown.endswith(plain)
    assert "      after 1.Kg2: defence 1...h4, answer 2.Re4+" in shown.removesuffix(plain).splitlines()


def test_programs_get_it_on_demand(keyproof: Keyproof, tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(SOUND)
    (file,) = json.loads(keyproof("check", "--as", "json", str(path)).stdout)["files"]
    assert "reading" not in file["puzzles"][0]
    log = json.loads(keyproof("check", "--as", "json", "--show-reading", str(path)).stdout)
    VALIDATOR.validate(log)
    told = log["files"][0]["puzzles"][0]["reading"]
    line = next(each for each in told if each["line"] == 4)
    assert line["text"] == SOUND.splitlines()[3][: len(line["text"])]
    step = line["play"][0]["moves"][0]
    assert (step["text"], step["role"], step["number"], step["moves"]) == ("Kg2!", "key", "1.", ["Kg2"])
    row = SOUND.splitlines()[step["line"] - 1]
    assert row[step["column"] - 1 : step["end_column"] - 1] == "Kg2!"


@pytest.mark.parametrize("with_it", [["--repair"], ["--as", "sarif"]])
def test_it_goes_with_no_other_report(keyproof: Keyproof, tmp_path: Path, with_it: list[str]) -> None:
    path = tmp_path / "a.txt"
    path.write_text(SOUND)
    result = keyproof("check", "--show-reading", *with_it, str(path))
    assert result.exit_code == 2
    assert result.stderr.startswith("keyproof: error: --show-reading")
    assert (with_it[0] in result.stderr) or "--as text and --as json" in result.stderr


@pytest.mark.parametrize(
    ("fen", "told", "taken"),
    [
        # Who pins, guards, gives check: FIDE Laws 3.9.2, 3.1.2, 3.9.1; the men are those of each diagram.
        (
            "2k5/2p5/8/8/8/8/1Q6/4K3 w - - 0 1",
            "1.Qc3 and the pawn on c7 is pinned.",
            "pinned (holds): the black pawn on c7, by the white queen on c3",
        ),
        (
            "2k5/2p5/8/8/8/8/1Q6/4K3 w - - 0 1",
            "1.Qd4 and the pawn on c7 is pinned.",
            "pinned (false): the black pawn on c7 is not pinned: it can move to c6",
        ),
        (
            "7k/8/6K1/8/8/8/8/5R2 w - - 0 1",
            "1.Rf7 guards g7.",
            "guarded (holds): g7, by the white rook on f7",
        ),
        (
            "3k4/8/8/3N4/8/8/3R4/4K3 w - - 0 1",
            "1.Nb6 with discovered check by the rook.",
            "discovered check (holds): by the white rook on d2",
        ),
        (
            "7k/p7/8/2N5/8/8/8/K7 w - - 0 1",
            "1.Na6 and the a-pawn is stuck.",
            "immobile (holds): the black pawn on a7",
        ),
    ],
)
def test_a_reason_names_the_men_it_was_taken_for(fen: str, told: str, taken: str) -> None:
    assert any(line.endswith(f": {taken}") for line in shown(f"{fen}\nWhite to move.\n{told}\n"))


def test_remarks_beside_the_moves_are_shown_with_what_was_read_of_them() -> None:
    text = f"{FEN.rsplit(' ', 2)[0]} bm Kg2; dm 2;\n# Kh4 -> Re4#\n# h4 -> Rg5#\n"
    (puzzle,) = check_text("a.epd", text, Options(show_reading=True)).puzzles
    assert puzzle.reading is not None
    told = [step for each in puzzle.reading for play in each.play for step in play.steps]
    assert [step.moves for step in told] == [("Kg2",), ("Kh4",), ("Re4#",), ("h4",), ("Rg5#",)]
    assert [each.words.text for each in puzzle.reading][-2:] == ["Kh4 -> Re4#", "h4 -> Rg5#"]


def test_a_move_told_across_captions_is_shown() -> None:
    result = check_file(str(CORPUS / "demo" / "captions-01.vtt"), Options(show_reading=True))
    told = [
        step.words.text
        for puzzle in result.puzzles
        for each in puzzle.reading or ()
        for play in each.play
        for step in play.steps
    ]
    assert "the king two brand new squares a six and b five" in told
