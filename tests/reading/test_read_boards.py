"""Drawn boards. Files run from a on White's left, ranks from 1 on White's side: FIDE Laws, C.5 and C.6."""

import re

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import ranks
from keyproof.grammar.boards import find_boards
from keyproof.grammar.letters import FIGURINES
from reading_texts import START, START_RANKS, board_of, placement, positions, ranks_of

FILES = "  a b c d e f g h"
RULE = "+---+---+---+---+---+---+---+---+"
SIGNS = {man.symbol(): sign for sign, man in FIGURINES.items()}


def one(text):
    diagrams = list(find_boards(text))
    assert len(diagrams) == 1
    return diagrams[0]


def spaced(ranks):
    return [" ".join(rank) for rank in ranks]


def with_bars(ranks):
    return ["| " + " | ".join(rank.replace(".", " ")) + " |" for rank in ranks]


def numbered(lines, first=8):
    step = -1 if first == 8 else 1
    return [f"{number} {line}" for number, line in zip(range(first, 9 * (first == 1) or 0, step), lines, strict=True)]


def in_german(rank):
    return rank.translate(str.maketrans("qrbnpQRBNP", "dtlsbDTLSB"))


def in_figurines(rank):
    return "".join(SIGNS.get(sign, "·") for sign in rank)


DRAWINGS = {
    "tight": list(START_RANKS),
    "spaced": spaced(START_RANKS),
    "wide": ["  ".join(rank) for rank in START_RANKS],
    "dashes": [rank.replace(".", "-") for rank in START_RANKS],
    "pluses": spaced(rank.replace(".", "+") for rank in START_RANKS),
    "numbered": [*numbered(spaced(START_RANKS)), FILES],
    "numbered on the right": [f"{line} {8 - index}" for index, line in enumerate(spaced(START_RANKS))],
    "numbered tight": numbered(START_RANKS),
    "framed": ["+-----------------+", *[f"| {line} |" for line in spaced(START_RANKS)], "+-----------------+", FILES],
    "framed with dashes": ["--------", *[rank.replace(".", "-") for rank in START_RANKS], "--------"],
    "framed with gaps": [f"|{line.replace('.', ' ')}|" for line in spaced(START_RANKS)],
    "framed with gaps tight": [f"|{rank.replace('.', ' ')}|" for rank in START_RANKS],
    "gaps under file letters": [
        *[line.rstrip() for line in numbered(r.replace(".", " ") for r in spaced(START_RANKS))],
        FILES,
    ],
    "bars": [RULE, *[line for rank in with_bars(START_RANKS) for line in (rank, RULE)]],
    "bars with numbers": [*numbered(with_bars(START_RANKS)), "    a   b   c   d   e   f   g   h"],
    "table": [
        "| a | b | c | d | e | f | g | h |",
        "|---|---|---|---|---|---|---|---|",
        *with_bars(START_RANKS),
    ],
    "box drawing": ["┌────────┐", *[f"│{rank}│" for rank in START_RANKS], "└────────┘"],
    "German letters": spaced(in_german(rank) for rank in START_RANKS),
    "figurines": [in_figurines(rank) for rank in START_RANKS],
    "figurines as text": [
        "".join(sign + "\ufe0e" if sign != "·" else sign for sign in in_figurines(r)) for r in START_RANKS
    ],
    "side and letter": [
        " ".join("--" if s == "." else ("w" if s.isupper() else "b") + s.upper() for s in rank) for rank in START_RANKS
    ],
    "side and letter in capitals": [
        " ".join(".." if s == "." else ("W" if s.isupper() else "B") + s.upper() for s in rank) for rank in START_RANKS
    ],
    "letter and side": [
        " ".join(".." if s == "." else s.upper() + ("w" if s.isupper() else "b") for s in rank) for rank in START_RANKS
    ],
    "German sides and letters": [
        " ".join("--" if s == "." else ("w" if s.isupper() else "s") + s.upper() for s in in_german(rank))
        for rank in START_RANKS
    ],
    "quoted in a mail": [f"> {line}" for line in [*numbered(spaced(START_RANKS)), FILES]],
    "quoted twice": [f">> {line}" for line in spaced(START_RANKS)],
    "one bar on the left": [f"| {line}" for line in spaced(START_RANKS)],
    "numbers with colons": [line.replace(" ", ": ", 1) for line in numbered(spaced(START_RANKS))],
    "numbers with stops": [line.replace(" ", ". ", 1) for line in numbered(spaced(START_RANKS))],
    "numbers with dashes": [line.replace(" ", " - ", 1) for line in numbered(spaced(START_RANKS))],
    "numbers in brackets": [f"[{line[0]}]{line[1:]}" for line in numbered(spaced(START_RANKS))],
    "numbered in words": [f"rank {line[0]}:{line[1:]}" for line in numbered(spaced(START_RANKS))],
    "numbers with colons, tight": [*(f"{8 - i}: {rank}" for i, rank in enumerate(START_RANKS)), "   abcdefgh"],
    "commas": [",".join(rank) for rank in START_RANKS],
    "commas with nothing between": [",".join(rank).replace(".", "") for rank in START_RANKS],
    "semicolons after numbers": numbered(";".join(rank) for rank in START_RANKS),
    "strokes": ["/".join(rank) for rank in START_RANKS],
    "tabs": [f"{8 - i}\t" + "\t".join(rank).replace(".", "-") for i, rank in enumerate(START_RANKS)],
    "boxes": ["".join(f"[{sign}]" for sign in rank.replace(".", " ")) for rank in START_RANKS],
    "bars in brackets": [
        f"[{'|'.join('__' if s == '.' else ('w' if s.isupper() else 'b') + s.upper() for s in rank)}]"
        for rank in START_RANKS
    ],
    "brackets without gaps": [
        "".join(f"({s.upper()})" if s.islower() else f" {s} " for s in rank) for rank in START_RANKS
    ],
    "strings": [f"{list(rank)}," for rank in START_RANKS],
    "noughts": [rank.replace(".", "0") for rank in spaced(START_RANKS)],
    "crosses": [rank.replace(".", "x") for rank in spaced(START_RANKS)],
    "empty lines between": [line for rank in spaced(START_RANKS) for line in (rank, "")][:-1],
    "table with numbers": [
        "| |a|b|c|d|e|f|g|h|",
        "|-|-|-|-|-|-|-|-|-|",
        *(f"|**{8 - i}**|{'|'.join(rank.replace('.', ' '))}|" for i, rank in enumerate(START_RANKS)),
    ],
    "Black at the bottom": [
        *numbered(spaced(rank[::-1] for rank in reversed(START_RANKS)), first=1),
        "  h g f e d c b a",
    ],
    "Black at the bottom, numbers only": numbered(spaced(rank[::-1] for rank in reversed(START_RANKS)), first=1),
    "Black at the bottom, letters only": [*(rank[::-1] for rank in reversed(START_RANKS)), "h g f e d c b a"],
}


