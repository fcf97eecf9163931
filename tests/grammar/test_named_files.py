"""Files called by words that a text introduces itself."""

import chess
import pytest
from keyproof.grammar.named_files import with_files_lettered
from keyproof.grammar.words import SPOKEN_SQUARE, square_of
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text


@pytest.mark.parametrize(
    ("said", "squares"),
    [
        ("King on H for honey, three. Then queen honey five.", "h3 h5"),
        ("Rook C as in cello 2, pawn F as in flute 4, and the king goes cello 7", "c2 f4 c7"),
        ("D like drum, D like drum. Bishop drum one", "d1"),
        ("A for anvil, one, B for basket, two. Later the emu seven, emu six.", "a1 b2 e7 e6"),
        ("A for anvil, one, B for basket, two. A garden, G, yes. Garden four.", "a1 b2 g4"),
    ],
)
def test_a_word_that_spells_a_file_names_it_again(said: str, squares: str) -> None:
    lettered = with_files_lettered(said)
    assert len(lettered) == len(said)
    found = [square_of(" ".join(each[0].split())) for each in SPOKEN_SQUARE.finditer(lettered)]
    assert found == [chess.parse_square(name) for name in squares.split()]


@pytest.mark.parametrize(
    ("said", "lettered"),
    [
        ("Turm B wie Butter, zwei. Dame Butter sieben", "Turm B zwei. Dame B sieben"),
        ("tour C comme citron, deux, dame citron sept", "tour C deux, dame c sept"),
        ("torre H come hangar, tre; donna hangar otto", "torre H tre; donna h otto"),
    ],
)
def test_so_it_is_in_other_languages(said: str, lettered: str) -> None:
    assert " ".join(with_files_lettered(said).replace(" ,", "").split()) == lettered


@pytest.mark.parametrize(
    "said",
    [
        "K for king, B for bishop: bishop five men, B for black",
        "Prize B for beginners went to three of them; the beginners were pleased",
        "class A for adults, three boards; the class B",
        "Say H for hat. Hat. What you put on.",
        "two knights, both on H for hat, one on seven and one on eight",
    ],
)
def test_other_letters_that_stand_for_words_name_no_files(said: str) -> None:
    assert with_files_lettered(said) == said


TALK = """White: king on F for flute, two. Queen C for cello, four. Rook H for harp, seven. Black has his king on
drum eight, that's drum, D, and pawns on bell seven, bell six.
White to move, mate in two. It's queen cello six, the only move. His king cello eight, bell five: rook to harp eight.
"""


def test_a_solution_is_read_by_such_names() -> None:
    lettered = with_files_lettered(TALK)
    assert "d    eight" in lettered
    assert "b    five" in lettered
    result = check_text("a.txt", TALK, Options(fresh=True))
    (puzzle,) = result.puzzles
    assert puzzle.fen.startswith("3k4/1p5R/1p6/8/2Q5/8/5K2/8 w")
