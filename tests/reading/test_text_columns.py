"""Positions beside each other in the columns of a page, and FENs that go on from one line to the next.

Positions: an invented column of the corpus. The layouts: common practice, no source.
"""

import pytest
from keyproof.grammar.broken_fens import find_broken
from keyproof.grammar.positions import find_diagrams
from keyproof.linter.options import Options
from keyproof.linter.pipeline import sections_of
from keyproof.linter.sources import document_from_text
from reading_texts import placement
from test_binding import FENS

FIRST, SECOND, THIRD = (fen.split()[0] for fen in FENS)

BROKEN = """\
p. 12                      THREE FOR THE TRAIN

31                        32                        33
2b5/3p4/3NpK1k/1B6/       4Bk2/R5n1/2R5/3p4/4p3/    3kN1R1/3b1P2/p6K/N7/6Q1/
2p4n/3Q4/8/6N1            4B3/8/3Q2K1               8/8/8
#2                        #2  (6+4)                 #2

33. 1.Qf4 and Black may choose. 31: 1.Qg3, threat 2.Qxh4. 32 goes 1.Qd4.
"""

LISTS = """\
A                               B
White: Kf6 Qd3 Bb5 Sd6          White: Kg1 Qd1 Ra7 Rc6
       Sg1                             Be3 Be8
Black: Kh6 Bc8 Sh4 Pd7          Black: Kf8 Sg7 Pd5 e4
       e6 c4
White mates in two.             White mates in two.
"""

BOARDS = """\
      No. 5                            No. 6

8  . . b . . . . .            8  . . . . B k . .
7  . . . p . . . .            7  R . . . . . n .
6  . . . N p K . k            6  . . R . . . . .
5  . B . . . . . .            5  . . . p . . . .
4  . . p . . . . n            4  . . . . p . . .
3  . . . Q . . . .            3  . . . . B . . .
2  . . . . . . . .            2  . . . . . . . .
1  . . . . . . N .            1  . . . Q . . K .
   a b c d e f g h               a b c d e f g h
   Mate in two                   Mate in two
   1.Qg3! Kh7 2.Qg7              1.Qd4! Kg8 2.Qxg7
"""


def dealt(text: str) -> dict[str, tuple[str, str]]:
    """Return the placement of each puzzle and its text, by its title."""
    document = document_from_text("page.txt", text, "text")
    sections = sections_of(document, Options())[0]
    return {
        puzzle.title: (
            placement(puzzle.diagrams[0]),
            " ".join(" ".join(span.of(document.masked) for span in puzzle.prose).split()),
        )
        for puzzle in sections.puzzles
        if puzzle.diagrams
    }


def test_fens_broken_in_their_columns() -> None:
    found = dealt(BROKEN)
    assert {title: board for title, (board, _) in found.items()} == {"31": FIRST, "32": SECOND, "33": THIRD}
    assert found["31"][1] == "#2 31: 1.Qg3, threat 2.Qxh4."
    assert found["32"][1] == "#2 (6+4) 32 goes 1.Qd4."
    assert found["33"][1] == "#2 33. 1.Qf4 and Black may choose."


def test_lists_of_men_in_their_columns() -> None:
    assert dealt(LISTS) == {"A": (FIRST, "White mates in two."), "B": (SECOND, "White mates in two.")}


def test_what_stands_below_boards_side_by_side_is_theirs() -> None:
    assert dealt(BOARDS) == {
        "No. 5": (FIRST, "Mate in two 1.Qg3! Kh7 2.Qg7"),
        "No. 6": (SECOND, "Mate in two 1.Qd4! Kg8 2.Qxg7"),
    }


def test_one_position_beside_words_makes_no_columns() -> None:
    text = "4Bk2/R5n1/2R5/3p4/4p3/4B3/8/3Q2K1      A puzzle\nWhite to move                          of a reader\n"
    assert document_from_text("page.txt", text, "text").beside == ()


@pytest.mark.parametrize(
    "text",
    [
        "2b5/3p4/3NpK1k/1B6/\n2p4n/3Q4/8/6N1 w - - 0 1",
        "2b5/3p4/3NpK1k/1B6\n/2p4n/3Q4/8/6N1",
        "2b5/3p4/3NpK1k/1B6\n2p4n/3Q4/8/6N1",
        "FEN: 2b5/3p4/3NpK1k/1B6/2p\n4n/3Q4/8/6N1",
        "2b5/3p4/3NpK1k/-\n1B6/2p4n/\n3Q4/8/6N1",
        "2b5/3p4/3NpK1k/1B6/2p4n/3Q4/8/6N1\nw - - 0 1",
    ],
)
def test_a_fen_goes_on_in_the_next_line(text: str) -> None:
    (diagram,) = find_diagrams(document_from_text("x.txt", f"Mate in two.\n\n{text}\n\n1.Qg3!", "text"))
    assert (placement(diagram), diagram.faults) == (FIRST, ())


@pytest.mark.parametrize(
    "text",
    [
        "2b5/3p4/3NpK1k/1B6/\n2p4n/3Q4/8/6N",  # seven squares
        "2b5/3p4/3NpK1k/1B6/\n\n2p4n/3Q4/8/6N1",  # a line between
        "2b5/3p4/3Np2k/1B6/\n2p4n/3Q4/8/6N1",  # no white king
        "see notes/b1/c3/\nnext page",
    ],
)
def test_what_makes_no_position_is_no_broken_fen(text: str) -> None:
    assert list(find_broken(text)) == []


def test_the_number_of_a_move_is_no_label_of_what_stands_below_it() -> None:
    lines = [
        "   Molti hanno mandato 1. Dg2?, e cade su 1... bxc3!",
        "   Uno 1. Dxe3+?, e allora 1... Rf1!   Uno 1. Dh1+? (1... Rf2!).",
        "",
        "Posizioni in cifre, per chi le monta: 9) 8/3Pp3/pQ2p3/N7/8/1Pk5/8/R3K3   10) 6K1/n7/8/8/1p2Q3/2N1p3/8/B3k3",
    ]
    document = document_from_text("a.txt", "\n".join(lines) + "\n", "text")
    titles = [puzzle.title for puzzle in sections_of(document, Options())[0].puzzles]
    assert len(titles) == 2
    assert not any(title.startswith("Uno") for title in titles)
