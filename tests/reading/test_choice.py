"""Which of two readings of a sentence counts, shown on readings that were made by hand: one rule of the choice a test.

The position is a mate in two of our own: 1.Kf3! Kh3 2.Rh6# and 1...Kh5 2.Kg3#; 1.Rg8? Kh3! Sentences are as long as
`LONG`, so that a move stands in the second one if its place is in the hundreds.
"""

from collections.abc import Mapping

import chess
from keyproof.grammar.moves import Effect, MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import NotUnderstood, Turn
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.play.node import Node
from keyproof.rules.proof.prover import prove
from keyproof.rules.reading.choice import united
from keyproof.rules.reading.reading import Mention, Reading, Role, State
from keyproof.rules.reading.walk.oracle import Oracle
from keyproof.rules.reading.work import Work

LONG = 100
FIRST, SECOND, THIRD = (Span(start, start + LONG) for start in (0, 100, 200))
DIAGRAM = Node(chess.Board("4B3/8/6R1/8/4K2k/8/8/3B4 w - - 0 1"))
TWO_MOVES = Stipulation.parse("#2")
ORACLE = Oracle(prove(DIAGRAM.board, TWO_MOVES), TWO_MOVES.plies, Work(1))


def after(line: str) -> Node:
    """Return the position after moves from the diagram, "Kf3 Kh3"."""
    node = DIAGRAM
    for san in line.split():
        node = node.play(node.board.parse_san(san))
    return node


def told(
    place: int,
    line: str,
    role: Role = Role.answer,
    *,
    mate: bool = False,
    worded: bool = True,
    vague: bool = False,
    length: int = 4,
) -> Mention:
    """Return the last move of a line as it was read at a place of the text.

    `mate`: it is called so; `vague`: no square is named.
    """
    node = after(line)
    assert node.parent is not None
    assert node.move is not None
    span = Span(place, place + length)
    phrase = MovePhrase(span, line.split()[-1], destination=None if vague else node.move.to_square, worded=worded)
    effects = ((Effect.mate, span),) if mate else ()
    return Mention(phrase, Turn(span, None, (phrase,)), role, State.read, [(node.parent, [node])], frozenset(), effects)


def printed(place: int, line: str, role: Role = Role.answer, *, mate: bool = False) -> Mention:
    """Return the same of a move that is printed."""
    return told(place, line, role, mate=mate, worded=False)


def impossible(place: int, line: str) -> Mention:
    """Return a printed move that cannot be played behind a line."""
    node, span = after(line), Span(place, place + 4)
    phrase = MovePhrase(span, "Qa1", piece=chess.QUEEN, destination=chess.A1)
    return Mention(phrase, Turn(span, None, (phrase,)), Role.answer, State.impossible, [(node, [])], frozenset(), ())


def reading(*mentions: Mention, passed: tuple[Span, ...] = (), open: tuple[Span, ...] = ()) -> Reading:
    """Return a reading of these moves."""
    found = Reading(DIAGRAM, DIAGRAM.pass_move(), list(mentions), passed=passed, open=open)
    found.settle()
    return found


def walked(
    literal: Reading,
    walk: Reading,
    chosen: Mapping[Span, bool] | None = None,
    *,
    followed: bool = True,
    wholly: bool = True,
) -> set[Span]:
    """Return the sentences of which the walk counts."""
    return set(united(literal, walk, [FIRST, SECOND, THIRD], chosen or {}, ORACLE, followed=followed, wholly=wholly)[1])


FALSE = printed(210, "Kf3 Kh5 Rg5", mate=True)  # no mate: so the literal reading is not without fault


def test_a_literal_reading_without_fault_stands() -> None:
    literal = reading(told(0, "Kf3 Kh3"))
    assert walked(literal, reading(told(0, "Kf3 Kh5"), told(10, "Kf3 Kh5 Kg3"))) == set()
    assert walked(literal, reading(told(0, "Kf3 Kh3"), told(10, "Kf3 Kh3 Rh6"))) == set()


def test_the_walk_counts_where_it_places_more_truly() -> None:
    literal = reading(printed(0, "Kf3"), printed(100, "Kf3 Kh3 Rg5", mate=True), printed(200, "Kf3 Kh3"))
    walk = reading(told(0, "Kf3"), told(100, "Kf3 Kh5"), told(110, "Kf3 Kh5 Kg3", mate=True))
    assert walked(literal, walk) == {SECOND}


def test_of_equals_that_counts_in_which_the_author_makes_no_slip() -> None:
    slip = printed(100, "Rg5 Kxg5")  # a capture that is printed without its sign
    assert walked(reading(slip, FALSE), reading(told(100, "Kf3 Kh5"))) == {SECOND}


