"""The bound on what beads can tell: no way to take them is cheaper."""

from random import Random

import chess
import pytest
from keyproof.grammar.gleaning.beads import Bead
from keyproof.grammar.gleaning.least import tells_for
from keyproof.grammar.gleaning.tellings import tellings
from keyproof.grammar.gleaning.ways import ways
from keyproof.grammar.spans import Span

KINDS = [
    *["man", "square"] * 4,
    *["plays", "word", "end", "side", "file", "rank", "own", "other", "to", "takes back", "explains", "home"],
]
ALL = [*KINDS, "number", "lifted", "not"]


def bead(random: Random, place: int, kinds: list[str] = KINDS) -> Bead:
    does = random.choice(kinds)
    values = {
        "man": (random.choice((chess.KING, chess.KING, chess.ROOK, chess.PAWN)),),
        "square": (random.randrange(64),),
        "side": (random.randrange(2),),
        "file": (random.randrange(8),),
        "rank": (random.randrange(8),),
        "home": (1,),
        "number": (random.randrange(1, 9),),
        "lifted": (random.randrange(64),),
    }
    tight = does in ("man", "square") and random.random() < 0.3
    return Bead(
        does, Span(place, place + 1), values.get(does, ()), tight=tight, text=random.choice(("and", ",", ";", ""))
    )


@pytest.mark.parametrize("seed", range(200))
def test_no_way_to_take_beads_is_cheaper_than_the_bound(seed: int) -> None:
    random = Random(seed)
    string = [bead(random, place) for place in range(random.randrange(8, 60))]
    for start in range(0, len(string), 4):
        for told in ways(string, start, from_white=False):
            assert tells_for(string, start, told.rank)


@pytest.mark.parametrize("seed", range(200))
def test_ways_are_given_up_only_where_none_is_so_cheap(seed: int) -> None:
    random = Random(seed)
    string = [bead(random, place, ALL) for place in range(random.randrange(8, 60))]
    for start in range(0, len(string), 4):
        found = ways(string, start, from_white=False)
        for most in (found[0].rank, found[0].rank + 3) if found else ():
            assert ways(string, start, from_white=False, most=most) == found


def test_ways_are_given_up_among_the_moves_of_a_solution() -> None:
    moves = [bead for move in (3, 60, 12, 44, 27) for bead in played(move)]
    assert ways(moves, 0, from_white=False) == []
    assert ways(moves, 0, from_white=False, most=0) is None


def played(square: int) -> list[Bead]:
    """Return the beads of "1.Kd1! Ke8": both kings, and play."""
    king, at = Bead("man", Span(0, 1), (chess.KING,)), Bead("square", Span(1, 2), (square,))
    return [Bead("plays", Span(0, 1)), king, at]


def test_a_position_is_told_for_less_than_a_solution() -> None:
    position = "White king a1, queen b2, rook c3. Black king h8, pawn g7."
    solution = "1.Qb7! (threat 2.Qa8#) 1...Kc5 2.Qd5# 1...Kd4 2.Qb4# 1...Ke6 2.Qd7#"
    assert [*tellings(position, Span(0, len(position)), -3)]
    assert not [*tellings(solution, Span(0, len(solution)), -3)]


def test_men_that_are_counted_are_never_passed_by_for_the_bound() -> None:
    beads = [Bead("number", Span(0, 1), (2,)), Bead("plays", Span(1, 2))]
    assert tells_for(beads, 0, -100)
