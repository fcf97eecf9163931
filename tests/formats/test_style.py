"""Settings: house style and levels. The forms of signs: FIDE Laws Appendix C and common practice, no source."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.style import BadSettings, Settings, find, load, parse
from keyproof.rules.finding import Level

from .texts import COLUMN, FAULTY, check, found, rules

LONG = "".join(
    f"## No. {number}\n\n`1k6/8/1K6/8/8/8/8/{board}`\n\nMate in {moves}. Original.\n\n{play}\n\n"
    for number, (board, moves, play) in enumerate(
        [("7R w - - 0 1", "one", "1.Rh8#"), ("6R1 w - - 0 1", "one", "1.Rg8#")], start=1
    )
)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["check", *arguments])


def checked(text: str, **settings: object) -> list[tuple[str, str]]:
    known = parse(dict(settings))
    return found(check(text, "a.md", Options(house=known.house, levels=known.levels)))


@pytest.mark.parametrize(
    ("text", "settings", "place"),
    [
        ("Try: 1.Rxh5? Kxh5!\n", {"capture": ":"}, "x"),
        ("Try: 1.R:h5? K:h5!\n", {"capture": "x"}, ":"),
        ("Try: 1.Rxh5? Kxh5!\n", {"capture": ""}, "x"),
        ("Try: 1.Rh5? Kh5!\n", {"capture": "x"}, "Rh5?"),
        ("", {"mate": "++"}, "#"),
        ("", {"mate": ""}, "#"),
        ("", {"pieces": "figurines"}, "K"),
        ("", {"pieces": "KDTLS"}, "R"),
        ("Try: 1.Re4+? Kh3!\n", {"check": "†"}, "+"),
    ],
)
def test_a_sign_the_house_does_not_print(text: str, settings: dict[str, object], place: str) -> None:
    column = COLUMN.replace("Key:", f"{text}\nKey:")
    assert ("house-style", place) in checked(column, **settings)


def test_what_the_house_prints_and_what_it_does_not_mind_is_left_alone() -> None:
    text = COLUMN.replace("Key:", "Try: 1.R:h5? K:h5!\n\nKey:")
    assert checked(text, capture=":", mate="#", pieces="KQRBN", castling="0-0", promotion="=Q") == []
    assert checked(text) == []


@pytest.mark.parametrize(
    ("first", "second", "count"),
    [("1.Rh8#", "1.Rg8++", 1), ("1.Rh8#", "1.Rg8#", 0), ("1.Rh8#", "1.Rg8 mate", 0), ("1.♖h8#", "1.Rg8#", 1)],
)
def test_two_forms_of_a_sign_in_one_file(first: str, second: str, count: int) -> None:
    text = LONG.replace("1.Rh8#", first).replace("1.Rg8#", second)
    assert rules(check(text, "a.md")) == ["mixed-style"] * count


def test_a_repair_of_style_leaves_nothing_to_find() -> None:
    text = LONG.replace("1.Rg8#", "1.Rg8++")
    (finding,) = [each.finding for each in check(text, "a.md").findings]
    for edit in reversed(finding.repair):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert rules(check(text, "a.md")) == []


def test_signs_of_pgn_are_no_matter_of_house_style() -> None:
    """PGN 8.2.3 prescribes them."""
    text = '[FEN "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"]\n[Stipulation "#2"]\n\n1. Kg2 (1. Rxh5 Kxh5) *\n'
    options = Options(house=parse({"capture": ":", "pieces": "KDTLS", "sources": True}).house)
    assert rules(check(text, "a.pgn", options)) == ["no-source"]


@pytest.mark.parametrize("source", ["Original.", "The Lindenhof Chess Circle, 1911.", "Composed by M. Lind."])
def test_a_source_is_asked_for_where_the_house_asks(source: str) -> None:
    assert checked(COLUMN) == []
    assert [rule for rule, _ in checked(COLUMN, sources=True)] == ["no-source"]
    assert checked(COLUMN.replace("White to", f"{source} White to"), sources=True) == []


def test_levels_of_rules() -> None:
    assert checked(FAULTY, levels={"check-not-mate": "off"}) == []
    options = Options(levels=parse({"levels": {"check-not-mate": "note"}}).levels)
    (finding,) = [each.finding for each in check(FAULTY, "a.md", options).findings]
    assert finding.level is Level.note


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ({"captur": "x"}, "there is no setting 'captur'; the nearest is 'capture'"),
        ({"zzz": 1}, "there is no setting 'zzz'; there are pieces, "),
        ({"capture": "*"}, "capture is one of 'x', ':', '×', '', not '*'"),
        ({"capture": 1}, "capture is a text, not 1"),
        ({"pieces": "KQRB"}, "pieces are the letters of king, queen, rook, bishop and knight"),
        ({"pieces": "QKRBN"}, "pieces are the letters of king, queen, rook, bishop and knight"),
        ({"sources": "yes"}, "sources is true or false, not 'yes'"),
        ({"leave-out": "drafts"}, "leave-out is a list of patterns, not 'drafts'"),
        ({"levels": {"check-not-mat": "off"}}, "no rule is named 'check-not-mat'; the nearest is 'check-not-mate'"),
        ({"levels": {"check-not-mate": "high"}}, "the level of check-not-mate is one of note, warning, error, off"),
        ({"levels": []}, "levels is a table"),
        ([], "the settings are a table"),
    ],
)
def test_settings_that_cannot_be_used(content: object, message: str) -> None:
    with pytest.raises(BadSettings) as caught:
        parse(content)
    assert str(caught.value).startswith(message)


@pytest.mark.parametrize("pieces", ["KQRBN", "KQRBS", "KDTLS", "RDTFC", "figurines", "Кр Ф Л С К"])
def test_letters_of_many_languages(pieces: str) -> None:
    assert parse({"pieces": pieces}).house.pieces == pieces


def test_where_settings_are_found(tmp_path: Path) -> None:
    deep = tmp_path / "a" / "b"
    deep.mkdir(parents=True)
    (tmp_path / "pyproject.toml").write_text('[tool.keyproof]\ncapture = ":"\n')
    (tmp_path / "a" / "pyproject.toml").write_text("[tool.other]\n")  # passed over
    assert find(deep) == tmp_path / "pyproject.toml"
    assert load(tmp_path / "pyproject.toml").house.capture == ":"
    (tmp_path / "a" / "keyproof.toml").write_text('capture = "x"\n')
    assert find(deep) == tmp_path / "a" / "keyproof.toml"
    (tmp_path / "a" / "pyproject.toml").write_text('[tool.keyproof]\ncapture = ":"\n')
    assert load(find(deep) or deep).house.capture == "x"  # our own file goes first


def test_settings_hold_for_a_check_and_their_faults_end_it(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "keyproof.toml").write_text('[levels]\ncheck-not-mate = "off"\n')
    assert run(str(tmp_path)).exit_code == 0
    (tmp_path / "other.toml").write_text("")
    assert run(str(tmp_path), "--settings", str(tmp_path / "other.toml")).exit_code == 1
    (tmp_path / "keyproof.toml").write_text("levels = [\n")
    result = run(str(tmp_path))
    assert result.exit_code == 2
    assert result.stderr.startswith(f"keyproof: error: {tmp_path / 'keyproof.toml'}: not TOML: ")
    assert run(str(tmp_path), "--settings", "missing.toml").stderr.startswith("keyproof: error: missing.toml: ")


def test_nothing_is_asked_without_settings() -> None:
    assert Settings() == parse({})