LOST = [printed(place, "Kf3 Kh5 Rg5", mate=True) for place in (200, 210, 220)]  # more than an author's slips
FOUND = [told(place, "Kf3 Kh5 Kg3", mate=True) for place in (200, 210, 220)]


def test_where_the_walk_explains_more_of_the_text_it_has_sentences_in_which_it_places_as_much() -> None:
    literal, walk = reading(printed(0, "Kf3"), *LOST), reading(told(0, "Kf3"), *FOUND)
    assert walked(literal, walk) == {FIRST, THIRD}


def test_but_not_those_in_which_it_gives_up_what_the_literal_reading_places() -> None:
    literal = reading(printed(0, "Kf3"), printed(10, "Kf3 Kh3"), *LOST)
    walk = reading(told(0, "Kf3"), *FOUND, passed=(Span(10, 14),))
    assert walked(literal, walk) == {THIRD}


def test_it_explains_more_if_it_places_clearly_more_though_the_author_makes_slips() -> None:
    literal, walk = reading(printed(0, "Kf3"), *LOST[:2]), reading(told(0, "Kf3"), *FOUND)
    assert walked(literal, walk) == {FIRST, THIRD}
    assert walked(literal, reading(told(0, "Kf3"), *FOUND[:1])) == set()


def test_or_as_much_where_the_literal_reading_has_lost_its_way() -> None:
    known = [printed(100 + 10 * place, "Kf3 Kh3") for place in range(3)]
    literal, walk = reading(printed(0, "Kf3"), *known, *LOST), reading(told(0, "Kf3"), *FOUND)
    assert walked(literal, walk) == {FIRST, THIRD, SECOND}


def test_or_as_much_where_the_literal_reading_has_not_followed_the_text() -> None:
    literal, walk = reading(printed(0, "Kf3")), reading(told(0, "Kf3"))
    assert walked(literal, walk, followed=False) == {FIRST}
    assert walked(literal, walk) == set()


def test_it_does_not_explain_what_it_finds_false_itself() -> None:
    false = [told(100 + 10 * place, "Kf3 Kh5 Rg5", mate=True) for place in range(3)]
    literal, walk = reading(printed(0, "Kf3"), FALSE), reading(told(0, "Kf3"), *false, *FOUND)
    assert walked(literal, walk) == {THIRD}


def test_the_walk_counts_where_it_has_all_moves_of_the_literal_reading_and_one_that_goes_on_from_them() -> None:
    literal, same = reading(told(0, "Kf3 Kh3"), FALSE), told(0, "Kf3 Kh3")
    assert walked(literal, reading(same, told(20, "Kf3 Kh3 Rh6", vague=True))) == {FIRST}
    assert walked(literal, reading(same, told(20, "Kf3 Kh5 Kg3", vague=True))) == set()


def test_what_it_has_besides_may_stand_elsewhere_in_a_text_that_the_literal_reading_has_not_followed() -> None:
    literal = reading(told(0, "Kf3 Kh3"), *(printed(100 + 10 * place, "Kf3") for place in range(3)))
    other = told(20, "Rg8 Kh3")
    assert walked(literal, reading(told(0, "Kf3 Kh3"), other), followed=False) == {FIRST}
    assert walked(literal, reading(told(0, "Kf3 Kh5"), other), followed=False) == set()
    assert walked(literal, reading(told(0, "Kf3 Kh3"), other)) == set()


def test_of_two_true_readings_that_counts_which_the_proof_prefers() -> None:
    literal, walk = reading(told(0, "Rg8", Role.first)), reading(told(0, "Kf3", Role.first))
    assert walked(literal, walk, wholly=False) == {FIRST}
    assert walked(literal, walk) == set()
    assert walked(walk, literal, wholly=False) == set()


def test_or_which_tells_more_lines_where_the_proof_prefers_none() -> None:
    literal, walk = reading(printed(0, "Kf3", Role.first)), reading(told(0, "Kf3", Role.first), told(10, "Kf3 Kh3"))
    assert walked(literal, walk, wholly=False) == {FIRST}


def test_but_not_where_it_takes_a_key_for_another_move() -> None:
    literal, walk = reading(printed(0, "Kf3", Role.key)), reading(told(0, "Kf3", Role.first), told(10, "Kf3 Kh3"))
    assert walked(literal, walk, wholly=False) == set()


def test_what_is_likelier_must_go_on_from_moves_told_exactly() -> None:
    literal, walk = reading(printed(0, "Kf3 Kh5 Rg5")), reading(told(0, "Kf3 Kh5 Kg3"))
    assert walked(literal, walk, wholly=False) == set()
    led = reading(told(0, "Kf3 Kh5 Kg3"), told(100, "Kf3 Kh5", Role.defence))
    assert walked(literal, led, wholly=False) >= {FIRST}


