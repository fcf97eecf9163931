"""What is looked for line by line is what a search of the whole text finds, whatever was searched before."""

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from keyproof.grammar import coloured_men, fens, forsyth, in_lines, men, men_in_tables, roster, told_men
from keyproof.grammar.boards import _all_boards
from keyproof.grammar.document import Diagram, Document
from keyproof.grammar.in_lines import InLines, LinesThat

ROOT = Path(__file__).parents[2]
WHOLE: dict[str, tuple[InLines, re.Pattern[str]]] = {
    "FEN": (fens._PLACEMENT, fens._PLACEMENT._pattern),
    "rank": (forsyth._FIRST, forsyth._FIRST._pattern),
    "man with his side": (coloured_men._MEN, coloured_men._man()),
    "king": (men._FIRST_KINGS, men._first_king()),
    "heading": (roster.HEADINGS, roster.heading()),
    "speaker": (told_men._SPEAKERS, told_men._SPEAKER),
    "own men": (told_men._OURS, told_men._MINE),
    "side played": (told_men._WE, told_men._PLAYS_BLACK),
}
FRAGMENTS = (
    *("White: Kg1,", "wKd8", "w.", "s", "(8)", "Black has", "b:", "Weiß", ":", "=", "Ke1", "♔e1", "♚", "h8", "v", "-"),
    *(
        "I have the\nblack",
        "we play black",
        "my rook",
        "our\nking",
        "wKa1 wPa2 b2",
        "Ann: ",
        "Ben the elder:",
        "my",
        "our",
        "rook",
        "king",
        "I",
        "we",
        "have",
        "the",
        "black",
        "us",
    ),
    *("4k3/8/8/8/8/8/8/4K3", "/8", "8", "rnbqkbnr", "pppppppp /", "8: ........", "r . . . k . . r", "it's w", "'b:"),
    *("| Piece | White | Black |", "Side;King;Pawns", "King  e1", "a b c d e f g h", "\t", "  ", "   "),
)
ENDS = ("\n", "\n", "\n", " ", " ", " ", "\r\n", "\r", "\n\n")


def texts(seed: int) -> Iterator[str]:
    """Yield a text that changes a little each time, of fragments and of files."""
    chance = random.Random(seed)
    file = chance.choice(sorted((ROOT / "corpus" / "demo").glob("*.[tm][xd]*")))
    text = file.read_text(encoding="utf-8")[:3000]
    for _ in range(20):
        at = chance.randrange(len(text) + 1)
        more = "".join(chance.choice(FRAGMENTS) + chance.choice(ENDS) for _ in range(chance.randrange(12)))
        text = text[:at] + more + text[at + chance.choice((0, 1, 40)) :]
        yield text


@pytest.mark.parametrize("name", WHOLE)
@pytest.mark.parametrize("seed", range(6))
def test_lines_are_searched_as_the_whole(name: str, seed: int) -> None:
    by_line, whole = WHOLE[name]
    for text in texts(seed):
        found = [each.span() for each in by_line._by_line(text)]
        assert found == [each.span() for each in whole.finditer(text)]


def test_the_texts_hold_what_is_looked_for() -> None:
    for by_line, _ in WHOLE.values():
        assert sum(1 for seed in range(6) for text in texts(seed) for _ in by_line._by_line(text)) > 20


def positions(text: str) -> list[Diagram]:
    return [*_all_boards.__wrapped__(text), *men.find_tables(Document("", text, text, ()))]


@pytest.mark.parametrize("seed", range(6))
def test_no_line_of_a_drawing_is_passed_over(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    faulty = sorted((ROOT / "corpus").glob("*/*.md"))[seed::6]
    given = [*texts(seed), *(path.read_text(encoding="utf-8") for path in faulty), TABLE, SIDE_BY_SIDE]
    found = [positions(text) for text in given]
    monkeypatch.setattr(LinesThat, "numbers", lambda lines, text: iter(range(len(in_lines._lines(text)))))
    assert found == [positions(text) for text in given]
    assert sum(map(len, found)) > 1


TABLE = """Words above.

| Piece | White  | Black |
|-------|--------|-------|
| King  | g1     | g8    |
| Pawns | a2, b2 | a7    |

Words below.
"""
ROWS = [". . . . k . . .", *[". . . . . . . ."] * 6, ". . . . K . . Q"]
SIDE_BY_SIDE = "No. 1               No. 2\n\n" + "".join(f"{row}     {row}\n" for row in ROWS) + "And what is below.\n"


def test_of_tables_and_boards_side_by_side_there_are_some() -> None:
    assert len(positions(TABLE)) == 1
    assert len(positions(SIDE_BY_SIDE)) == 2
    assert men_in_tables._may_be_head("| Piece | White | Black |\n")


def test_a_short_text_is_searched_whole() -> None:
    text = "4k3/8/8/8/8/8/8/4K3 w - - 0 1\n"
    assert len(list(fens.find_fens(text))) == 1
    assert len(list(fens.find_fens(text * (in_lines.SHORT // len(text) + 1)))) == in_lines.SHORT // len(text) + 1
