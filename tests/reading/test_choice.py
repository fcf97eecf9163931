"""The walk and the literal reading of a text made one, shown on readings that were made by hand.

The position is a mate in two of our own: 1.Kf3! Kh3 2.Rh6# and 1...Kh5 2.Kg3#. Sentences are as long as `LONG`, so
that a move stands in the second one if its place is in the hundreds.
"""

import chess
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import NotUnderstood, Turn
from keyproof.rules.play.node import Node
from keyproof.rules.reading.choice import united
from keyproof.rules.reading.reading import Mention, Reading, Role, State

LONG = 100
SENTENCES = FIRST, SECOND, _ = [Span(start, start + LONG) for start in (0, LONG, 2 * LONG)]
DIAGRAM = Node(chess.Board("4B3/8/6R1/8/4K2k/8/8/3B4 w - - 0 1"))


def told(place: int, line: str, *, length: int = 4) -> Mention:
    """Return the last move of a line as it was read at a place of the text."""
    node = DIAGRAM
    for san in line.split():
        node = node.play(node.board.parse_san(san))
    assert node.parent is not None
    span = Span(place, place + length)
    phrase = MovePhrase(span, line.split()[-1])
    ways = [(node.parent, [node])]
    return Mention(phrase, Turn(span, None, (phrase,)), Role.answer, State.read, ways, frozenset(), ())


def reading(*mentions: Mention, passed: tuple[Span, ...] = (), open: tuple[Span, ...] = ()) -> Reading:
    """Return a reading of these moves."""
    found = Reading(DIAGRAM, DIAGRAM.pass_move(), list(mentions), passed=passed, open=open)
    found.settle()
    return found


def test_the_walk_counts() -> None:
    walk = reading(told(0, "Kf3"), told(110, "Kf3 Kh3"))
    assert united(reading(told(0, "Rg8")), walk, SENTENCES, []) is walk


def test_who_asks_for_a_reading_of_a_sentence_has_it() -> None:
    here, there, last = told(0, "Rg8"), told(110, "Kf3 Kh3"), told(210, "Kf3 Kh5")
    literal = reading(here, told(110, "Rg8 Kh3"), passed=(Span(20, 24), Span(130, 134)), open=(Span(0, 4),))
    walk = reading(told(0, "Kf3"), there, last, passed=(Span(30, 34), Span(140, 144)), open=(Span(110, 114),))
    found = united(literal, walk, SENTENCES, [FIRST])
    assert found.mentions == [here, there, last]
    assert found.passed == (Span(20, 24), Span(140, 144))
    assert found.open == (Span(0, 4), Span(110, 114))


def test_what_was_not_understood_goes_with_its_sentence() -> None:
    literal, walk = reading(), reading()
    lost, gone = NotUnderstood(Span(20, 30), "queen somewhere"), NotUnderstood(Span(120, 130), "rook somewhere")
    literal.not_understood += [lost, gone]
    assert united(literal, walk, SENTENCES, [SECOND]).not_understood == [gone]


def test_words_that_reach_over_two_sentences_are_read_once() -> None:
    long = told(95, "Kf3 Kh3", length=20)
    literal, walk = reading(long, told(110, "Kf3 Kh5")), reading(told(110, "Kf3 Kh5"))
    assert united(literal, walk, SENTENCES, [FIRST]).mentions == [long]
