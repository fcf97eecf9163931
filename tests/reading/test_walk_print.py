"""What printed solutions do: lists of tries with one refutation, two columns, variations in brackets, mark sheets.

The positions are of our own making; what is true in them is what the prover says.
"""

import chess
import pytest
from keyproof.grammar.columns import black_columns
from keyproof.grammar.frames.build import frames
from keyproof.grammar.frames.hints import with_hints
from keyproof.grammar.frames.values import Move
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.tongues import TONGUES
from keyproof.grammar.spans import Span
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.play.node import Node
from keyproof.rules.proof import prover
from keyproof.rules.reading.walk.oracle import Oracle
from keyproof.rules.reading.walk.walk import Walk
from keyproof.rules.reading.work import Work

BISHOPS = "8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1"  # 1.Qc7; 1.Qe5+, 1.Qb4 and 1.e8=N fail to Kc6 alone
ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, knight 2.Qg5 or 2.Qxg5, Kh6 2.Rh4


def placed(fen: str, text: str, tongue: str = "english", moves: int = 2) -> set[str]:
    """Return the lines of play that a text tells, each in English notation, without signs."""
    board = chess.Board(fen)
    proof = prover.prove(board, Stipulation.parse(f"#{moves}"), effort=5)
    whole = Span(0, len(text))
    given = lexemes(text, whole, tongue, LANGUAGES[TONGUES[tongue]], in_black=black_columns(text, [whole]))
    told = with_hints(frames(text, given), text, [whole], given, tongue)
    walk = Walk(Node(board), Oracle(proof, 2 * moves - 1, Work(len(told))))
    best = walk.best(told)
    ends = [end for each in best.placements() if not (each.illegal or each.false) for end in each.ends()]
    return {" ".join(_said(node) for node in end.path[1:]) for end in ends}


def _said(node: Node) -> str:
    if not node.move or node.parent is None:
        return "--"
    return node.parent.board.san(node.move).rstrip("+#")


TRIES = {"Qe5 Kc6", "Qb4 Kc6", "e8=N Kc6"}


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("Key 1.Qc7!\nTries 1.Qe5+?  1.Qb4?  1.e8=N?   Kc6!", "english"),
        ("1.Qc7. Not 1.Qe5+, 1.Qb4 or 1.e8=N, all of which fail to 1...Kc6.", "english"),
        ("1.Dc7! Verführungen: 1.De5+?, 1.Db4? und 1.e8S? scheitern an 1...Kc6!", "german"),
        ("1. Dc7! Verleidingen: 1. De5+?, 1. Db4? en 1. e8P?, alle weerlegd door Kc6!", "dutch"),
        ("1.Dc7! Essais : 1.De5+?, 1.Db4? et 1.e8C? sont réfutés par Rc6!", "french"),
    ],
)
def test_several_tries_have_one_refutation(text: str, tongue: str) -> None:
    assert placed(BISHOPS, text, tongue) >= {"Qc7", *TRIES}


def test_a_try_with_a_refutation_of_its_own_is_no_part_of_the_list() -> None:
    lines = placed(BISHOPS, "1.Qc7! 1.Qc4+? Kd6! 1.Qe5+? 1.Qb4? Kc6!")
    assert lines >= {"Qc4 Kd6", "Qe5 Kc6", "Qb4 Kc6"}
    assert "Qc4 Kc6" not in lines


def test_three_tries_on_a_line_are_no_columns() -> None:
    assert placed(BISHOPS, "1.Qc7! 1.Qe5+?   1.Qb4?   1.e8=N?   Kc6!") >= TRIES


def test_two_columns_with_headings() -> None:
    text = """
         WHITE.              BLACK.
      1. Rg4              1. h6
      2. Qg6 mate
                          1. Kh6
      2. Rh4 mate

    A quiet key. Several correspondents send 1. Qg4+, and overlook Kh6.
    """
    assert placed(ROOK, text) >= {"Rg4", "Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Qg4 Kh6"}


