"""Descriptive notation: what is written in it reads back to the move that was meant.

The writer here knows nothing of the reader: it names files by a table and sides by counting
ranks, and leaves out what the old books left out, where only one legal move would be described alike.
"""

import re
from collections.abc import Callable

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.descriptive import read_descriptive
from keyproof.grammar.moves import Effect, NotAMove, Sort
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import NotUnderstood, Statement, Turn
from keyproof.rules.board.resolve import captured_piece, meant_moves
from keyproof.rules.reading.reader import read
from keyproof.rules.reading.reading import State
from strategies import moves

# Common practice, no source: each file has the name of the man that stands on it at the start.
FILES = ("QR", "QKt", "QB", "Q", "K", "KB", "KKt", "KR")
LETTERS = {
    chess.KING: "K",
    chess.QUEEN: "Q",
    chess.ROOK: "R",
    chess.BISHOP: "B",
    chess.KNIGHT: "Kt",
    chess.PAWN: "P",
}


def scan(text: str) -> list[Statement]:
    return statements(text, [Span(0, len(text))])[0]


def turns(text: str) -> list[Turn]:
    return [statement for statement in scan(text) if isinstance(statement, Turn)]


def place(square: chess.Square, turn: chess.Color) -> str:
    """Name a square in full as the mover counts: e4 is K4 to White and K5 to Black."""
    rank = chess.square_rank(square) if turn == chess.WHITE else 7 - chess.square_rank(square)
    return f"{FILES[chess.square_file(square)]}{rank + 1}"


def half(square: chess.Square, turn: chess.Color) -> str:
    """Name a square without the side: c4 and f4 are both B4."""
    name = place(square, turn)
    return name[1:] if len(name) > 2 and name[0] in "KQ" and not name[1].isdigit() else name


Writer = Callable[[chess.Board, chess.Move], str]


def _ending(board: chess.Board, move: chess.Move) -> str:
    return "" if move.promotion is None else "=" + LETTERS[move.promotion]


def _castling(board: chess.Board, move: chess.Move) -> str:
    return "Castles KR" if board.is_kingside_castling(move) else "Castles QR"


def _man(board: chess.Board, move: chess.Move) -> str:
    kind = board.piece_type_at(move.from_square)
    assert kind is not None
    return LETTERS[kind]


def _victim(board: chess.Board, move: chess.Move) -> str | None:
    taken = captured_piece(board, move)
    return None if taken is None else LETTERS[taken]


def _file(square: chess.Square) -> str:
    return FILES[chess.square_file(square)]


def briefest(board: chess.Board, move: chess.Move) -> str:
    """Write "R-B1", "BxP"."""
    if board.is_castling(move):
        return _castling(board, move)
    victim = _victim(board, move)
    what = f"-{half(move.to_square, board.turn)}" if victim is None else f"x{victim}"
    return _man(board, move) + what + _ending(board, move)


def with_side(board: chess.Board, move: chess.Move) -> str:
    """Write "R-QB1", "BxKBP", "RPxP": the file's side, and of a pawn its file."""
    if board.is_castling(move):
        return _castling(board, move)
    victim, man = _victim(board, move), _man(board, move)
    if man == "P" and victim is not None:
        man = _file(move.from_square) + "P"
    if victim == "P":
        victim = _file(move.to_square) + "P"
    what = f"-{place(move.to_square, board.turn)}" if victim is None else f"x{victim}"
    return man + what + _ending(board, move)


def with_origin(board: chess.Board, move: chess.Move) -> str:
    """Write "R(K1)-QB1", "B(QKt2)xP"."""
    if board.is_castling(move):
        return _castling(board, move)
    victim, man = _victim(board, move), _man(board, move)
    man += f"({place(move.from_square, board.turn)})"
    what = f"-{place(move.to_square, board.turn)}" if victim is None else f"x{victim}"
    return man + what + _ending(board, move)


def fullest(board: chess.Board, move: chess.Move) -> str:
    """Write "R(K1)-QB1", "B(QKt2)xP(K5)"."""
    text = with_origin(board, move)
    if "x" not in text:
        return text
    ending = _ending(board, move)
    return text.removesuffix(ending) + f"({place(move.to_square, board.turn)})" + ending


LADDER: tuple[Writer, ...] = (briefest, with_side, with_origin, fullest)


def least(board: chess.Board, move: chess.Move) -> str:
    """Write as little as tells the move from every other legal one."""
    for write in LADDER:
        text = write(board, move)
        if sum(write(board, other) == text for other in board.legal_moves) == 1:
            return text
    raise AssertionError("the fullest form names every move")


