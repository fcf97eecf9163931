"""Which solution goes with which position, in the many ways in which people lay puzzles out.

The layouts: common practice, no source. What each position allows was found with python-chess alone, by trying
every move (1.Qb8, 1.Qd4 and 1.Re4 are the only keys).
"""

import re

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, sections_of
from keyproof.linter.sources import document_from_text, kind_of
from keyproof.rules.checks.run import findings

ANCHOR, BAKER, CANDLE = (
    "R3Q3/P2pN3/p2P4/5P2/kpK5/p7/3P2N1/8",
    "3K3Q/1B6/1p1p4/pk1N2N1/8/r4p2/3P4/8",
    "4nk1B/KPP5/1p6/2pB4/1N5R/6R1/7N/8",
)
FENS = (ANCHOR, BAKER, CANDLE)
SOLUTIONS = (
    "1.Qc8? Ka5! 1.Qb8! (threat 2.Qxb4#) 1...Ka5 2.Qxb4# 1...a5 2.Qb5#",
    "1.Qc3? Rxc3! 1.Qd4! (threat 2.Nc7#) 1...a4 2.Qb4# 1...Rc3 2.Nxc3#",
    "1.Bf6? Nxf6! 1.Re4! (threat 2.Rg8#) 1...Ng7 2.Bxg7# 1...Nf6 2.Bg7#",
)
KEYS = ("Qb8", "Qd4", "Re4")


def drawn(fen: str) -> str:
    ranks = re.sub(r"\d", lambda digit: "." * int(digit[0]), fen).split("/")
    return "\n".join(map(" ".join, ranks))


def cases(text: str, name: str):
    document = document_from_text(name, text, kind_of(name) or "text")
    sections, _ = sections_of(document, Options(fresh=True))
    return [case for case in cases_of(document, sections, Options(fresh=True)) if case.board is not None]


def check(text: str, name: str = "column.txt", fens=FENS) -> None:
    """Each position must be read, asked a mate in two, and have its own key and nothing false."""
    found = {case.board.board_fen(): case for case in cases(text, name)}
    assert set(found) == set(fens)
    for fen in fens:
        case = found[fen]
        assert str(case.stipulation) == "#2"
        assert not [fault for fault in findings(case) if fault.level.name in ("error", "warning")]
        keys = [mention.turn.span.of(text) for mention in case.reading.mentions if mention.role.name == "key"]
        assert len(keys) == 1
        assert KEYS[FENS.index(fen)][-2:] in keys[0]
        assert all(mention.after for mention in case.reading.mentions)


def joined(*parts: str) -> str:
    return "\n\n".join(parts)


def each(form: str) -> list[str]:
    return [
        form.format(n=n, fen=fen, board=drawn(fen), sol=sol, letter=letter, name=name, nth=nth, word=word, roman=roman)
        for n, fen, sol, letter, name, nth, word, roman in zip(
            (1, 2, 3),
            FENS,
            SOLUTIONS,
            "ABC",
            ("The Anchor", "The Baker", "The Candle"),
            ("first", "second", "third"),
            ("one", "two", "three"),
            ("I", "II", "III"),
            strict=True,
        )
    ]


def others_first(parts: list[str]) -> list[str]:
    return [parts[2], parts[0], parts[1]]


def test_the_positions_have_the_keys_that_are_told():
    for fen, key in zip(FENS, KEYS, strict=True):
        start = chess.Board(f"{fen} w - - 0 1")
        start.push_san(key)
        for reply in list(start.legal_moves):
            start.push(reply)
            mates = [move for move in start.legal_moves if start.gives_check(move) and _mates(start, move)]
            assert mates
            start.pop()


def _mates(position: chess.Board, move: chess.Move) -> bool:
    position.push(move)
    mate = position.is_checkmate()
    position.pop()
    return mate


