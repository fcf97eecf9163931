"""Twins: how a change is read, what it does to the position, and what is no twin."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import stated_solutions, twins
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.sections import puzzle_texts
from keyproof.grammar.stated_solutions import stated_number
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.sources import document_from_text

LIST = "White: Kc3, Rh4, Pe4; Black: Kb1, Pg7"
HERE = "8/6p1/8/8/4P2R/2K5/8/1k6"


def puzzles(text: str) -> list[PuzzleText]:
    return list(puzzle_texts(document_from_text("t.txt", text, "text")).puzzles)


def placement(puzzle: PuzzleText) -> str:
    board = chess.BaseBoard(None)
    board.set_piece_map(puzzle.diagrams[0].pieces)
    return board.board_fen()


CHANGES = [
    # One man moves: common practice, no source; the words are those of printed twins.
    ("pawn e4 to e5", "8/6p1/8/4P3/7R/2K5/8/1k6"),
    ("Pe4 to e5", "8/6p1/8/4P3/7R/2K5/8/1k6"),
    ("wPe4-e5", "8/6p1/8/4P3/7R/2K5/8/1k6"),
    ("e4→e5", "8/6p1/8/4P3/7R/2K5/8/1k6"),
    ("move the white pawn from e4 to e5", "8/6p1/8/4P3/7R/2K5/8/1k6"),
    ("white king to a1", "8/6p1/8/8/4P2R/8/8/Kk6"),
    ("the rook moves to a4", "8/6p1/8/8/R3P3/2K5/8/1k6"),
    # A man goes, comes, or becomes another.
    ("remove e4", "8/6p1/8/8/7R/2K5/8/1k6"),
    ("without the pawn on g7", "8/8/8/8/4P2R/2K5/8/1k6"),
    ("-Pe4", "8/6p1/8/8/7R/2K5/8/1k6"),
    ("pawn g7 removed", "8/8/8/8/4P2R/2K5/8/1k6"),
    ("add a black knight on a8", "n7/6p1/8/8/4P2R/2K5/8/1k6"),
    ("+wPh2", "8/6p1/8/8/4P2R/2K5/7P/1k6"),
    ("white queen for the rook on h4", "8/6p1/8/8/4P2Q/2K5/8/1k6"),
    ("replace the rook on h4 by a bishop", "8/6p1/8/8/4P2B/2K5/8/1k6"),
    ("Rh4 becomes a knight", "8/6p1/8/8/4P2N/2K5/8/1k6"),
    ("black knight for Rh4", "8/6p1/8/8/4P2n/2K5/8/1k6"),
    ("exchange Rh4 and Kc3", "8/6p1/8/8/4P2K/2R5/8/1k6"),
    ("Rh4 <-> Pe4", "8/6p1/8/8/4R2P/2K5/8/1k6"),
    # All men.
    ("the mirror position", "8/1p6/8/8/R2P4/5K2/8/6k1"),
    ("mirrored left to right", "8/1p6/8/8/R2P4/5K2/8/6k1"),
    ("turn the board by 180 degrees", "6k1/8/5K2/R2P4/8/8/1p6/8"),
    ("rotate 90° clockwise", "8/8/k7/2K1P1p1/8/8/8/8"),
    ("colours exchanged", "8/6P1/8/8/4p2r/2k5/8/1K6"),
    ("shift all men one rank up", "6p1/8/8/4P2R/2K5/8/1k6/8"),
    # Several at once, and the same with other joints.
    ("pawn e4 to e5 and remove g7", "8/8/8/4P3/7R/2K5/8/1k6"),
    ("Pe4-e5, Rh4-h5", "8/6p1/8/4P2R/8/2K5/8/1k6"),
]


@pytest.mark.parametrize(("words", "expected"), CHANGES)
def test_a_change(words: str, expected: str) -> None:
    if words.startswith("rotate"):
        expected = chess_rotated()
    a, b = puzzles(f"{LIST}\nHelpmate in 2. b) {words}\n")
    assert (a.label, b.label) == ("a", "b")
    assert placement(a) == HERE
    assert b.twin_faults == ()
    assert placement(b) == expected


def chess_rotated() -> str:
    """Turn the diagram clockwise with python-chess's own transformations: transpose, then mirror left to right."""
    board = chess.Board(f"{HERE} w - - 0 1")
    board.apply_transform(chess.flip_diagonal)
    board.apply_transform(chess.flip_vertical)
    return board.board_fen()


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ("rook g4 to g5", "there is no rook on g4"),
        ("black rook h4 to h5", "there is no black rook on h4, but a white rook"),
        ("knight e4 to e5", "there is no knight on e4, but a white pawn"),
        ("pawn e4 to h4", "h4 is taken by the white rook"),
        ("remove a8", "there is no man on a8"),
        ("add a white pawn on e4", "e4 is taken by the white pawn"),
        ("pawn to e5", "there are 2 pawns, so the square must be named"),
        ("rotate 90°", "clockwise or anticlockwise"),
        ("shift all men three files to the left", "would leave the board"),
    ],
)
def test_a_change_that_cannot_be_made(words: str, reason: str) -> None:
    b = puzzles(f"{LIST}\nHelpmate in 2. b) {words}\n")[1]
    assert b.diagrams == ()
    assert reason in b.twin_faults[0].message


