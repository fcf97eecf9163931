"""The proof sheet in a real browser: headless Chromium, driven through WebDriver (W3C)."""

import base64
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.sheet.page import page

from .test_sheet import DRAFT, FEN

if TYPE_CHECKING:
    from selenium.webdriver import Chrome
    from selenium.webdriver.remote.webelement import WebElement

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
TITLED = f"""No. 1 The <script>window.broken = true</script> king
{FEN}
Mate in two.
1.Kg2! Kh4 2.Re3#, 1...h4 2.Rg5#
"""
MOVES = f"""[Event "A club evening"]
[SetUp "1"]
[FEN "{FEN}"]

1. Kg2 {{<script>window.broken = true</script>}} 1... Kh4 2. Re3 *
"""


@pytest.fixture(scope="module")
def browser() -> "Iterator[Chrome]":
    selenium = pytest.importorskip("selenium", reason="selenium is not installed: pip install -e '.[dev]'")
    program = next(filter(None, map(shutil.which, BROWSERS)), None)
    driver = shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.skip("no browser to test in: apt-get install chromium chromium-driver")
    from selenium.webdriver.chrome.service import Service

    options = selenium.webdriver.ChromeOptions()
    options.binary_location = program
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    chrome = selenium.webdriver.Chrome(options=options, service=Service(driver))
    yield chrome
    chrome.quit()


@pytest.fixture
def sheet(browser: "Chrome", tmp_path: Path) -> "Iterator[Chrome]":
    """Open the sheet of a column and of a game file; whatever is done with it, the console stays empty."""
    target = tmp_path / "sheet.html"
    texts = (("column.txt", TITLED), ("column.md", DRAFT), ("evening.pgn", MOVES))
    target.write_text(page([check_text(path, text, Options()) for path, text in texts], Options()), encoding="utf-8")
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    browser.get(target.as_uri())
    yield browser
    assert browser.get_log("browser") == []


def css(place: "Chrome | WebElement", selector: str) -> "list[WebElement]":
    return place.find_elements("css selector", selector)


def line_of_play(sheet: "Chrome") -> "WebElement":
    """Return the evidence of the false mate: 1.Kg2 Kh4 2.Re3 and a reply."""
    return next(play for play in css(sheet, ".play") if "2.Re3" in play.text)