@pytest.mark.parametrize(
    "above",
    [
        "{name}\n\n{board}\n\nMate in two",
        "{board}\n\nMate in two (p. 1{n})",
        "Problem the {nth}\n\n{board}\n\nMate in two",
        "Puzzle {word}\n\n{board}\n\nMate in two",
        "{roman}.\n{board}\nMate in two",
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_all_positions_first_each_with_its_stipulation_below(above, turned):
    label = above.split("\n")[0] if "board" not in above.split("\n")[0] else "P. 1{n}"
    answers = each(label.rstrip(".") + ": {sol}")
    check(joined(*each(above), "Solutions", *(others_first(answers) if turned else answers)))


@pytest.mark.parametrize(
    "form",
    [
        "#{n}4\n\n{board}\n\n#2\n\n{sol}",
        "{n}. White mates in two.\n{sol}\n\n{board}",
        "Ex. {n} (mate in two)\n{fen}\n\n{sol}",
        "Mate in two. {fen} {sol}",
    ],
)
def test_each_position_with_its_solution_beside_it(form):
    check(joined(*each(form)))


def test_a_number_with_a_sign_over_a_position_is_no_stipulation_where_another_stands():
    check(f"#5\n\n{drawn(ANCHOR)}\n\n#2\n\n{SOLUTIONS[0]}", fens=[ANCHOR])


def test_positions_as_notes_at_the_end():
    first, second, third = SOLUTIONS
    text = joined(
        f"The first of today's mates in two[1] is solved so: {first} The second[2] goes {second}"
        f" And the third[3] by {third}",
        "\n".join(f"[{n}] {fen}" for n, fen in enumerate(FENS, 1)),
    )
    check(text)


def test_two_positions_in_one_sentence():
    check(joined(f"Both {ANCHOR} and {BAKER} are mates in two.", *each("The {nth}: {sol}")[:2]), fens=FENS[:2])


def test_answers_of_several_on_one_line():
    check(joined(*each("{n}) {fen} - mate in 2"), "Answers: " + " ".join(each("{n}) {sol}"))))


def test_keys_of_several_on_one_line():
    check(joined(*each("{n}.\n{board}\nMate in two"), "Keys: 1. Qb8! 2. Qd4! 3. Re4!"))


def test_positions_over_a_talk_that_counts_them():
    told = (
        "The key is queen to b8, threatening queen takes b4 mate. If king to a5, queen takes b4 is mate."
        " If pawn to a5, queen to b5 is mate.",
        "The key is queen to d4, threatening knight to c7 mate. If pawn to a4, queen to b4 is mate."
        " If rook to c3, knight takes c3 is mate.",
        "The key is rook to e4, threatening rook to g8 mate. If knight to g7, bishop takes g7 is mate."
        " If knight to f6, bishop to g7 is mate.",
    )
    talk = (
        f"Welcome. Puzzle number one, mate in two. {told[0]} Okay, number two. Mate in two again. {told[1]}"
        f" Number three then, mate in two. {told[2]}"
    )
    check(joined("\n".join(each("{n}. {fen}")), talk))


@pytest.mark.parametrize("quoted", ["> ", ">> "])
def test_a_quoted_position_and_one_of_the_answer(quoted):
    lines = "\n".join(f"{quoted}{line}" for line in [*drawn(ANCHOR).split("\n"), "White mates in two."])
    text = joined("Jo wrote:", lines, f"I found it: {SOLUTIONS[0]}", "Here is one for you, mate in two:")
    check(joined(text, drawn(BAKER), f"So that you need not wait: {SOLUTIONS[1]}"), fens=FENS[:2])


def test_quoted_headings_with_the_position_on_the_lines_below():
    boards = ["\n".join(f"> {line}" for line in drawn(fen).split("\n")) for fen in FENS]
    above = [f"Ex. {n} (mate in two)\n{lines}" for n, lines in enumerate(boards, 1)]
    check(joined(*above, *each("Ex. {n}: {sol}")))
