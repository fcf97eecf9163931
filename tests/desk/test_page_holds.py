"""The page in a real browser where more than its user has a say: crashes, hostile texts, narrow windows, readers."""

import contextlib
import json
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from .conftest import COLUMN, FAULTY, KEEPS_WHAT_IS_MADE, ROOT, Desk, Page

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("quiet")]

AXE = ROOT / "tests" / "data" / "axe" / "axe.min.js"


@pytest.mark.parametrize("ending", ["kill", "end"])
def test_nothing_is_lost_when_the_server_ends(browser: "Chrome", start: Any, folder: Path, ending: str) -> None:
    """In a crash or in order: the page that is still open goes on with the next desk of its folder."""
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk: Desk = start()
    page = Page(browser, desk, "column.md")
    page.put_cursor("2.Rg5#")
    page.keys(*" One. ")
    page.settled()
    time.sleep(0.5)  # the text has come to rest
    before = page.js("return document.querySelector('.cm-content').getBoundingClientRect().top")
    getattr(desk, ending)()
    page.wait("document.getElementById('notice-offline')")
    assert page.js("return document.querySelector('.cm-content').getBoundingClientRect().top") == before
    assert f"Start keyproof desk again for {folder}" in page.seen("#notices")
    page.keys(*"Two. ")
    page.wait("!desk.online")
    page.keys(*"Three.")
    page.js(KEEPS_WHAT_IS_MADE)
    page.press("#notice-offline button")
    assert page.wait("window.told").rstrip("\n").endswith("One. Two. Three.")
    again: Desk = start()
    assert (again.port, again.token) == (desk.port, desk.token)
    page.wait("desk.online")
    page.settled()
    assert page.text.rstrip("\n").endswith("2.Rg5# One. Two. Three.")
    again.kill()
    browser.get("about:blank")  # the browser is gone too
    third: Desk = start()
    page = Page(browser, third, "column.md")
    assert page.text.rstrip("\n").endswith("2.Rg5# One. Two. Three.")
    assert "was not saved before" in page.seen("#notices")
    page.press("#notice-recovered button:nth-of-type(2)")
    page.comes_to(COLUMN)
    page.settled()
    assert (folder / "column.md").read_text(encoding="utf-8") == COLUMN