def test_each_twin_is_changed_from_the_diagram_unless_it_names_another() -> None:
    text = f"{LIST}\nHelpmate in 2. b) Pe4 to e5 c) remove g7 d) further Rh4 to h5 e) = b) and remove g7\n"
    fens = [placement(puzzle) for puzzle in puzzles(text)]
    assert fens == [
        HERE,
        "8/6p1/8/4P3/7R/2K5/8/1k6",
        "8/8/8/8/4P2R/2K5/8/1k6",
        "8/8/8/7R/4P3/2K5/8/1k6",
        "8/8/8/4P3/7R/2K5/8/1k6",
    ]


def test_a_zero_position() -> None:
    """The diagram itself is no puzzle: a) has a change of its own (common practice, no source)."""
    a, b = puzzles(f"{LIST}\nHelpmate in 2. a) Pe4 to e5 b) Pe4 to e6\n")
    assert [placement(a), placement(b)] == ["8/6p1/8/4P3/7R/2K5/8/1k6", "8/6p1/4P3/8/7R/2K5/8/1k6"]


def test_a_twin_may_differ_in_the_side_to_move() -> None:
    a, b = puzzles(f"{LIST}\nMate in 2 (a) as it stands (b) Black to move\n")
    assert placement(a) == placement(b) == HERE
    assert (a.diagrams[0].turn, b.diagrams[0].turn) == (None, chess.BLACK)


@pytest.mark.parametrize(
    "text",
    [
        # Labels that count variations, solutions or remarks.
        f"{LIST}\nMate in 2. 1.Kd2! a) 1...g5 2.Rh1# b) 1...g6 2.Rh1#\n",
        f"{LIST}\nHelpmate in 1. a) 1.Kc1 Rh1# b) 1.Ka2 Ra4#\n",
        f"{LIST}\nMate in 2. 1.Kd2! and now a) Kb1-a1 2.Rh1#, b) Kb1-b2 2.Rb4#\n",
        f"{LIST}\nMate in 2. Black has a) the pawn, b) the king.\n",
        f"{LIST}\nMate in 2. See figure b) on the next page.\n",
    ],
)
def test_labels_that_make_no_twins(text: str) -> None:
    assert [puzzle.label for puzzle in puzzles(text)] == [""]


def test_each_twin_is_judged_on_its_own_position_and_line() -> None:
    text = "White: Kc3, Rh4; Black: Kb1\nHelpmate in 1. (2+1)\nb) rook h4 to g4\n\na) 1.Kc1 Rh1#\nb) 1.Kc1 Rh1#\n"
    result = check_text("t.txt", text, Options())
    assert [puzzle.verdict for puzzle in result.puzzles] == ["sound", "sound"]
    found = [(text.count("\n", 0, f.finding.span.start) + 1, f.finding.rule) for f in result.findings]
    assert found == [(6, "illegal-move")]


def test_the_stipulation_of_a_twin_is_its_own() -> None:
    text = "White: Kd7, Rf7; Black: Kb8, Pd6\nHelpmate in 2. b) helpmate in 1\na) 1.d5 Kc6 2.Kc8 Rf8#\n"
    result = check_text("t.txt", text, Options())
    assert [puzzle.stipulation for puzzle in result.puzzles] == ["h#2", "h#1"]


@pytest.mark.parametrize(
    ("text", "number"),
    # The genre notation of help play: each number counts the choices at one step (standards: "2.1.1.1").
    [("2 solutions", 2), ("one solution", 1), ("2.1.1.1", 2), ("2.1...", 2), ("3.2.1.1", 6), ("Four solutions", 4)],
)
def test_a_stated_number(text: str, number: int) -> None:
    assert stated_number(text) == number


@given(
    st.lists(
        st.sampled_from(
            ["a)", "b)", "(c)", "pawn", "e4", "to", "e5", "remove", "1.Kc1", "Rh1#", ".", "\n", "mate in 2"]
        )
    )
)
def test_no_text_stops_the_reading(words: list[str]) -> None:
    for puzzle in puzzles(f"{LIST}\n{' '.join(words)}\n"):
        assert puzzle.diagrams or puzzle.twin_faults


SCRAPS = [
    "b)",
    "(b)",
    "c)",
    "a) ",
    "Twin: ",
    "twin (b) -",
    "TWIN b:",
    "x)",
    "2 solutions",
    "two Solutions",
    "2.1.1",
    " ",
]


@given(st.lists(st.sampled_from(SCRAPS)).map("".join))
def test_the_first_look_misses_no_label_and_no_number_of_solutions(text: str) -> None:
    if twins._LABEL.search(text) or twins._TWIN.search(text):
        assert twins._MAY_LABEL.search(text)
    if stated_solutions._STATED.search(text):
        assert stated_solutions._MAY_STATE.search(text)
