"""Where each printed move is read: the walk through the tree of play.

The positions are our own; what is legal is python-chess's word.
"""

import chess
import pytest
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.rules.play.node import Node, numbered
from keyproof.rules.reading.reader import read
from keyproof.rules.reading.reading import Mention, Reading, Role, State

ZUGZWANG = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#; 1.Rxh5? Kxh5!
THREAT = "k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1"  # 1.Kb6! (2.Rh8#) Kb8, a3; 1.Kc7? Ka7!
SET = "8/8/5K2/7k/8/8/8/4R3 w - - 0 1"  # 1.Re4! Kh6 2.Rh4#; set 1...Kh6 2.Rh1#


def reading(fen: str, text: str, shift: int = 0) -> Reading:
    found, _ = statements(text, [Span(0, len(text))])
    return read(chess.Board(fen), found, shift)


def line(node: Node) -> str:
    evidence = node.evidence()
    return numbered(evidence.moves, evidence.shift or 0)


def lines(fen: str, text: str) -> list[tuple[str, str, list[str]]]:
    """Return for each mention its text, its role and the lines that lead to where it ends."""
    return [
        (mention.phrase.span.of(text), mention.role.name, [line(node) for node in mention.after])
        for mention in reading(fen, text).mentions
    ]


def only(fen: str, text: str, part: str) -> Mention:
    """Return the one mention whose text is `part`."""
    (mention,) = [m for m in reading(fen, text).mentions if m.phrase.span.of(text) == part]
    return mention


def test_a_line_of_play_goes_on_from_move_to_move() -> None:
    assert lines(ZUGZWANG, "1.Kg2! Kh4 2.Re4#") == [
        ("Kg2!", "key", ["1.Kg2"]),
        ("Kh4", "defence", ["1.Kg2 Kh4"]),
        ("Re4#", "answer", ["1.Kg2 Kh4 2.Re4#"]),
    ]


def test_a_numbered_reply_goes_back_to_its_place() -> None:
    assert lines(ZUGZWANG, "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#")[3:] == [
        ("h4", "defence", ["1.Kg2 h4"]),
        ("Rg5#", "answer", ["1.Kg2 h4 2.Rg5#"]),
    ]


@pytest.mark.parametrize("end", ["\n", "; ", ". ", " - "])
def test_an_answer_may_stand_apart_from_its_defence(end: str) -> None:
    assert lines(ZUGZWANG, f"1.Kg2! Kh4{end}2.Re4#")[2][2] == ["1.Kg2 Kh4 2.Re4#"]


def test_brackets_return_to_the_point_before_them() -> None:
    text = "1.Kg2! Kh4 (1...h4 2.Rg5#) 2.Re4#"
    assert [line for _, _, line in lines(ZUGZWANG, text)] == [
        ["1.Kg2"],
        ["1.Kg2 Kh4"],
        ["1.Kg2 h4"],
        ["1.Kg2 h4 2.Rg5#"],
        ["1.Kg2 Kh4 2.Re4#"],
    ]


def test_alternatives_are_paired_with_their_answers() -> None:
    assert lines(ZUGZWANG, "1.Kg2! Kh4/h4 2.Re4/Rg5#")[3:] == [
        ("Re4", "answer", ["1.Kg2 Kh4 2.Re4#"]),
        ("Rg5#", "answer", ["1.Kg2 h4 2.Rg5#"]),
    ]


def test_one_answer_serves_several_defences() -> None:
    assert lines(THREAT, "1.Kb6! Kb8/a3 2.Rh8#")[3] == (
        "Rh8#",
        "answer",
        ["1.Kb6 Kb8 2.Rh8#", "1.Kb6 a3 2.Rh8#"],
    )


def test_any_other_is_what_the_whole_text_leaves_over() -> None:
    text = "1.Kg2! any other 2.Rg5#; 1...Kh4 2.Re4#"
    assert [node.move for node in only(ZUGZWANG, text, "any other").after] == [chess.Move.from_uci("h5h4")]


def test_a_set_of_one_piece_leaves_out_what_is_printed() -> None:
    mention = only(ZUGZWANG, "1.Kg2! K~ 2.Re4#, 1...Kh4 2.Re4#", "K~")
    assert mention.state is State.read
    assert mention.after == []


