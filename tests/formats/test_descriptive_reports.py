"""Findings about descriptive moves say the algebraic move, in every report."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

COLUMN = Path(__file__).parents[2] / "corpus" / "faulty" / "old-column.txt"

# Counted on the board by hand: the line, a word of the message, and the move in algebraic notation.
EXPECTED = [
    (29, "is not mate", "2.Qg3"),
    (30, "can go to", "'Q to Kt 5' is 2.Qb5 or Qg5"),
    (44, "left out", "'Castles (K.R.)' is 1.O-O"),
    (59, "guards it", "'K x Q!' is 1...Kxd7"),
    (62, "can reach", "'R-K8' is 2.Re8"),
    (73, "nothing says which", "1.Qg2 or Qb2"),
    (84, "left out", "'Q-R5' is 1.Qa5"),
    (84, "not only check", "2.Qxc7#"),
]


def report(*options: str) -> str:
    return CliRunner().invoke(cli, ["check", *options, str(COLUMN)]).stdout


def messages(kind: str) -> list[tuple[int, str]]:
    if kind == "text":
        lines = [line.split(":", 3) for line in report().splitlines() if line.startswith(f"{COLUMN}:")]
        return [(int(line), message) for _, line, _, message in lines]
    if kind == "json":
        (file,) = json.loads(report("--as", "json"))["files"]
        return [(each["line"], each["message"]) for each in file["findings"]]
    (run,) = json.loads(report("--as", "sarif"))["runs"]
    return [
        (each["locations"][0]["physicalLocation"]["region"]["startLine"], each["message"]["text"])
        for each in run["results"]
    ]


@pytest.mark.parametrize("kind", ["text", "json", "sarif"])
def test_the_message_holds_the_algebraic_move(kind: str) -> None:
    told = messages(kind)
    for line, words, move in EXPECTED:
        assert [message for at, message in told if at == line and words in message and move in message], (line, told)


POSITION = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n"
KEY = "1. K-Kt2! K-R5 2. R-K4 mate, 1... P-R5 2. R-Kt5 mate."


@pytest.mark.parametrize(
    ("text", "rule", "move"),
    [
        ("1. K-Kt2 ch! K-R5 2. R-K4 mate, 1... P-R5 2. R-Kt5 mate.", "no-check", "Kg2"),
        ("1. K-Kt2! K-R5 2. R-K4 mate, 1... P-R5 2. R-K4 mate.", "check-not-mate", "Re4"),
        ("1. K-B3 ch! K-R5 2. R-K4 mate, 1... P-R5 2. R-Kt5 mate.", "king-into-check", "Kf3"),
        (f"Try 1. R x P? K-R4. Key {KEY}", "missing-capture-sign", "Kxh5"),
        (f"Try 1. K-Kt sq? P-R4! Key {KEY}", "illegal-move", "h5"),
    ],
)
def test_each_rule_says_it(text: str, rule: str, move: str) -> None:
    found = check_text("old.txt", POSITION + text + "\n", Options()).findings
    told = {placed.finding.rule: placed.finding.message for placed in found}
    assert move in told[rule], told


def test_no_repair_writes_algebraic_signs_into_descriptive_text() -> None:
    assert "Nothing to repair" in CliRunner().invoke(cli, ["check", "--repair", str(COLUMN)]).output