@st.composite
def spelt(draw: st.DrawFn, text: str) -> str:
    """Print a move as one old book or another did."""
    knight = draw(st.sampled_from(("Kt", "Kt", "N", "S", "Kt.")))
    wide = draw(st.booleans())
    if text.startswith("Castles"):
        side = text[-2]
        return draw(st.sampled_from((f"Castles {side}R", f"Castles ({side}.R.)", f"castles {side} R")))
    dash = draw(st.sampled_from(("-", " to ", " - ", "—", "–")))
    takes = draw(st.sampled_from(("x", " x ", " takes ", " × ", " tks. ")))
    ordinal = draw(st.sampled_from((False, False, True)))
    out = []
    rest = text.split("=")[0]
    became = text[len(rest) :]
    index = 0
    while index < len(rest):
        sign = rest[index]
        if rest.startswith("Kt", index):
            out.append(knight)
            index += 2
        elif sign in "-x":
            out.append(dash if sign == "-" else takes)
            index += 1
        elif sign == "(":
            out.append(" (" if wide or out[-1].endswith(".") else "(")
            index += 1
        elif sign.isdigit():
            suffix = {"1": "st", "2": "nd", "3": "rd"}.get(sign, "th") if ordinal else ""
            name = draw(st.sampled_from(("sq", "1"))) if sign == "1" and not ordinal else sign
            if ordinal and draw(st.booleans()):
                out.append("'s")
            blank = wide or name == "sq" or ordinal or out[-1].endswith(".")
            out.append((" " if blank else "") + name + suffix)
            index += 1
        else:
            out.append(sign)
            index += 1
        letters = wide and index < len(rest) and rest[index].isalpha() and out[-1] not in (dash, takes, "(", " (")
        if letters and rest[index] != "x":
            out.append(" ")
    if became:
        man = became[1:]
        became = draw(st.sampled_from((f"={man}", f" ({man})", f"(={man})", f", becoming a {man}")))
    return "".join(out) + became


@given(moves(), st.data())
def test_the_least_that_tells_a_move_apart_means_it_alone(
    position: tuple[chess.Board, chess.Move], data: st.DataObject
) -> None:
    board, move = position
    text = data.draw(spelt(least(board, move)))
    assert meant_moves(board, read_descriptive(text)) == [move], text


@given(moves(), st.data())
def test_the_full_form_means_the_move_alone(position: tuple[chess.Board, chess.Move], data: st.DataObject) -> None:
    board, move = position
    text = data.draw(spelt(fullest(board, move)))
    assert meant_moves(board, read_descriptive(text)) == [move], text


@given(moves(), st.sampled_from(LADDER), st.data())
def test_every_form_means_the_move_among_those_described_alike(
    position: tuple[chess.Board, chess.Move], write: Writer, data: st.DataObject
) -> None:
    board, move = position
    text = write(board, move)
    alike = {other for other in board.legal_moves if write(board, other) == text}
    assert set(meant_moves(board, read_descriptive(data.draw(spelt(text))))) == alike, text


@given(moves(), st.sampled_from(LADDER), st.data())
def test_the_scan_finds_the_whole_move(
    position: tuple[chess.Board, chess.Move], write: Writer, data: st.DataObject
) -> None:
    board, move = position
    text = data.draw(spelt(write(board, move)))
    check = data.draw(st.sampled_from(("", " ch", " (ch.)", ", dis. ch", " dbl ch", "!")))
    frames = (("1. ", ", K moves"), ("1... ", " 2. P-K4"), ("If 1 ", "; and"), ("1.. ", ""))
    before, behind = data.draw(st.sampled_from(frames))
    line = before + text + check + behind
    (turn, *_) = turns(line)
    assert turn.choices[0].descriptive
    whole = text + check
    assert turn.choices[0].span.of(line) in (whole, whole.removesuffix("."))  # "R x Kt. 2." may end a sentence
    assert meant_moves(board, turn.choices[0]) == meant_moves(board, read_descriptive(text))


# Common practice, no source.
@pytest.mark.parametrize("turn", chess.COLORS, ids=["black", "white"])
def test_every_square_has_a_name_from_either_side(turn: chess.Color) -> None:
    for square in chess.SQUARES:
        board = chess.Board(None)
        start = square ^ 1  # beside it on the rank
        board.set_piece_at(start, chess.Piece(chess.QUEEN, turn))
        board.turn = turn
        assert meant_moves(board, read_descriptive(f"Q-{place(square, turn)}")) == [chess.Move(start, square)]


