"""The texts of corpus/: what is true draws no finding, what is planted draws its finding and no other.

Each text is checked once in a run, and what was found is shared by the tests; .ci/run does not check them again.
"""

import json
import random
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from corpus_checked import CORPUS, checked, texts
from keyproof.grammar.spans import Lines
from keyproof.linter import pipeline
from keyproof.linter.cli import cli
from keyproof.linter.results import FileResult
from keyproof.rules.checks.register import load_rules

from . import write_published

pytestmark = pytest.mark.kernel

PROBLEMS = Path(__file__).parents[1] / "data" / "published.jsonl"
MISPRINTS = Path(__file__).parents[1] / "data" / "misprints.jsonl"


def found(result: FileResult) -> list[tuple[int, str]]:
    lines = Lines(result.text)
    return sorted((lines.place(placed.finding.span.start)[0], placed.finding.rule) for placed in result.findings)


def expected(path: Path) -> list[tuple[int, str]]:
    lines = path.with_suffix(".expected").read_text(encoding="utf-8").splitlines()
    return sorted((int(number), rule) for number, rule in (line.split() for line in lines))


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, arguments, prog_name="keyproof")


@pytest.mark.parametrize("path", [*texts("demo"), *texts("published")], ids=lambda path: path.name)
def test_a_true_text_draws_no_finding(path: Path) -> None:
    result = checked(path)
    assert result.error is None
    assert [(placed.finding.rule, placed.finding.message) for placed in result.findings] == []
    assert result.puzzles
    for puzzle in result.puzzles:
        assert puzzle.verdict == "sound", puzzle.title
        assert puzzle.checked == puzzle.move_mentions > 0, puzzle.title


def test_every_published_problem_has_its_printed_key() -> None:
    # The keys are those of the sources named in the file, "prover only" where that is said.
    problems = [json.loads(line) for line in PROBLEMS.read_text(encoding="utf-8").splitlines()]
    wanted = {(each["fen"].split()[0], each["stipulation"]): each["key_san"] for each in problems}
    puzzles = [puzzle for path in texts("published") for puzzle in checked(path).puzzles]
    proved = {((puzzle.fen or "").split()[0], puzzle.stipulation): puzzle.keys for puzzle in puzzles}
    assert proved == {problem: (key,) for problem, key in wanted.items()}
    assert len(puzzles) == len(problems)


def test_the_published_texts_are_those_the_script_writes() -> None:
    on_disk = {path.name: path.read_text(encoding="utf-8") for path in texts("published")}
    assert on_disk == write_published.texts()


@pytest.fixture
def once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The command takes what was found already."""
    monkeypatch.setattr(pipeline, "check_file", lambda path, options: checked(Path(path)))


@pytest.mark.usefixtures("once")
def test_true_texts_end_with_0() -> None:
    result = run("check", "--jobs", "1", "--bar", "note", str(CORPUS / "demo"), str(CORPUS / "published"))
    assert result.exit_code == 0, result.output
    assert f"in {len(texts('demo')) + len(texts('published'))} files" in result.output


@pytest.mark.parametrize("path", texts("faulty"), ids=lambda path: path.name)
def test_a_planted_error_draws_its_finding_and_no_other(path: Path) -> None:
    result = checked(path)
    assert result.error is None
    assert found(result) == expected(path)


def test_every_text_of_the_faulty_has_its_expected_findings_and_the_other_way_round() -> None:
    names = {path.stem for path in texts("faulty")}
    assert {path.stem for path in (CORPUS / "faulty").glob("*.expected")} == names
    assert {path.stem for path in (CORPUS / "faulty").glob("*.toml")} <= names


def test_every_rule_has_a_planted_error_in_the_file_of_its_name() -> None:
    planted = {path.stem: {rule for _, rule in expected(path)} for path in texts("faulty")}
    assert {name for name in load_rules() if name not in planted.get(name, ())} == set()
    for stem, rules in planted.items():
        name = re.sub(r"-\d+$", "", stem)
        assert name not in load_rules() or name in rules, stem


def test_the_misprints_stand_as_they_were_printed() -> None:
    # The three misprints of the book and their defects, found by hand and listed in the file.
    printed = (CORPUS / "faulty" / "blue-book.md").read_text(encoding="utf-8")
    for line in MISPRINTS.read_text(encoding="utf-8").splitlines():
        misprint = json.loads(line)
        before, after = printed.split(misprint["fen"])
        assert after.split("##")[0].rstrip().endswith(f"Key: 1.{misprint['printed_key']}!")
        assert misprint["source"].endswith(before.split("## ")[-1].splitlines()[0])


@pytest.mark.usefixtures("once")
def test_the_faulty_texts_end_with_1() -> None:
    assert run("check", "--jobs", "1", str(CORPUS / "faulty")).exit_code == 1


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("name", ["noise.txt", "noise.md"])
def test_random_bytes_end_with_2_and_one_line(tmp_path: Path, name: str, seed: int) -> None:
    path = tmp_path / name
    path.write_bytes(random.Random(seed).randbytes(5000))
    result = run("check", str(path))
    assert result.exit_code == 2
    assert result.exception is None or isinstance(result.exception, SystemExit)
    said = [line for line in (result.stdout + result.stderr).splitlines() if str(path) in line]
    assert len(said) == 1
    assert re.match(rf"{re.escape(str(path))}(?::\d+)*: error: \S", said[0])
