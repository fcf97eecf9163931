"""PGN files. The notation: PGN Specification and Implementation Guide, 1994; sections beside the values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.sources import document_from_text

from .texts import FEN, check, found, rules

TAGS = f'[Event "Wednesday Bulletin 12"]\n[SetUp "1"]\n[FEN "{FEN}"]\n[Stipulation "#2"]\n\n'


def game(play: str, tags: str = TAGS) -> str:
    return f"{tags}{play}\n"


@pytest.mark.parametrize(
    "play",
    [
        "1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re4# *",
        "1. Kg2 (1. Rxh5 Kxh5) 1... Kh4 (1... h4 2. Rg5#) 2. Re4# 1-0",
        "1.Kg2 Kh4 (h4 Rg5#) Re4# *",  # 8.2.2.1: numbers may be left out in import format
        "1 Kg2 Kh4 (1 ... h4 2 Rg5#) 2 Re4# *",  # 8.2.2.1: zero or more periods
        "{Mate in two. (3+2)} 1. Kg2 {zugzwang} 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",  # section 5
        "1. Kg2 ; zugzwang\n1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",  # section 5: to the end of the line
        "% 1. Qa9 is no move\n1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re4# *",  # section 6: escape
        "1. Kg2 $1 Kh4 (1... h4 2. Rg5#) 2. Re4# $10 *",  # 8.2.4
        "1. Kg2 Kh4 2. Re4# (1... h4 2. Rg5#) *",  # put too late, and known by its number
        "1. Kg2 {After 1...Kh4 2.Re4# ends it (and 1...h4 2.Rg5#).} 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",
        "1. Kg2 {unbalanced ) in words} 1... Kh4 (1... h4 {(open} 2. Rg5#) 2. Re4# *",
        "1. Kg2 Kh4! {best} (1... h4! 2. Rg5#) 2. Re4# *",  # a good defence, and no refutation for all that
        "1. Kg2 Kh4 $1 (1... h4 $1 2. Rg5#) 2. Re4# *",
        "1. Rxh5? Kxh5! (1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re4#) *",
        "1. Kg2 {[%clk 0:01:00]} 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",
        "1. Kg2 {zugzwang} h4 (1... Kh4 2. Re4#) 2. Rg5# *",  # a square alone, behind a remark
        "1. Kg2 {this is the key} (1. Rxh5 {takes one}) 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",  # it is no second one
        "1. Kg2 (1. Rg5+ Kh3 {or} Kh4) 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",
        "1. Kg2 (1. Rg5+ 1... Kh3 {if not} 1... Kh4) 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",
        "1. Kg2 (1. Rxh5 Kxh5 {or}) 1... Kh4 (1... h4 2. Rg5#) 2. Re4# *",  # "or" with nothing behind
        "1. Kg2 {no threat} h4 {one} (1... Kh4 {the other} 2. Re4#) 2. Rg5# *\n; 1. Rxh5? is met by 1... Kxh5!",
    ],
)
def test_a_right_solution_is_clean(play: str) -> None:
    result = check(game(play), "a.pgn")
    assert found(result) == []
    (puzzle,) = result.puzzles
    assert (puzzle.verdict, puzzle.keys, puzzle.title) == ("sound", ("Kg2",), "Wednesday Bulletin 12")
    assert puzzle.checked == puzzle.move_mentions >= 5


@pytest.mark.parametrize(
    ("play", "rule", "place"),
    [
        ("1. Kg2 Kh4 (1... h4 2. Re4#) 2. Re4# *", "check-not-mate", "#"),
        ("1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Rf5# *", "mate-without-check", "#"),
        ("1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re9 *", "not-understood", "Re9"),
        ("1. Kg2 Kh4 (1... h4 2. Rg6#) 2. Re4# *", "illegal-move", "Rg6#"),
        ("1. Rxh5 $1 Kxh5 *", "key-fails", "Rxh5"),  # $1: good move
        ("1. Kg2 (1. Kg2 $2) Kh4 (1... h4 2. Rg5#) 2. Re4# *", "try-solves", "Kg2"),  # $2: poor move
        ("1. Kg2 {threat: 2. Re4} Kh4 (1... h4 2. Rg5#) 2. Re4# *", "threat-fails", "Re4"),
        ("1. Kg2 {and now 1...Kh3 is possible} Kh4 (1... h4 2. Rg5#) 2. Re4# *", "king-into-check", "Kh3"),
    ],
)
def test_a_false_claim_is_found_where_it_stands(play: str, rule: str, place: str) -> None:
    result = check(game(play), "a.pgn")
    assert (rule, place) in found(result)
    assert set(rules(result)) <= {rule, "defence-left-out", "short-mate"}


def test_a_variation_replaces_the_move_before_it() -> None:
    """8.2.5, and it may be nested: the inner one replaces the answer, not the defence."""
    text = game("1. Kg2 Kh4 (1... h4 2. Rg5# (2. Re4#)) 2. Re4# *")
    assert found(check(text, "a.pgn")) == [("check-not-mate", "#")]
    assert check(text, "a.pgn").findings[0].finding.span.start == text.index("#))")


def test_each_game_is_a_puzzle_and_games_from_the_array_are_none() -> None:
    text = (
        game("1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re4# *")
        + '[Event "a game"]\n\n1. e4 e5 2. Qh5 Ke7 3. Qxe5# 1-0\n\n'
        + game("1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re5# *").replace("12", "13")
    )
    result = check(text, "a.pgn")
    assert [puzzle.title for puzzle in result.puzzles] == ["Wednesday Bulletin 12", "Wednesday Bulletin 13"]
    assert {each.puzzle for each in result.findings} == {1}


def test_moves_are_numbered_from_the_number_in_the_fen() -> None:
    """16.1.3.6: the fullmove number; movetext goes on from it."""
    tags = TAGS.replace("0 1", "0 23")
    assert found(check(game("23. Kg2 Kh4 (23... h4 24. Rg5#) 24. Re4# *", tags), "a.pgn")) == []


def test_black_may_begin() -> None:
    tags = TAGS.replace(FEN, "8/5k2/8/6K1/4r2P/4n3/8/8 b - - 0 1")
    assert found(check(game("1... Kg7 2. Kh5 (2. h5 Rg4#) 2... Re5# *", tags), "a.pgn")) == []


def test_help_play_begins_with_black() -> None:
    """Helpmates are numbered from Black's move: common practice, no source; PGN counts from the FEN."""
    tags = '[Event "help"]\n[SetUp "1"]\n[FEN "7k/8/5K2/8/8/8/8/6R1 b - - 0 1"]\n[Stipulation "h#2"]\n\n'
    assert "illegal-move" not in rules(check(game("1... Kh7 2. Kf7 Kh6 3. Rh1# *", tags), "a.pgn"))
    assert ("check-not-mate", "#") in found(check(game("1... Kh7 2. Kf7 Kh6 3. Rh1# *", tags), "a.pgn"))


