"""The drawing of the rooms in the contributor's guide is that of the present imports."""

from rooms import ROOT, drawing


def test_the_guide_shows_the_rooms_as_they_are() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"```text\n{drawing()}\n```" in guide, f"put this there:\n{drawing()}"
