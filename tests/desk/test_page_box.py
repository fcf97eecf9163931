"""The box in which a position is set up, and the line of play that shows a remark: what a first reader tripped over."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from .conftest import COLUMN, FEN, Page

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("quiet")]

TWO = """# Two small mates

No. 1. White: Kg7, Qf8, Rd1; Black: Kh5, d5, f2. Mate in two.

No. 2. White: Kh4, Qh7, Ra5; Black: Kd1, Nb6, b7. Mate in two.

Solution of No. 1. The key is 1.Qf4! After 1...f1=Q 2.Rxd5 mate, and after 1...d4 2.Qg5 mate.

Solution of No. 2. The key is 1.Ra2! The try 1.Qc2+? fails to 1...Ke1!
"""


def box(page: Page, selector: str) -> Any:
    return page.js("return document.querySelector(arguments[0]).getBoundingClientRect().toJSON()", selector)


def test_nothing_in_the_box_moves_and_everything_can_be_undone(
    browser: "Chrome", start: Any, folder: Path, keys: Any
) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    metrics = {"width": 1280, "height": 850, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    page.put_cursor("Key:")
    page.wait("desk.follow.place !== null")
    page.press("#do-setting")
    page.wait(f"desk.setting.fen === '{FEN}'")  # the diagram at the cursor
    before = box(page, "#setting-prove")
    page.press("#setting-prove")
    page.wait("document.getElementById('setting-proof').textContent.includes('1.Kg2!')")
    assert box(page, "#setting-prove") == before
    page.press("#setting-clear")
    assert page.js("return desk.setting.men.size") == 0
    page.keys(with_control="z")
    assert page.js("return desk.setting.fen") == FEN
    assert page.js("return document.getElementById('setting-list').value") == "White: Kf2, Re5, Ne6; Black: Kg4, h5"
    page.keys(with_control="y")
    assert page.js("return desk.setting.men.size") == 0
    page.press("#setting-undo")
    assert page.js("return desk.setting.fen") == FEN
    page.keys(keys.ESCAPE)
    page.wait("document.activeElement.closest('#text') !== null")


def test_a_line_of_play_is_shown_under_its_own_puzzle(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    (folder / "column.md").write_text(TWO, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.put_cursor("The try 1.Qc2")
    page.wait("document.getElementById('place-asked').textContent.includes('No. 2')")
    page.press("#remarks .evidence button:nth-of-type(4)")
    assert "1.Qf4 d4 2.Qg5+" in page.seen("#place-line")
    assert "No. 2" not in page.seen("#place-asked")
    page.press("#place-taken button")
    assert "No. 2" in page.seen("#place-asked")
    assert page.js("return document.querySelector('#remarks [aria-current]')") is None
    page.put_cursor("fails to 1...Ke")
    page.wait("document.querySelector('.remark.now')")
    page.keys(keys.F4)  # the only refutation
    page.settled()
    assert page.text == TWO.replace("Ke1!", "Kxc2!")


def test_what_waits_for_a_position_is_told_once(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN.replace("/5K2/8 w", "/5X2/8 w"), encoding="utf-8")
    page = Page(browser, start(), "column.md")
    waiting = [each["message"] for each in page.remarks if "waits until its position can be read" in each["message"]]
    assert len(waiting) == 1
    assert [each for each in page.remarks if each["level"] == "doubtful"] == []
    assert not any("not proofread: “" in each["message"] for each in page.remarks)