@pytest.mark.parametrize("drawing", DRAWINGS.values(), ids=DRAWINGS.keys())
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_the_start_array_in_many_drawings(drawing, end):
    before = f"White to play{end}{end}"
    text = before + end.join(drawing) + f"{end}{end}1.e4 e5"
    diagram = one(text)
    assert (placement(diagram), diagram.faults) == (START, ())
    assert diagram.span.of(text) == end.join(drawing).strip()
    assert (diagram.turn, diagram.castling, diagram.has_en_passant_field) == (None, None, False)


def test_boards_without_a_blank_line_between():
    text = "\n".join([*START_RANKS, *numbered(spaced(START_RANKS)), FILES])
    assert [placement(diagram) for diagram in find_boards(text)] == [START, START]


def test_a_rule_that_underlines_a_heading_is_not_part_of_the_board():
    text = "\n".join(["No. 7", "-----------", *START_RANKS])
    assert one(text).span.of(text) == "\n".join(START_RANKS)


def changed(lines, index, line):
    return [*lines[:index], *([] if line is None else [line]), *lines[index + 1 :]]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (changed(START_RANKS, 3, "......."), [(".......", "rank 5 of the board has 7 squares")]),
        (changed(START_RANKS, 6, "PPPPPPPPP"), [("PPPPPPPPP", "rank 2 of the board has 9 squares")]),
        (
            changed(numbered(spaced(START_RANKS)), 2, "6 . . . . . . ."),
            [("6 . . . . . . .", "rank 6 of the board has 7 squares")],
        ),
        (
            changed(with_bars(START_RANKS), 2, "| | | | | | | |"),
            [("| | | | | | | |", "rank 6 of the board has 7 squares")],
        ),
        (changed(START_RANKS, 4, "...X...."), [("X", "X names no man on this board")]),
        (changed(START_RANKS, 2, None), [("\n".join(changed(START_RANKS, 2, None)), "the board has 7 ranks")]),
        (
            changed(numbered(spaced(START_RANKS)), 2, "5 . . . . . . . ."),
            [("5 . . . . . . . .", "this rank is numbered 5; 6 comes next")],
        ),
        (
            [*numbered(spaced(START_RANKS)), "  h g f e d c b a"],
            [("h g f e d c b a", "the file letters and the rank numbers contradict each other")],
        ),
    ],
)
def test_each_fault_is_named_at_its_place(lines, expected):
    text = "\n".join(lines)
    assert [(fault.span.of(text), fault.message) for fault in one(text).faults] == expected


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n".join(["--------"] * 8),
        "\n".join(["........"] * 8),
        "\n".join(["- a", "- b", "- c", "- d", "- e", "- f", "- g", "- h"]),
        "\n".join(f"{number} points" for number in range(8, 0, -1)),
        "\n".join(str(number) for number in range(8, 0, -1)),
        "\n".join(["a", "b", "c", "d", "e", "f", "g", "h"]),
        "\n".join(["| 1...Kd5 | 2.Qb6# |"] * 9),
        "\n".join(["backpack", "flashback", "scratch"] * 3),  # letters of men in no single language
        "\n".join(["x x x x x x x x"] * 8),
        "\n".join(["K Q R B N P k q"] * 4),
        "\n".join(["1.Sf4 Kd5", "2.Qb6 Kc4"] * 4),
        "\n".join(["x o x o . x o .", "o x o x x o . ."] * 4),  # another game
        "\n".join(["0 1 0 0 1 0 0 1"] * 8),
        "\n".join(["1,2,3,4,5,6,7,8"] * 8),
        "\n".join(["> is it so or to be"] * 8),
        "\n".join(["Anna,1,0,1,1,0,1,1"] * 8),
    ],
)
def test_no_board_is_seen(text):
    assert list(find_boards(text)) == []


