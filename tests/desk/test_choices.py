"""The author's choices: kept beside the text, checked against their schema, and heeded by every check."""

import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest
from keyproof.linter import choices
from keyproof.linter.desk.folder import Folder, Refused
from keyproof.linter.listen.desk import Checked, Desk
from keyproof.linter.listen.places import ways_at, words_at
from keyproof.linter.listen.wording import rows
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file, check_text
from keyproof.linter.results import FileResult
from keyproof.linter.sources import document_from_text, read
from keyproof.rules.case.case import Case
from keyproof.rules.proof import prover
from keyproof.rules.proof.limits import Cancel

# Who listens may take the third sentence for the play after the key, or for another first move.
TALK = """# No. 7: The waiting king

8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

White to move, mate in two. King to g two is the key. Now he drops back, and then the rook swings over to e
four. If the pawn goes forward the rook drops to g five with mate.
"""


def checked(path: Path) -> FileResult:
    result = check_file(str(path), Options(show_reading=True, effort=1))
    assert result.error is None
    return result


def as_written(path: Path) -> Checked:
    *_, last = Desk(Options(effort=1)).check(read(path), Cancel())
    return last


def test_a_key_in_one_puzzle_proves_the_others_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "\n".join(TALK.replace("No. 7", f"No. {number}") for number in range(12))
    desk = Desk(Options(effort=1))
    proved: list[str] = []
    prove = prover.prove
    monkeypatch.setattr(
        prover, "prove", lambda board, *more, **named: proved.append("") or prove(board, *more, **named)
    )

    def check(words: str) -> int:
        proved.clear()
        for _ in desk.check(document_from_text("script.md", words, "markdown"), Cancel()):
            pass
        return len(proved)

    first = check(text)
    assert first >= 12
    at = text.index("swings over", len(text) // 2)
    assert check(f"{text[:at]}x{text[at:]}") <= first // 12 + 1


@pytest.fixture
def talk(folder: Path) -> Path:
    path = folder / "talk.md"
    path.write_text(TALK, encoding="utf-8")
    return path


def test_two_ways_to_read_a_sentence_are_told(talk: Path) -> None:
    ways = ways_at(as_written(talk), TALK.index("drops back"))
    assert sorted(way for way, _ in ways) == ["printed", "told"]
    shown = [[row for each in read for row in rows(each, str)] for _, read in ways]
    assert shown[0] != shown[1]
    assert "after 1.Kg2: defence 1...Kh4, answer 2.Re4#" in shown[0] + shown[1]
    assert ways_at(as_written(talk), 0) == []


def test_a_choice_is_kept_beside_the_text_and_heeded(talk: Path) -> None:
    (before,) = checked(talk).puzzles
    entry = as_written(talk).entries[0]
    at = TALK.index("drops back")
    (_, _), (other, _) = ways_at(as_written(talk), at)
    words = words_at(entry, at)
    assert words == "Now he drops back, and then the rook swings over to e four."
    sentence = (*choices.named(entry.kept.case), words)
    Folder(talk.parent).choose("talk.md", sentence, other)
    kept = json.loads((talk.parent / "talk.keyproof").read_text(encoding="utf-8"))
    schema = json.loads(files("keyproof.linter.reports").joinpath("choices.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(kept, schema)
    assert [(each["words"], each["reading"]) for each in kept["readings"]] == [(words, other)]
    assert talk.read_text(encoding="utf-8") == TALK
    (after,) = checked(talk).puzzles
    assert after.reading != before.reading
    assert ways_at(as_written(talk), at)[0][0] == other
    Folder(talk.parent).choose("talk.md", sentence, None)
    assert checked(talk).puzzles[0].reading == before.reading


def test_a_choice_for_a_puzzle_that_is_gone_is_told(talk: Path) -> None:
    Folder(talk.parent).choose("talk.md", ("No. 8", "8/8/8/8/8/8/8/8 w", "Gone."), "told")
    (remark,) = checked(talk).remarks
    assert "chooses a reading for a sentence that is not here: Gone." in remark.message
    assert [each.message for each in as_written(talk).remarks] == [remark.message]


@pytest.mark.parametrize(
    "content",
    [
        "",
        "{",
        "[]",
        "null",
        '{"keyproof": 2, "readings": []}',
        '{"keyproof": 1}',
        '{"keyproof": 1, "readings": {}}',
        '{"keyproof": 1, "readings": [{"title": "x", "position": "y", "words": "z", "reading": "sung"}]}',
        '{"keyproof": 1, "readings": [{"title": 1, "words": "z", "position": "y", "reading": "told"}]}',
        "[" * 100_000,
    ],
)
def test_a_file_of_choices_that_is_none_is_told_and_kept(talk: Path, content: str) -> None:
    path = talk.parent / "talk.keyproof"
    path.write_text(content, encoding="utf-8")
    (remark,) = checked(talk).remarks
    assert "talk.keyproof" in remark.message
    with pytest.raises(Refused, match=r"talk\.keyproof"):
        Folder(talk.parent).choose("talk.md", ("x", "y", "z"), "told")
    assert path.read_text(encoding="utf-8") == content


def test_a_link_is_not_followed(talk: Path, tmp_path: Path) -> None:
    (talk.parent / "talk.keyproof").symlink_to(tmp_path / "elsewhere.keyproof")
    with pytest.raises(Refused, match="is a link"):
        Folder(talk.parent).choose("talk.md", ("x", "y", "z"), "told")
    assert not (tmp_path / "elsewhere.keyproof").exists()


def test_a_puzzle_without_a_solution_is_read_once_for_each_key(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two puzzles, the second of which has no solution yet: whether text fits it is seen by the reading it gets."""
    bare = TALK[: TALK.index("King to g two")].replace("No. 7", "No. 8")
    desk = Desk(Options(effort=1))
    times: list[str] = []
    best = Case._better_told
    monkeypatch.setattr(
        Case, "_better_told", lambda case, literal: times.append(case.puzzle.title) or best(case, literal)
    )

    def check(text: str) -> list[str]:
        times.clear()
        for _ in desk.check(document_from_text("script.md", text, "markdown"), Cancel()):
            pass
        return times

    text = f"{TALK}\n{bare}"
    check(text)
    assert check(text.replace("swings over", "swings right over")) == ["No. 7: The waiting king"]


def test_a_title_over_all_speaks_of_each_as_in_a_check() -> None:
    text = "# All are mates in two\n\n" + TALK.replace("# No. 7", "## No. 7").replace(
        "White to move, mate in two. ", ""
    )
    *_, last = Desk(Options(effort=1)).check(document_from_text("a.md", text, "markdown"), Cancel())
    (puzzle,) = check_text("a.md", text, Options(effort=1)).puzzles
    (entry,) = last.entries
    assert entry.kept.result is not None
    assert (entry.kept.result.stipulation, entry.kept.result.verdict) == (puzzle.stipulation, puzzle.verdict)
    assert puzzle.stipulation == "#2"
