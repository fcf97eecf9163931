"""How many replies refute a first move, as a text says it, and what may not be taken for that."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

WAY_OUT = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Rg5+ fails to ...Kh3 and ...Kh4, which are all that is legal


def rules(told: str) -> list[str]:
    """Return the rules of the findings in a text that tells a try."""
    text = f"FEN: {WAY_OUT}\nMate in two.\n\n{told}\nThe key is 1.Kg2.\n"
    return [each.finding.rule for each in check_text("solution.txt", text, Options()).findings]


@pytest.mark.parametrize(
    "told",
    [
        "1.Rg5+? is stopped by 1...Kh3 and by nothing else.",
        "1.Rg5+ has just one flaw, the reply 1...Kh3.",
        "Rook to g5 check is met by one move only, his king to h3.",
        "1.Rg5+ has a single hole in it, 1...Kh3.",
        "1.Rg5+ Kh3 is the only refutation.",
        "1.Rg5+ has but one reply, 1...Kh3.",
        "After 1.Rg5+ only 1...Kh3 holds.",
        "1.Rg5+ is answered by 1...Kh3 alone.",
        "A good try is rook to g5 check, but he goes king to h3, and that's the one move against it.",
    ],
)
def test_a_reply_said_to_be_the_only_one(told: str) -> None:
    """The other one makes it false."""
    assert "further-refutation" in rules(told)


@pytest.mark.parametrize(
    "told",
    [
        "1.Rg5+ has two refutations, 1...Kh3 and 1...Kh4.",
        "1.Rg5+ has one answer with a point, 1...Kh3.",
        "1.Rg5+ Kh3 is not the only answer.",
        "One of the answers to 1.Rg5+ is 1...Kh3.",
        "1.Rg5+ fails, one answer being 1...Kh3.",
        "One replies 1...Kh3 to 1.Rg5+.",
    ],
)
def test_a_reply_that_may_be_one_of_several(told: str) -> None:
    """Nothing is false."""
    assert "further-refutation" not in rules(told)


ASKED = {"es": "Mate en dos.", "de": "Matt in zwei Zügen.", "fr": "Mat en deux coups."}
ASKED |= {"it": "Matto in due mosse.", "nl": "Mat in twee zetten."}


@pytest.mark.parametrize(
    ("tongue", "told"),
    [
        ("es", "1.Tg5+ falla únicamente por Rh3."),
        ("es", "1.Tg5+ fracasa tan sólo por Rh3."),
        ("de", "1.Tg5+ scheitert nur an Kh3."),
        ("de", "1.Tg5+ scheitert einzig und allein an Kh3."),
        ("fr", "1.Tg5+ échoue seulement sur Rh3."),
        ("it", "1.Tg5+ fallisce solo per Rh3."),
        ("nl", "1.Tg5+ strandt slechts op Kh3."),
    ],
)
def test_only_may_stand_within_the_words_for_failing(tongue: str, told: str) -> None:
    king = {"es": "R", "fr": "R", "it": "R"}.get(tongue, "K")
    key = {
        "es": "La clave es",
        "de": "Der Schlüssel ist",
        "fr": "La clé est",
        "it": "La chiave è",
        "nl": "De sleutel is",
    }
    text = f"FEN: {WAY_OUT}\n{ASKED[tongue]}\n\n{told}\n{key[tongue]} 1.{king}g2.\n"
    assert "further-refutation" in [each.finding.rule for each in check_text("solution.txt", text, Options()).findings]
