"""EPD files. Opcodes: PGN standard 16.2, read in several opcode tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.sources import document_from_text

from .texts import check, found, rules

POSITION = "8/8/4N3/4R2p/6k1/8/5K2/8 w - -"


@pytest.mark.parametrize(
    "operations",
    [
        "bm Kg2; dm 2;",
        'bm Kg2; dm 2; id "The waiting king";',
        "dm 2; am Rxh5; pv Kg2 Kh4 Re4#; bm Kg2;",
        'bm Kg2; dm 2; c0 "After 1.Kg2 Black is in zugzwang: 1...Kh4 2.Re4#, 1...h4 2.Rg5#"; c1 "(3+2)";',
        "bm Kg2; dm 2; ce 32766; acd 12; acn 4711;",
        "bm Kg2; dm 2",
    ],
)
def test_a_right_line_is_clean(operations: str) -> None:
    result = check(f"{POSITION} {operations}\n", "a.epd")
    assert found(result) == []
    assert (result.puzzles[0].verdict, result.puzzles[0].keys) == ("sound", ("Kg2",))


@pytest.mark.parametrize(("row", "faults"), [("c4 -> Na4#", []), ("c4 -> Rd3#", ["answer-fails", "check-not-mate"])])
def test_a_square_before_an_arrow_is_a_pawn_move(row: str, faults: list[str]) -> None:
    """Also one that reads like the name of an operation."""
    record = "8/1R6/3p4/2p3p1/6P1/2k4p/1NB5/R3K3 w Q - bm O-O-O; dm 2;"
    result = check(f"{record}\n# d5 -> Rb3# Rd3#\n# h2 -> Rb3# Rd3#\n# {row}\n", "a.epd")
    assert set(rules(result)) <= set(faults)
    assert bool(rules(result)) is bool(faults)
    assert result.puzzles[0].checked == result.puzzles[0].move_mentions


@pytest.mark.parametrize(
    ("operations", "rule", "place"),
    [
        ("bm Rxh5; dm 2;", "key-fails", "Rxh5"),
        ("am Kg2; dm 2;", "try-solves", "Kg2"),
        ("bm Kg2; dm 3;", "short-mate", "dm 3"),
        ("bm Kg2; dm 2; pv Kg2 Kh4 Re3#;", "mate-without-check", "#"),
        ("bm Ke9; dm 2;", "not-understood", "Ke9"),
        ("bm Ka8; dm 2;", "illegal-move", "Ka8"),
        ('bm Kg2; dm 2; c3 "1.Kg2 h4 2.Re4#";', "check-not-mate", "#"),
        ('bm Kg2; dm 2; c0 "(3+3)";', "wrong-piece-count", "(3+3)"),
        ("bm Kg2; dm two;", "not-understood", "dm two"),
        ('bm Kg2; dm 2; id "open', "not-understood", ' id "open'),
    ],
)
def test_a_false_claim_is_found_where_it_stands(operations: str, rule: str, place: str) -> None:
    assert (rule, place) in found(check(f"{POSITION} {operations}\n", "a.epd"))


def test_each_line_is_a_puzzle() -> None:
    other = "4k3/8/7R/8/6K1/R7/8/8 w - -"
    text = f'# the bulletin\n{POSITION} bm Kg2; dm 2; id "A";\n\n{other} bm Kg5; dm 2; id "B";\nno position\n'
    result = check(text, "a.epd")
    assert [(puzzle.title, puzzle.line) for puzzle in result.puzzles] == [("A", 2), ("B", 4), ("", 5)]
    assert rules(result) == ["key-fails", "unreadable-position"]


def test_remark_lines_below_a_record_tell_its_play() -> None:
    result = check(f"{POSITION} bm Kg2; dm 2;\n# Kh4 Re4#. h4 Rg5#\n# try Rxh5, only Kxh5 holds\n", "a.epd")
    assert found(result) == []
    assert result.account.placed == result.account.total
    assert rules(check(f"{POSITION} bm Kg2; dm 2;\n# 1...Kh4 2.Re3#\n", "a.epd")) == ["mate-without-check"]


@pytest.mark.parametrize("end", ["", ";", " ;"])
def test_remarks_may_be_written_as_operations(end: str) -> None:
    text = f'{POSITION} bm Kg2; dm 2;\n# c1 "1...Kh4 2.Re3#"{end}\n# c2 "1...h4 2.Rg5#"{end}\n'
    assert rules(check(text, "a.epd")) == ["mate-without-check"]


@given(st.text(st.sampled_from('";$%*!?#+-=.x12345678abcdefghKQRBNO \n\r/wbmdp'), max_size=120))
def test_any_text_is_read_without_exception(scrap: str) -> None:
    for text in (scrap, f"{POSITION} {scrap}"):
        document = document_from_text("a.epd", text, "epd")
        assert len(document.masked) == len(text)
        for puzzle in document.puzzles or ():
            assert puzzle.play is not None
            assert all(0 <= s.span.start <= s.span.end <= len(text) for s in puzzle.play()[0])


def test_records_of_one_position_are_one_puzzle() -> None:
    fen = "8/8/4N3/4R2p/6k1/8/5K2/8 w - -"
    records = (f'{fen} dm 2; bm Kg2; id "one";', f"{fen} pv Kg2 Kh4 Re4;", f"{fen} pv Kg2 h4 Rg5;")
    result = check_text("set.epd", "\n".join(records), Options())
    assert [(puzzle.title, puzzle.verdict, puzzle.checked) for puzzle in result.puzzles] == [("one", "sound", 7)]
    assert result.findings == ()
    result = check_text("set.epd", "\n".join((*records[:2], f'{fen} dm 2; id "two";')), Options())
    assert [puzzle.title for puzzle in result.puzzles] == ["one", "two"]


def test_a_record_may_be_of_a_position_within_the_play() -> None:
    """Its remark names the reply that led there, whose man stands where he has gone."""
    after = "8/8/4N3/4R2p/7k/8/6K1/8 w - -"
    for reply, expected in (("1...Kh4", []), ("1...Kg5", ["move-after-the-end"])):
        text = f'{POSITION} bm Kg2; dm 2; id "one";\n{after} bm Re4#; dm 1; id "one a"; c0 "{reply}, and it is over";\n'
        assert rules(check(text, "a.epd")) == expected


def test_a_record_of_tries_repeats_no_position() -> None:
    asked, tries = f'{POSITION} bm Kg2; dm 2; id "one";', f'{POSITION} am Rxh5; id "one, a try";'
    assert rules(check(f"{asked}\n{tries}\n", "a.epd")) == []
    assert rules(check(f"{asked}\n{asked.replace('one', 'two')}\n", "a.epd")) == ["repeated-position"]