def test_a_try_keeps_its_own_play() -> None:
    text = "1.Rxh5? Kxh5! 1.Kg2! Kh4 2.Re4#"
    assert [(part, role) for part, role, _ in lines(ZUGZWANG, text)] == [
        ("Rxh5?", "try_"),
        ("Kxh5!", "refutation"),
        ("Kg2!", "key"),
        ("Kh4", "defence"),
        ("Re4#", "answer"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "1.Rxh5? Kxh5!",
        "1.Rxh5? but 1...Kxh5",
        "1.Rxh5 fails to 1...Kxh5.",
        "Try: 1.Rxh5, refuted by 1...Kxh5.",
        "Try: Rxh5? But the king takes the rook.",
        "The near try 1.Rxh5? runs into Kxh5.",
    ],
)
def test_refutations_in_many_words(text: str) -> None:
    assert [mention.role for mention in reading(ZUGZWANG, text).mentions] == [Role.try_, Role.refutation]


def test_a_first_move_without_a_sign_is_the_key_unless_another_is() -> None:
    assert only(ZUGZWANG, "1.Kg2 Kh4 2.Re4#", "Kg2").role is Role.key
    assert only(ZUGZWANG, "1.Ke1 looks odd. 1.Kg2! Kh4 2.Re4#", "Ke1").role is Role.first


def test_a_question_claims_nothing() -> None:
    mention = only(ZUGZWANG, "Does 1.Re4+ mate? No. 1.Kg2!", "Re4+")
    assert mention.asked
    assert mention.effects == ()


@pytest.mark.parametrize(
    "text", ["1.Kb6! threat: 2.Rh8#", "1.Kb6! (2.Rh8#)", "1.Kb6! threatens Rh8 mate", "1.Kb6! 2.Rh8#"]
)
def test_the_threat_is_played_after_a_pass(text: str) -> None:
    mention = reading(THREAT, text).mentions[1]
    assert (mention.role, line(mention.after[0])) == (Role.threat, "1.Kb6 -- 2.Rh8#")


@pytest.mark.parametrize("text", ["Set play: 1...Kh6 2.Rh1#. Key: 1.Re4!", "1...Kh6 2.Rh1#. 1.Re4!"])
def test_set_play_starts_from_a_pass_in_the_diagram(text: str) -> None:
    assert lines(SET, text)[1][2] == ["1.-- Kh6 2.Rh1#"]


def test_replies_before_the_key_wait_for_it() -> None:
    text = "If 1...Kh4 then 2.Re4 is mate. The key is 1.Kg2!"
    assert lines(ZUGZWANG, text)[1][2] == ["1.Kg2 Kh4 2.Re4#"]


def test_after_a_try_the_play_goes_home_to_the_key() -> None:
    text = "1.Kb6! Try: 1.Kc7? Ka7! And so 1...Kb8 2.Rh8#"
    assert lines(THREAT, text)[-1][2] == ["1.Kb6 Kb8 2.Rh8#"]


def test_a_wrong_number_is_noticed_and_the_move_read() -> None:
    mention = only(ZUGZWANG, "1.Kg2! Kh4 3.Re4#", "Re4#")
    assert mention.misnumbered
    assert line(mention.after[0]) == "1.Kg2 Kh4 2.Re4#"


def test_after_an_unplayable_move_the_line_is_not_examined() -> None:
    found = reading(ZUGZWANG, "1.Kg2! Kf5 2.Re4+ Kf6 3.Re6#").mentions
    assert [m.state for m in found] == [State.read, State.impossible, *[State.not_examined] * 3]


def test_what_is_said_to_be_impossible_leads_nowhere() -> None:
    mention = reading("3r3k/6pp/8/8/8/8/8/R3K3 w Q - 0 1", "Here 1.O-O-O is impossible.").mentions[0]
    assert (mention.state, mention.after) == (State.read, [])


@pytest.mark.parametrize(
    "prose",
    [
        "The Ne6 guards f4.",
        "The knight on e6 guards f4 and g5.",
        "The king moves to safety.",
        "The rook takes the square e4 from the king.",
        "White's king stands well.",
        "The pawn on h5 is a nuisance.",
        "d5 is the only free square.",
    ],
)
def test_prose_that_names_men_and_squares_is_no_move(prose: str) -> None:
    found = reading(ZUGZWANG, f"1.Kg2! Kh4 2.Re4#. {prose} 1...h4 2.Rg5#")
    assert len(found.mentions) == 5
    assert not found.not_understood
    assert all(m.state is State.read for m in found.mentions)


def test_words_that_announce_the_printed_move_are_not_a_second_one() -> None:
    text = "1.Kg2! If 1...Kh4 the rook comes over and mates: 2.Re4#"
    assert [part for part, _, _ in lines(ZUGZWANG, text)] == ["Kg2!", "Kh4", "Re4#"]


def test_black_to_move_is_numbered_with_dots() -> None:
    found = reading("7k/3p4/8/4P3/8/8/8/K7 b - - 0 1", "1...d5 2.exd6 e.p.", shift=1).mentions
    assert [m.state for m in found] == [State.read, State.read]
