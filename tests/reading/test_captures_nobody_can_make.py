"""A capture told outright, with both its men or with what it does, that cannot be made."""

import pytest
from test_false_mates import HEAD, KEY, errors


@pytest.mark.parametrize(
    ("takes", "rules"),
    [
        ("the queen takes the rook, and it is mate", ["illegal-move"]),
        ("the queen would be taken by the rook", []),
    ],
)
def test_a_capture_without_a_square(takes: str, rules: list[str]) -> None:
    assert errors(HEAD + KEY + f"If the knight on g1 jumps to h3, {takes}.\n") == rules