def test_the_page_ends_the_desk(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk: Desk = start()
    page = Page(browser, desk, "column.md")
    page.put_cursor("2.Rg5#")
    page.keys(*" One.")
    page.press("#do-files")
    page.press("#files-end")
    assert "column.md was not saved: its text is kept" in desk.rest()
    page.wait("document.getElementById('notice-offline')")
    assert "this window can be closed" in page.seen("#notices")
    browser.get("about:blank")
    page = Page(browser, start(), "column.md")
    assert page.text.rstrip("\n").endswith("2.Rg5# One.")
    assert "was not saved before" in page.seen("#notices")


def test_two_windows(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk = start()
    page = Page(browser, desk, "column.md")
    first = browser.current_window_handle
    browser.switch_to.new_window("tab")
    other = Page(browser, desk, "column.md")
    assert "in another window" in other.seen("#notices")
    other.keys("lost?")
    assert other.text == COLUMN
    browser.switch_to.window(first)
    page.put_cursor("2.Rg5#")
    page.keys(*" One.")
    page.settled()
    second = next(handle for handle in browser.window_handles if handle != first)
    browser.switch_to.window(second)
    other.wait("desk.text.words.includes('One.')")
    other.press("#notice-elsewhere button")
    other.put_cursor("One.")
    other.keys(*" Two.")
    other.settled()
    browser.switch_to.window(first)
    page.wait("desk.text.words.includes('One. Two.')")
    assert not page.js("return desk.text.writing")
    browser.switch_to.window(second)
    browser.close()
    browser.switch_to.window(first)


def test_a_change_outside_is_told(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(FAULTY, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.js("desk.text.insert('mine')")
    page.settled()
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page.wait("document.getElementById('notice-outside')")
    page.press("#notice-outside button")
    page.comes_to(COLUMN)
    page.wait("desk.saved")


def test_a_folder_of_two_hundred_files(browser: "Chrome", start: Any, folder: Path) -> None:
    for number in range(200):
        (folder / f"column-{number:03}.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start())
    page.wait("document.querySelectorAll('#files-list button').length === 200")
    page.browser.find_element("id", "files-find").send_keys("-117")
    page.wait("document.querySelectorAll('#files-list button').length === 1")
    page.press("#files-list button")
    page.settled()
    assert page.js("return desk.name") == "column-117.md"


HOSTILE = """# No. 1: <img src=x onerror="window.broken = 1"> & \u202eemit\u202c \u2066x

8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

<script>window.broken = 1</script> Mate in two. {{constructor.constructor('window.broken = 1')()}} \u0007? $name

Key: 1.<b>Kg2</b>! \U0001d11e 1...Kh4 2.Re4#, 1...h4 2.Re4# <style>body { display: none }</style>
"""


def test_hostile_text_is_text(browser: "Chrome", start: Any, folder: Path) -> None:
    text = HOSTILE.replace("\u0007", "") + "x" * 1_000_000 + "\n"
    (folder / "column.md").write_text(text, encoding="utf-8")
    (folder / "control.md").write_text(HOSTILE, encoding="utf-8")
    desk = start()
    page = Page(browser, desk, "column.md")
    assert page.text == text
    assert page.js("return window.broken") is None
    assert (
        page.js(
            "return document.querySelectorAll('main img:not(.cm-widgetBuffer), main script, main style, main b').length"
        )
        == 0
    )
    assert page.js("return document.querySelectorAll('.cm-specialChar').length") >= 3  # bidi signs are seen
    remark = next(each for each in page.remarks if each["rule"] == "check-not-mate")
    assert page.js("return desk.text.words.slice(arguments[0], arguments[1])", remark["from"], remark["to"]) == "#"
    page = Page(browser, desk, "control.md")
    assert "control character 0x07" in page.seen("#remarks")
    assert "cannot be read" in page.seen("#sum")


def test_nothing_leaves_the_machine(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk = start()
    browser.get_log("performance")
    page = Page(browser, desk, "column.md")
    for each in ("files", "setting", "writing", "rehearsal", "keys"):
        page.press(f"#do-{each}")
        page.wait(f"document.getElementById('{each}').open")
        page.press(f"#{each} .closes")
    browser.get(f"{desk.address}sheet?name=column.md")
    page = Page(browser, desk, "column.md")
    asked = set()
    for entry in browser.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            asked.add(message["params"]["request"]["url"])
        elif message["method"] == "Network.webSocketCreated":
            asked.add(message["params"]["url"])
    ours = ("http://127.0.0.1:", "ws://127.0.0.1:", "data:,", "about:blank")
    assert len(asked) > 10
    assert [url for url in asked if not url.startswith(ours)] == []
    # What a text could make the page fetch, the policy refuses.
    with _listening() as (port, heard):
        page.js(f"const made = new Image(); made.src = 'http://127.0.0.1:{port}/'; fetch(made.src).catch(() => {{}})")
        refused = [entry["message"] for entry in browser.get_log("browser")]
        assert any("Content Security Policy" in words for words in refused)
        assert heard == []


@contextlib.contextmanager
def _listening() -> Iterator[tuple[int, list[bytes]]]:
    heard: list[bytes] = []
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(1)

        def listen() -> None:
            with contextlib.suppress(OSError):
                connection, _ = server.accept()
                heard.append(connection.recv(100))

        thread = threading.Thread(target=listen)
        thread.start()
        yield server.getsockname()[1], heard
        thread.join()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_accessibility_is_broken(browser: "Chrome", draft: Desk, scheme: str) -> None:
    """axe-core: WCAG 2.2 A and AA, and best practices."""
    page = Page(browser, draft, "draft.md")
    browser.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
    )
    axe = AXE.read_text(encoding="utf-8")
    found: list[str] = []
    for shown in (None, "do-files", "do-setting", "do-writing", "do-rehearsal", "do-keys"):
        if shown:
            page.press(f"#{shown}")
            page.wait("document.querySelector('dialog[open]')")
        browser.execute_cdp_cmd("Runtime.evaluate", {"expression": axe})  # not bound by the policy of the page
        checked = browser.execute_async_script(
            "const done = arguments[arguments.length - 1]; axe.run(document).then(done, (fault) => done(String(fault)))"
        )
        assert checked["passes"], checked
        found += [f"{shown}: {each['id']}: {each['nodes'][0]['html'][:200]}" for each in checked["violations"]]
        page.js("document.querySelector('dialog[open]')?.close()")
    assert found == []


@pytest.mark.parametrize("width", [320, 390, 768, 1280])
def test_no_width_needs_sideways_scrolling(browser: "Chrome", draft: Desk, width: int) -> None:
    """WCAG 2.1, 1.4.10: content reflows down to 320 CSS pixels, which is 1280 at 400 %."""
    page = Page(browser, draft, "draft.md")
    metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 500}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    for shown in (None, "do-files", "do-setting", "do-writing", "do-rehearsal", "do-keys"):
        if shown:
            page.js("document.getElementById(arguments[0]).click()", shown)
            page.wait("document.querySelector('dialog[open]')")
        assert page.js("return document.documentElement.scrollWidth") <= width, shown
        assert page.js(
            "const open = document.querySelector('dialog[open]'); return !open || open.scrollWidth <= open.clientWidth"
        ), shown
        page.js("document.querySelector('dialog[open]')?.close()")
    for each in browser.find_elements("css selector", "button, a.button"):
        if each.is_displayed():  # WCAG 2.2, 2.5.8
            assert min(each.size["width"], each.size["height"]) >= 24, each.text


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_the_board_and_the_remark_at_the_cursor_stay_in_view(
    browser: "Chrome", draft: Desk, keys: Any, width: int
) -> None:
    metrics = {"width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 500}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    page = Page(browser, draft, "draft.md")
    for press in (page.keys, page.with_shift):  # the first remark, then the last
        press(keys.F2)
        page.wait("document.querySelector('.cm-content .mark.now')")
        time.sleep(0.5)  # the text has come to rest
        seen = page.js(
            "const inView = (node) => { const box = node.getBoundingClientRect();"
            "return box.height > 0 && box.top >= -1 && box.bottom <= innerHeight + 1; };"
            "return ['#place-board', '.remark.now', '#place-remarks', '.cm-content .mark.now'].map((each) => "
            "inView(document.querySelector(each)))"
        )
        board, remark, beside, words = seen
        assert (board, remark or beside, words) == (True, True, True), seen


def test_it_ends_when_the_page_is_closed_and_says_so_before(browser: "Chrome", start: Any, folder: Path) -> None:
    desk = start("--stay", "2")
    page = Page(browser, desk)
    page.wait("document.getElementById('files').open")
    browser.get("about:blank")
    said = desk.rest()
    assert "the page is closed: keyproof desk ends in" in said
    assert said.index("ends in") < said.index("keyproof desk ends\n")
    assert desk.process.returncode == 0


def test_forced_colours_and_twice_the_size(browser: "Chrome", draft: Desk) -> None:
    """CSS Color Adjustment 3: the user's colours; what is current is seen all the same. WCAG 1.4.4: 200 %."""
    page = Page(browser, draft, "draft.md")
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": "forced-colors", "value": "active"}]})
    page.press(".evidence button:nth-of-type(2)")
    now, other = (
        browser.find_element("css selector", f".evidence button{each}")
        for each in ("[aria-current]", ":not([aria-current])")
    )
    assert now.value_of_css_property("background-color") != other.value_of_css_property("background-color")
    styles = {
        each: browser.find_element("css selector", f".mark.{each}").value_of_css_property("text-decoration-style")
        for each in ("error", "warning", "doubtful")
    }
    assert len(set(styles.values())) == 3, styles  # told apart by more than colour
    metrics = {"width": 640, "height": 450, "deviceScaleFactor": 2, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    assert page.js("return document.documentElement.scrollWidth") <= 640


PAGE = """<!DOCTYPE html>
<h2>No. 7: The <i>waiting</i> king</h2>
<p>8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1</p>
<p>White to play &amp; mate in two. (3+2)</p>
<p>Key: 1.<b>Kg2</b>! Black is in zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Re4#</p>
"""
SOURCE = r"""\section{No. 7: The \emph{waiting} king}
8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

White to play \& mate in two. (3+2)

Key: 1.\textbf{Kg2}! Black is in zugzwang. 1...Kh4 2.Re4\#, 1...h4 2.Re4\#
"""


@pytest.mark.parametrize(("name", "text"), [("column.html", PAGE), ("column.tex", SOURCE)])
def test_html_and_latex_are_mended_in_their_source(
    browser: "Chrome", start: Any, folder: Path, keys: Any, name: str, text: str
) -> None:
    (folder / name).write_text(text, encoding="utf-8")
    page = Page(browser, start(), name)
    (remark,) = (each for each in page.remarks if each["rule"])
    assert remark["rule"] == "check-not-mate"
    assert remark["from"] == text.rindex("Re4") + 3
    page.put_cursor("zugzwang. 1...Kh4 2.R")
    page.wait("document.getElementById('place-line').textContent.includes('Re4#')")
    page.keys(keys.F2)
    page.keys(keys.F9)
    page.settled()
    assert page.text == text.replace(remark_line(text), f"{remark_line(text)} [sic: check-not-mate]")
    assert [each for each in page.remarks if each["rule"]] == []
    page.keys(with_control="z")
    page.put_cursor(remark_line(text), after=True)
    page.js("desk.text.goTo(arguments[0])", text.rindex("Re4") + 3)
    page.keys(keys.BACKSPACE, keys.BACKSPACE, "g5")
    page.settled()
    assert [each for each in page.remarks if each["rule"]] == []
    page.press("#do-writing")
    page.wait("document.getElementById('writing-wrong').textContent.includes('every line')")
    page.press("#writing .closes")
    page.keys(with_control="s")
    page.wait("desk.saved")
    assert (folder / name).read_text(encoding="utf-8") == text[: text.rindex("Re4")] + text[
        text.rindex("Re4") :
    ].replace("Re4", "Rg5")


def remark_line(text: str) -> str:
    """Return the words at the end of the paragraph in which something is wrong."""
    return "1...h4 2.Re4\\#" if "\\#" in text else "1...h4 2.Re4#"


def test_a_manuscript_is_shown_with_its_remarks(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    paragraphs = "".join(f"{line}\\par\n" for line in FAULTY.replace("# ", "").splitlines())
    data = f"{{\\rtf1\\ansi {paragraphs}}}".encode()
    (folder / "column.rtf").write_bytes(data)
    page = Page(browser, start(), "column.rtf")
    assert "only shown" in page.seen("#notices")
    assert "only shown" in page.seen("#state")
    assert [each["rule"] for each in page.remarks if each["rule"]] == ["check-not-mate"]
    page.put_cursor("1...Kh4 2.R")
    page.wait("document.getElementById('place-line').textContent.includes('Re4#')")
    before = page.text
    page.keys("lost?", keys.F9)
    assert page.text == before
    assert page.js("return document.getElementById('do-save').disabled")
    (folder / "column.rtf").write_bytes(data.replace(b"...h4 2.Re4", b"...h4 2.Rg5"))
    page.wait("document.getElementById('notice-outside')")
    page.press("#notice-outside button")
    page.settled()
    page.wait("desk.text.words.includes('2.Rg5#')")
    page.wait("desk.text.remarks.filter((each) => each.rule).length === 0")
