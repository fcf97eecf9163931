"""Guards told in a text: each sentence once with what is so, once with what is not.

The position is of our own making: in it 1.Kb7 threatens 2.Qc4, Kd5 is answered by 2.Rb5, d5 by 2.Qxb4.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TEXT = """FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1
Mate in two.

Key: 1.Kb7! (threat 2.Qc4#).
"""


def errors(sentence: str) -> list[str]:
    """Return the rules of the errors found in the solution with a sentence more."""
    found = check_text("solution.txt", TEXT + sentence + "\n", Options())
    return [each.finding.rule for each in found.findings if each.finding.level.name == "error"]


PAIRS = [
    ("1...Kd5 2.Rb5#. The queen does guard {}.", "e6", "c6"),
    ("1...Kd5 2.Rb5#, {} being seen to by the queen.", "e6", "c6"),
    ("1...Kd5 2.Rb5#, and the king on b7 holds c6 and {}.", "c7", "b5"),
    ("1...Kd5 2.Rb5#. The queen has the whole of d4, e4 and {}.", "e6", "e5"),
    ("1...Kd5 2.Rb5#, for c6 is denied to him by {}.", "our king", "our queen"),
    ("1...Kd5 2.Rb5#, since the queen on g4 has {} covered.", "e4 and e6", "e4 and c6"),
    ("1...Kd5 2.Rb5#: c6 is guarded by the {}, and the pawn stays where it is.", "king on b7", "queen on g4"),
    ("1...Kd5 2.Rb5#. The square d4 is covered by the queen on g4, and {} is covered by that queen too.", "e4", "e5"),
    ("1...d5 2.Qxb4#, protected there by the {}.", "rook", "king"),
    ("1...d5 2.Qxb4#. She is protected by the rook{}.", "", " and the king"),
    ("1...Nf6 2.Qc4#. The knight goes to f6. From there it guards {}.", "d5", "c4"),
    ("1...Kd5 2.Rb5#. He has no c6, because the {} covers it.", "king on b7", "queen on g4"),
    ("1...Kd5 2.Rb5#. He can't go to e6, because of the queen on g4, which covers {} as well.", "e4", "e5"),
    ("A mole hops to c2. The queen on g4 guards c8 and {}.", "d7", "c7"),
    ("1...d5 2.Qxb4#. Once the queen stands on b4, the {} guards her.", "rook on b6", "king on b7"),
    ("1...Nf6 2.Qc4#. It must be said that the knight on {} guards d5.", "f6", "g1"),
    ("1...Kd5 2.Rb5#. After that the queen on g4 guards {}.", "e6", "e5"),
    ("1...Kd5 2.Rb5#. He can't go to {} because of the queen on g4.", "e6", "c6"),
    ("1...Kd5 2.Rb5#. The king may not step back to {}, on account of the king on b7.", "c6", "c5"),
    ("1...Kd5 2.Rb5#. He cannot flee to e6, which the {} guards.", "queen on g4", "king on b7"),
    ("1...Kd5 2.Rb5#. He can't go to e6 because of the queen on g4, which covers {} too.", "d7", "c7"),
    ("1...Kd5 2.Rb5#. The square c6 is off limits because the {} watches it.", "king on b7", "queen on g4"),
    ("1...Kd5 2.Rb5#. He has no c6, since the {} guards that too.", "king on b7", "queen on g4"),
    ("1...d5. Now the queen takes on b4, where she is protected by the {}.", "rook on b6", "king on b7"),
    ("1...Kd5. The rook goes to b5, mate. There it is protected by {}.", "nobody", "the king on b7"),
    ("1...Kd5 2.Rb5#. The rook, guarded by {}, gives mate.", "nobody", "the pawn on b3"),
    ("1...Kd5 2.Rb5#. From b7 the king guards {}.", "c6", "d5"),
    ("1...Kd5 2.Rb5#. The king guards {} from b7.", "c6", "e6"),
    ("1...Nf6 2.Qc4#. From f6 it is watching {}.", "d5", "c4"),
    ("1...Kd5 2.Rb5#. The queen on g4, she looks straight along the rank to {}.", "e4", "e5"),
    ("1...Kd5 2.Rb5#. The queen sees {}.", "e6", "e5"),
    ("1...Kd5 2.Rb5#. The queen keeps him off {}.", "e6", "e5"),
    ("1...d5 2.Qxb4#, with the support of the {}.", "rook", "king"),
    ("1...d5 2.Qxb4#, where the {} protects the newcomer.", "rook on b6", "king on b7"),
    ("A mole hops to c2. As for the queen on g4, it is this piece that covers {}.", "c8", "c7"),
    ("1...d5 2.Qxb4#. The {} backs her up.", "b6 rook", "b7 king"),
    ("1...Nf6 2.Qc4#. There is nothing on {}, because from f6 the knight guards that square.", "d5", "e5"),
    ("1...Kd5 2.Rb5#. The queen on g4 is looking at {}.", "d7", "c7"),
    ("1...Kd5 2.Rb5#. The queen on g4 is still looking straight down at {}.", "d7", "c7"),
    ("1...Kd5 2.Rb5#. He has no e6, which the queen on g4 guards, nor {}, since the queen guards that.", "d4", "c6"),
    ("1...Nf6 2.Qc4#. So much for f6, because from f6 it is watching {}.", "d5", "c4"),
    ("1...Kd5 2.Rb5#. The square c4 is covered by our queen, and by the {} as well.", "b3 pawn", "b7 king"),
]


@pytest.mark.parametrize(("sentence", "so", "not_so"), PAIRS)
def test_a_guard_is_held_to_the_board(sentence: str, so: str, not_so: str) -> None:
    assert errors(sentence.format(so)) == []
    assert errors(sentence.format(not_so)) == ["not-guarded"]


def test_a_pin_and_what_follows_from_it() -> None:
    """That the man cannot move is told of the pin, and denies nothing of it."""
    line = "1...Kd5 2.Rb5#, where the pawn on {} is pinned by our {} and cannot stir.\n"
    assert errors(line.format("d6", "rook")) == ["not-pinned"]
    assert errors(line.format("d6", "rook").replace("where", "as if")) == []


@pytest.mark.parametrize(("who", "rules"), [("She", []), ("The bishop on h1", ["not-pinned"])])
def test_whom_a_pronoun_means_may_have_been_told_elsewhere(who: str, rules: list[str]) -> None:
    """No queen is on the board, so one was made in words that nobody understood."""
    told = f"FEN: 8/8/8/8/8/1K6/3R4/k6b w - - 0 1\nMate in one.\n\n1.Rd1#. {who} pins the rook on d1.\n"
    found = check_text("solution.txt", told, Options())
    assert [each.finding.rule for each in found.findings if each.finding.level.name == "error"] == rules


def test_a_man_pins_nobody_off_its_lines() -> None:
    assert errors("1...Nf6 2.Qc4#. A mole hops to c2. The rook on b6 pins the knight on f5.") == ["not-pinned"]
    assert errors("1...Nf6 2.Qc4#. A mole hops to c2. The rook on b6 does not pin the knight on f5.") == []


@pytest.mark.parametrize(
    "sentence",
    [
        "1...Kd5 2.Rb5#. If the queen stood on a4, c6 would be covered by the queen on a4 too.",
        "1...Kd5 2.Rb5#. Is c6 guarded by the queen? No, by the king.",
        "1...Kd5 2.Rb5#. The queen guards c6, no, sorry, it is the king on b7 that guards it.",
        "1...Kd5 2.Rb5#. The king has no c6, because the king on b7 guards it, nor e5, for the rook guards that.",
        "1...Kd5 2.Rb5#. The queen guards d7, e6 and f5, and the pawn c4.",
        "1...Kd5 2.Rb5#. The rook on b5 guards e5, behind the black king.",
        "1...d5 2.Qxb4#. She is protected by the rook, and the king is far away.",
        "1...Nf6 2.Qc4#. The knight goes to f6. From there it would guard c4 if it were a queen.",
        "1...Kd5 2.Rb5#. The pawn on d6 is pinned by nobody, for it cannot stir anyway.",
        "1...Kd5 2.Rb5#. He can't go to c6, not because of the queen on g4 but because of the king on b7.",
        "1...Kd5 2.Rb5#. He can't go to d6 because of the pawn on d6, which stands there.",
        "1...Kd5 2.Rb5#. He can't go to c5, which the rook on b5 guards, or to e5, since the rook guards that.",
        "1...Kd5 2.Rb5#. He could go to c6, which the queen on g4 might guard from c8.",
        "1...d5 2.Qxb4#. The king can't take her, because the rook on b6 guards her.",
        "1...Nf6 2.Qc4#. The knight goes to f6, where it is protected by nobody.",
        "1...Kd5 2.Rb5#. Everyone says he can't go to c6 because of the queen on g4.",
        "1...Kd5 2.Rb5#. With d6 gone the rook on b6 guards e6 through nothing.",
        "1...Kd5 2.Rb5#. With the pawn out of the way the rook on b6 guards f6.",
        "1...Nf6 2.Qc4#. After that the knight on f6 cannot be pinned by anybody.",
        "1...Kd5 2.Rb5#. As if the queen on g4 guarded b7! As if the queen on g4 guards b7!",
        "1...Kd5 2.Rb5#. Whether the queen on g4 guards b7 I do not know.",
        "1...Nf6 2.Qc4#. The knight on b3 or the pawn guards c4.",
        "1...Nf6 2.Qc4#. We are looking at e5 now, and the knight is looking for work.",
        "1...Kd5 2.Rb5#. The queen on g4 is looking for c6.",
        "1...Kd5 2.Rb5#. There is no way to c6, because from b7 the king guards that square.",
        "1...Nf6 2.Qc4#. There is nothing on e5, and from f6 the knight guards another square.",
        "1...Kd5 2.Rb5#. The king may not go to e6, which the queen on g4 guards, nor d6, since the pawn holds it.",
        "1...Kd5 2.Rb5#. The knight on g8 is still where it was, and nobody is looking at it.",
    ],
)
def test_what_is_no_false_guard(sentence: str) -> None:
    assert errors(sentence) == []
