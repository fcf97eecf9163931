"""How people talk of moves: pauses, lines without punctuation, men named alone, flights a king has."""

import chess
import pytest
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.values import Move
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from told_frames import moves_of, squares_of


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("And he... takes on c6.", [["c6"]]),
        ("Well, king c4... queen b3!", [["c4"], ["b3"]]),
        ("Then he's got c8 and c7.", [["c8", "c7"]]),
        ("The other rook! To h5!", [["h5"]]),
        ("I looked at knight g7.", [["g7"]]),
        ("Swing the b3 rook over to g3.", [["g3"]]),
    ],
)
def test_squares_told(text: str, squares: list[list[str]]) -> None:
    assert [squares_of(move) for move in moves_of(text)] == squares


def test_lines_without_punctuation_are_sentences() -> None:
    text = "\n".join(("he has king h6", "i play queen h8", "pawn takes on f4", "then queen e8", "and that is all", ""))
    assert [squares_of(move) for move in moves_of(text)] == [["h6"], ["h8"], ["f4"], ["e8"]]


def test_a_man_named_alone_may_be_what_moves() -> None:
    (move,) = moves_of("And the g-pawn?")
    assert move.alone
    assert move.who is not None
    assert move.who.file == chess.FILE_NAMES.index("g")


def test_a_question_that_begins_with_a_denial_denies_nothing() -> None:
    assert [move.stance for move in moves_of("can't we play rook a8")] == [Stance.asked]


def test_a_square_is_no_move_of_the_man_that_stands_there() -> None:
    (move,) = moves_of("So check with the rook on a2.")
    assert min(move.ways, key=lambda way: way.cost).choices[0].destination == chess.A2


def test_a_guard_told_at_the_end_of_its_sentence_is_no_move() -> None:
    text = "Weil er von d8 aus das Feld c6 bewacht."
    found = frames(text, lexemes(text, Span(0, len(text)), "german"))
    assert not [each for each in found if isinstance(each, Move)]


@pytest.mark.parametrize(
    "text",
    [
        "It takes the king the squares c2 and e2.",
        "That takes the flights b5 and c5.",
        "The queen takes the king from b2 the squares g2 and h2.",
    ],
)
def test_squares_taken_from_a_king_are_no_captures(text: str) -> None:
    assert not moves_of(text)


def test_a_man_taken_on_a_square_is_one() -> None:
    (move,) = moves_of("The rook takes the pawn on the square e4.")
    assert squares_of(move) == ["e4"]


@pytest.mark.parametrize(
    ("text", "squares"),
    [
        ("and if he goes a six then rook a ate is mate", [["a6"], ["a8"]]),
        ("he may go a ate b eight and a six", [["a8"], ["b8", "a6"]]),
        ("rook a eight and the king ate a rook", [["a8"], []]),
        ("pawn e5, c8, mate.", [["e5"], ["c8"]]),
        ("king h1, f2, mate, and king h3, g5, mate.", [["h1"], ["f2"], ["h3"], ["g5"]]),
        ("Because if you push it straight away he walks up to f7, or g7.", [[], ["f7", "g7"]]),
        ("Advance it now and he slips to d5.", [[], ["d5"]]),
        ("on kf4? then Rc8+", [["f4"], ["c8"]]),
    ],
)
def test_moves_said_in_a_breath(text: str, squares: list[list[str]]) -> None:
    assert [squares_of(move) for move in moves_of(text)] == squares


@pytest.mark.parametrize("text", ["he goes in the corner", "Then he's got the corner.", "the king hides in the corner"])
def test_a_corner_is_where_a_king_goes(text: str) -> None:
    (move,) = moves_of(text)
    assert move.ways[0].choices[0].heading == ("corner",)


@pytest.mark.parametrize("text", ["he can have the rook", "Let him have the knight!", "he may have it"])
def test_what_he_can_have_he_takes(text: str) -> None:
    (move,) = moves_of(text)
    assert move.verb == "take"


