"""The case collection: texts each rule must speak up on, and near misses it must let pass.

`cases/` holds one file a rule, and `styles.txt` for true texts in many manners. Cases are divided
by lines of "====". The first line of each says what is expected, with a reason after the colon:

    loud 4: ...      the rule that the file is named after reports line 4, and nothing else is reported
    silent: ...      nothing is reported, by any rule

Lines count from 1 below that first line. "loud 4 5" expects one finding on each of the two.
"""

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from keyproof.grammar.spans import Lines
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import load_rules

CASES = Path(__file__).parent / "cases"
_HEAD = re.compile(r"(?P<kind>loud|silent)(?P<lines>(?: \d+)*): (?P<reason>.+)")


@dataclass(frozen=True)
class Expected:
    """One case: where its file's rule must report, if anywhere, and the text."""

    rule: str
    lines: tuple[int, ...]
    reason: str
    text: str


def cases(path: Path) -> list[Expected]:
    """Read a file of cases. A case that does not keep to the format is an error."""
    found = []
    for part in re.split(r"^====\n", path.read_text("utf-8"), flags=re.M):
        first, _, text = part.partition("\n")
        head = _HEAD.fullmatch(first)
        assert head is not None, f"{path.name}: not the first line of a case: {first!r}"
        lines = tuple(int(number) for number in head["lines"].split())
        assert bool(lines) == (head["kind"] == "loud"), f"{path.name}: {first!r} and lines do not agree"
        found.append(Expected(path.stem, lines, head["reason"], text))
    return found


ALL = [case for path in sorted(CASES.glob("*.txt")) for case in cases(path)]


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.rule}: {case.reason}")
def test_case(case: Expected) -> None:
    result = check_text("case.md" if case.text.startswith("#") else "case.txt", case.text, Options())
    assert result.error is None
    place = Lines(case.text).place
    found = [(placed.finding.rule, place(placed.finding.span.start)[0]) for placed in result.findings]
    assert found == [(case.rule, line) for line in case.lines], [placed.finding.message for placed in result.findings]


def test_each_file_is_named_after_a_rule() -> None:
    assert {case.rule for case in ALL} <= {*load_rules(), "styles"}


def test_silent_cases_are_not_outnumbered() -> None:
    for rule in {case.rule for case in ALL} - {"styles"}:
        loud = sum(bool(case.lines) for case in ALL if case.rule == rule)
        assert loud <= sum(not case.lines for case in ALL if case.rule == rule), rule
