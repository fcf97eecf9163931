"""Errata: what was printed wrongly is nobody's claim, what shall be read is the author's."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TOLD = """FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
Mate in two.

1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#. Tries are 1.Rg5+? Kh3! (or Kh4) and 1.Rxh5? Kxh5!

"""


def errors(words: str) -> list[str]:
    """Return the rules of the errors in the text with some words behind it."""
    found = check_text("solution.txt", TOLD + words + "\n", Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name == "error"]


@pytest.mark.parametrize(
    ("words", "faults"),
    [
        ('p. 3, for "1...Kh4 2.Re1" read "1...Kh4 2.Re4 mate".', []),
        ('p. 3, for "1...Kh4 2.Re4 mate" read "1...Kh4 2.Re1 mate".', ["mate-without-check"]),
        ('p. 3, for "1 Rxh5 fails to Kh2" read "1 Rxh5 fails to Kxh5".', []),
        ('p. 3, for "1 Rg5+ fails to Kf5" read "1 Rg5+ fails to Kh4".', []),
        ('p. 3, for "1 Rxh5 fails to Kh2" read "1 Rxh5 fails to Kh4".', ["king-into-check"]),
        ("Misprints: after 1...Kh4 for 2.Re1 read 2.Re4.", []),
        ("Misprints: after 1...Kh4 for 2.Re1 mate read 2.Rf5 mate.", ["mate-without-check"]),
        ('Instead of "2.Re1" it should read "1...h4 2.Re4 mate".', ["check-not-mate"]),
    ],
)
def test_what_is_to_be_read(words: str, faults: list[str]) -> None:
    """It is checked, behind what cannot be played as well; what is taken back is not."""
    assert errors(words) == faults