DRAW = {
    "tight": lambda ranks: ranks,
    "spaced": spaced,
    "numbered": lambda ranks: [*numbered(spaced(ranks)), FILES],
    "from Black's side": lambda ranks: [
        *numbered(spaced(r[::-1] for r in reversed(ranks)), first=1),
        "  h g f e d c b a",
    ],
    "bars": lambda ranks: [RULE, *[line for rank in with_bars(ranks) for line in (rank, RULE)]],
    "frame": lambda ranks: [f"| {line.replace('.', ' ')} |" for line in spaced(ranks)],
    "gaps": lambda ranks: [*[line.rstrip() for line in numbered(r.replace(".", " ") for r in spaced(ranks))], FILES],
    "figurines": lambda ranks: spaced(in_figurines(rank) for rank in ranks),
    "French letters": lambda ranks: [rank.translate(str.maketrans("kqrbnKQRBN", "rdtfcRDTFC")) for rank in ranks],
}


@pytest.mark.parametrize("draw", DRAW.values(), ids=DRAW.keys())
@given(pieces=positions(largest=32), indent=st.sampled_from(["", "    ", "\t"]))
def test_every_drawing_is_read_back(draw, pieces, indent):
    text = "Position:\n\n" + "\n".join(indent + line for line in draw(ranks_of(pieces)))
    diagram = one(text)
    assert diagram.faults == ()
    assert diagram.pieces == pieces
    kinds = {span.of(text) for square, span in diagram.piece_spans.items()}
    assert diagram.piece_spans.keys() == pieces.keys()
    assert all(len(kind) == 1 and not kind.isspace() for kind in kinds)


def lines_with(**changes):
    """The framed start array with gaps, single lines replaced."""
    lines = [f"| {line.replace('.', ' ')} |" for line in spaced(START_RANKS)]
    for index, line in changes.items():
        lines[int(index[1:])] = line
    return "\n".join(lines)


@pytest.mark.parametrize(
    "text",
    [
        lines_with(r3="|               |"),  # one frame is narrower
        lines_with(r3="|  Q              |", r4="| Q               |"),  # men in no common columns
        "\n".join(
            line.rstrip() for line in numbered(r.replace(".", " ") for r in spaced(START_RANKS))
        ),  # no file letters
        "\n".join([*numbered(["k", *[""] * 6, "  K"]), "a b c d e f g h"]),  # the letters are not over the squares
        "\n".join([" 8 k", *numbered(["k", *[""] * 6, "  K"])[1:], FILES]),  # nor is every rank
    ],
)
def test_gaps_that_cannot_be_counted_are_not_guessed(text):
    assert list(find_boards(text)) == []


@pytest.mark.parametrize("draw", DRAW.values(), ids=DRAW.keys())
@given(pieces=positions(largest=32), data=st.data())
def test_a_damaged_drawing_raises_nothing(draw, pieces, data):
    text = "\n".join(draw(ranks_of(pieces)))
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(text)))
        sign = data.draw(st.sampled_from(["", "\n", " ", "k", "8", "|", ".", "x"]))
        text = text[:place] + sign + text[place + data.draw(st.integers(0, 2)) :]
    for diagram in find_boards(text):
        assert diagram.faults or set(diagram.piece_spans) == set(diagram.pieces)


