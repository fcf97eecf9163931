"""A stretch in which no two kings are named close to each other tells no position, which is seen before it is cut."""

import pytest
from keyproof.grammar.gleaning.beads import signs_in
from keyproof.grammar.gleaning.kings import may_name_kings
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.lexicon.tongues import TONGUES, _known
from keyproof.grammar.spans import Span


@pytest.mark.parametrize(
    ("text", "tongue", "may"),
    [
        ("White has Kc3 and Qd7, Black Ka1 alone.", "english", True),
        ("Her king stands on c3, and his majesty has gone to a1.", "english", True),
        ("The kings are on c3 and a1.", "english", True),
        ("The king is on c3.", "english", False),
        ("1.Qd7! Ka2 2.Qa4#, 1...c6 2.Qd1#, 1...Kb1 2.Qd1#", "english", False),
        ("The king is shut in: 1.Qd7! c5 2.Qa4#, 1...c6 2.Qd1#, and the king has no move.", "english", False),
        ("Weiß: der König c3 und die Dame d7, gegen den Königsflügel der König a1.", "german", True),
        ("Two rooks on the seventh rank, and nothing else.", "english", False),
    ],
)
def test_two_kings_are_named_or_not(text: str, tongue: str, may: bool) -> None:
    whole = Span(0, len(text))
    signs = signs_in(text, whole, LANGUAGES[TONGUES[tongue]])
    assert may_name_kings(text, whole, signs, tongue) is may


@pytest.mark.parametrize(
    "text",
    ["the key is a quiet move of the queen", "der könig geht nach c3 und ist matt", "back see to it that he ate"],
)
def test_a_table_knows_no_more_at_a_look_than_it_does(text: str) -> None:
    words = tuple(text.split())
    for tongue in TONGUES:
        table = table_of(tongue)
        assert table.knows(words) <= _known(words, table)
