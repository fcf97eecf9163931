"""A column from nothing to saved, as somebody writes it who was told only `keyproof desk`; and what stopped them."""

import time
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote
from urllib.request import urlopen

import pytest
from keyproof.linter.desk import asking
from keyproof.linter.diagrams.reading import position_of
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file, check_text

from .conftest import COLUMN, FAULTY, FEN, PATIENCE, Desk, Page

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("quiet")]

FIRST = "6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1"  # corpus/demo/column-01.md, No. 1
TOLD = (
    "The queen goes to b6 and threatens to take the knight. If the king goes to a4, the queen mates on b4;"
    " if it goes to a2, then queen b3 is mate."
)
SECOND = """## No. 2

White: Kc6, Qf5, Rb8, Rg4, Pa2, Pf3
Black: Ka6, Ba7, Pb4, Pc5, Pg5

White to play and mate in two.

The rook goes to a8 and Black is in zugzwang. If the king steps to a5, the rook takes the bishop and mates. \
If the c-pawn moves, the queen mates on b5.
"""  # corpus/demo/column-01.md, No. 2, without its last line


def found(page: Page) -> list[tuple[str, str]]:
    """Return level and rule of the findings in the margin."""
    return [(each["level"], each["rule"]) for each in page.remarks if each["rule"]]


