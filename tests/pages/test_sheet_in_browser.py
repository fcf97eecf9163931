"""The proof sheet in a real browser: headless Chromium, driven through WebDriver (W3C)."""

import base64
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import chess
import pytest
from browsing import chrome
from corpus_checked import CORPUS, checked
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.sheet.page import page
from msgspec.structs import replace

from .test_sheet import DRAFT, FEN

if TYPE_CHECKING:
    from selenium.webdriver import Chrome
    from selenium.webdriver.remote.webelement import WebElement

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
    with chrome() as opened:
        yield opened


@pytest.fixture
def sheet(browser: "Chrome", tmp_path: Path) -> "Iterator[Chrome]":
    """Open the sheet of a column and of a game file; whatever is done with it, the console stays empty."""
    target = tmp_path / "sheet.html"
    texts = (("column.txt", TITLED), ("column.md", DRAFT), ("evening.pgn", MOVES))
    target.write_text(
        page([check_text(path, text, Options(show_moves=True)) for path, text in texts], Options()), encoding="utf-8"
    )
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    browser.get(target.as_uri())
    yield browser
    assert browser.get_log("browser") == []


@pytest.fixture
def without_scripts(browser: "Chrome") -> "Iterator[None]":
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    yield
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


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


def test_the_tab_key_lands_on_the_move_that_is_shown(sheet: "Chrome") -> None:
    """ARIA Authoring Practices, "Developing a Keyboard Interface": one of a group is in the order of the Tab key."""
    from selenium.webdriver.common.keys import Keys

    play = line_of_play(sheet)
    assert [button.get_attribute("tabindex") for button in css(play, "button")].count("0") == 1
    for _ in range(60):
        sheet.switch_to.active_element.send_keys(Keys.TAB)
        if sheet.switch_to.active_element in css(play, "button"):
            break
    here = sheet.switch_to.active_element
    assert here.get_attribute("aria-current") == "step"
    here.send_keys(Keys.ARROW_LEFT)
    assert men_drawn(play) == positions()[-1]


def article_of(sheet: "Chrome") -> "WebElement":
    return css(sheet, "article")[0]


def shown_in(article: "WebElement") -> str:
    return men_drawn(css(article, ".diagram")[0])


def test_a_move_under_the_mouse_is_shown_and_one_that_is_clicked_stays(sheet: "Chrome") -> None:
    from selenium.webdriver import ActionChains

    article = article_of(sheet)
    key, king = css(article, ".move")[:2]
    assert (key.text, king.text) == ("1.Kg2!", "Kh4")
    fens = positions()
    assert shown_in(article) == fens[0]
    ActionChains(sheet).move_to_element(king).perform()
    assert shown_in(article) == fens[2]
    ActionChains(sheet).move_to_element(css(article, "h3")[0]).perform()
    assert shown_in(article) == fens[0]
    key.click()
    ActionChains(sheet).move_to_element(css(article, "h3")[0]).perform()
    assert shown_in(article) == fens[1]
    assert css(article, ".state")[0].text == "The position after 1.Kg2"


def test_the_moves_of_a_text_are_played_through(sheet: "Chrome") -> None:
    """Also where nothing was found, and with the keyboard alone."""
    from selenium.webdriver.common.keys import Keys

    article = article_of(sheet)
    fens = positions()
    first, back, on = css(article, ".walk button")
    for fen in fens[1:3]:
        on.click()
        assert shown_in(article) == fen
    back.click()
    assert shown_in(article) == fens[1]
    first.click()
    assert shown_in(article) == fens[0]
    sheet.execute_script("arguments[0].focus()", css(article, ".move")[0])
    for key, fen in ((Keys.ENTER, fens[1]), (Keys.ARROW_RIGHT, fens[2]), (Keys.ESCAPE, fens[0])):
        sheet.switch_to.active_element.send_keys(key)
        assert shown_in(article) == fen
    assert all(move.accessible_name for move in css(article, ".move"))


@pytest.mark.usefixtures("without_scripts")
def test_without_scripts_nothing_looks_like_a_button(sheet: "Chrome") -> None:
    # Run before scripts were switched off, the page would have buttons; it is loaded anew.
    sheet.get(sheet.current_url)
    assert css(sheet, "button, [role=button], [tabindex]") == []
    steps = css(sheet, ".step")
    assert steps
    assert {step.value_of_css_property("cursor") for step in steps} == {"auto"}
    assert {step.value_of_css_property("border-top-width") for step in steps} == {"0px"}
    assert "2.Re3" in "".join(step.text for step in steps)


def test_the_current_step_is_seen_in_forced_colours(sheet: "Chrome") -> None:
    # CSS Color Adjustment 3: colours of the page give way to those of the user.
    sheet.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": "forced-colors", "value": "active"}]})
    current, other = css(sheet, "button[aria-current]")[0], css(sheet, ".play button:not([aria-current])")[0]
    for looks in ("background-color", "outline-style"):
        assert current.value_of_css_property(looks) != other.value_of_css_property(looks)


