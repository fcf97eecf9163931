"""False mates that words tell: where they stand is certain, and nothing in them is explained away."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\n"
KEY = "The key is king to b7. The threat is queen to c4, mate.\n"


def errors(text: str) -> list[str]:
    """Return the rules of the errors found in a text."""
    found = check_text("solution.txt", text, Options())
    return [each.finding.rule for each in found.findings if each.finding.level.name == "error"]


@pytest.mark.parametrize(("square", "rules"), [("c4", []), ("e4", ["mate-without-check"]), ("d4", ["check-not-mate"])])
@pytest.mark.parametrize("words", ["If the knight on g8 jumps anywhere", "Wherever the knight\non g8 goes"])
def test_an_answer_to_all_moves_of_a_man(words: str, square: str, rules: list[str]) -> None:
    """That it mates after none of them is no reason to read it elsewhere."""
    assert errors(HEAD + KEY + f"{words}, the queen goes to {square}, mate.\n") == rules


@pytest.mark.parametrize(
    ("sentence", "rules"),
    [
        ("It threatens much, yet king to b7 is check.", ["no-check"]),
        ("It is quiet, but king to b7 is discovered check.", ["not-discovered-check"]),
        ("It is quiet: king to b7 is no check.", []),
    ],
)
def test_what_the_move_just_told_is_said_to_give(sentence: str, rules: list[str]) -> None:
    """A man who stands where the words name him is not only described if they say what he does there."""
    assert errors(HEAD + KEY + sentence + "\n") == rules


@pytest.mark.parametrize(("square", "rules"), [("h3", ["mate-without-check"]), ("e2", [])])
@pytest.mark.parametrize("takes", ["the queen takes it, mate", "the queen grabs it and that is mate"])
def test_a_capture_of_which_man_and_victim_are_named(square: str, takes: str, rules: list[str]) -> None:
    """Without a square it is as plain as with one, if it can be made at all."""
    assert errors(HEAD + KEY + f"If the knight on g1 jumps to {square}, {takes}.\n") == rules


@pytest.mark.parametrize(
    "sentence",
    [
        "King to d5, queen to c4, mate.",
        "King d5 queen c4 mate",
        "Pawn to d5, rook to b5, mate.",
        "Defences: king to d5, queen to e4, mate.",
    ],
)
def test_an_answer_behind_its_reply(sentence: str) -> None:
    """It is told of no first move, no threat and no reply in the diagram, though it may be true there."""
    assert [rule for rule in errors(HEAD + KEY + sentence + "\n") if rule.endswith(("mate", "check"))]


@pytest.mark.parametrize(
    "words", ["queen to c4 nearly mates", "the queen almost mates on c4", "queen c4 is almost mate"]
)
def test_what_is_nearly_mate(words: str) -> None:
    """Nobody claims that it is mate."""
    assert errors(HEAD + KEY + f"If the king goes to d5, {words}.\n") == []


@pytest.mark.parametrize(
    "key", ["Who tries king to b7? Yes, that's it!", "He holds d5, and that's why king to b7 is the key."]
)
def test_what_follows_a_key_that_is_asked_about_or_explained(key: str) -> None:
    """If it is then called the key, and is, what follows is as sure as if it were told at once."""
    assert errors(HEAD + key + " King to d5, queen to c4, mate.\n") == ["check-not-mate"]
    assert errors(HEAD + key + " King to d5, rook to b5, mate.\n") == []


def test_another_move() -> None:
    """It is any other that the man can make."""
    assert errors(HEAD + KEY + "If the knight on g8 makes another move, queen to c4 is mate.\n") == []


CASTLES = "FEN: 8/8/8/7B/8/4p1k1/3N2N1/4K2R w K - 0 1\nMate in two.\n\n"
PROMOTES = "FEN: k7/3P4/2N5/8/3p2R1/8/1K6/8 w - - 0 1\nMate in two.\n\n"


def test_the_part_of_the_rook_in_castling() -> None:
    """It is no other first move, from which what follows would be told."""
    told = "The key: White castles. The rook comes to f1 and takes the f-file. "
    assert errors(CASTLES + told + "If the pawn takes on d2, rook to f3 is mate.\n") == []
    assert errors(CASTLES + told + "If the pawn takes on d2, rook to f2 is mate.\n") == ["mate-without-check"]


@pytest.mark.parametrize(
    ("key", "rules"),
    [
        ("The key is pawn to d8.", ["missing-promotion"]),
        ("The key is pawn to d8. It becomes a knight.", []),
        ("The key is pawn to d8. The new man guards b7.", []),
    ],
)
def test_what_a_pawn_becomes_is_told_nowhere(key: str, rules: list[str]) -> None:
    """That the play shows it is not enough."""
    assert [
        rule for rule in errors(PROMOTES + key + " The threat is rook to g8, mate.\n") if "promotion" in rule
    ] == rules


def test_a_mate_behind_a_reason() -> None:
    """What a man attacks or blocks does not go on behind the man who mates."""
    told = "If the pawn steps to d5, it blocks d5, and queen to e4 is mate.\n"
    assert errors(HEAD + KEY + told) == ["mate-without-check"]


@pytest.mark.parametrize(("answer", "rules"), [("takes on b4", []), ("goes to e4", ["mate-without-check"])])
def test_an_answer_behind_what_is_supposed(answer: str, rules: list[str]) -> None:
    """What somebody is told to do, if he does, is not passed over, though the answer would do before it too."""
    told = "If he pushes the d-pawn, he blocks d5 for his own king, and the queen "
    assert errors(HEAD + KEY + told + answer + " with mate.\n") == rules


def test_an_answer_that_would_do_for_the_reply_before() -> None:
    """It is told of the one it stands behind."""
    told = (
        "If his king steps to d5, the rook swings to b5 and it's mate. If he pushes the d-pawn, he blocks d5 for his "
    )
    assert errors(HEAD + KEY + told + "own king, and the rook comes to b5 with mate.\n") == ["check-not-mate"]


@pytest.mark.parametrize(("square", "rules"), [("b7", []), ("b6", ["not-guarded"])])
@pytest.mark.parametrize("other", ["A queen would stand in the way.", "A queen would be too much.", "Not a queen."])
def test_a_reason_behind_the_man_it_did_not_become(other: str, square: str, rules: list[str]) -> None:
    """The next sentence speaks of the man that it became."""
    told = f"The key: the pawn goes to d8 and becomes a knight! {other} The new knight guards {square}.\n"
    assert errors(PROMOTES + told) == rules


def test_a_dual_behind_words_for_all_moves_of_the_king() -> None:
    """They hide no reply that is told for itself."""
    told = "FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1\nMate in two.\n\nKey: 1.Kb6! The king comes closer.\n\n"
    lines = "- 1...Kc8 2.Qe8#\n- 1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#\n"
    found = check_text("solution.txt", told + lines, Options()).findings
    assert [each.finding.rule for each in found if each.finding.rule == "dual"] == ["dual"]
