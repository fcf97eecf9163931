"""What refutes a try, told in passing: two replies in one breath, what would do but for something, the same again."""

import pytest
from test_walk_print import BISHOPS, ROOK, placed

QUEENS = "8/6P1/2N2P1k/8/8/R7/1p4K1/8 w - - 0 1"  # 1.g8=Q; 1.g8=R fails to Kh7 alone


@pytest.mark.parametrize(
    "words",
    [
        "fails twice, to Ng5 and to h6.",
        "falls to h6, and Ng5 too.",
        "is no good: h6 and Ng5, exactly two.",
        "is lost to 1...h6, and fares no better after 1...Ng5.",
        "is no good, because of 1...h6 and also 1...Ng5.",
    ],
)
def test_two_replies_to_one_try(words: str) -> None:
    """The second is told in one breath with the first, and so of no other first move, such as the key."""
    told = placed(ROOK, f"1.Rg4! It waits for the king. 1.Rb7 {words}")
    assert told >= {"Rb7 Ng5", "Rb7 h6"}


def test_two_replies_in_german() -> None:
    told = placed(ROOK, "1.Tg4! Ein Wartezug. 1.Tb7? scheitert zweifach, an Sg5 und an h6.", "german")
    assert told >= {"Rb7 Ng5", "Rb7 h6"}


def test_no_list_of_defences_is_one_of_refutations() -> None:
    """Whatever is played refutes such a first move, so that it is nothing that a list of replies does."""
    assert "Qb8 Kc5" not in placed(BISHOPS, "1.Qc7! Kd4, Kd5 2.Qe5. Kc5 or d6 2.Qd6.")


@pytest.mark.parametrize(
    "words",
    [
        "if the king did not take it.",
        "if he hadn't h4.",
        "if the king could not take the rook.",
        "if the rook were not simply taken.",
        "were it not for 1...Kxh4.",
        "if it weren't for Kxh4.",
    ],
)
def test_what_refutes_by_what_it_is_not(words: str) -> None:
    told = f"1.Rg4! It waits. 1.Rh4+ would be splendid {words}"
    assert "Rh4 Kxh4" in placed(ROOK, told)


def test_what_would_do_in_german() -> None:
    told = placed(ROOK, "1.Tg4! 1.Th4+ wäre schön, wenn der König ihn nicht nähme.", "german")
    assert "Rh4 Kxh4" in told


def test_what_had_not_been_played_refutes_nothing() -> None:
    told = "1.Rg4! h6 2.Qg6. 1.Rb5+ would be mate if the king had not gone to h4."
    assert "Rb5 Kh4" not in placed(ROOK, told)


@pytest.mark.parametrize(
    "words",
    [
        "A rook on g8 falls to the identical step.",
        "A rook on g8 founders on the same move.",
        "Same for 1.g8=R.",
        "1.g8=R meets the same fate.",
    ],
)
def test_one_of_several_replies_told_again(words: str) -> None:
    told = placed(QUEENS, f"1.Rh3+ leads nowhere. 1.Ra5 is met by 1...Kh7, and he has 1...b1=Q as well. {words}")
    assert "g8=R Kh7" in told


def test_each_of_two_sentences_tells_of_its_own_try() -> None:
    told = placed(BISHOPS, "1.Qc7! 1.Bb5? is quiet. 1.Bc4+? is loud and leaves e8 to itself, Kc5.")
    assert "Bc4 Kc5" in told
    assert "Bb5 Kc5" not in told


def test_a_capture_told_in_words_and_printed() -> None:
    told = placed(ROOK, "1.Rg4! 1.Rb5+ threatens nothing new. 1.Rh4+ is simply taken, Kxh4.")
    assert "Rh4 Kxh4" in told
    assert "Rb5 Kh4" not in told


def test_whether_a_king_does_not_step_is_asked_of_the_try() -> None:
    told = placed(BISHOPS, "1.Qc7! 1.Bc4+ is ingenious. Does not the king step to c5?")
    assert "Bc4 Kc5" in told


def test_who_is_sorry_takes_nothing_back() -> None:
    told = placed(BISHOPS, "1.Qc7! 1.Bc4+ and the king trots off to c5, sorry, thanks for trying. 1.Bf3+ came next.")
    assert "Bc4 Kc5" in told


def test_tries_with_their_refutations_side_by_side() -> None:
    """Each that is printed as a try is played in the diagram, not behind the refutation before."""
    told = placed(BISHOPS, '1.Qc7! "Qc4+? Kd6!  Bb5? Kc5!  Qb4? Kc6!  Bf3+? Kc5!"')
    assert told >= {"Qc4 Kd6", "Bb5 Kc5", "Qb4 Kc6", "Bf3 Kc5"}


@pytest.mark.parametrize("words", ["is needed for b4", "is wanted for b4"])
def test_for_what_a_man_is_needed(words: str) -> None:
    assert "Qb4" not in placed(BISHOPS, f"1.Qc7! The queen {words}, and the bishop guards c4.")


@pytest.mark.parametrize(
    "words",
    [
        "1.Rh4+ just gets eaten.",
        "1.Rh4+ merely hangs a rook: it is taken by the king.",
        "1.Rh4+ is taken by the king.",
        "1.Rh4+ is simply taken by the king.",
        "On h4 the rook is simply taken.",
    ],
)
def test_who_is_taken_where_he_went(words: str) -> None:
    assert "Rh4 Kxh4" in placed(ROOK, f"1.Rg4! {words}")


def test_two_who_take() -> None:
    told = placed(ROOK, "1.Rg4! 1.Qg6+ is taken by king or pawn.")
    assert told >= {"Qg6 Kxg6", "Qg6 hxg6"}


@pytest.mark.parametrize(
    "words",
    [
        "The checks on e8 and f7 both fail to Kg5.",
        "The checks on e8 and on f7 fail to Kg5.",
        "A check from e8 or f7 is wasted, the king comes to g5.",
        "Checks at e8 and at f7 both lose him by Kg5.",
    ],
)
def test_checks_named_by_their_squares(words: str) -> None:
    assert placed(ROOK, f"1.Rg4! {words}") >= {"Qe8 Kg5", "Qf7 Kg5"}


@pytest.mark.parametrize("replies", ["sowohl Kc5 als auch Kd6", "Kc5 wie auch Kd6"])
def test_two_replies_to_two_tries_in_german(replies: str) -> None:
    told = placed(BISHOPS, f"1.Dc7! 1.De4+? oder 1.Da4? sind zu langsam, hier genügt {replies}.", "german")
    assert told >= {"Qe4 Kc5", "Qe4 Kd6", "Qa4 Kc5", "Qa4 Kd6"}


@pytest.mark.parametrize(
    "words",
    [
        "fails to the h-pawn",
        "is overthrown by the pawn",
        "loses to the pawn",
        "is refuted by the pawn, and by no other",
    ],
)
def test_who_alone_is_told_to_refute(words: str) -> None:
    assert "Rb7 h6" in placed(ROOK, f"1.Rg4! 1.Rb7 {words}.")


@pytest.mark.parametrize("words", ["King or pawn takes.", "The pawn or the king takes her.", "K or P takes."])
def test_two_who_take_before_their_verb(words: str) -> None:
    assert placed(ROOK, f"1.Rg4! 1.Qg6+? {words}") >= {"Qg6 Kxg6", "Qg6 hxg6"}


def test_what_begins_with_a_rook_is_no_part_of_the_move_before() -> None:
    told = placed(QUEENS, "1.g8=Q! With a rook it's a check, and the king hops to h7.")
    assert told >= {"g8=Q", "g8=R Kh7"}