def test_a_column_from_nothing_to_saved(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    page = Page(browser, start())
    page.wait("document.getElementById('files').open")
    page.wait("!document.getElementById('files-find').checkVisibility()")  # there is nothing to find
    page.keys("wednesday", keys.ENTER)
    page.wait("desk.name === 'wednesday.md'")
    page.press("#do-setting")
    field = browser.find_element("id", "setting-fen")
    field.clear()
    field.send_keys(FIRST, keys.ENTER)
    page.wait(f"desk.setting.fen === '{FIRST}'")
    browser.find_element("id", "setting-asked").send_keys("mate in two", keys.ENTER)
    page.wait("document.getElementById('setting-proof').textContent.includes('1.Qb6!')")
    page.press("#setting-insert")
    page.wait("desk.text.words")
    page.keys(TOLD, keys.ENTER)  # a paragraph of its own
    page.settled()
    assert f"(3+7)\n\n{TOLD}\n" in page.text
    assert ("error", "check-not-mate") in found(page)
    page.put_cursor("then queen b3")
    page.keys(keys.BACKSPACE, "2")
    page.settled()
    assert ("error", "check-not-mate") not in found(page)
    page.keys(with_control=keys.END)
    page.keys(keys.ENTER, *SECOND)
    page.settled()
    assert [rule for _, rule in found(page)] == ["defence-left-out"] * 2
    page.put_cursor("The rook goes")
    page.keys(keys.F9)
    page.settled()
    assert "queen mates on b5. [sic: defence-left-out]\n" in page.text
    assert [rule for _, rule in found(page)] == ["defence-left-out"]
    assert [each["message"] for each in page.remarks if "sic" in each["message"]] == []  # the mark is no sentence
    assert "Marked [sic]" in page.seen("#told")
    page.put_cursor("queen b2 is mate.")
    page.press("#do-writing")
    page.wait("!document.getElementById('writing-insert').disabled")
    page.press("#writing-insert")
    page.settled()
    assert found(page) == []
    page.press("#do-rehearsal")
    page.wait("document.getElementById('rehearsal').open")
    spoken = page.js("return desk.rehearsal.sentences.map((each) => each.words)")
    assert "The queen goes to b6 and threatens to take the knight." in spoken
    assert not any("[sic" in words or FIRST.split()[0] in words for words in spoken)
    page.press("#rehearsal .closes")
    page.keys(with_control="s")
    page.wait("desk.saved")
    result = check_file(str(folder / "wednesday.md"), Options())
    assert [puzzle.verdict for puzzle in result.puzzles] == ["sound", "sound"]
    assert result.findings == ()


def to_the_board(page: Page, place: str, follows: str, taken: str, fen: str) -> None:
    """Put the cursor on a place, wait until the desk follows, and take its position to the board by a button."""
    page.put_cursor(place)
    page.wait(follows)
    page.press("#do-setting")
    page.press(taken)
    page.wait(f"desk.setting.fen.startsWith('{fen}')")


def drawing(page: Page, form: str) -> tuple[bytes, str]:
    """Return the picture of the position on the board, and what is to become of it."""
    with urlopen(
        page.js("return document.getElementById(arguments[0]).href", f"setting-{form}"), timeout=PATIENCE
    ) as answer:
        return answer.read(), answer.headers["content-disposition"]


def test_a_position_is_drawn(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    to_the_board(page, "Key:", "desk.follow.place !== null", "#setting-from", FEN)
    for form, begins in (("svg", b"<?xml"), ("png", b"\x89PNG")):
        drawn, kept = drawing(page, form)
        assert f"diagram.{form}" in kept
        assert drawn.startswith(begins) or drawn.startswith(b"<svg")
        assert position_of(drawn).board_fen() == FEN.split()[0]


def test_the_sheet_is_of_the_text_as_it_stands(browser: "Chrome", start: Any, folder: Path) -> None:
    """What is printed is the text on the desk, saved or not, under a policy of its own."""
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    desk: Desk = start()
    page = Page(browser, desk, "column.md")
    page.put_cursor("2.Rg5")
    page.keys("\ue003\ue003", "e4")
    page.settled()
    with urlopen(f"{desk.address}sheet?name=column.md", timeout=PATIENCE) as answer:
        policy, sheet = answer.headers["content-security-policy"], answer.read().decode()
    assert "default-src 'none'" in policy
    assert "is check but not mate" in sheet
    assert (folder / "column.md").read_text(encoding="utf-8") == COLUMN


@pytest.mark.parametrize("voice", ["column", "tutorial", "script"])
def test_a_draft_stands_at_the_cursor(browser: "Chrome", start: Any, folder: Path, voice: str) -> None:
    """In any voice: the solution below the position it is of, though another stands below."""
    bare = COLUMN[: COLUMN.index("Key:")]
    text = f"{bare}\n{COLUMN.replace('No. 7', 'No. 8')}"
    (folder / "column.md").write_text(text, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.js("desk.text.goTo(arguments[0])", len(bare))
    page.press("#do-writing")
    page.press(f"input[name=voice][value={voice}]")
    page.press("input[name=what][value=solution]")
    page.wait("!document.getElementById('writing-insert').disabled")
    assert page.seen("#writing-for") == "For No. 7: The waiting king, at the cursor"
    written = page.js("return desk.writing.written")
    page.press("#writing-insert")
    page.settled()
    assert page.text[: len(bare)] == bare
    assert page.text[len(bare) :].startswith(written.rstrip("\n"))
    assert page.text.endswith(text[len(bare) :].lstrip("\n"))
    assert [p.finding.rule for p in check_text("column.md", page.text, Options()).findings] == ["repeated-position"]


def test_what_cannot_be_done_is_seen(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    (folder / "column.md").write_text(FAULTY, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    for key, words in ((keys.F4, "No remark stands"), (keys.F9, "could be let stand")):
        page.put_cursor("White to play")
        page.keys(key)
        assert words in page.seen("#told")
        assert browser.find_element("id", "told").is_displayed()
        page.keys("x", keys.BACKSPACE)
        assert page.seen("#told") == ""
    page.settled()
    page.put_cursor("2.Re4", after=True)  # in the remark: the first that is gone to
    page.js("desk.text.goTo(arguments[0])", page.remarks[0]["to"])
    page.keys(keys.F2)
    assert page.js("return desk.text.view.state.selection.main.from") == page.remarks[0]["from"]


def test_what_a_reader_hears_does_not_chatter(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    """ARIA 1.2: a live region speaks whenever it changes; while somebody types it must not."""
    (folder / "column.md").write_text(FAULTY, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.js(
        "window.heard = []; new MutationObserver(() => window.heard.push(desk.notices.heard.textContent))"
        ".observe(desk.notices.heard, { childList: true, characterData: true, subtree: true })"
    )
    time.sleep(1.5)  # what is said of the text as it was opened
    before = len(page.js("return window.heard"))
    page.put_cursor("2.Re4#")
    for key in " or anything else":
        page.keys(key)
    page.settled()
    time.sleep(1.5)
    heard = page.js("return window.heard")[before:]
    assert len([words for words in heard if words]) <= 1, heard


def test_play_that_shows_it_is_gone_through_by_key(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    (folder / "column.md").write_text(FAULTY, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    page.keys(keys.F2, keys.F6)
    page.js("document.querySelector('.evidence button').focus()")
    lines = []
    for _ in range(3):
        page.keys(keys.ARROW_RIGHT)
        lines.append(page.seen("#place-line"))
    assert lines == [f"Play that shows it: {line}" for line in ("1.Kg2", "1.Kg2 h4", "1.Kg2 h4 2.Re4+")]
    page.keys(keys.ESCAPE)
    assert page.js("return document.activeElement.closest('#text') !== null")


def test_a_file_of_any_name_gives_its_name_to_what_is_made_of_it(start: Any, folder: Path, browser: "Chrome") -> None:
    """RFC 6266, 4.3: letters beyond Latin-1 in the name of a download."""
    (folder / "Задачи.md").write_text(COLUMN, encoding="utf-8")
    desk: Desk = start()
    page = Page(browser, desk, "Задачи.md")
    page.press("#do-rehearsal")
    page.wait("document.getElementById('rehearsal').open")
    with urlopen(page.js("return document.getElementById('rehearsal-svg').href"), timeout=PATIENCE) as answer:
        assert unquote(answer.headers["content-disposition"]).endswith("UTF-8''Задачи-diagrams.zip")


def test_the_position_after_a_move_is_drawn_too(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    follows = "document.getElementById('place-line').textContent.includes('1.Kg2')"
    to_the_board(page, "1.Kg2", follows, "#setting-shown", "8/8/4N3/4R2p/6k1/8/6K1/8 b ")
    drawn, _ = drawing(page, "svg")
    assert position_of(drawn).board_fen() == "8/8/4N3/4R2p/6k1/8/6K1/8"


def test_the_page_itself_prints_one_line(browser: "Chrome", draft: Desk) -> None:
    """The editor draws no more of a text than is in sight, so that a print of it would end in silence."""
    import base64

    page = Page(browser, draft, "draft.md")
    assert not browser.find_element("id", "printed").is_displayed()
    printed = base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", {})["data"])
    assert printed.count(b"/Type /Page\n") == 1
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    assert page.js("return document.body.innerText").strip() == page.seen("#printed")
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def test_a_file_that_was_taken_away_can_be_written_again(browser: "Chrome", start: Any, folder: Path) -> None:
    (folder / "column.md").write_text(FAULTY, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    (folder / "column.md").unlink()
    page.wait("document.getElementById('notice-outside')")
    assert "taken it away" in page.seen("#notice-outside")
    page.press("#notice-outside button:nth-of-type(2)")  # keep mine
    page.js("desk.text.insert('more')")
    page.settled()
    page.keys(with_control="s")
    page.wait("document.getElementById('notice-outside')")
    page.press("#notice-outside button")  # save all the same
    page.wait("desk.saved")
    assert (folder / "column.md").read_text(encoding="utf-8") == page.text


def test_a_picture_can_be_dropped_on_the_text(browser: "Chrome", start: Any, folder: Path) -> None:
    """Its position is set up: the browser does not leave the page for it, nor does the editor write it as words."""
    import base64

    (folder / "column.md").write_text(COLUMN, encoding="utf-8")
    page = Page(browser, start(), "column.md")
    for place, position in (("#text .cm-content", FEN), ("header", FIRST)):
        picture = base64.b64encode(asking.diagram(position, "svg", "400")).decode()
        left = page.js(
            "const bytes = Uint8Array.from(atob(arguments[0]), (each) => each.charCodeAt(0));"
            "const dropped = new DataTransfer(); dropped.items.add(new File([bytes], 'diagram.svg'));"
            "return document.querySelector(arguments[1]).dispatchEvent(new DragEvent('drop',"
            " { dataTransfer: dropped, bubbles: true, cancelable: true }))",
            picture,
            place,
        )
        assert left is False  # to the browser
        page.wait(f"desk.setting.fen === '{position}'")
        assert page.text == COLUMN
        page.press("#setting .closes")
    page.js(  # what is too large to be ours is not even sent
        "const dropped = new DataTransfer(); dropped.items.add(new File([new Uint8Array(30_000_000)], 'film.png'));"
        "document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: dropped, bubbles: true, cancelable: true }))"
    )
    assert "too large" in page.seen("#setting-wrong")
    assert page.js("return desk.online")


def test_one_line_can_let_two_findings_stand(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    (folder / "column.md").write_text(FAULTY.replace("1...Kh4 2.Re4#", "1...Kh4 2.Re3#"), encoding="utf-8")
    page = Page(browser, start(), "column.md")
    rules = [rule for _, rule in found(page)]
    assert len(rules) > 1
    page.press("#remarks .accept")
    page.settled()
    assert page.text.endswith(f"2.Re4# [sic: {rules[0]}]\n")
    page.press("#remarks .accept")
    page.settled()
    assert page.text.endswith("2.Re4# [sic]\n")
    assert found(page) == []


def test_what_is_spoken_is_in_view_at_twice_the_size(browser: "Chrome", draft: Desk) -> None:
    """WCAG 2.1, 1.4.4: 1280 by 800 at 200 %. The words, their board and the button that has the focus."""
    page = Page(browser, draft, "draft.md")
    metrics = {"width": 640, "height": 400, "deviceScaleFactor": 2, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    page.js("document.getElementById('do-rehearsal').click()")
    page.wait("document.getElementById('rehearsal').open")
    for each in ("words", "board svg", "clockwork"):
        box = page.js(
            "return document.querySelector(arguments[0]).getBoundingClientRect().toJSON()", f"#rehearsal-{each}"
        )
        assert box["top"] >= 0, each
        assert box["bottom"] <= 400, each


def test_without_a_text_it_says_what_to_do(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    page = Page(browser, start())
    page.wait("document.getElementById('files').open")
    page.keys(keys.ESCAPE)
    assert page.seen("#sum") == "No text is open: open or begin one with Files."
    for tool in ("save", "writing", "rehearsal", "print"):
        assert not browser.find_element("id", f"do-{tool}").is_enabled()
    page.press("#do-setting")
    page.press("#setting-insert")
    assert page.seen("#setting-wrong") == page.seen("#sum")
    page.press("#setting .closes")
    page.press("#do-files")
    page.keys("column", keys.ENTER)
    page.wait("desk.name === 'column.md'")
    assert browser.find_element("id", "do-writing").is_enabled()
