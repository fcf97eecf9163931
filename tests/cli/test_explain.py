"""The pages of the rules."""

from collections.abc import Iterator
from typing import Any

import pytest
from keyproof.linter.pages import BadPage, Page, page, pages
from keyproof.rules.checks.register import Rule, load_rules
from keyproof.rules.finding import Level

from .conftest import Keyproof, Process


def rule(docstring: str | None) -> Rule:
    def check(case: Any) -> Iterator[Any]:
        yield from ()

    check.__doc__ = docstring
    return Rule("some-rule", Level.warning, check)


WHOLE = """A thing is wrong.

    It is wrong in
    two lines.

    Source: a law.

    Bad:
        FEN: 8

            1.Ke2

    Good:
        FEN: 9
    Blind spots: all that
        is hidden.
    """


def test_a_page_is_taken_apart() -> None:
    assert page(rule(WHOLE)) == Page(
        name="some-rule",
        level=Level.warning,
        summary="A thing is wrong.",
        body=("It is wrong in two lines.", "Source: a law."),
        bad="FEN: 8\n\n    1.Ke2\n",
        good="FEN: 9\n",
        blind_spots="all that is hidden.",
    )


@pytest.mark.parametrize(
    ("docstring", "message"),
    [
        (None, "lacks a summary"),
        ("", "lacks a summary"),
        ("Bad:\n    x\n", "lacks a summary"),
        ("A summary\nof two lines.\n\nBad:\n    x\nGood:\n    y\n", "summary of more than one line"),
        ("Summary.", "lacks the part 'Bad'"),
        ("Summary.\n\nBad:\n    x\n", "lacks the part 'Good'"),
        ("Summary.\n\nGood:\n    x\n", "lacks the part 'Bad'"),
        ("Summary.\n\nBad:\n\nGood:\n    x\n", "empty part 'Bad'"),
        ("Summary.\n\nBad: x\nGood:\n    x\n", "on the line of 'Bad'"),
        ("Summary.\n\nBad:\n    x\nGood:\n    x\nBad:\n    x\n", "two parts 'Bad'"),
        ("Summary.\n\nBad:\n    x\nnot indented\nGood:\n    x\n", "not indented: 'not indented'"),
    ],
)
def test_a_page_that_lacks_a_part_is_refused(docstring: str | None, message: str) -> None:
    with pytest.raises(BadPage, match=message) as caught:
        page(rule(docstring))
    assert "some-rule" in str(caught.value)


def test_every_rule_has_its_page(keyproof: Keyproof) -> None:
    rules = load_rules()
    assert list(pages()) == sorted(rules)
    for name, known in rules.items():
        shown = keyproof("explain", name)
        assert shown.exit_code == 0
        lines = shown.stdout.splitlines()
        assert lines[0] == f"{name} ({known.level.name})"
        assert lines[1] == page(known).summary
        for title, block in (("Bad:", page(known).bad), ("Good:", page(known).good)):
            start = lines.index(title) + 1
            expected = [f"    {row}" if row else "" for row in block.splitlines()]
            assert lines[start : start + len(expected)] == expected


def test_the_list_names_every_rule_with_level_and_summary(keyproof: Keyproof) -> None:
    lines = keyproof("explain").stdout.splitlines()
    assert [line.split(maxsplit=2) for line in lines] == [
        [each.name, each.level.name, each.summary] for each in pages().values()
    ]


def test_an_unknown_rule_gets_its_neighbours(keyproof: Keyproof) -> None:
    result = keyproof("explain", "check-not-mat")
    assert result.exit_code == 2
    assert "check-not-mate" in result.stderr
    far = keyproof("explain", "zzz")
    assert "nearest" not in far.stderr
    assert "no rule is named 'zzz'" in far.stderr


def test_a_pipe_gets_whole_lines(process: Process) -> None:
    assert process("explain", COLUMNS="40").stdout == process("explain", COLUMNS="200").stdout