@pytest.mark.parametrize("text", ["he can have a rest", "he has the knight", "he cannot have the pawn"])
def test_not_all_that_he_has_is_taken(text: str) -> None:
    assert not [move for move in moves_of(text) if move.verb == "take"]


@pytest.mark.parametrize(
    "text",
    [
        "because the bishop went away from there",
        "the rook on a1 comes alive, you see",
        "it covers g7 and h7 and everything.",
        "The lady says he is too slow.",
    ],
)
def test_what_is_no_move(text: str) -> None:
    assert not moves_of(text)


@pytest.mark.parametrize("text", ["castling is not a check but mate", "King e2 is not check but the end."])
def test_what_is_more_than_check_is_not_denied(text: str) -> None:
    (move,) = moves_of(text)
    assert move.stance is Stance.asserted
    assert not [effect for effect, _ in move.effects if effect.name == "not_check"]


def test_a_line_is_told_beside_a_square() -> None:
    first, second = moves_of("he runs to b seven or the eighth row")
    assert squares_of(first) == ["b7"]
    assert second.ways[0].choices[0].destination_rank == 7


@pytest.mark.parametrize("text", ["any of his three moves is safe", "every one of his moves"])
def test_any_of_his_moves_are_all(text: str) -> None:
    (move,) = moves_of(text)
    assert move.ways[0].choices[0].sort.name == "any_other"


@pytest.mark.parametrize(
    "text",
    [
        "the black knight on c5 it can go anywhere it likes it's got ate moves and that is that",
        "And waste a move with our own king, any move, and that is that.",
        "wherever the knight jumps",
    ],
)
def test_all_moves_of_one_man(text: str) -> None:
    move = moves_of(text)[0]
    assert move.ways[0].choices[0].every
    assert not move.ways[0].choices[0].capture


@pytest.mark.parametrize("text", ["whatever he makes there", "Whatever he makes of it, the same."])
def test_whatever_a_pawn_becomes(text: str) -> None:
    phrase = moves_of(text)[0].ways[0].choices[0]
    assert phrase.promotion_span is not None
    assert phrase.promotion is None


@pytest.mark.parametrize("text", ["does it have to be a queen can't i make a rook", "Can't we make a rook?"])
def test_a_denial_before_its_subject_asks(text: str) -> None:
    assert moves_of(text)[-1].stance is Stance.asked


def test_lines_with_times_are_sentences() -> None:
    text = (
        "[00:01:36] so the thing is you go king g8\n[00:01:42] and he says no\n[00:01:51] so queen g6 is mate\n"
        "[00:02:21] oh sorry king a2 was what i meant\n[00:02:27] and that is all there is to it\n[00:02:30] bye\n"
    )
    assert [move.stance for move in moves_of(text)] == [Stance.asserted] * 3


@pytest.mark.parametrize("verb", ["removes Qd8", "takes Qd8 away", "kills Qd8"])
def test_a_move_that_is_taken_away_is_no_man(verb: str) -> None:
    assert [move.verb for move in moves_of(f"Bishop f6 {verb}, nothing else.")] == ["", ""]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Nd2 admits the queen's mate alone.", [None, chess.QUEEN]),
        ("Against 1...Kd5 only the queen's mate remains.", [None, chess.QUEEN]),
        ("To Kd5 the rook's mate stands.", [None, chess.ROOK]),
        ("The king's move to d5 is met by Qe4.", [chess.KING, None]),
        ("The queen's capture on d5 is met by Re4.", [chess.QUEEN, None]),
    ],
)
def test_what_is_a_mans_is_done_by_him(text: str, kinds: list[chess.PieceType | None]) -> None:
    assert [move.who.kinds[0] if move.who else None for move in moves_of(text)] == kinds


@pytest.mark.parametrize("text", ["the queen's rook takes on d5", "the rook on the queen's side goes to d5"])
def test_a_wing_is_no_man(text: str) -> None:
    assert [move.who.kinds[0] for move in moves_of(text) if move.who] == [chess.ROOK]


