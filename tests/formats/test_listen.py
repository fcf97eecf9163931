"""The editor server, with a real client. Language Server Protocol 3.17."""

import asyncio
import threading
from collections.abc import Awaitable, Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from keyproof.grammar.spans import Lines, utf16_length
from keyproof.linter.listen.background import Background
from keyproof.linter.listen.desk import QUICK, Desk
from keyproof.linter.listen.looks import Cancelled
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_document
from keyproof.linter.sources import document_from_text
from keyproof.rules.case import replayed
from keyproof.rules.proof import prover
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.proof.proof import Proof
from lsprotocol import types

from .editor import Editor, editor
from .texts import COLUMN, FAULTY

CORPUS = Path(__file__).parents[2] / "corpus"

Session = Callable[[Editor], Awaitable[None]]


def converse(folder: Path, session: Session, name: str = "column.md", **environment: str) -> None:
    async def whole() -> None:
        async with editor(folder, name, **environment) as here:
            await session(here)

    asyncio.run(whole())


def test_findings_come_as_one_types_and_go(tmp_path: Path) -> None:
    async def session(here: Editor) -> None:
        here.open(FAULTY)
        (wrong,) = await here.diagnostics()
        assert (wrong.code, wrong.source, wrong.severity) == (
            "check-not-mate",
            "keyproof",
            types.DiagnosticSeverity.Error,
        )
        assert here.of(wrong.range) == "#"
        assert "\nplay: 1.Kg2 h4 2.Re4+" in wrong.message
        here.write(COLUMN)
        assert await here.diagnostics() == []
        here.write("A line above moves the finding.\n\n" + FAULTY)
        (moved,) = await here.diagnostics()
        assert moved.range.start.line == wrong.range.start.line + 2
        assert moved.message == wrong.message
        assert here.logged == []

    converse(tmp_path, session)


def test_columns_are_utf16_units(tmp_path: Path) -> None:
    """LSP 3.17: the default unit; U+1D11E takes two."""

    async def session(here: Editor) -> None:
        here.open(FAULTY.replace("Key:", "𝄞 Key:"))
        (wrong,) = await here.diagnostics()
        line = here.text.splitlines()[wrong.range.start.line]
        assert wrong.range.start.character == line.rindex("#") + 1
        assert here.of(wrong.range) == "#"

    converse(tmp_path, session)


def test_hover_shows_the_position_and_the_proof(tmp_path: Path) -> None:
    async def session(here: Editor) -> None:
        here.open(COLUMN)
        await here.diagnostics()
        after = await here.hover(here.place("2.Rg5#"))
        assert after is not None
        rows = {row.strip()[0]: row for row in after.splitlines() if "|" in row}
        assert "R" in rows["5"]
        assert "p" in rows["4"]
        assert "after 1.Kg2 h4 2.Rg5#: mate" in after
        assert "proved sound, key 1.Kg2" in after
        diagram = await here.hover(here.place("White to play"))
        assert diagram is not None
        assert "Key: 1.Kg2!" in diagram
        assert await here.hover(types.Position(500, 0)) is None

    converse(tmp_path, session)


def test_a_quick_fix_repairs(tmp_path: Path) -> None:
    async def session(here: Editor) -> None:
        here.open(COLUMN.replace("2.Re4#", "2.Ree4#"))
        (note,) = await here.diagnostics()
        assert note.severity is types.DiagnosticSeverity.Information
        (action,) = await here.actions(note.range)
        assert action.kind == types.CodeActionKind.QuickFix
        assert action.title.startswith("Write ")
        assert here.applied(action) == COLUMN
        assert await here.actions(types.Range(types.Position(0, 0), types.Position(0, 1))) == []

    converse(tmp_path, session)


def test_a_page_is_mended_in_its_source(tmp_path: Path) -> None:
    """HTML and LaTeX, as on the desk: what is found stands in the source, and what is repaired is written there."""
    lines = COLUMN.replace("2.Re4#", "2.Ree4#").removeprefix("# ").splitlines()
    page = "<h2>" + "</p>\n<p>".join(line for line in lines if line).replace("</p>", "</h2>", 1) + "</p>\n"

    async def session(here: Editor) -> None:
        here.open(page, "html")
        (note,) = await here.diagnostics()
        assert here.of(note.range) in "2.Ree4#"
        (action,) = await here.actions(note.range)
        assert here.applied(action) == page.replace("2.Ree4#", "2.Re4#")
        after = await here.hover(here.place("2.Rg5#"))
        assert after is not None
        assert "after 1.Kg2 h4 2.Rg5#: mate" in after

    converse(tmp_path, session, "column.html")


