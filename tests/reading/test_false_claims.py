"""False moves and refutations in texts of which a part is not understood, or that do not say what they ask for.

The position is of our own making: in it 1.Kb7 threatens 2.Qc4, and Kd5 is answered by 2.Rb5, d5 by 2.Qxb4. The other
moves of the king fail: to Ka7 or Kb8 there is Kd5, but not d5 (2.Qxb4#).
"""

import pytest
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.reading.walk.outcome import frames_of

FEN = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\n"
HEAD = FEN + "Mate in two.\n\n"
KEY = "Key: 1.Kb7! (threat 2.Qc4#).\n"
DARK = "The frog hops to e4. A toad hops to h7. The newt hops to g6. A mole hops to c2.\n"


def errors(text: str) -> list[str]:
    """Return the rules of the errors found in a text."""
    found = check_text("solution.txt", text, Options())
    return [each.finding.rule for each in found.findings if each.finding.level.name == "error"]


@pytest.mark.parametrize(("man", "rules"), [("bishop", ["illegal-move"]), ("rook", [])])
def test_a_man_that_is_nowhere(man: str, rules: list[str]) -> None:
    """White has no bishop in any line: that is the author's slip, though other sentences were not understood."""
    assert errors(HEAD + KEY + f"The king runs. King to d5, {man} to b5, mate.\n" + DARK) == rules


@pytest.mark.parametrize(
    "sentence",
    [
        "1.Ka7, a step the other way, is undone by 1...{}.\n",
        "1.Ka7 was popular and comes to naught: 1...{}\n",
    ],
)
def test_a_reply_left_alone_behind_a_try(sentence: str) -> None:
    """It is meant to refute, by whatever words."""
    assert errors(HEAD + KEY + sentence.format("d5")) == ["refutation-fails"]
    assert errors(HEAD + KEY + sentence.format("Kd5")) == []


def test_a_reply_that_is_answered() -> None:
    """Of a try several lines may be told: what is answered is not said to refute."""
    assert errors(HEAD + KEY + "1.Ka7, which waits, mates after 1...d5 by 2.Qxb4#.\n") == []


@pytest.mark.parametrize("words", ["(Kxc3, Rxc3)", "(Kxc3, also Rxc3)", "(Kxc3 / Rxc3)"])
def test_a_list_of_replies(words: str) -> None:
    """Two replies of one side are no move and its answer."""
    board = "FEN: 8/8/6K1/8/3k4/r1p5/8/1RQ5 w - - 0 1\nMate in three.\n\n"
    text = board + f"1.Qxc3+ looks strong and is answered twice over {words}.\n"
    found = check_text("solution.txt", text, Options(show_reading=True))
    steps = [step for each in found.puzzles[0].reading or () for play in each.play for step in play.steps]
    assert [step.state for step in steps] == ["read"] * 3


def test_check_but_not_mate() -> None:
    """A check that is said not to mate claims both."""
    text = "Then 2.Qd4 is check but not mate."
    said = [effect for frame in frames_of(text, [Span(0, len(text))]) for effect, _ in frame.effects]
    assert said == [Effect.check, Effect.not_mate]


@pytest.mark.parametrize("reply", ["d5", "Kd5"])
def test_nothing_asks_for_anything(reply: str) -> None:
    """A text that tells the one key and two mates on the second move solves a mate in two, whoever asked for it."""
    lines = "Key: 1.Kb7! Kd5 2.Rb5#, 1...d5 2.Qxb4#. "
    failing = ["refutation-fails"] if reply == "d5" else []
    assert errors(FEN + f"\n{lines}Try: 1.Ka7? {reply}!\n") == failing


def test_nothing_asks_and_nothing_shows() -> None:
    """Without the key and its mates it may be a mate in three, which other moves solve."""
    assert errors(FEN + "\nTry: 1.Ka7? d5!\n") == []