# Common practice, no source.
@pytest.mark.parametrize(
    ("text", "white", "black"),
    [
        ("K-K4", "e4", "e5"),
        ("K--K4", "e4", "e5"),
        ("K -- QR sq", "a1", "a8"),
        ("K-QR sq", "a1", "a8"),
        ("K to K Kt's 6th", "g6", "g3"),
        ("K to his 2nd", "e2", "e7"),
        ("K. to K. B's 3d", "f3", "f6"),
        ("K to his R's 7th", "h7", "h2"),
        ("K to Q's square", "d1", "d8"),
        ("K-QKt5", "b5", "b4"),
    ],
)
def test_squares_are_counted_from_the_movers_side(text: str, white: str, black: str) -> None:
    phrase = read_descriptive(text)
    assert phrase.destinations == chess.BB_SQUARES[chess.parse_square(white)]
    assert chess.flip_vertical(phrase.destinations) == chess.BB_SQUARES[chess.parse_square(black)]


def meant(fen: str, text: str) -> list[str]:
    board = chess.Board(fen)
    return sorted(move.uci() for move in meant_moves(board, read_descriptive(text)))


# Common practice, no source.
@pytest.mark.parametrize(
    ("fen", "text", "expected"),
    [
        ("4k3/8/8/8/8/8/8/R3K2R w - - 0 1", "R-B1", ["a1c1", "h1f1"]),
        ("4k3/8/8/8/8/8/8/R3K2R w - - 0 1", "R-QB1", ["a1c1"]),
        ("4k3/8/8/8/8/8/P6P/4K3 w - - 0 1", "P. one, or two", ["a2a3", "a2a4", "h2h3", "h2h4"]),
        ("4k3/8/8/8/8/8/P6P/4K3 w - - 0 1", "R P two", ["a2a4", "h2h4"]),
        ("4k3/8/8/8/8/8/P6P/4K3 w - - 0 1", "K R P one", ["h2h3"]),
        ("4k3/8/8/3p1p2/4P3/8/8/4K3 w - - 0 1", "P x P", ["e4d5", "e4f5"]),
        ("4k3/8/8/3p1p2/4P3/8/8/4K3 w - - 0 1", "P x Q P", ["e4d5"]),
        ("4k3/8/8/3p1p2/4P3/8/8/4K3 w - - 0 1", "P takes B P", ["e4f5"]),
        ("4k3/8/8/3p1p2/4P3/8/8/4K3 w - - 0 1", "K P takes P", ["e4d5", "e4f5"]),
        ("4k3/8/8/3p1p2/4P3/8/8/4K3 w - - 0 1", "K B P takes P", []),
        ("4k3/8/8/8/8/8/8/B1B1K3 w - - 0 1", "Q B to Kt 2", ["a1b2", "c1b2"]),  # both run on dark squares
        ("4k3/8/8/8/8/8/8/B1B1K3 w - - 0 1", "K B to Kt 2", []),
        ("4k3/8/8/8/8/2n5/1B6/4K3 w - - 0 1", "B-B3", ["b2c3"]),  # one move only, though its capture is not told
        ("7k/8/8/5R2/8/8/4K3/R4n2 w - - 0 1", "R-B1", ["a1c1"]),  # and where it can be none it is none
        ("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", "P queens", ["a7a8q"]),
        ("1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", "P x R, becoming a Kt", ["a7b8n"]),
        ("1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", "P to R 8 (Queens)", ["a7a8q"]),
        ("4k3/8/4K3/8/8/8/8/R6R w - - 0 1", "K R to K sq", ["h1e1"]),
        ("4k3/8/4K3/8/8/8/8/R6R w - - 0 1", "Q's R to K's sq.", ["a1e1"]),
        ("4k3/8/4K3/8/8/8/8/R6R w - - 0 1", "R to K sq", ["a1e1", "h1e1"]),
        ("4k3/8/8/8/R6P/8/8/R3K3 w - - 0 1", "R(4)-QR3", ["a4a3"]),
        ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "P x P e.p.", ["e5d6"]),
        ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "P takes P in passing", ["e5d6"]),
        ("r3k2r/8/8/8/8/8/8/R3K2R b KQkq - 0 1", "Castles (Q.R.)", ["e8c8"]),
        ("r3k2r/8/8/8/8/8/8/R3K2R b KQkq - 0 1", "K to K Kt sq", []),
    ],
)
def test_what_a_phrase_may_mean(fen: str, text: str, expected: list[str]) -> None:
    assert meant(fen, text) == expected