def test_completion_offers_the_defences_not_yet_answered(tmp_path: Path) -> None:
    begun = COLUMN[: COLUMN.index("1...Kh4")]

    async def session(here: Editor) -> None:
        here.open(begun + "1...Kh4 2.Re4#, 1...")
        await here.diagnostics()
        (offer,) = await here.completions(here.place("1...Kh4 2.Re4#, 1...", after=True))
        assert offer.label == "1...h4 2.Rg5#"
        assert isinstance(offer.text_edit, types.TextEdit)
        assert here.of(offer.text_edit.range) == "1..."
        here.write(begun)
        await here.diagnostics()
        offers = await here.completions(here.place("zugzwang. ", after=True))
        assert [each.label for each in offers] == ["1...Kh4 2.Re4#", "1...h4 2.Rg5#"]
        here.write(COLUMN + "\nAnd ")
        await here.diagnostics()
        assert await here.completions(here.place("\nAnd ", after=True)) == []

    converse(tmp_path, session)


def test_a_long_proof_gives_way_to_the_next_keystroke(tmp_path: Path) -> None:
    """A mate that does not exist, sought as deep as the effort allows, must not keep a fault waiting."""
    hard = COLUMN.replace("mate in two", "mate in 12").replace("No. 7", "No. 8")

    async def session(here: Editor) -> None:
        here.open(hard)
        await here.diagnostics()
        for number in range(3):
            here.write(f"{FAULTY}\n{hard}{'!' * number}\n")
            found = await here.diagnostics()
            assert "check-not-mate" in [each.code for each in found]

    converse(tmp_path, session)


@pytest.mark.parametrize("from_proof", [1, 2, 5])
def test_every_proof_of_a_check_looks_at_the_switch(monkeypatch: pytest.MonkeyPatch, from_proof: int) -> None:
    """Once it is thrown, whatever is under way ends within a few positions, in the first reading as in the rules."""
    stop, begun, searched = Cancel(), 0, []
    prove = prover.prove

    def proved(*given: Any, **limits: Any) -> Proof:
        nonlocal begun
        deep = limits["effort"] > QUICK["native"]
        begun += deep
        if deep and begun >= from_proof:
            assert limits["cancel"] is stop
            stop.cancel()
        proof = prove(*given, **limits)
        if stop.cancelled:
            searched.append(proof.searched.positions)
        return proof

    monkeypatch.setattr(prover, "prove", proved)
    puzzle = COLUMN.replace("h5", "h6")
    lengths = range(10 + 5 * from_proof, 15 + 5 * from_proof)  # no proof of which any other test has left behind
    text = "\n".join(puzzle.replace("No. 7", f"No. {n}").replace("mate in two", f"mate in {n}") for n in lengths)
    with pytest.raises(Cancelled):
        list(Desk(Options(effort=1, fresh=True)).check(document_from_text("a.md", text, "markdown"), stop))
    assert begun == from_proof
    assert max(searched) < 1000


def test_settings_of_the_folder_hold(tmp_path: Path) -> None:
    (tmp_path / "keyproof.toml").write_text('[levels]\ncheck-not-mate = "off"\n')

    async def session(here: Editor) -> None:
        here.open(FAULTY)
        assert await here.diagnostics() == []

    converse(tmp_path, session)


def test_a_text_that_is_none_says_why(tmp_path: Path) -> None:
    async def session(here: Editor) -> None:
        here.open("a\x01b")
        (fault,) = await here.diagnostics()
        assert fault.message == "control character 0x01 in the text"
        assert fault.range.start == types.Position(0, 1)
        here.write(COLUMN)
        assert await here.diagnostics() == []

    converse(tmp_path, session)


def long_column(lines: int) -> str:
    parts = [path.read_text(encoding="utf-8") for path in sorted((CORPUS / "demo").glob("column-*.md"))]
    text = ""
    while text.count("\n") < lines:
        text += "\n".join(parts) + "\n"
    return text


# -- the parts


def last(desk: Desk, text: str, name: str) -> list[object]:
    document = document_from_text(name, text, "markdown" if name.endswith("md") else "text")
    *_, checked = desk.check(document, Cancel())
    assert checked.settled
    return sorted((f.span, f.rule, f.level, f.message, f.repair) for f, _ in checked.findings())