def men_drawn(play: "WebElement") -> str:
    board = chess.Board(None)
    for use in css(play, ".men use"):
        colour, letter = (use.get_attribute("href") or "").removeprefix("#")
        square = chess.square(int(use.get_attribute("x") or 0) // 100, 7 - int(use.get_attribute("y") or 0) // 100)
        board.set_piece_at(square, chess.Piece.from_symbol(letter if colour == "w" else letter.lower()))
    return board.board_fen()


def positions() -> list[str]:
    board = chess.Board(FEN)
    fens = [board.board_fen()]
    for san in ("Kg2", "Kh4", "Re3"):
        board.push_san(san)
        fens.append(board.board_fen())
    return fens


def test_a_line_is_played_with_the_mouse(sheet: "Chrome") -> None:
    play = line_of_play(sheet)
    buttons = css(play, "button")
    for button, fen in zip(buttons, positions(), strict=False):
        button.click()
        assert men_drawn(play) == fen
        assert [each for each in buttons if each.get_attribute("aria-current")] == [button]
    buttons[0].click()
    assert not css(play, "svg > g > circle")
    buttons[1].click()
    rings = css(play, "svg > g > circle")
    assert {ring.get_attribute("cx") for ring in rings} == {"650"}  # the g-file
    assert {ring.get_attribute("cy") for ring in rings} == {"650"}  # the second rank


def test_a_line_is_played_with_the_keyboard(sheet: "Chrome") -> None:
    from selenium.webdriver.common.keys import Keys

    play = line_of_play(sheet)
    buttons = css(play, "button")
    fens = positions()

    def press(key: str) -> str:
        sheet.switch_to.active_element.send_keys(key)
        return men_drawn(play)

    sheet.execute_script("arguments[0].focus()", buttons[0])
    assert press(Keys.ENTER) == fens[0]
    assert press(Keys.ARROW_RIGHT) == fens[1]
    assert press(Keys.ARROW_RIGHT) == fens[2]
    assert sheet.switch_to.active_element == buttons[2]
    assert press(Keys.ARROW_LEFT) == fens[1]
    assert press(Keys.HOME) == fens[0]
    assert press(Keys.ARROW_LEFT) == fens[0]
    press(Keys.END)
    assert sheet.switch_to.active_element == buttons[-1]
    assert press(Keys.SPACE) == men_drawn(play)


def test_what_a_screen_reader_says(sheet: "Chrome") -> None:
    """WCAG 2.1, 1.1.1 and 4.1.2: every diagram and every button has a name, every change is announced."""
    boards = css(sheet, "svg[role=img]")
    assert len(boards) >= 3
    for board in boards:
        assert re.search(r"White: king \w\d.*; Black: king \w\d", board.accessible_name)
    play = line_of_play(sheet)
    assert all(button.accessible_name for button in css(play, "button"))
    css(play, "button")[1].click()
    live = css(play, "[aria-live]")[0]
    assert live.get_attribute("textContent") == (
        "The position after 1.Kg2. White: king g2, rook e5, knight e6; Black: king g4, pawn h5"
    )
    assert "The position after 1.Kg2" in css(play, "svg")[0].accessible_name
    assert css(sheet, "html")[0].get_attribute("lang") == "en"


def test_the_proof_unfolds(sheet: "Chrome") -> None:
    from selenium.webdriver.common.keys import Keys

    proof = css(sheet, ".proof")[0]
    answer = css(proof, "li")[0]
    assert not answer.is_displayed()
    css(proof, "summary")[0].click()
    assert answer.is_displayed()
    why = css(answer, "details")[0]
    css(why, "summary")[0].send_keys(Keys.ENTER)
    assert "gives check" in why.text


def test_notes_and_places_lead_to_each_other(sheet: "Chrome") -> None:
    number = css(sheet, ".author .number")[0]
    number.click()
    assert sheet.execute_script("return document.querySelector(':target').id") == "note1"
    css(sheet, "#note1 .number")[0].click()
    assert sheet.execute_script("return document.querySelector(':target').id") == "place1"


def test_scripts_in_the_text_stay_text(sheet: "Chrome") -> None:
    assert sheet.execute_script("return window.broken") is None
    assert "The <script>window.broken = true</script> king" in css(sheet, "h3")[0].text
    assert "{<script>window.broken = true</script>}" in css(sheet, "body")[0].text


def test_nothing_is_fetched(sheet: "Chrome") -> None:
    assert sheet.execute_script("return performance.getEntriesByType('resource').length") == 0


@pytest.mark.parametrize("width", [320, 390, 768, 1200])
def test_no_width_needs_sideways_scrolling(sheet: "Chrome", width: int) -> None:
    # WCAG 2.1, 1.4.10: content reflows down to 320 CSS pixels.
    metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 500}
    sheet.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    sheet.execute_script("for (const each of document.querySelectorAll('details')) each.open = true")
    assert sheet.execute_script("return document.documentElement.scrollWidth") <= width
    board, main, notes = (css(sheet, f"article > {part}")[0].rect for part in (".diagram", ".main", ".notes"))
    if width < 700:
        assert board["y"] < main["y"] < notes["y"]
    else:
        assert main["x"] < board["x"] == pytest.approx(notes["x"], abs=1)


def luminance(colour: str) -> float:
    """Return the relative luminance of "rgb(r, g, b)" (WCAG 2.1, definition)."""
    channels = [int(value) / 255 for value in re.findall(r"\d+", colour)[:3]]
    linear = [value / 12.92 if value <= 0.03928 else ((value + 0.055) / 1.055) ** 2.4 for value in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_can_be_read(sheet: "Chrome", scheme: str) -> None:
    # WCAG 2.1, 1.4.3: a contrast of at least 4.5.
    sheet.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
    )
    page_colour = css(sheet, "html")[0].value_of_css_property("background-color")
    assert (luminance(page_colour) < 0.2) == (scheme == "dark")
    seen = 0
    for element in css(sheet, "h1, h2, h3, p, li, summary, mark, .level, .rule, .number, figcaption, button"):
        own = element.value_of_css_property("background-color")
        ground = page_colour if own in ("rgba(0, 0, 0, 0)", "transparent") else own
        lights = sorted((luminance(element.value_of_css_property("color")), luminance(ground)))
        assert (lights[1] + 0.05) / (lights[0] + 0.05) >= 4.5, element.text
        seen += 1
    assert seen > 30


def test_it_prints_on_a4(sheet: "Chrome") -> None:
    # ISO 216: A4 is 210 by 297 mm; a point is 1/72 inch.
    printed: dict[str, Any] = sheet.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})
    pdf = base64.b64decode(printed["data"])
    assert pdf.startswith(b"%PDF-")
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert boxes
    for width, height in boxes:
        assert float(width) == pytest.approx(210 / 25.4 * 72, abs=1)
        assert float(height) == pytest.approx(297 / 25.4 * 72, abs=1)
