"""What is asked of a position, in the words of speakers and of other languages, and what only sounds like it.

The ways of asking are those of many imagined speakers: common practice, no source.
"""

import pytest
from keyproof.grammar.orders import asks_the_same, foreign_orders, orders_of_all, told_orders
from keyproof.grammar.spans import Span


def whole(words: str) -> Span:
    return Span(0, len(words))


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("White moves, and in two moves it's mate", "mate in 2"),
        ("You're White, you go first, and he has to be mated in two", "mate in 2"),
        ("It's white's turn, and in three moves he's got to be checkmated", "mate in 3"),
        ("White to move, two moves, mate", "mate in 2"),
        ("White wins in two moves", "mate in 2"),
        ("Again two moves, again white", "mate in 2"),
        ("Still White, still two", "mate in 2"),
        ("Two moves once more", "mate in 2"),
        ("Two moves to mate", "mate in 2"),
        ("Three moves, mate", "mate in 3"),
        ("You have two moves to give mate", "mate in 2"),
        ("Those two moves lose", None),
        ("Again it's White, again it's two moves", "mate in 2"),
        ("I have white and I start and it has to be checkmate on my third move, not later", "mate in 3"),
        ("okay so this is white to move and made in two", "mate in 2"),
        ("White is to give mate on his third move and not before, if Black does his best", "mate in 3"),
        ("White plays and mates on move three, not sooner, when he defends well", "mate in 3"),
        ("You are to mate on your second move, provided Black plays it properly", "mate in 2"),
        ("White moves and mates on his second move, if the defence puts up a fight", "mate in 2"),
        ("You mate with your third move, assuming Black resists to the end", "mate in 3"),
        ("White mates on his second move if Black plays e5", None),
        ("White's turn, and he has to be mated on the second go whatever he tries", "mate in 2"),
        ("We need to mate him on our second move", "mate in 2"),
        ("Two moves, White begins", "mate in 2"),
        ("Also two moves, also ours to start", "mate in 2"),
        ("You go first, three moves", "mate in 3"),
        ("So I'm white. Mate in? Two.", "mate in 2"),
        ("the pawn is on b four and that is it white to move and mate in to", "mate in 2"),
        ("so White begins and it's mate on the\nsecond move", "mate in 2"),
        ("also two pawns stand there", None),
        ("mate in to the corner", None),
        ("He has two moves", None),
        ("There are two moves that fail", None),
        ("In two moves the pawn queens", None),
        ("Black could be mated in two if the pawn were not there", None),
        ("Again two of them went for the rook on e4", None),
        ("The queen is still two squares from e5", None),
        ("White moves his two rooks first", None),
        ("On the second move White has a choice", None),
    ],
)
def test_orders_told(words: str, order: str | None) -> None:
    assert next((each.english for each in told_orders(words, whole(words))), None) == order


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("Nr. 17. Zweizüger.", "mate in 2"),
        ("Dreizüger von einem Leser", "mate in 3"),
        ("Tweezet", "mate in 2"),
        ("Tvådragare", "mate in 2"),
        ("Ein Zweizylinder", None),
    ],
)
def test_orders_of_other_languages(words: str, order: str | None) -> None:
    assert next((each.english for each in foreign_orders(words, whole(words))), None) == order


@pytest.mark.parametrize(
    ("words", "same"),
    [
        ("The second one, same task. White's king has moved away.", True),
        ("Okay, the second one's the same again, sort of.", True),
        ("Likewise, but harder.", True),
        ("On b6 it is the same again.", False),
        ("1.Qb6 and the same task awaits the rook.", False),
        ("Number two, and now for something else.", False),
    ],
)
def test_the_same_is_asked_again(words: str, same: bool) -> None:
    assert (asks_the_same(words, whole(words)) is not None) is same


@pytest.mark.parametrize(
    ("words", "all_of_them"),
    [
        ("Mate in two, White to move, both of them.", True),
        ("All are mates in two.", True),
        ("For each: find White's move that mates in two, then say why.", True),
        ("Matt in zwei Zügen, Weiß beginnt, beide Male.", True),
        ("w -   all #2", True),
        ("#2 each", True),
        ("All of them: #3", True),
        ("(both #2)", True),
        ("#2 throughout", True),
        ("1.Qb6 Ka8 2.Qb7#, and 1...Ka7 2 is all", False),
        ("Both rooks are needed.", False),
        ("Each of the moves to e4 and e5 mates in two.", False),
    ],
)
def test_orders_for_all_positions(words: str, all_of_them: bool) -> None:
    assert any(True for _ in orders_of_all(words)) is all_of_them