@pytest.mark.parametrize(
    "text", ["Promotion to a queen on h1", "A promotion to bishop on d8", "promoting to a rook on a8"]
)
def test_a_promotion_is_told_by_its_noun(text: str) -> None:
    (move,) = moves_of(text)
    assert move.ways[0].choices[0].promotion is not None


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Any move of the knight or the king, queen g5.", [chess.KNIGHT, chess.KING, chess.QUEEN]),
        ("Any move of Bishop or of Knight: rook b3.", [chess.BISHOP, chess.KNIGHT, chess.ROOK]),
        ("After any move of the rook and the queen takes on d5", [chess.ROOK, chess.QUEEN]),
    ],
)
def test_any_move_is_said_of_two_men(text: str, kinds: list[chess.PieceType]) -> None:
    assert [move.who.kinds[0] for move in moves_of(text) if move.who] == kinds


@pytest.mark.parametrize(
    ("text", "goes"),
    [
        ("We move the rook on d4.", None),
        ("Withdraw the queen on d4.", None),
        ("He pushes the pawn on d4.", None),
        ("Put the rook on d4.", chess.D4),
        ("We move the rook on d4 to d8.", chess.D8),
    ],
)
def test_who_is_only_moved_leaves_the_square_he_is_named_with(text: str, goes: chess.Square | None) -> None:
    (move,) = moves_of(text)
    assert move.ways[0].choices[0].destination == goes


def test_who_may_no_longer_do_something_begins_another_clause() -> None:
    first, second = moves_of("After 1...e2 White may no longer play 2.Rf1")[:2]
    assert (first.stance, second.stance) == (Stance.asserted, Stance.denied)


@pytest.mark.parametrize(
    ("text", "signs"),
    [
        ("1...Kd5 2.Qe4", ()),
        ("1...Kd5; 2.Qe4", ("semicolon",)),
        ("1...Kd5.\n2.Qe4", ("stop", "line")),
        ("1...Kd5 – Qe4", ("dash",)),
        ("1...Kd5 fails to 2.Qe4", None),
    ],
)
def test_a_printed_move_knows_what_parts_it_from_the_one_before(text: str, signs: tuple[str, ...] | None) -> None:
    assert moves_of(text)[1].signs == signs


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("The same queen mates on b4.", []),
        ("If that same pawn goes two steps the same rook takes it.", []),
        ("Knight c3, same queen b4.", ["same"]),
        ("Knight c3, the same.", ["the same"]),
    ],
)
def test_the_same_man_is_no_answer_told_again(text: str, told: list[str]) -> None:
    found = frames(text, lexemes(text, Span(0, len(text))))
    assert [each.span.of(text) for each in found if not isinstance(each, Move) and each.kind == "again"] == told


@pytest.mark.parametrize("text", ["1...Bb1 2.0-0-0 mate", "1...Bb1 2.0–0 mate", "1...Bb1 2.O-O-O mate"])
def test_a_number_may_stand_right_before_the_noughts_of_castling(text: str) -> None:
    numbers = [move.number for move in moves_of(text)]
    assert [number.value for number in numbers if number is not None] == [1, 2]


@pytest.mark.parametrize("text", ["Rook e to b7, quiet", "knight e to d seven is mate"])
def test_a_file_before_to_is_that_of_the_man_not_a_square_misheard(text: str) -> None:
    (move,) = moves_of(text)
    assert [phrase.origin_file for way in move.ways for phrase in way.choices] == [chess.FILE_NAMES.index("e")] * len(
        move.ways
    )


def test_the_number_of_a_list_is_none_of_a_move() -> None:
    assert [each.number for each in moves_of("6) Nc3 or Nf2, and 7) Kd5")] == [None, None]
    assert moves_of("2) I looked at Nc4")[0].number is None
    assert moves_of("1) Nc3")[0].number is not None


def test_a_number_of_mates_is_said_of_no_move() -> None:
    (told,) = moves_of("The queen goes to c5, and three mates hang over him.")
    assert told.effects == ()
