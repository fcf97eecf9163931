"""What is printed in the lines of a solution counts where it stands, though words, numbers or signs are beside it.

The positions are of our own making; what is true in them is what python-chess says.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from test_walk_print import placed

WAITS = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2; Kh4 2.Re4, h4 2.Rg5
ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, knight 2.Qg5 or 2.Qxg5, Kh6 2.Rh4
ENDING = "7k/8/5K2/8/8/8/8/Q7 w - - 0 1"
OLD = "1. K-Kt2! K-R5 2. R-K4 mate, 1... P-R5 2. R-Kt5 mate."


def found(fen: str, text: str, order: str = "Mate in two.") -> list[tuple[str, str]]:
    """Return all that is reported, each with the words it points at; duals apart."""
    result = check_text("a.txt", f"FEN: {fen}\n{order}\n{text}\n", Options(fresh=True))
    told = [each.finding for each in result.findings if each.finding.rule != "dual"]
    return [(each.rule, each.span.of(result.text)) for each in told]


@pytest.mark.parametrize("behind", ["", " nothing is left", " and nothing comes of it", " shows nothing"])
def test_a_reply_behind_the_last_move_of_a_line_is_played_there(behind: str) -> None:
    told = found(ENDING, f"Try 1.Qb1 Kg8 2.Qb8+ Kf8{behind}.", "White to move.")
    assert [words for rule, words in told if rule in ("king-into-check", "illegal-move", "pinned-man-moves")] == ["Kf8"]


def test_a_pawn_move_between_two_numbers_is_a_move() -> None:
    assert found(WAITS, "1.Kg2! h4 2.Rg5# 1...Kh4 2.Re4#") == []


@pytest.mark.parametrize("text", ["1.Rg4! 1...h6 2.Qg6#\n1.Kh6 2.Rh4#\n1...N~ 2.Qg5#"])
def test_a_reply_printed_with_the_dots_of_a_first_move_has_a_wrong_number(text: str) -> None:
    assert ("wrong-move-number", "1.") in [(rule, words[:2]) for rule, words in found(ROOK, text)]


def test_a_false_first_move_with_a_sign_has_no_wrong_number() -> None:
    assert "wrong-move-number" not in [rule for rule, _ in found(ROOK, "1.Rg4! 1...h6 2.Qg6#\n1.Kh6? Nf2!")]


def test_behind_an_answer_that_nobody_can_play_another_reply_begins() -> None:
    told = found(ROOK, "1.Rg4! 1...h6 2.Qg1# 1...Kh6 2.Rh4# 1...N~ 2.Qg5#")
    assert [words for rule, words in told if rule == "illegal-move"] in (["Qg1#"], [])
    assert not [words for _, words in told if words.startswith("Rh4")]


@pytest.mark.parametrize(
    ("words", "read"),
    [("The bus R to K 5 leaves at noon.", [("not-understood", "R to K 5")]), ("A wet day in May.", [])],
)
def test_letters_of_old_notation_among_words_may_be_no_move(words: str, read: list[tuple[str, str]]) -> None:
    assert found(WAITS, f"{OLD}\n{words}") == read


def test_what_goes_on_from_a_move_nobody_can_play_is_not_examined() -> None:
    text = f"FEN: {WAITS}\nMate in two.\n1.Kg2! wins.\n\nIf 1...Kf3 then 2.Re3 mate.\n"
    (told,) = [each.finding for each in check_text("a.txt", text, Options(fresh=True)).findings]
    assert (told.rule, told.span.of(text)) == ("king-into-check", "Kf3")
    assert "the rest of this line was not" in told.message


@pytest.mark.parametrize("behind", ["", " is possible", " can be played"])
def test_a_printed_move_that_is_said_to_be_possible_must_be(behind: str) -> None:
    told = found(WAITS, f"1.Kg2! Now 1...Kh3{behind}. 1...Kh4 2.Re4#, 1...h4 2.Rg5#.")
    assert ("king-into-check", "Kh3") in told


@pytest.mark.parametrize("one", ["The other one:", "The other one is", "The other one -"])
def test_the_other_one_is_the_move_told_next(one: str) -> None:
    text = f"1.Kg2! zugzwang. 1...h4 2.Rg5#.\n\n{one} 1...Kh4 2.Rd4#."
    assert [words for rule, words in found(WAITS, text) if rule == "illegal-move"] == ["Rd4#"]


def test_the_one_first_move_of_a_text_is_its_key() -> None:
    assert "key-fails" in [rule for rule, _ in found(WAITS, "1.Re4+. A fine day for it.")]
    assert "key-fails" not in [rule for rule, _ in found(WAITS, "1.Re4+? Kf5!")]


def test_a_square_of_which_it_is_said_what_it_is_tells_no_move() -> None:
    assert placed(WAITS, "1.Kg2! The square h4 is dark.") == {"Kg2"}
