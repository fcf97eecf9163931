"""How long the margin takes to follow a key: `python tests/bench/margin.py [LINES]`, from the root of the checkout.

A script of at least so many lines, of which the last puzzle has no solution yet, stands on the desk in headless
Chromium, and a letter is put into its middle. Prints milliseconds by the browser's clock, the middle of several
keys: until the remarks of the new text are drawn, and of that the editor's own work and that of the margin.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from browsing import chrome  # the tests' own
from desk.conftest import Desk, Page
from keystroke import long_script

KEYS = 9
AIM = 300
TYPE = """
const [at, done] = arguments;
const begun = performance.now();
const since = () => performance.now() - begun;
const gone = {};
const { margin } = window.desk;
const show = margin.show;
margin.show = (remarks) => {
  margin.show = show;
  gone.told = since();
  margin.show(remarks);
  gone.margin = since() - gone.told;
  requestAnimationFrame(() => setTimeout(() => done({ ...gone, drawn: since() })));
};
window.desk.text.view.dispatch({ changes: { from: at, insert: "x" }, userEvent: "input.type" });
gone.editor = since();
"""


def main(lines: int) -> None:
    """Measure and print."""
    text = long_script(lines)
    with tempfile.TemporaryDirectory() as place, chrome() as browser:
        folder = Path(place, "texts")
        folder.mkdir()
        (folder / "script.md").write_text(text, encoding="utf-8")
        desk = Desk(folder, Path(place, "state"))
        browser.set_script_timeout(60)
        page = Page(browser, desk, "script.md")
        gone = []
        for _ in range(KEYS):
            time.sleep(1)  # the position at the cursor has been shown
            at = page.text.index("Black is in", len(text) // 2)
            gone.append(browser.execute_async_script(TYPE, at))
            page.settled()
        desk.end()
    drawn, editor, margin = (statistics.median(each[name] for each in gone) for name in ("drawn", "editor", "margin"))
    print("| lines | key to margin, ms | of that the editor | the margin | aim |")
    print("|---|---|---|---|---|")
    print(f"| {text.count(chr(10))} | {drawn:.0f} | {editor:.0f} | {margin:.0f} | {AIM} |")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