@pytest.mark.parametrize("width", [390, 1280])
def test_what_is_pressed_is_large_enough(sheet: "Chrome", width: int) -> None:
    # WCAG 2.2, 2.5.8: 24 by 24 CSS pixels; links within a sentence are excepted.
    metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 500}
    sheet.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    for each in css(sheet, ".number, button, summary, label"):
        if each.is_displayed():
            assert min(each.size["width"], each.size["height"]) >= 24, each.text


def test_clean_puzzles_can_be_left_out(browser: "Chrome", tmp_path: Path) -> None:
    clean = DRAFT.replace("3+3", "3+2").replace("Re3#", "Re4#").replace("Try: 1.Rg5+? Kh3!", "")
    results = [check_text(f"{number}.md", clean if number else DRAFT, Options()) for number in range(5)]
    target = tmp_path / "sheet.html"
    target.write_text(page(results, Options()), encoding="utf-8")
    browser.get(target.as_uri())
    seen = [len([each for each in css(browser, "article") if each.is_displayed()])]
    css(browser, "#only-faulty")[0].click()
    seen.append(len([each for each in css(browser, "article") if each.is_displayed()]))
    assert seen == [5, 1]
    assert [entry.is_displayed() for entry in css(browser, "nav li")] == [True, False, False, False, False]


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
    board, main, notes = (css(sheet, f"article {part}")[0].rect for part in (".diagram", ".main", ".notes"))
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


LINE = 5  # points between the middles of words that stand in one line, at the most


def pages_printed(browser: "Chrome") -> list[list[str]]:
    """Return the lines of each page on paper, from its top."""
    pdfium = pytest.importorskip("pypdfium2", reason="pypdfium2 is not installed: pip install -e '.[dev]'")
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    printed: dict[str, Any] = browser.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})
    with pdfium.PdfDocument(base64.b64decode(printed["data"])) as document:
        return [lines_of(each.get_textpage()) for each in document]


def lines_of(words: Any) -> list[str]:
    """Return the lines of a page, from its top: what stands at one height, from left to right."""
    pieces = []
    for found in re.finditer(r"\S[^\r\n]*", words.get_text_range()):
        left, bottom, _, top = words.get_charbox(found.start(), loose=True)
        pieces.append((-(bottom + top) / 2, left, found[0].strip()))
    rows: list[list[tuple[float, float, str]]] = []
    for piece in sorted(pieces):
        if not rows or piece[0] - rows[-1][0][0] > LINE:
            rows.append([])
        rows[-1].append(piece)
    return [" ".join(said for _, said in sorted(each[1:] for each in row)) for row in rows]


@pytest.fixture(scope="module")
def column_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sheet of the first demo columns, of a recording and of a draft with faults."""
    target = tmp_path_factory.mktemp("sheet") / "sheet.html"
    paths = [*sorted((CORPUS / "demo").glob("column-0[1-9]*")), CORPUS / "demo" / "captions-03.vtt"]
    paths.append(CORPUS / "faulty" / "wednesday-draft.md")
    target.write_text(page([replace(checked(path), path=path.name) for path in paths], Options()), encoding="utf-8")
    return target


@pytest.mark.slow
@pytest.mark.kernel
def test_no_heading_stands_alone_at_the_foot_of_a_page(browser: "Chrome", column_page: Path) -> None:
    browser.get(column_page.as_uri())
    headings = [" ".join(each.text.split()) for each in css(browser, "h2, h3, .row.h1, .row.h2, .row.h3")]
    headings += ["Tries, each with its only refutation", "Solutions"]
    pages = pages_printed(browser)
    assert len(pages) > 10
    for lines in pages:
        last = " ".join(lines[-1].split())
        assert {last, re.sub(r"^\d+ ", "", last), re.sub(r" \d+$", "", last)}.isdisjoint(headings)
        assert not re.sub(r"^\d+ ", "", last).startswith(("Key: ", "The proof"))
        assert len(lines) > 5 or lines is pages[-1]


@pytest.mark.slow
@pytest.mark.kernel
def test_proofs_are_printed_or_left_out_by_choice(browser: "Chrome", column_page: Path) -> None:
    browser.get(column_page.as_uri())
    told = sum(line.count("Searched ") for lines in pages_printed(browser) for line in lines)
    proofs = len(css(browser, ".proof"))
    assert proofs > 10
    css(browser, "#only-proofs")[0].click()
    without = pages_printed(browser)
    assert not any("Searched " in line for lines in without for line in lines)
    assert told == proofs


@pytest.mark.slow
@pytest.mark.kernel
def test_a_column_takes_as_many_pages_as_it_needs(browser: "Chrome", tmp_path: Path) -> None:
    """Five puzzles of twenty lines: without their proofs two pages, with them three."""
    path, target = CORPUS / "demo" / "column-01.md", tmp_path / "sheet.html"
    target.write_text(page([replace(checked(path), path=path.name)], Options()), encoding="utf-8")
    browser.get(target.as_uri())
    sizes = [len(pages_printed(browser))]
    css(browser, "#only-proofs")[0].click()
    sizes.append(len(pages_printed(browser)))
    assert sizes == [3, 2]
