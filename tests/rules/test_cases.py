"""The case collection: texts each rule must speak up on, and near misses it must let pass.

`cases/` holds one file a rule, and `styles.txt` for true texts in many manners. Cases are divided
by lines of "====". The first line of each says what is expected, with a reason after the colon:

    loud 4: ...      the rule that the file is named after reports line 4, and nothing else is reported
    silent: ...      nothing is reported, by any rule

Lines of settings may follow, each after a "%", as they stand in `keyproof.toml`. The lines of
the text are counted from 1 below these. "loud 4 5" expects one finding on each of the two. A
text that begins with "#" is Markdown.
"""

import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from keyproof.grammar.spans import Lines
from keyproof.linter import style
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.checks.register import load_rules
from keyproof.rules.proof.prover import DEFAULT_EFFORT

CASES = Path(__file__).parent / "cases"
FEWEST = 3
_HEAD = re.compile(r"(?P<kind>loud|silent)(?P<lines>(?: \d+)*): (?P<reason>.+)\n(?P<settings>(?:%.*\n)*)")


@dataclass(frozen=True)
class Expected:
    """One case: where its file's rule must report, if anywhere, and the text."""

    rule: str
    lines: tuple[int, ...]
    reason: str
    settings: str
    text: str

    @property
    def options(self) -> Options:
        """The settings of the run."""
        settings = style.parse(tomllib.loads(self.settings))
        effort = DEFAULT_EFFORT if settings.effort is None else settings.effort
        return Options(effort=effort, fresh=True, house=settings.house, levels=settings.levels)


def cases(path: Path) -> list[Expected]:
    """Read a file of cases. A case that does not keep to the format is an error."""
    found = []
    for part in re.split(r"^====\n", path.read_text("utf-8"), flags=re.M):
        head = _HEAD.match(part)
        assert head is not None, f"{path.name}: not the beginning of a case: {part[:60]!r}"
        lines = tuple(int(number) for number in head["lines"].split())
        assert bool(lines) == (head["kind"] == "loud"), f"{path.name}: {head['reason']!r} and its lines do not agree"
        settings = re.sub(r"^% ?", "", head["settings"], flags=re.M)
        found.append(Expected(path.stem, lines, head["reason"], settings, part[head.end() :]))
    return found


ALL = [case for path in sorted(CASES.glob("*.txt")) for case in cases(path)]


@pytest.mark.parametrize("case", ALL, ids=lambda case: f"{case.rule}: {case.reason}")
def test_case(case: Expected) -> None:
    result = check_text("case.md" if case.text.startswith("#") else "case.txt", case.text, case.options)
    assert result.error is None
    place = Lines(case.text).place
    found = [(placed.finding.rule, place(placed.finding.span.start)[0]) for placed in result.findings]
    assert found == [(case.rule, line) for line in case.lines], [placed.finding.message for placed in result.findings]


def test_each_rule_has_its_file_and_each_file_its_rule() -> None:
    assert {path.stem for path in CASES.iterdir()} == {*load_rules(), "styles"}


@pytest.mark.parametrize("rule", load_rules())
def test_a_rule_has_loud_cases_and_no_fewer_silent_ones(rule: str) -> None:
    count = Counter(bool(case.lines) for case in ALL if case.rule == rule)
    assert FEWEST <= count[True] <= count[False]


def test_no_case_stands_twice_in_a_file() -> None:
    times = Counter((case.rule, case.settings, case.text) for case in ALL)
    assert [case for case, number in times.items() if number > 1] == []