@pytest.mark.parametrize(
    "text",
    [
        "1. Rg4 h6 (1... Kh6 2. Rh4#) (1... Ng5 2. Qxg5#) 2. Qg6#",
        "1. Rg4 { a gift that cannot be taken } 1... h6 ( 1... Kh6 2. Rh4# )\n  ( 1... Ng5 2. Qxg5# )\n2. Qg6# 1-0",
        "1. Rg4 $1 1... h6 $2 (1... Kh6 2. Rh4#) (1... Ng5 2. Qxg5#) 2. Qg6#",
    ],
)
def test_the_line_goes_on_behind_its_variations(text: str) -> None:
    assert placed(ROOK, text) >= {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Ng5 Qxg5"}


@pytest.mark.parametrize("words", ["set", "Set play:", "In the set play", "Already set:"])
def test_what_is_announced_as_set_stands_before_the_key_though_told_behind_it(words: str) -> None:
    told = f"1.Kb7! d5 2.Qxb4#. 1.Qg5+? d5!\n{words} 1...d5 2.Qxb4#"
    assert placed("K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1", told) >= {"Kb7 d5 Qxb4", "-- d5 Qxb4"}


def test_a_set_mate_that_remains_is_told_behind_the_key() -> None:
    told = "1.Kb7! Black is in zugzwang. After 1...d5 the set mate remains, 2.Qxb4#."
    assert placed("K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1", told) >= {"Kb7 d5 Qxb4"}


def test_likewise_may_stand_before_what_is_answered_so() -> None:
    lines = placed(ROOK, "1.Rg4! 1...Nf4 2.Qg5# (likewise on Nf2 and Ng1) 1...h6 2.Qg6#")
    assert lines >= {"Rg4 Nf4 Qg5", "Rg4 Nf2 Qg5", "Rg4 Ng1 Qg5", "Rg4 h6 Qg6"}


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("1.Qc7 h1=Q/R/B/N 2.Qxh1#", "english"),
        ("1.Qc7 h1=Q, R, B or N 2.Qxh1#", "english"),
        ("1. Db1! h1D, T, L oder S 2. Dxh1 matt", "german"),
        ("1. Db1! 1. ... h1D (T, L, P) 2. Dxh1 mat", "dutch"),
        ("1. Db1! 1. ... h1D/T/L/S 2. Dxh1 matt", "german"),
    ],
)
def test_men_that_a_pawn_may_become(text: str, tongue: str) -> None:
    found = [each for each in lexemes(text, Span(0, len(text)), tongue, LANGUAGES[TONGUES[tongue]]) if each.phrase]
    assert {each.phrase.promotion for each in found if each.phrase} >= {2, 3, 4, 5}


def test_a_position_in_the_text_tells_no_move() -> None:
    text = "In 1k5B/3b4/pK6/1pp3Q1/7p/8/8/8 w - - White mates."
    assert not [each for each in lexemes(text, Span(0, len(text))) if each.kind in ("move", "square", "number")]


def test_a_table_that_tells_its_defences_in_the_head() -> None:
    table = "Key Rg4.\n\n| ...h6 | ...Kh6 | ...Ng5 | else |\n|:-:|:-:|:-:|:-:|\n| Qg6# | Rh4# | Qxg5# | Qg5# |\n"
    lines = placed(ROOK, table)
    assert lines >= {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Ng5 Qxg5", "Rg4 Nf2 Qg5"}


def test_the_same_without_rules() -> None:
    table = "1.Rg4\n\n1...h6     1...Kh6    1...Ng5\n2.Qg6#     2.Rh4#     2.Qxg5#\n"
    assert placed(ROOK, table) >= {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Ng5 Qxg5"}


ALL_KNIGHT = {"Rg4 Nf4 Qg5", "Rg4 Nf2 Qg5", "Rg4 Ng1 Qg5"}


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("1.Rg4! 1...Ng5 2.Qxg5# 1...Knight elsewhere 2.Qg5#", "english"),
        ("1.Rg4! 1...Ng5 2.Qxg5# 1...h6 2.Qg6#, or another knight move 2.Qg5#", "english"),
        ("1.Tg4! 1...Sg5 2.Dxg5# 1...S bel. 2.Dg5#", "german"),
        ("1.Tg4! 1...Sg5 2.Dxg5# 1...Springerzug 2.Dg5#", "german"),
        ("1.Tg4! 1…Cg5 2.Dxg5# 1…C joue 2.Dg5#", "french"),
        ("1.Tg4! 1…Cg5 2.Dxg5# 1…Un coup de cavalier 2.Dg5#", "french"),
        ("1.Tg4! 1...Pg5 2.Dxg5# 1...P willekeurig 2.Dg5#", "dutch"),
        ("1.Tg4! 1...Cg5 2.Dxg5# 1...C juega 2.Dg5#", "spanish"),
        ("1.Tg4! 1...Cg5 2.Dxg5# 1...C muove 2.Dg5#", "italian"),
    ],
)
def test_all_moves_of_a_man(text: str, tongue: str) -> None:
    assert placed(ROOK, text, tongue) >= ALL_KNIGHT


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("1.Rg4! 1...h6 2.Qg6# 1...Kh6 2.Rh4# 1...Ng5 2.Qxg5# 1...other 2.Qg5#", "english"),
        ("1.Rg4! 1...h6 2.Qg6# 1...Kh6 2.Rh4# 1...Ng5 2.Qxg5#; the remaining three 2.Qg5#", "english"),
        ("1.Rg4! 1...h6 2.Qg6# 1...Kh6 2.Rh4# 1...Ng5 2.Qxg5#; else 2.Qg5#", "english"),
        ("1.Tg4! 1...h6 2.Dg6# 1...Kh6 2.Th4# 1...Sg5 2.Dxg5# 1...bel. 2.Dg5#", "german"),
        ("1.Tg4! 1…h6 2.Dg6# 1…Rh6 2.Th4# 1…Cg5 2.Dxg5# 1…ad lib. 2.Dg5#", "french"),
        ("1.Tg4! 1...h6 2.Dg6# 1...Rh6 2.Th4# 1...Cg5 2.Dxg5# 1...altra 2.Dg5#", "italian"),
        ("1.Tg4! 1...h6 2.Dg6# 1...Rh6 2.Th4# 1...Cg5 2.Dxg5# 1...otra 2.Dg5#", "spanish"),
        ("1.Tg4! 1...h6 2.Dg6# 1...Kh6 2.Th4# 1...Pg5 2.Dxg5# 1...anders 2.Dg5#", "dutch"),
    ],
)
def test_all_other_moves(text: str, tongue: str) -> None:
    assert placed(ROOK, text, tongue) >= ALL_KNIGHT