@given(pieces=positions(largest=32), data=st.data())
def test_no_square_can_be_left_out_unnoticed(pieces, data):
    ranks = ranks_of(pieces)
    rank, file = data.draw(st.integers(0, 7)), data.draw(st.integers(0, 7))
    ranks[rank] = ranks[rank][:file] + ranks[rank][file + 1 :]
    text = "\n".join(ranks)
    assert [(fault.span.of(text), fault.message) for fault in one(text).faults] == [
        (ranks[rank], f"rank {8 - rank} of the board has 7 squares")
    ]


def test_letters_decide_the_language():
    lines = ["k.......", "........", "........", "...t....", "........", "........", "...D....", "K......."]
    pieces = one("\n".join(lines)).pieces
    assert pieces[chess.D5] == chess.Piece(chess.ROOK, chess.BLACK)
    assert pieces[chess.D2] == chess.Piece(chess.QUEEN, chess.WHITE)


CELLS = st.sampled_from(["k", "wK", "♔", "♔\ufe0f", "a\ufe0eb", ".", "--", "abc", "....", "8", "|", "1"])


@given(st.lists(CELLS, max_size=12), st.sampled_from([" ", "  ", ""]))
def test_lines_that_are_refused_at_the_first_look_are_no_ranks(cells, gap):
    line = gap.join(cells)
    seen = ranks.classify.__wrapped__(line)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ranks, "_NO_CELL", re.compile("(?!)"))
        assert ranks.classify.__wrapped__(line) == seen


_MARKED = """. . . . . . . .
. . . . . . . .
. . . . N . . .
. . . . R . . {P}
. . . . . . {K} .
. . . . . . . .
. . . . . {W} . .
. . . . . . . ."""


@pytest.mark.parametrize(
    ("pawn", "king", "white", "others"),
    [("P*", "K*", "K", ""), ("*P", "*K", "K", ""), ("(P)", "(K)", "K", ""), ("#P", "#K", "^K", "^")],
)
def test_men_marked_for_their_colour(pawn: str, king: str, white: str, others: str) -> None:
    text = _MARKED.format(P=pawn, K=king, W=white).replace("N", f"{others}N").replace("R", f"{others}R")
    (diagram,) = find_boards(text)
    board = chess.BaseBoard.empty()
    board.set_piece_map(diagram.pieces)
    assert (board.board_fen(), diagram.faults) == ("8/8/4N3/4R2p/6k1/8/5K2/8", ())


_DRAUGHTS = """. b . b . b . b
b . b . b . b .
. b . b . b . b
. . . . . . . .
. . . . . . . .
w . w . w . w .
. w . w . w . w
w . w . w . w ."""


def test_a_board_of_draughts_is_no_diagram() -> None:
    assert list(find_boards(_DRAUGHTS)) == []
    assert list(find_boards(_DRAUGHTS.replace("b", "o").replace("w", "x"))) == []
    assert len(list(find_boards(_DRAUGHTS.replace("w", "P").replace("b . b . b . b", "k . b . K . b", 1)))) == 1


def test_ranks_numbered_upward_from_the_top_may_be_three_things():
    # Common practice, no source: seen from Black's side, drawn upside down, or the lines were counted.
    lines = numbered(["k . . . . . . .", *[". . . . . . . ."] * 6, ". . . . . . K ."], first=1)
    diagram = one("\n".join(lines))
    assert (placement(diagram), diagram.faults) == ("1K6/8/8/8/8/8/8/7k", ())
    assert [board_of(men).board_fen() for men in diagram.others] == ["6K1/8/8/8/8/8/8/k7", "k7/8/8/8/8/8/8/6K1"]
    with_letters = one("\n".join([*lines, "  a b c d e f g h"]))
    assert placement(with_letters) == "6K1/8/8/8/8/8/8/k7"
    assert [board_of(men).board_fen() for men in with_letters.others] == ["k7/8/8/8/8/8/8/6K1"]
    assert one("\n".join([*lines, "  h g f e d c b a"])).others == ()


def test_lines_with_an_empty_one_between_end_where_these_do():
    board = "\n\n".join(spaced(START_RANKS))
    diagrams = list(find_boards(f"{board}\n\n{board}"))
    assert [placement(diagram) for diagram in diagrams] == [START, START]
    after_one_rank = "r . . .\n\n" + "\n".join(spaced(START_RANKS))
    assert placement(one(after_one_rank)) == START


def test_a_letter_on_some_empty_squares_alone_names_no_man():
    text = "\n".join(changed(spaced(START_RANKS), 4, ". . . x . . . ."))
    assert [fault.message for fault in one(text).faults] == ["x names no man on this board"]


def test_many_signs_with_wide_gaps_are_passed_over():
    assert list(find_boards("\n".join([("," + " " * 60) * 7 + "x y z"] * 8))) == []
