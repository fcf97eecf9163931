"""The page of each rule: all its parts are there, and its two examples do what they say."""

from pathlib import Path

import pytest
from keyproof.linter import style
from keyproof.linter.options import Options
from keyproof.linter.pages import pages
from keyproof.linter.pipeline import check_text
from keyproof.rules.checks.register import load_rules
from msgspec.structs import replace

PAGES = pages()


def found(name: str, text: str, folder: Path) -> list[str]:
    """Return the rules that report something on an example, under the settings of its page."""
    settings = style.Settings()
    if PAGES[name].settings:
        file = folder / "keyproof.toml"
        file.write_text(PAGES[name].settings, encoding="utf-8")
        settings = style.load(file)
    options = Options(fresh=True, house=settings.house, levels=settings.levels)
    if settings.effort is not None:
        options = replace(options, effort=settings.effort)
    result = check_text("example.txt", text, options)
    assert result.error is None
    return [placed.finding.rule for placed in result.findings]


@pytest.mark.parametrize("name", load_rules())
def test_the_bad_example_gives_this_finding_and_no_other(name: str, tmp_path: Path) -> None:
    assert found(name, PAGES[name].bad, tmp_path) == [name]


@pytest.mark.parametrize("name", load_rules())
def test_the_good_example_gives_none(name: str, tmp_path: Path) -> None:
    assert found(name, PAGES[name].good, tmp_path) == []


@pytest.mark.parametrize("name", load_rules())
def test_a_page_reads_as_one(name: str) -> None:
    page = PAGES[name]
    assert page.summary.endswith(".")
    assert page.summary[0].isupper() or page.summary[0] == '"'
    assert page.bad != page.good


def test_names_are_plain_hyphenated_words() -> None:
    for name in load_rules():
        assert name.replace("-", "").isalpha()
        assert name.islower()