@pytest.mark.parametrize(
    "text",
    [
        "1.Qc7! The reply 1...Kc6 is the one answer to 1.Qe5+, 1.Qb4 and 1.e8=N.",
        "1.Qc7! 1...Kc6 refutes 1.Qe5+, 1.Qb4 and 1.e8=N.",
        "1.Qc7! Kc6 is too good for 1.Qe5+, for 1.Qb4 and for 1.e8=N.",
    ],
)
def test_a_refutation_told_before_its_tries(text: str) -> None:
    assert placed(BISHOPS, text) >= TRIES


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("1.Rd1! Threat 2.Rd8 mate. 1...a5 lets the threat through.", "english"),
        ("1.Rd1! Threat 2.Rd8 mate. If 1...a5, the threat follows.", "english"),
        ("1.Td1! Es droht 2.Td8 matt. Auf 1...a5 folgt die Drohung.", "german"),
        ("1.Td1! menace 2.Td8 mat. Sur 1…a5 suit la menace.", "french"),
        ("1.Td1! dreigt 2.Td8 mat. Na 1...a5 volgt de dreiging.", "dutch"),
        ("1.Td1! amenaza 2.Td8 mate. A 1...a5 sigue la amenaza.", "spanish"),
        ("1.Td1! minaccia 2.Td8 matto. Dopo 1...a5 segue la minaccia.", "italian"),
    ],
)
def test_the_threat_as_an_answer(text: str, tongue: str) -> None:
    assert "Rd1 a5 Rd8" in placed("7k/p7/6K1/8/8/8/8/R7 w - - 0 1", text, tongue)