def test_a_pass_shows_a_threat() -> None:
    """ "--" for a move that is passed: common practice, no source."""
    tags = TAGS.replace(FEN, "7k/8/5K2/8/8/8/8/1Q6 w - - 0 1")
    assert "threat-fails" not in rules(check(game("1. Qg1 (1. Qb2 -- 2. Qb8#) *", tags), "a.pgn"))


def test_a_reply_that_meets_no_threat_shows_it() -> None:
    """Lines have no other way to print a threat but a pass, and that is no move of the notation."""
    tags = TAGS.replace(FEN, "7k/3p4/4n3/4p3/4B3/8/8/K4Q2 w - - 0 1")
    knight = "(1... Nf8 2. Qxf8#) (1... Ng7 2. Qf8#) (1... Ng5 2. Qf8#) 2. Qh7# *"
    assert found(check(game(f"1. Qf7 d6 {knight}", tags), "a.pgn")) == []
    left = knight.replace("(1... Ng5 2. Qf8#) ", "")
    assert rules(check(game(f"1. Qf7 d6 {left}", tags), "a.pgn")) == ["defence-left-out"]


def test_what_a_remark_says_of_a_reply_is_not_said_of_the_first_move() -> None:
    tags = TAGS.replace(FEN, "3R4/8/1p3NK1/3R4/Q5p1/Bp1P4/k7/8 w - - 0 1")
    others = "(1... Kxa3 2. Ra8#) (1... b2 2. Qxb2#) (1... Kb1 2. Qb2#) (1... b5 2. Qb2#) 2. Qb2# *"
    assert found(check(game(f"1. Qd4 g3 {{a waiting move, to show the rest}} {others}", tags), "a.pgn")) == []
    assert rules(check(game(f"1. Qd4 {{a waiting move}} g3 {others}", tags), "a.pgn")) == ["threat-overlooked"]


