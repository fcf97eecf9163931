"""The page in a real browser, headless Chromium driven through WebDriver (W3C)."""

import base64
import contextlib
import io
import json
import socket
import threading
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.request import urlopen

import pytest
from keyproof.linter.desk import asking
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

from .conftest import COLUMN, FAULTY, FEN, PATIENCE, ROOT, Desk, Page

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytestmark = pytest.mark.slow

AXE = ROOT / "tests" / "data" / "axe" / "axe.min.js"
DRAFT = (ROOT / "corpus" / "faulty" / "wednesday-draft.md").read_text(encoding="utf-8")


KEEPS_WHAT_IS_MADE = """
window.told = null;
const made = URL.createObjectURL;
URL.createObjectURL = (blob) => {
  URL.createObjectURL = made;
  blob.text().then((text) => { window.told = text; });
  return made(blob);
};
"""


@pytest.fixture
def keys() -> Any:
    return pytest.importorskip("selenium.webdriver.common.keys").Keys


@pytest.fixture(scope="module")
def draft(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A desk with a draft on it, for tests that only look."""
    folder = tmp_path_factory.mktemp("texts")
    (folder / "draft.md").write_text(DRAFT, encoding="utf-8")
    desk = Desk(folder, tmp_path_factory.mktemp("state"), "--stay", "3600")
    yield desk
    desk.end()


@pytest.fixture(autouse=True)
def quiet(browser: "Chrome") -> Iterator[None]:
    """Whatever is done, the console stays empty, but for what a test says it expects."""
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    browser.get_log("browser")
    yield
    said = [entry["message"] for entry in browser.get_log("browser")]
    browser.get("about:blank")
    assert [words for words in said if "WebSocket connection to" not in words] == []


def fully_proofread(text: str) -> list[str]:
    return [placed.finding.rule for placed in check_text("column.md", text, Options()).findings]


def test_a_draft_is_typed_and_mended_with_the_keyboard_alone(
    browser: "Chrome", start: Any, folder: Path, keys: Any
) -> None:
    page = Page(browser, start(path=folder / "column.md"))
    page.wait("desk.name")
    page.keys(*FAULTY.replace("mate in two. (3+2)", "mate in two."))
    page.settled()
    assert page.text == FAULTY
    assert [remark["rule"] for remark in page.remarks] == ["check-not-mate"]
    assert "2.Re4+ is check but not mate" in page.seen("#remarks")
    assert not (folder / "column.md").exists()
    page.keys(keys.F2)
    assert "2.Re4+ is check but not mate" in page.wait("document.getElementById('announced').textContent")
    assert page.js("return document.querySelector('.remark').classList.contains('now')")
    page.keys(keys.F6)  # the margin: the remark at the cursor
    assert page.js("return document.activeElement.closest('.remark') !== null")
    page.keys(keys.ESCAPE)
    page.keys(keys.ARROW_LEFT, keys.BACKSPACE, keys.BACKSPACE, "g5")  # before the sign that was gone to
    page.settled()
    assert page.text == COLUMN
    assert page.remarks == []
    page.keys(with_control="s")
    page.wait("desk.saved")
    assert (folder / "column.md").read_text(encoding="utf-8") == COLUMN


MENDS = {  # what an editor types for each remark without a repair, with the words of the remark selected
    "wrong-piece-count": lambda keys: ["(3+7)"],
    "check-not-mate": lambda keys: [keys.HOME, *[keys.ARROW_RIGHT] * 2, *[keys.DELETE] * len("1...Nb7, ")],
    "illegal-move": lambda keys: ["Bxc5!"],
}


def test_the_demo_column_is_typed_and_mended_with_the_keyboard_alone(
    browser: "Chrome", start: Any, folder: Path, keys: Any
) -> None:
    page = Page(browser, start())
    page.wait("document.getElementById('files').open")
    page.keys("wednesday", keys.ENTER)  # no text stands here yet, so that a new one is named
    page.wait("desk.name === 'wednesday.md'")
    page.keys(*DRAFT)
    page.settled()
    assert page.text == DRAFT
    assert [remark["rule"] for remark in page.remarks if remark["rule"]] == fully_proofread(DRAFT)
    page.keys(with_control=keys.HOME)
    gone_to = 0
    while any(remark["rule"] for remark in page.remarks):
        page.keys(keys.F2)
        gone_to += 1
        assert gone_to < 20, page.remarks
        at = page.js("return desk.text.view.state.selection.main.from")
        rules = [remark for remark in page.remarks if remark["rule"] and remark["from"] == at]
        for remark in rules[:1]:
            page.keys(*([keys.F4] if remark["repair"] else MENDS[remark["rule"]](keys)))
            page.settled()
    page.keys(with_control="s")
    page.wait("desk.saved")
    saved = (folder / "wednesday.md").read_text(encoding="utf-8")
    assert saved == page.text
    assert fully_proofread(saved) == []


def test_repairs_are_made_undone_and_findings_accepted(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    (folder / "draft.md").write_text(DRAFT, encoding="utf-8", newline="\r\n")
    page = Page(browser, start(), "draft.md")
    assert [remark["rule"] for remark in page.remarks if remark["rule"]] == fully_proofread(DRAFT)
    page.put_cursor("1.Ra")
    page.keys(keys.F4)
    page.settled()
    assert page.text.count("- 1...c4 2.Qb5#\n") == 1
    page.keys(with_control="z")
    page.settled()
    assert page.text == DRAFT
    page.put_cursor("(3+6")
    page.keys(keys.F9)
    page.settled()
    assert "White to play and mate in two. (3+6) [sic: wrong-piece-count]\n" in page.text
    assert "wrong-piece-count" not in [remark["rule"] for remark in page.remarks]
    page.press("#remarks .mend")
    page.settled()
    assert page.text.count("- 1...c4 2.Qb5#\n") == 1
    page.keys(with_control="s")
    page.wait("desk.saved")
    saved = (folder / "draft.md").read_bytes().decode()
    assert saved == page.text.replace("\n", "\r\n")


def men_drawn(page: Page, place: str = "#place-board") -> str:
    import chess

    board = chess.Board(None)
    for href, x, y in page.js(
        "return [...document.querySelectorAll(arguments[0] + ' .men use')].map((use) => "
        "['href', 'x', 'y'].map((name) => use.getAttribute(name)))",
        place,
    ):
        colour, letter = href.removeprefix("#")
        piece = chess.Piece.from_symbol(letter if colour == "w" else letter.lower())
        board.set_piece_at(chess.square(int(x) // 100, 7 - int(y) // 100), piece)
    return board.board_fen()


def test_the_board_follows_the_cursor(browser: "Chrome", draft: Desk) -> None:
    import chess

    page = Page(browser, draft, "draft.md")
    page.put_cursor("1...Nb3 2.Qxb")
    page.wait("document.getElementById('place-line').textContent.includes('Qxb3#')")
    board = chess.Board("6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1")
    for san in ("Qb6", "Nb3", "Qxb3#"):
        board.push_san(san)
    assert men_drawn(page) == board.board_fen()
    assert "after 1.Qb6 Nb3 2.Qxb3#: mate" in page.seen("#place-line")
    assert "defence 1...Nb3, answer 2.Qxb3#" in page.seen("#place-taken")
    assert "No. 1: The horses on the rim" in page.seen("#place-asked")
    page.put_cursor("and 1.Qxc5? K")
    page.wait("document.getElementById('place-taken').textContent.includes('doubtful')")
    page.press(".evidence button:nth-of-type(4)")  # the play that shows a finding, on the same board
    board = chess.Board("6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1")
    for san in ("Qb6", "Nb7", "Qb2+"):
        board.push_san(san)
    assert men_drawn(page) == board.board_fen()


def test_what_was_not_understood_is_told_with_its_words(browser: "Chrome", draft: Desk) -> None:
    page = Page(browser, draft, "draft.md")
    unread = [remark for remark in page.remarks if remark["level"] in ("doubtful", "not_understood")]
    assert [DRAFT[remark["from"] : remark["to"]] for remark in unread] == [
        "The checks only chase the king:",
        "and 1.Qxc5? Kxc5!",
    ]
    assert "The checks only chase the king" in page.seen("#remarks .not_understood")
    assert "1 doubtful, 1 not understood" in page.seen("#sum")


def test_a_position_is_set_up_proved_and_written(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    page = Page(browser, start(path=folder / "new.md"))
    page.wait("desk.name")
    page.press("#do-setting")
    for square, letter in (("f2", "k"), ("e5", "r"), ("e6", "s")):  # S: the knight of the trade
        page.js("desk.setting.goTo(arguments[0])", square)
        page.keys(letter)
    page.js("desk.setting.choose('k')")
    for square, letter in (("g4", "k"), ("h5", "p"), ("a1", "q")):
        page.js("desk.setting.goTo(arguments[0])", square)
        page.keys(letter)
    page.keys(keys.DELETE)
    assert page.js("return desk.setting.fen") == FEN
    assert men_drawn(page, "#setting-board") == FEN.split()[0]
    assert page.js("return desk.setting.squares.get('e6').getAttribute('aria-label')") == "e6: White knight"
    page.press("#setting-clear")
    page.browser.find_element("id", "setting-list").send_keys("Weiß: Kf2, Te5, Se6; Schwarz: Kg4, h5")
    page.press("#setting-read")
    page.wait(f"desk.setting.fen === '{FEN}'")
    page.browser.find_element("id", "setting-asked").send_keys("mate in two")
    page.press("#setting-prove")
    page.wait("document.getElementById('setting-proof').textContent.includes('1.Kg2!')")
    assert "zugzwang" in page.seen("#setting-proof")
    page.press("#setting-insert")
    page.settled()
    assert page.text.startswith(f"{FEN}\n\nWhite to play, mate in two (#2) (3+2)\n")
    page.press("#do-writing")
    page.press("input[name=what][value=solution]")
    page.wait("document.getElementById('writing-words').value.includes('Key: 1.Kg2!')")
    page.press("#writing-insert")
    page.settled()
    assert [remark for remark in page.remarks if remark["rule"]] == fully_proofread(page.text) == []
    assert "Checked 7 of 7 move mentions." in page.seen("#sum")


def test_a_position_is_set_up_by_mouse_and_from_a_dropped_picture(
    browser: "Chrome", start: Any, folder: Path, tmp_path: Path
) -> None:
    from selenium.webdriver import ActionChains

    page = Page(browser, start(path=folder / "new.md"))
    page.wait("desk.name")
    page.press("#do-setting")
    square = lambda name: browser.find_element("css selector", f"[data-square={name}]")  # noqa: E731
    for man, name in (("K", "f2"), ("R", "a1"), ("N", "e6"), ("k", "g4"), ("p", "h5"), ("p", "h4")):
        page.press(f"#setting-men input[value='{man}']")
        square(name).click()
    square("h4").click()  # the same man again takes it off
    ActionChains(browser).drag_and_drop(square("a1"), square("e5")).perform()
    assert page.js("return desk.setting.fen") == FEN
    for form in ("svg", "png"):
        page.press("#setting-clear")
        picture = base64.b64encode(asking.diagram(FEN, form, "400")).decode()
        page.js(
            "const bytes = Uint8Array.from(atob(arguments[0]), (each) => each.charCodeAt(0));"
            "const dropped = new DataTransfer(); dropped.items.add(new File([bytes], 'diagram'));"
            "document.getElementById('setting-board').dispatchEvent(new DragEvent('drop', { dataTransfer: dropped }))",
            picture,
        )
        page.wait(f"desk.setting.fen === '{FEN}'")
    page.press("#setting-clear")
    (tmp_path / "diagram.png").write_bytes(asking.diagram(FEN, "png", "400"))
    browser.find_element("id", "setting-picture").send_keys(str(tmp_path / "diagram.png"))
    page.wait(f"desk.setting.fen === '{FEN}'")
    browser.find_element("id", "setting-asked").send_keys("#2")
    page.press("#setting-prove")
    page.wait("document.getElementById('setting-proof').textContent.includes('1.Kg2!')")
    for told in ("1...Kh4", "1...h4", "Tries"):  # defences and tries beside the key
        assert told in page.seen("#setting-proof")


def test_only_missing_lines_are_written_in_any_voice(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN.replace(", 1...h4 2.Rg5#", ""), encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.put_cursor("2.Re4#")
    page.press("#do-writing")
    for voice, words in (
        ("column", "1...h4 2.Rg5#"),
        ("tutorial", "1...h4 2.Rg5#"),
        ("script", "the rook goes to g five"),
    ):
        page.press(f"input[name=voice][value={voice}]")
        page.wait("!document.getElementById('writing-insert').disabled")
        written = page.js("return document.getElementById('writing-words').value")
        assert "Kh4" not in written
        assert "h four" not in written.split("pawn")[0]
        assert words in written or "rook" in written


def test_a_script_is_rehearsed_and_its_times_make_captions(
    browser: "Chrome", start: Any, folder: Path, keys: Any
) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.press("#do-rehearsal")
    page.wait("document.getElementById('rehearsal').open")
    page.keys(keys.ENTER)
    seen = []
    for _ in range(10):
        seen.append((page.seen("#rehearsal-words"), men_drawn(page, "#rehearsal-board")))
        page.keys(keys.ARROW_RIGHT)
    words = [each for each, _ in seen]
    assert "White to play and mate in two." in words
    assert not any("/" in each for each in words)  # a position is shown, not spoken
    assert seen[words.index("Key: 1.Kg2! Black is in zugzwang.")][1] == "8/8/4N3/4R2p/6k1/8/6K1/8"
    times = page.js("return desk.rehearsal.times.filter((each) => each !== null)")
    assert len(times) == len(set(words))
    assert all(start <= end for start, end in times)
    for form, begins in (("vtt", "WEBVTT\n\n1\n00:00:0"), ("srt", "1\n00:00:0")):
        page.js(KEEPS_WHAT_IS_MADE)
        page.press(f"#rehearsal-{form}")
        told = page.wait("window.told")
        assert told.startswith(begins)
        assert "Key: 1.Kg2! Black is in zugzwang." in told
    assert page.seen("#rehearsal-wrong") == ""
    for form in ("svg", "png"):
        href = page.js("return document.getElementById(arguments[0]).href", f"rehearsal-{form}")
        with urlopen(href, timeout=PATIENCE) as answer, zipfile.ZipFile(io.BytesIO(answer.read())) as pictures:
            assert pictures.namelist() == [*(f"column-00{number}.{form}" for number in range(1, 7)), "column.txt"]


def test_nothing_is_lost_when_the_server_is_killed(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk: Desk = start()
    page = Page(browser, desk, "column.md")
    page.put_cursor("2.Rg5#")
    page.keys(*" One. ")
    desk.kill()
    page.keys(*"Two. ")
    page.wait("!desk.online")
    page.keys(*"Three.")
    assert "has ended" in page.seen("#notices")
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
    page.settled()
    assert page.text == COLUMN
    assert (folder / "column.md").read_text(encoding="utf-8") == COLUMN


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
    page.settled()
    assert page.text == COLUMN
    assert page.js("return desk.saved")


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
    page.press("#do-rehearsal")
    page.wait("document.getElementById('rehearsal').open")
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
    dialogs = (
        ("do-files", "do-setting", "do-writing", "do-rehearsal", "do-keys") if scheme == "light" else ("do-setting",)
    )
    for shown in (None, *dialogs):
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
    for shown in (None, "do-files", "do-setting", "do-writing", "do-rehearsal"):
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
    for step in ([keys.F2], [keys.SHIFT, keys.F2, keys.NULL]):  # the first remark, then the last
        page.keys(*step)
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


def test_of_two_readings_one_is_chosen_and_the_text_stays(browser: "Chrome", start: Any, folder: Path) -> None:
    from .test_choices import TALK

    (folder / "talk.md").write_text(TALK, encoding="utf-8")
    page = Page(browser, start(), "talk.md")
    page.put_cursor("drops back")
    page.wait("document.querySelector('#place-ways button')")
    before = page.seen("#place-taken")
    page.press("#place-ways button")
    page.wait("document.getElementById('place-ways').textContent.includes('as you have chosen')")
    assert page.seen("#place-taken") != before
    assert (folder / "talk.md").read_text(encoding="utf-8") == TALK
    kept = json.loads((folder / "talk.keyproof").read_text(encoding="utf-8"))
    assert [each["title"] for each in kept["readings"]] == ["No. 7: The waiting king"]
    page.press("#place-ways > button")  # leave it to keyproof
    page.wait("document.getElementById('place-ways').textContent.includes('as it is read now')")
    assert page.seen("#place-taken") == before


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


def test_a_long_script_is_read_on_without_new_proofs(browser: "Chrome", start: Any, folder: Path) -> None:
    """A key in a text of 2,000 lines: one puzzle is read anew, and the margin follows."""
    talk = "The speaker turns a page and tells of the evening, which was long.\n" * 32
    text = "\n".join(FAULTY.replace("No. 7", f"No. {number}") + f"\n{talk}" for number in range(50))
    assert text.count("\n") >= 2000
    (folder / "script.md").write_text(text, encoding="utf-8")
    page = Page(browser, start(), "script.md")
    before = len(page.remarks)
    page.put_cursor("Key: ", after=False)
    page.keys("x")
    page.wait("desk.fresh")
    page.keys("\ue003")  # Backspace
    page.settled()
    assert page.text == text
    assert len(page.remarks) == before
