"""A man named with a square where he does not stand: he goes there, as the words about him have it."""

import pytest
from test_walk_print import BISHOPS, ROOK, placed


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Rook to g4 is the key. Knight f4 is dealt with by the queen on g5.", "Rg4 Nf4 Qg5"),
        ("Rook to g4. When it's the knight on f4, that covers g6, so queen g5.", "Rg4 Nf4 Qg5"),
        ("Rook to g4. And the king on h6? Rook h4.", "Rg4 Kh6 Rh4"),
        ("Rook to g4. If it is the pawn on h6, then queen g6.", "Rg4 h6 Qg6"),
        ("Rook to g4. Once the knight's on f4, queen g5.", "Rg4 Nf4 Qg5"),
        ("Rook to g4. When the king stands on h6, rook h4 is mate.", "Rg4 Kh6 Rh4"),
        ("Rook to g4. With the king on h6 the rook mates on h4.", "Rg4 Kh6 Rh4"),
        ("Rook to g4. Where the knight stops on f4 it's queen g5.", "Rg4 Nf4 Qg5"),
        ("Queen c7 is the key. For a while we had the queen on b4: king to c6.", "Qb4 Kc6"),
    ],
)
def test_a_man_on_a_square_where_he_does_not_stand_has_gone_there(text: str, line: str) -> None:
    fen = BISHOPS if "c6" in line else ROOK
    assert line in placed(fen, text)


def test_a_man_on_his_square_goes_nowhere() -> None:
    told = placed(ROOK, "Rook to g4. King h6, and with the pawn on f6 and the queen on g8 it is rook h4.")
    assert told == {"Rg4", "Rg4 Kh6", "Rg4 Kh6 Rh4"}


@pytest.mark.parametrize("word", ["places itself on", "parks itself on", "gets itself to", "puts himself on"])
def test_a_man_who_places_himself_goes_there(word: str) -> None:
    assert "Rg4 Nf4 Qg5" in placed(ROOK, f"Rook to g4. If the knight {word} f4, queen g5.")