@pytest.mark.parametrize(
    ("tags", "message"),
    [
        ('[SetUp "1"]\n\n', "no FEN tag gives it"),  # 9.7.1
        ('[SetUp "1"]\n[FEN ""]\n\n', "holds no FEN"),
        (TAGS.replace("5K2/8 w", "5K1/8 w"), "rank 2 of the FEN has 7 squares"),
    ],
)
def test_a_position_that_cannot_be_read(tags: str, message: str) -> None:
    result = check(game("1. Kg2 *", tags), "a.pgn")
    assert rules(result) == ["unreadable-position"]
    assert message in result.findings[0].finding.message


def test_a_mark_accepts_a_finding_at_the_end_of_a_comment_line() -> None:
    play = "1. Kg2 Kh4 (1... h4\n2. Re4# ; an old joke [sic]\n) 2. Re4# *"
    assert found(check(game(play), "a.pgn")) == []


@given(st.text(st.sampled_from('[]"{}();$%*!?#+-=.x12345678abcdefghKQRBNO \n\r'), max_size=200))
def test_any_text_is_read_without_exception_and_places_lie_inside(scrap: str) -> None:
    for text in (scrap, TAGS + scrap):
        document = document_from_text("a.pgn", text, "pgn")
        assert len(document.masked) == len(text)
        assert document.puzzles is not None
        for puzzle in document.puzzles:
            assert puzzle.play is not None
            for statement in puzzle.play()[0]:
                assert 0 <= statement.span.start <= statement.span.end <= len(text)


REMARK_BEHIND = "1. Kg2 Kh4 (1... h4 2. Rg5#) 2. Re4# *\n; 1. Rxh5? fails to 1... Kh2!"


def test_a_remark_behind_the_end_speaks_of_the_game() -> None:
    assert rules(check(game(REMARK_BEHIND), "a.pgn")) != []


def test_a_remark_above_the_tags_of_the_next_game_does_not() -> None:
    plain = REMARK_BEHIND.split("\n")[0]
    above = f"{game(plain)}\n{{ 1. Rxh5? fails to 1... Kh2! }}\n{game(plain)}"
    result = check(above, "a.pgn")
    assert len(result.puzzles) == 2
    assert set(rules(result)) <= {"repeated-position"}


@pytest.mark.parametrize("remark", ["quiet, with 2. Re4# in mind", "the threat is Re4 mate", "he fears 2. Re4#"])
def test_a_remark_in_words_leaves_the_line_as_it_is(remark: str) -> None:
    result = check(game(f"1. Kg2 {{{remark}}} Kh4 (1... h4 2. Rg5#) 2. Re4# *"), "a.pgn")
    lines = [shown for shown in result.puzzles if shown.checked >= 5]
    assert lines, result.findings


@pytest.mark.parametrize("remark", ["1...h4 2. Re4+ merely loses the rook", "1...h4 2. Re4+ just loses the rook"])
def test_an_answer_that_a_remark_calls_a_blunder_is_not_held_against_it(remark: str) -> None:
    result = check(game(f"1. Kg2 Kh4 (1... h4 2. Rg5# {{{remark}}}) 2. Re4# *"), "a.pgn")
    assert set(rules(result)) <= {"doubtful"}


def test_a_try_in_a_variation_without_its_refutation_has_no_part_in_the_play_of_the_key() -> None:
    head = '[SetUp "1"]\n[FEN "8/1B4Rn/2R5/Kp6/1P4p1/3N4/Q1bk3p/6n1 w - - 0 1"]\n[Event "Mate in 2"]\n\n'
    play = "1. Re7! ( 1. Rxh7? {is off the point.} ) 1... Kxd3 ( 1... Ne2 2. Qxc2# ) 2. Qd5# 1-0\n"
    assert "check-not-mate" not in rules(check(head + play, "a.pgn"))