@pytest.mark.parametrize(
    ("text", "effect"),
    [
        ("Kt to K B's 5th (ch.)", Effect.check),
        ("Q-B6 dis. ch.", Effect.discovered_check),
        ("B-KB4 dbl ch", Effect.double_check),
        ("R x R P ch", Effect.check),
        ("Q-K8+", Effect.check),
        ("Q mates", Effect.mate),
    ],
)
def test_what_is_said_of_the_move(text: str, effect: Effect) -> None:
    phrase = read_descriptive(text)
    assert [said for said, _ in phrase.effects] == [effect]
    assert all(0 <= span.start < span.end <= len(text) for _, span in phrase.effects)


@pytest.mark.parametrize("text", ["K", "K-", "P-K9", "Q-4", "QxK4", "R-", "PxPx", "Kt-Kt", "", " ", "Qb5", "S.O.S."])
def test_what_is_no_move_says_so(text: str) -> None:
    with pytest.raises(NotAMove, match=r"is not a move in descriptive notation$"):
        read_descriptive(text)


# From memory: a consultation game of 1858, in the spelling of the English books that printed it
# from 1870 to 1930, and in algebraic notation.
PRINTED = """
1 P-K4 P-K4 2 Kt-KB3 P-Q3 3 P-Q4 B-KKt5 4 P x P B x Kt 5 Q x B P x P 6 B-QB4 Kt-KB3 7 Q-QKt3 Q-K2
8 Kt-B3 P-B3 9 B-KKt5 P-Kt4 10 Kt x P P x Kt 11 B x Kt P ch QKt-Q2 12 Castles QR R-Q1 13 R x Kt R x R
14 R-Q1 Q-K3 15 B x R ch Kt x B 16 Q-Kt8 ch Kt x Q 17 R-Q8 mate
"""
PLAYED = """
e4 e5 Nf3 d6 d4 Bg4 dxe5 Bxf3 Qxf3 dxe5 Bc4 Nf6 Qb3 Qe7 Nc3 c6 Bg5 b5 Nxb5 cxb5 Bxb5+ Nbd7 O-O-O Rd8
Rxd7 Rxd7 Rd1 Qe6 Bxd7+ Nxd7 Qb8+ Nxb8 Rd8#
"""


def test_a_whole_game_is_read_as_it_was_played() -> None:
    reading = read(chess.Board(), scan(PRINTED))
    assert not reading.not_understood
    assert {mention.state for mention in reading.mentions} == {State.read}
    board = chess.Board()
    played = [board.push_san(san) for san in PLAYED.split()]
    assert reading.mentions[-1].after[0].moves == played
    assert len(reading.mentions) == len(played)


COLUMNS = """
        WHITE.                    BLACK.
1. K to Kt 2              1. K to R 5
2. R to K 4, mate.
                      (a)
                          1. P to R 5
2. R to Kt 5, mate.
"""


def test_in_two_columns_the_right_one_is_blacks() -> None:
    assert [(turn.number.value, turn.number.second) for turn in turns(COLUMNS) if turn.number] == [
        (1, False),
        (1, True),
        (2, False),
        (1, True),
        (2, False),
    ]


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("1. R-K2      1. R-K3", [False, True]),
        ("   1. R-K2   |   1. R-K3\n   2. R-K4", [False, True, False]),
        ("1. R-K2, 1. R-K3", [False, False]),
        ("1. R-K2 1. R-K3", [False, False]),
        ("1. R-K2      2. R-K3", [False, False]),
    ],
)
def test_without_headings_a_number_printed_twice_with_a_gap_shows_columns(text: str, second: list[bool]) -> None:
    assert [turn.number.second for turn in turns(text) if turn.number] == second


@pytest.mark.parametrize(
    ("text", "sorts"),
    [
        ("1. ..., K moves; 2. Q mates.", [Sort.any_of_piece, Sort.any_of_piece]),
        ("1... Kt. any 2 Q-B6 mate", [Sort.any_of_piece, Sort.move]),
        ("1. K to B 4 (best.); 2. P. one, or two", [Sort.move, Sort.any_of_piece]),
    ],
)
def test_sets_of_moves_in_a_line(text: str, sorts: list[Sort]) -> None:
    assert [turn.choices[0].sort for turn in turns(text)] == sorts


