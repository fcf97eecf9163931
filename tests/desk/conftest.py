"""A desk that runs in a process of its own, and a browser that looks at it."""

import contextlib
import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from browsing import chrome

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

pytest.importorskip("uvicorn", reason="the desk needs its extra: pip install -e '.[dev]'")

PATIENCE = 60  # seconds, for a machine that has much else to do
ROOT = Path(__file__).parents[2]
COLUMN = """# No. 7: The waiting king

8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

White to play and mate in two.

Key: 1.Kg2! Black is in zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Rg5#
"""
FAULTY = COLUMN.replace("2.Rg5#", "2.Re4#")
DRAFT = (ROOT / "corpus" / "faulty" / "wednesday-draft.md").read_text(encoding="utf-8")
FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"

# What the browser is given to put into a file is also told to the test.
KEEPS_WHAT_IS_MADE = """
window.told = null;
const made = URL.createObjectURL;
URL.createObjectURL = (blob) => {
  URL.createObjectURL = made;
  blob.text().then((text) => { window.told = text; });
  return made(blob);
};
"""


class Desk:
    """A running desk. `lines` is what it has said."""

    def __init__(self, path: Path, state: Path, *more: str) -> None:
        command = [sys.executable, "-m", "keyproof.linter", "desk", str(path), "--no-browser", *more]
        environment = os.environ | {"KEYPROOF_DESK": str(state), "KEYPROOF_CACHE": "", "PYTHONUNBUFFERED": "1"}
        self.state = state
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment, encoding="utf-8"
        )
        assert self.process.stdout is not None
        first = self.process.stdout.readline()
        found = re.fullmatch(r"keyproof desk: (http://127\.0\.0\.1:(\d+)/([\w-]+)/)\n", first)
        assert found is not None, first + self.rest()
        self.address, self.port, self.token = found[1], int(found[2]), found[3]

    def rest(self) -> str:
        """Wait until it has ended, and return what it said since it was begun."""
        said, _ = self.process.communicate(timeout=PATIENCE)
        return said

    def end(self) -> str:
        """End it in order."""
        self.process.terminate()
        return self.rest()

    def kill(self) -> None:
        """End it as a crash does."""
        self.process.kill()
        self.process.wait(PATIENCE)
        assert self.process.stdout is not None
        self.process.stdout.close()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "texts"
    folder.mkdir()
    return folder


@pytest.fixture
def start(tmp_path: Path, folder: Path) -> "Iterator[Any]":
    """Start desks; those still running at the end of the test are ended."""
    running: list[Desk] = []

    def begin(*more: str, path: Path | None = None) -> Desk:
        desk = Desk(path or folder, tmp_path / "state", *more)
        running.append(desk)
        return desk

    yield begin
    for desk in running:
        if desk.process.poll() is None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                desk.end()
        if desk.process.poll() is None:
            desk.kill()


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> "Iterator[Chrome]":
    with chrome(performance="ALL") as opened:
        opened.set_script_timeout(PATIENCE)
        downloads = {"behavior": "allow", "downloadPath": str(tmp_path_factory.mktemp("downloads"))}
        opened.execute_cdp_cmd("Browser.setDownloadBehavior", downloads)
        yield opened


@pytest.fixture
def keys() -> Any:
    return pytest.importorskip("selenium.webdriver.common.keys").Keys


def desk_of(tmp_path_factory: pytest.TempPathFactory, name: str, text: str) -> Iterator[Desk]:
    """Yield a desk with one file on it, and end it."""
    folder = tmp_path_factory.mktemp("texts")
    (folder / name).write_text(text, encoding="utf-8")
    desk = Desk(folder, tmp_path_factory.mktemp("state"), "--stay", "3600")
    yield desk
    desk.end()


@pytest.fixture(scope="module")
def draft(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A desk with a draft on it, for tests that only look."""
    yield from desk_of(tmp_path_factory, "draft.md", DRAFT)


@pytest.fixture
def quiet(browser: "Chrome") -> Iterator[None]:
    """Whatever is done, the console stays empty, but for what a test says it expects."""
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    browser.get_log("browser")
    yield
    said = [entry["message"] for entry in browser.get_log("browser")]
    browser.get("about:blank")
    assert [words for words in said if "WebSocket connection to" not in words] == []


class Page:
    """The page of a desk in the browser."""

    def __init__(self, browser: "Chrome", desk: Desk, name: str | None = None) -> None:
        self.browser = browser
        browser.get("about:blank")
        browser.get(desk.address + (f"#{name}" if name else ""))
        self.wait("window.desk && desk.online")
        if name:
            self.settled()

    def js(self, script: str, *given: Any) -> Any:
        return self.browser.execute_script(script, *given)

    def wait(self, condition: str) -> Any:
        """Wait until an expression of JavaScript is true, and return it."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            found = self.js(f"return {condition}")
            if found:
                return found
            time.sleep(0.05)
        raise AssertionError(
            f"{condition} has not come true; the page says {self.js('return document.body.innerText')}"
        )

    def settled(self) -> None:
        """Wait until the remarks are those of the present text, and nothing is left to prove."""
        self.wait("desk.name && desk.fresh && !desk.proving")

    def keys(self, *keys: str, with_control: str | None = None) -> None:
        """Press keys, wherever the focus is."""
        from selenium.webdriver import ActionChains
        from selenium.webdriver.common.keys import Keys

        actions = ActionChains(self.browser)
        if with_control:
            actions.key_down(Keys.CONTROL).send_keys(with_control).key_up(Keys.CONTROL)
        for each in keys:
            actions.send_keys(each)
        actions.perform()

    def with_shift(self, key: str) -> None:
        """Press a key while Shift is held."""
        from selenium.webdriver import ActionChains
        from selenium.webdriver.common.keys import Keys

        ActionChains(self.browser).key_down(Keys.SHIFT).send_keys(key).key_up(Keys.SHIFT).perform()

    def put_cursor(self, words: str, *, after: bool = True) -> None:
        """Put the cursor behind some words, or before them."""
        at = self.text.index(words) + len(words) * after
        self.js("desk.text.goTo(arguments[0])", at)

    def comes_to(self, text: str) -> None:
        """Wait until the page holds a text, which it takes from the server."""
        self.wait(f"desk.text.words === {json.dumps(text)}")

    @property
    def text(self) -> str:
        words: str = self.js("return desk.text.words")
        return words

    @property
    def remarks(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.js("return desk.text.remarks")
        return found

    def seen(self, selector: str) -> str:
        """Return the words of an element."""
        words: str = self.js("return document.querySelector(arguments[0]).textContent", selector)
        return words

    def press(self, selector: str) -> None:
        """Press a button."""
        self.browser.find_element("css selector", selector).click()
