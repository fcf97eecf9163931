"""Columns, game files and lists by imagined editors, each wholly true, as proved by plain search: nobody is accused."""

from pathlib import Path

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

PRINT = Path(__file__).parent / "print"


@pytest.mark.parametrize("path", sorted(PRINT.iterdir()), ids=lambda path: path.name)
def test_a_true_text_is_not_accused(path: Path) -> None:
    found = check_text(path.name, path.read_text(encoding="utf-8"), Options()).findings
    accused = [each.finding for each in found if each.finding.level.name != "note" and each.finding.rule != "dual"]
    assert [(each.rule, each.message) for each in accused] == []
