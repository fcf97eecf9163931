"""What comes of a finding that is held back: it is no error, and what it is about does not count as checked.

The position is that of `test_stances`; 1...h4 2.Rg5 is mate (python-chess says so), so that "check" falls short.
"""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.reports.text import summary
from keyproof.linter.results import FileResult
from keyproof.linter.tally import Tally
from keyproof.rules.finding import Level
from keyproof.rules.reading.account import Standing

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
FRAME = (
    "FEN: {fen}\nMate in two.\n"
    "The key is king to g two. If the king goes to h four, rook to e four is mate. "
    "{between}If the pawn moves to h four, rook to g five is {effect}.\n"
)
UNREAD = "The square h four is worth a look on g three and e two. "


def checked(between: str, effect: str) -> FileResult:
    return check_text("a.txt", FRAME.format(fen=FEN, between=between, effect=effect), Options(fresh=True))


def rules(result: FileResult) -> list[str]:
    return [each.finding.rule for each in result.findings]


def test_the_move_is_mate() -> None:
    board = chess.Board(FEN)
    for san in ("Kg2", "h4", "Rg5"):
        board.push_san(san)
    assert board.is_checkmate()


def test_where_all_is_understood_the_finding_stands() -> None:
    assert rules(checked("", "check")) == ["mate-marked-check"]


@pytest.mark.parametrize(("effect", "standing"), [("mate", Standing.placed), ("check", Standing.doubtful)])
def test_a_clause_whose_finding_is_held_back_is_doubtful(effect: str, standing: Standing) -> None:
    result = checked(UNREAD, effect)
    assert rules(result) == []
    entry = result.account.at(result.text.index("g five"))
    assert entry is not None
    assert (entry.standing, entry.words) == (standing, ())


@pytest.mark.parametrize(
    ("between", "words", "standing"),
    [
        ("Then the knight on e6 frobs the pawn. ", "the knight on", Standing.not_understood),
        ("Then the knight from e6 quite frobs the pawn. ", "the knight from", Standing.not_understood),
        ("Then the knight on e6 frobs g5. ", "the knight on", Standing.doubtful),  # he may be told to go there
    ],
)
def test_a_clause_of_which_only_a_man_was_read_is_not_understood(between: str, words: str, standing: Standing) -> None:
    result = checked(between, "mate")
    entry = result.account.at(result.text.index(words))
    assert entry is not None
    assert entry.standing is standing


def test_a_man_who_is_only_named_leaves_nothing_open() -> None:
    result = checked("Now the pawn on h five. ", "mate")
    entry = result.account.at(result.text.index("the pawn on"))
    assert entry is not None
    assert entry.standing is Standing.placed


def test_the_summary_counts_what_is_held_back_as_not_checked() -> None:
    said = []
    for effect in ("mate", "check"):
        tally = Tally()
        tally.add(checked(UNREAD, effect))
        said.append((tally.checked, tally.doubtful, summary(tally).text))
    (whole, none, _), (less, one, words) = said
    assert (whole - less, none, one) == (1, 0, 1)
    assert "1 doubtful" in words


def test_the_reading_names_the_clause() -> None:
    result = check_text(
        "a.txt", FRAME.format(fen=FEN, between=UNREAD, effect="check"), Options(fresh=True, show_reading=True)
    )
    (puzzle,) = result.puzzles
    assert puzzle.reading is not None
    doubts = [doubt for sentence in puzzle.reading for doubt in sentence.doubts]
    assert ["g five" in doubt.words.text for doubt in doubts if doubt.standing is Standing.doubtful] == [True]


TRIES = (
    "FEN: 6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1\nMate in two.\n\n"
    "Key: 1.Qb6! threatens 2.Qxa5#. 1...Ka4 2.Qb4#. 1...Ka2 2.Qb2#. 1...Nb3 2.Qxb3#. 1...Nb7/Nc6/Nc4 2.Qb3#.\n\n"
    "Tries: 1.Qc5+? Ka2! 1.Qb5?{} d6!\n"
)


def test_a_reply_is_held_against_the_try_right_before_it() -> None:
    assert rules(check_text("a.txt", TRIES.format(""), Options(fresh=True))) == ["refutation-fails"]


def test_a_reply_behind_words_that_were_not_understood_may_be_one_to_these() -> None:
    text = TRIES.format(" again. Either of the two ways about the square c5 for her ladyship?")
    assert rules(check_text("a.txt", text, Options(fresh=True))) == []


@pytest.mark.parametrize(
    ("words", "found"), [("The spectators go home again.", ["key-fails"]), ("It will not do.", [])]
)
def test_a_first_move_of_which_the_next_sentence_says_that_it_fails_is_no_key(words: str, found: list[str]) -> None:
    text = f"FEN: {FEN}\nMate in two.\n\n1.Re4+. {words}\n"
    assert [rule for rule in rules(check_text("a.txt", text, Options(fresh=True))) if rule == "key-fails"] == found


@pytest.mark.parametrize(
    ("words", "held"),
    [
        ("2.Re3 mates with the bishop taken.", True),
        ("1...Kh4 2.Re3 mates.", False),
    ],
)
def test_a_clause_that_also_tells_what_found_no_place_accuses_nobody(words: str, held: bool) -> None:
    text = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n1.Kg2! zugzwang. 1...h4 2.Rg5#. 1...Kh4 2.Re4#.\n"
    found = check_text("a.txt", text + words, Options(effort=1, fresh=True)).findings
    assert any(each.finding.level is Level.error for each in found) is not held