def test_the_number_of_a_puzzle_is_none_of_a_move() -> None:
    assert placed(ROOK, "57.  Rg4!   Quiet.  ...h6  Qg6#   ...Kh6  Rh4#") >= {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4"}
    assert placed(BISHOPS, "T  1.Qc4+? Kd6!\nset 1...d6  2.Qc4#") >= {"Qc4 Kd6", "-- d6 Qc4"}


WHOLE = {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4", "Rg4 Ng5 Qxg5", *ALL_KNIGHT, "Qg4 Kh6", "Rb5 Kh4"}


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        ("k: Rg4\nv: h6 Qg6 / Kh6 Rh4 / Ng5 Qxg5 / N~ Qg5\nt: Qg4+ Kh6 / Rb5+ Kh4", "english"),
        (
            "1.Tg4! Auf 1...h6 folgt 2.Dg6 matt, auf 1...Kh6 2.Th4 matt, auf 1...Sg5 2.Dxg5 matt, auf einen anderen"
            " Springerzug 2.Dg5 matt. Nicht 1.Dg4+? wegen 1...Kh6! und 1.Tb5+? wegen 1...Kh4!",
            "german",
        ),
        (
            "Clé : 1.Tg4! Sur 1…h6, 2.Dg6 mat ; sur 1…Rh6, 2.Th4 mat ; sur 1…Cg5, 2.Dxg5 mat ; sur un autre coup du"
            " cavalier, 2.Dg5 mat. Essais : 1.Dg4+? échoue sur 1…Rh6! et 1.Tb5+? sur 1…Rh4!",
            "french",
        ),
        (
            "Chiave: 1.Tg4! Se 1...h6 2.Dg6 matto; se 1...Rh6 2.Th4 matto; se 1...Cg5 2.Dxg5 matto; se un'altra mossa"
            " del cavallo, 2.Dg5 matto. 1.Dg4+? fallisce per 1...Rh6! e 1.Tb5+? per 1...Rh4!",
            "italian",
        ),
        (
            "Chave: 1.Tg4! Após 1...h6 2.Dg6 mate; após 1...Rh6 2.Th4 mate; após 1...Cg5 2.Dxg5 mate; a qualquer"
            " outra, 2.Dg5 mate. Tentativas: 1.Dg4+? falha por 1...Rh6!, 1.Tb5+? por 1...Rh4!",
            "portuguese",
        ),
        (
            "Lösning: 1.Tg4! Efter 1...h6 följer 2.Dg6 matt, efter 1...Kh6 2.Th4 matt, efter 1...Sg5 2.Dxg5 matt,"
            " annars 2.Dg5 matt. Försök: 1.Dg4+? Kh6! och 1.Tb5+? Kh4!",
            "swedish",
        ),
        (
            "Rozwiązanie: 1.Wg4! Po 1...h6 2.Hg6 mat, po 1...Kh6 2.Wh4 mat, po 1...Sg5 2.Hxg5 mat, inaczej 2.Hg5 mat."
            " Próby: 1.Hg4+? Kh6! 1.Wb5+? Kh4!",
            "polish",
        ),
    ],
)
def test_a_whole_solution(text: str, tongue: str) -> None:
    assert placed(ROOK, text, tongue) >= WHOLE


@pytest.mark.parametrize("text", ["That takes care of c five, too.", "White to play and mate in two."])
def test_what_is_no_move(text: str) -> None:
    told = frames(text, lexemes(text, Span(0, len(text))))
    assert not [each for each in told if isinstance(each, Move)]


@pytest.mark.parametrize(
    ("text", "tongue"),
    [
        (
            "1.Rg4! h6 2.Qg6#; 1...Nf4 2.Qg5#, likewise after 1...Nf2 and after 1...Ng1; finally 1...Kh6 2.Rh4#.",
            "english",
        ),
        ("1.Tg4! h6 2.Dg6#; 1...Sf4 2.Dg5#, ebenso nach 1...Sf2 und nach 1...Sg1; zuletzt 1...Kh6 2.Th4#.", "german"),
        ("1.Tg4! h6 2.Dg6#; 1...Cf4 2.Dg5#, de même après 1...Cf2 et après 1...Cg1; enfin 1...Rh6 2.Th4#.", "french"),
    ],
)
def test_likewise_ends_with_its_clause(text: str, tongue: str) -> None:
    lines = {"Rg4 Nf2 Qg5", "Rg4 Ng1 Qg5", "Rg4 Kh6 Rh4", "Rg4 Nf4 Qg5"}
    assert placed(ROOK, text, tongue) >= lines


def test_a_refutation_is_none_of_a_list() -> None:
    text = "1.Qc7! The checks are in vain: 1.Qe4+? Kxe4! or 1.Qe5+? Kc6!"
    assert placed(BISHOPS, text) >= {"Qc7", "Qe5+ Kc6".replace("+", "")}


@pytest.mark.parametrize("dots", ["1. ........, ", "1. . . . ", "1. \u2026, ", "1. \u2013 "])
def test_any_row_of_dots_is_blacks_number(dots: str) -> None:
    text = f"1. Qc7! The idea is plain; {dots}Kc6 2. Qd6 mate."
    numbers = [each.number for each in lexemes(text, Span(0, len(text)), "english", LANGUAGES["en"]) if each.number]
    assert [number.second for number in numbers if number.value == 1] == [False, True]


@pytest.mark.parametrize(
    "lines",
    [
        "1...h6 2.Qg6 / Kh6 2.Rh4",
        "1...Kh6 2.Rh4 / h6 2.Qg6 / Nf2, Nf4 2.Qg5",
        "h6 Qg6 / Kh6 Rh4",
    ],
)
def test_a_slash_between_lines_parts_them(lines: str) -> None:
    assert placed(ROOK, f"1.Rg4! {lines}") >= {"Rg4 h6 Qg6", "Rg4 Kh6 Rh4"}


def test_a_slash_joins_moves_to_one_number() -> None:
    assert placed(ROOK, "1.Rg4! Nf2/Nf4 2.Qg5") >= {"Rg4 Nf2 Qg5", "Rg4 Nf4 Qg5"}