def test_nothing_is_likelier_where_the_literal_reading_finds_something_false() -> None:
    literal = reading(printed(0, "Rg8", Role.first), printed(10, "Kf3 Kh5 Rg5", mate=True))
    assert walked(literal, reading(told(0, "Kf3", Role.first), told(10, "Kf3 Kh5")), wholly=False) == set()


def test_nor_anywhere_in_a_text_in_which_it_finds_a_move_that_nobody_can_play() -> None:
    literal = reading(told(0, "Rg8", Role.first), impossible(210, "Kf3"))
    assert walked(literal, reading(told(0, "Kf3", Role.first)), wholly=False) == set()


def test_the_walk_counts_where_it_leaves_less_waiting() -> None:
    literal = reading(printed(0, "Rg8", Role.first), printed(10, "Kf3 Kh5", Role.defence))
    walk = reading(told(0, "Kf3", Role.key), told(10, "Kf3 Kh5", Role.defence), told(20, "Kf3 Kh5 Kg3"))
    assert walked(literal, walk) == {FIRST}
    asked = reading(told(0, "Rg8", Role.first), told(10, "Kf3 Kh5", Role.defence))  # words need no answer
    assert walked(asked, walk) == set()
    called = reading(printed(0, "Rg8", Role.key))  # the key it is called is not it
    assert walked(called, reading(told(0, "Kf3", Role.key))) == set()


GOES_ON = told(100, "Kf3 Kh5 Kg3", mate=True), told(110, "Kf3 Kh5 Rg5")
NO_MATE = printed(100, "Kf3 Kh3 Rg5", mate=True)


def test_with_a_sentence_the_walk_has_the_one_that_tells_what_it_goes_on_from() -> None:
    literal = reading(printed(0, "Kf3 Kh3"), NO_MATE, printed(200, "Kf3 Kh3"))
    assert walked(literal, reading(told(0, "Kf3 Kh5"), *GOES_ON)) == {FIRST, SECOND}


def test_but_not_where_it_places_less_there() -> None:
    literal = reading(printed(0, "Kf3 Kh3"), printed(10, "Kf3"), NO_MATE)
    assert walked(literal, reading(told(0, "Kf3 Kh5"), *GOES_ON)) == {SECOND}


def test_a_printed_move_that_is_one_more_of_a_list_counts_for_nothing() -> None:
    literal = reading(printed(100, "Kf3 Kh5"), impossible(110, "Kf3 Kh5"))
    assert walked(literal, reading(told(100, "Kf3 Kh5"), told(110, "Kf3 Kh3"))) == {SECOND}
    assert walked(literal, reading(told(100, "Kf3 Kh5"), told(120, "Kf3 Kh3"))) == set()


def test_who_asks_for_a_reading_of_a_sentence_has_it() -> None:
    literal, walk = reading(printed(0, "Rg8"), *LOST), reading(told(0, "Kf3"), *FOUND)
    assert walked(literal, walk, {FIRST: False, SECOND: True}) == {SECOND, THIRD}


def test_words_that_reach_over_two_sentences_are_read_once() -> None:
    long = told(95, "Kf3 Kh3", length=20)
    found, _ = united(
        reading(long, printed(110, "Kf3 Kh5")),
        reading(told(110, "Kf3 Kh5")),
        [FIRST, SECOND],
        {SECOND: True},
        ORACLE,
    )
    assert found.mentions == [long]


def test_what_the_walk_passed_over_is_known_where_the_literal_reading_found_nothing() -> None:
    for place, passed in ((0, (Span(150, 154),)), (100, ())):
        literal, walk = reading(printed(place, "Rg8"), *LOST), reading(*FOUND, passed=(Span(150, 154),))
        found, _ = united(literal, walk, [FIRST, SECOND, THIRD], {SECOND: False}, ORACLE)
        assert found.passed == passed


def test_but_not_where_the_walk_is_only_likelier() -> None:
    literal = reading(printed(0, "Rg8", Role.first))
    walk = reading(told(0, "Kf3", Role.first), passed=(Span(150, 154),))
    found, walks = united(literal, walk, [FIRST, SECOND], {SECOND: False}, ORACLE, wholly=False)
    assert walks == {FIRST}
    assert found.passed == ()


def test_a_sentence_of_which_nothing_was_understood_counts_against_a_reading() -> None:
    literal = reading(printed(0, "Kf3"))
    literal.not_understood.append(NotUnderstood(Span(20, 30), "queen somewhere"))
    assert walked(literal, reading(told(0, "Kf3"), told(20, "Kf3 Kh3"))) == {FIRST}
