"""The page in a real browser, headless Chromium driven through WebDriver (W3C)."""

import base64
import io
import json
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.request import urlopen

import pytest
from keyproof.linter.desk import asking
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

from .conftest import COLUMN, DRAFT, FAULTY, FEN, KEEPS_WHAT_IS_MADE, PATIENCE, Desk, Page

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("quiet")]


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
    assert "On the board: after 1.Qb6 Nb3 2.Qxb3#: mate" in page.seen("#place-line")
    assert "defence 1...Nb3, answer 2.Qxb3#" in page.seen("#place-taken")
    assert "No. 1: The horses on the rim" in page.seen("#place-asked")
    page.put_cursor("and 1.Qxc5? K")
    page.wait("document.getElementById('place-taken').textContent.includes('doubtful')")
    page.press(".evidence button:nth-of-type(4)")  # the play that shows a finding, on the same board
    board = chess.Board("6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1")
    for san in ("Qb6", "Nb7", "Qb2+"):
        board.push_san(san)
    assert men_drawn(page) == board.board_fen()
    assert page.seen("#place-line") == "Play that shows it: 1.Qb6 Nb7 2.Qb2+"


def test_what_was_not_understood_is_told_with_its_words(browser: "Chrome", draft: Desk) -> None:
    page = Page(browser, draft, "draft.md")
    unread = [remark for remark in page.remarks if remark["level"] in ("doubtful", "not_understood")]
    assert [DRAFT[remark["from"] : remark["to"]] for remark in unread] == [
        "The checks only chase the king:",
        "and 1.Qxc5? Kxc5!",
    ]
    assert "The checks only chase the king" in page.seen("#remarks .not_understood")
    assert "1 doubtful, 1 not understood" in page.seen("#sum")
    assert "say it in other words" in page.seen("#sum")


def test_a_position_is_set_up_proved_and_written(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    page = Page(browser, start(path=folder / "new.md"))
    page.wait("desk.name")
    page.press("#do-setting")
    men = {"f2": "K", "e5": "R", "e6": "S", "g4": "k", "h5": "p", "a1": "q"}  # S: the knight of the trade
    for square, letter in men.items():
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
    page.browser.find_element("id", "setting-asked").send_keys("mate in two", keys.ENTER)
    page.wait("document.getElementById('setting-proof').textContent.includes('1.Kg2!')")
    assert "zugzwang" in page.seen("#setting-proof")
    page.press("#setting-insert")
    page.wait("desk.text.words")
    page.settled()
    assert page.text.startswith(f"{FEN}\n\nWhite to play, mate in two (#2) (3+2)\n")
    page.press("#do-writing")
    page.press("input[name=what][value=solution]")
    page.wait("document.getElementById('writing-words').value.includes('Key: 1.Kg2!')")
    page.press("#writing-insert")
    page.settled()
    assert [remark for remark in page.remarks if remark["rule"]] == fully_proofread(page.text) == []
    assert "7 of 7 printed moves were checked." in page.seen("#sum")


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
        ("script", "pawn moves to h4, the rook goes to g5, mate"),
    ):
        page.press(f"input[name=voice][value={voice}]")
        page.wait("!document.getElementById('writing-insert').disabled")
        written = page.js("return document.getElementById('writing-words').value")
        assert "Kh4" not in written
        assert "If the king" not in written
        assert words in written


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
    assert seen[words.index("Black is in zugzwang.")][1] == "8/8/4N3/4R2p/6k1/8/6K1/8"
    times = page.js("return desk.rehearsal.times.filter((each) => each !== null)")
    assert len(times) == len(set(words))
    assert all(start <= end for start, end in times)
    for form, begins in (("vtt", "WEBVTT\n\n1\n00:00:0"), ("srt", "1\n00:00:0")):
        page.js(KEEPS_WHAT_IS_MADE)
        page.press(f"#rehearsal-{form}")
        told = page.wait("window.told")
        assert told.startswith(begins)
        assert "Key: 1.Kg2!" in told
        assert f"column.{form} is where the browser puts" in page.seen("#rehearsal-wrong")
    for form in ("svg", "png"):
        href = page.js("return document.getElementById(arguments[0]).href", f"rehearsal-{form}")
        with urlopen(href, timeout=PATIENCE) as answer, zipfile.ZipFile(io.BytesIO(answer.read())) as pictures:
            assert pictures.namelist() == [*(f"column-00{number}.{form}" for number in range(1, 7)), "column.txt"]


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


def test_a_long_script_is_read_on_without_new_proofs(browser: "Chrome", start: Any, folder: Path, keys: Any) -> None:
    """A key in a text of 2,000 lines: one puzzle is read anew, and the margin follows; it is mended by keys alone."""
    talk = "The speaker turns a page and tells of the evening, which was long.\n" * 32
    text = "\n".join(FAULTY.replace("No. 7", f"No. {number}") + f"\n{talk}" for number in range(50))
    assert text.count("\n") >= 2000
    (folder / "script.md").write_text(text, encoding="utf-8")
    page = Page(browser, start(), "script.md")
    before = len(page.remarks)
    page.put_cursor("Key: ", after=False)
    page.keys("x")
    page.wait("desk.fresh")
    page.keys(keys.BACKSPACE)
    page.settled()
    assert page.text == text
    assert len(page.remarks) == before
    page.keys(with_control=keys.END)
    page.with_shift(keys.F2)  # the last remark
    page.keys(keys.ARROW_LEFT, keys.BACKSPACE, keys.BACKSPACE, "g5")
    page.settled()
    assert page.text == "2.Rg5#".join(text.rsplit("2.Re4#", 1))
    assert len(page.remarks) == before - 1