@cache  # the first version of a text is its last too
def plainly(text: str, name: str) -> list[object]:
    document = document_from_text(name, text, "markdown" if name.endswith("md") else "text")
    found = [each.finding for each in check_document(document, Options()).findings]
    return sorted((f.span, f.rule, f.level, f.message, f.repair) for f in found)


@pytest.mark.parametrize(
    "path",
    sorted((CORPUS / "faulty").glob("*.md"))[:25] + sorted((CORPUS / "demo").glob("*.txt"))[:1],
    ids=lambda p: p.name,
)
def test_a_desk_finds_what_a_whole_check_finds_after_every_change(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    desk = Desk(Options())
    middle = text.index("\n", len(text) // 2) + 1
    for version in (
        text,
        "Another line.\n\n" + text,
        text[:middle] + "\nA new paragraph.\n\n" + text[middle:],
        text.replace("#", "+", 3),
        text[:middle],
        text,
    ):
        assert last(desk, version, path.name) == plainly(version, path.name)


def test_an_unchanged_puzzle_is_not_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    text = long_column(300)
    desk = Desk(Options())
    last(desk, text, "a.md")
    proved = []
    monkeypatch.setattr(
        prover, "prove", lambda board, *a, _prove=prover.prove, **k: proved.append(1) or _prove(board, *a, **k)
    )
    last(desk, "More.\n\n" + text, "a.md")
    assert len(proved) <= 1  # the first puzzle answers for the introduction
    proved.clear()
    last(desk, text.replace("(6+5)", "(6 + 5)", 1), "a.md")
    assert len(proved) <= 2


def without_a_solution(text: str) -> str:
    """Take the solution of the last puzzle away, as of one that is being written."""
    return text[: text.rindex("Key:")] + "\n"


def test_a_puzzle_without_its_solution_has_no_other_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Which text fits which position is looked for then, and what was found before holds for what did not change."""
    text = without_a_solution("\n".join(FAULTY.replace("No. 7", f"No. {number}") for number in range(1, 20)))
    desk = Desk(Options())
    assert last(desk, text, "a.md") == plainly(text, "a.md")
    begun = []
    read = replayed.read
    monkeypatch.setattr(replayed, "read", lambda *given, **more: begun.append(1) or read(*given, **more))
    changed = text.replace("zugzwang.", "zugzwang here.", 1)
    found = last(desk, changed, "a.md")
    assert 1 <= len(begun) <= 4, begun  # the puzzle itself, looked at and read
    monkeypatch.undo()
    assert found == plainly(changed, "a.md")
    moved = f"{COLUMN}\n{changed}"
    assert last(desk, moved, "a.md") == plainly(moved, "a.md")


def test_a_cancelled_check_leaves_nothing_half_done() -> None:
    desk = Desk(Options())
    stop = Cancel()
    stop.cancel()
    with pytest.raises(Cancelled):
        list(desk.check(document_from_text("a.md", FAULTY, "markdown"), stop))
    assert last(desk, FAULTY, "a.md") == plainly(FAULTY, "a.md")


def test_the_newest_work_goes_first_and_what_it_cancels_is_taken_up_again() -> None:
    done: list[str] = []
    started, finished = threading.Event(), threading.Event()

    def work(what: str, cancel: Cancel) -> None:
        if what == "slow":
            started.set()
            if not done:
                while not cancel.cancelled:
                    pass
                raise Cancelled
            finished.set()
        done.append(what)

    background = Background(work)
    background.hand_in("a", "slow")
    assert started.wait(20)
    background.hand_in("b", "quick")
    assert finished.wait(20)
    background.close()
    assert done[0] == "quick"


@pytest.mark.parametrize("text", ["", "ab\ncd", "a\r\nb\rc\n", "𝄞x\n♞𝄞y", "e\u0301\u2028f\x0cg\nh"])
def test_places_in_utf16_units_and_back(text: str) -> None:
    lines = Lines(text)
    for offset in range(len(text) + 1):
        line, column = lines.utf16(offset)
        if offset == len(text) or text[offset] not in "\r\n" or lines.line_span(line + 1).end >= offset:
            within_line_end = offset > lines.line_span(line + 1).end
            assert within_line_end or lines.from_utf16(line, column) == offset
        assert column == len(text[lines.starts[line] : offset].encode("utf-16-le")) // 2
    assert lines.from_utf16(99, 0) == len(text)
    assert utf16_length(text) == len(text.encode("utf-16-le")) // 2