# Prose of our own, with all that begins like a move.
@pytest.mark.parametrize(
    "text",
    [
        "Dr. R. Q. Smith and K. B. Jones of the Lindenhof Chess Circle",
        "Q and A with the editor. P.S. The Bulletin is late.",
        "Kt is the old sign of the knight, N the new one; B. is the bishop.",
        "See p. 4, Q. 5, K. 6 and section B 2.",
        "An R-rated film, a B-side, the Q-ship and a K-9 unit.",
        "B. takes the chair, and K. moves the vote of thanks.",
        "Plan B to be sure. Vitamin K to the rescue. R to L.",
        "The K and the Q stand side by side; his R's are gone.",
        "Room Q-12, gate B-52, road K-400, size P-10.",
        "Mr. B. Knight, K.C., P. One and Q. Two.",
        "The club's N. S. line; N to S, then back.",
        "From A to B 4 miles, then B to K 2 miles; the bus R to K 5 leaves at noon.",
        "Group B takes Q, R and S. B. takes P.'s place, K. takes B.'s seat.",
        "Mr. R. moves on, Mrs. B. moves next week. P one, P two and P three of the minutes.",
        "In B-flat, K-331, the R-1 road, the B-2 team, Q-4 results, 1-0 and 0-1.",
        "B. to K. 1st prize, R. to K. 5th June, P to his second wife, K to her first love.",
    ],
)
def test_prose_holds_no_move(text: str) -> None:
    said = [statement for statement in scan(text) if isinstance(statement, (Turn, NotUnderstood))]
    assert [statement.span.of(text) for statement in said] == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Solution.\n\nQ to B 6", ["Q to B 6"]),
        ("The key is Q-K5, for then B takes P fails.", ["Q-K5", "B takes P"]),
        ("The threat: Kt-B6 mate", ["Kt-B6"]),
        ("1.Kg2! (K-Kt2)", ["Kg2!", "K-Kt2"]),
        ("As our fathers wrote, R-QR8", ["R-QR8"]),
        ("Your Kt to B 7 fails. If P to Kt 7, then Q to B 4.", ["Kt to B 7", "P to Kt 7", "Q to B 4"]),
    ],
)
def test_what_stands_before_a_move_shows_that_it_is_one(text: str, found: list[str]) -> None:
    assert [turn.choices[0].text for turn in turns(text)] == found


@pytest.mark.parametrize("text", ["B-K5", "R-B1", "P-K9"])
def test_a_square_alone_may_be_another_thing_and_is_named(text: str) -> None:
    assert [s.text for s in scan(f"There is {text} in an old book.") if isinstance(s, NotUnderstood)] == [text]


_PARTS = st.sampled_from(
    re.split(" ", "Smith R. Q. K. B. Kt N. P.S. and to the 4 8 (ch) Q A B P - x of, mate Lindenhof")
)


@given(st.lists(_PARTS, max_size=9))
def test_no_move_without_its_verb(words: list[str]) -> None:
    """A move needs "to", a dash, a sign of capture or a word such as "moves"."""
    text = " ".join(words)
    for turn in turns(text):
        printed = turn.choices[0].text
        if turn.choices[0].descriptive:
            assert any(sign in printed for sign in ("to", "-", "x")), text


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1 K x P P x P", ["K x P", "P x P"]),
        ("1 Q x Q Kt x P", ["Q x Q", "Kt x P"]),
        ("1 K-Kt sq., P-R 4", ["K-Kt sq.", "P-R 4"]),
        ("1. B. takes P. (dis. ch.), K. moves.", ["B. takes P. (dis. ch.)", "K. moves"]),
        ("1. Q x P—K moves", ["Q x P", "K moves"]),
        ("1 R x R P moves", ["R x R", "P moves"]),
        ("If 1 Q's R to K sq, P (Q Kt's 5th) x P", ["Q's R to K sq", "P (Q Kt's 5th) x P"]),
        ("1. K. to K. Kt.'s 2d.   1. K. to R.'s 5th. (a.)", ["K. to K. Kt.'s 2d", "K. to R.'s 5th"]),
    ],
)
def test_where_one_move_ends_and_the_next_begins(text: str, found: list[str]) -> None:
    assert [turn.choices[0].text for turn in turns(text)] == found


@pytest.mark.parametrize(("text", "expected"), [("1 Kt-B6 ch", ["d5f6"]), ("1 Kt-B6", ["a5c6", "d5f6"])])
def test_a_check_tells_apart_what_the_squares_do_not(text: str, expected: list[str]) -> None:
    """Common practice, no source: "Kt-B6 ch" is enough where only one such move gives check."""
    (mention,) = read(chess.Board("6k1/8/8/N2N4/8/8/8/K7 w - - 0 1"), scan(text)).mentions
    assert sorted(node.move.uci() for node in mention.after if node.move) == expected
