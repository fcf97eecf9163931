"""`keyproof prove`: what it prints of a proof. All positions are invented; the lines were replayed by hand."""

import json
import re
from pathlib import Path

import chess
import pytest
from keyproof.linter.positions import NotAPosition, board_of
from keyproof.linter.reports import position, proof
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove

from .conftest import FEN, SOUND, Keyproof


def shown(fen: str, symbol: str, **settings: float) -> list[str]:
    return [line.text for line in proof.report(prove(chess.Board(fen), Stipulation.parse(symbol), **settings))]  # type: ignore[arg-type]


def section(lines: list[str], title: str) -> list[str]:
    """Return the lines from the one that starts with `title` to the next blank one."""
    start = next(index for index, line in enumerate(lines) if line.startswith(title))
    return lines[start : lines.index("", start)]


def test_a_waiting_key() -> None:
    lines = shown(FEN, "#2")
    assert lines[:15] == [
        "     -------------------------",
        "   8|    .     .     .     .  |",
        "   7| .     .     .     .     |",
        "   6|    .     .  N  .     .  |",
        "   5| .     .     R     .  p  |",
        "   4|    .     .     .  k  .  |",
        "   3| .     .     .     .     |",
        "   2|    .     .     K     .  |",
        "   1| .     .     .     .     |",
        "     -------------------------",
        "      a  b  c  d  e  f  g  h",
        "     (3+2) White to play, mate in two (#2)",
        "     White: Kf2, Re5, Ne6",
        "     Black: Kg4, h5",
        "",
    ]
    assert lines[15] == "Sound: one key, and none shorter."
    assert section(lines, "Key") == [
        "Key: 1.Kg2!  (no threat: Black is in zugzwang)",
        "  1...Kh4   2.Re4#",
        "  1...h4    2.Rg5#",
    ]
    assert section(lines, "Tries")[:2] == ["Tries, each with its only refutation:", "  1.Rxh5?       but 1...Kxh5!"]
    assert max(map(len, lines)) <= 80
    assert lines[-1].startswith("Searched ")
    assert lines[-1].endswith("; every question was decided.")


def test_the_dark_squares_are_dotted() -> None:
    # FIDE Laws 2.1: a1 is dark, h1 is light.
    rows = [line.text for line in position.drawn(chess.Board(None))]
    drawn = {chess.square(file, rank): rows[8 - rank][5 + 3 * file + 1] for file in range(8) for rank in range(8)}
    assert {square for square, sign in drawn.items() if sign == "."} == set(chess.SquareSet(chess.BB_DARK_SQUARES))
    assert all(len(row) <= 31 for row in rows)
    assert len(rows) == 11


def test_every_man_stands_where_it_is_drawn() -> None:
    rows = [line.text for line in position.drawn(chess.Board())]
    assert rows[1] == "   8| r  n  b  q  k  b  n  r  |"
    assert rows[8] == "   1| R  N  B  Q  K  B  N  R  |"
    assert position.men(chess.Board(), chess.BLACK).startswith("Ke8, Qd8, Ra8, Rh8, Bc8, Bf8, Nb8, Ng8, a7, b7")
    assert position.count(chess.Board()) == "(16+16)"


@pytest.mark.parametrize(
    ("fen", "symbol", "verdict"),
    [
        ("k7/8/1K6/8/8/8/8/7R w - - 0 1", "#1", "Sound: one key, and none shorter."),
        ("k7/8/1K6/8/8/8/8/6RR w - - 0 1", "#1", "Unsound: two keys where there should be one."),
        ("k7/8/1K6/8/8/8/8/7R w - - 0 1", "#2", "Unsound: a shorter solution, mate in one, exists."),
        ("k7/8/8/8/8/8/8/K6R w - - 0 1", "#2", "Unsound: no first move of White forces mate in two."),
        ("7K/8/6q1/8/8/8/8/k7 w - - 0 1", "#2", "Impossible: White has no legal move."),
    ],
)
def test_verdicts_give_their_reason(fen: str, symbol: str, verdict: str) -> None:
    # Sound, cook, short solution, no solution: WFCC Codex, Art. 9 to 11.
    assert verdict in shown(fen, symbol)


def test_an_unproved_position_says_how_far_it_got() -> None:
    lines = shown("k7/8/8/8/8/8/8/K6R w - - 0 1", "#9", effort=0.0001)
    verdict = next(line for line in lines if line.startswith("Unproved"))
    assert verdict.startswith("Unproved: the search ended before this was decided (")
    assert "not every question was decided" in lines[-1]
    assert not any(line.startswith(("Sound", "Unsound")) for line in lines)


@pytest.mark.parametrize(
    ("fen", "rows"),
    [
        (
            "8/6p1/8/2kp4/Q5R1/b7/N7/7K w - - 0 1",
            [
                "Key: 1.Rg6!  (threat: 2.Rc6#)",
                "  1...Bb4        2.Qxb4#",
                "  1...d4         2.Qc6#",
                "  1...Bb2, Bc1   2.Qb4#, Rc6#  (the threat and one more)",
            ],
        ),
        (
            "8/8/8/2p2K2/1p1k4/1Q6/6N1/8 w - - 0 1",
            [
                "Key: 1.Ke6!  (no threat: Black is in zugzwang)",
                "  1...c4    2.Qe3#",
                "  1...Ke4   2.Qd5#, Qe3#  (dual)",
            ],
        ),
        (
            "b7/4Q3/4Rp2/3p4/N4K2/7k/8/8 w - - 0 1",
            [
                "Key: 1.Re2!  (threat: 2.Qh7#)",
                "  1...Kh4                2.Rh2#, Qh7#  (the threat and one more)",
                "  1...Bb7, Bc6, d4, f5   2.Qh7#  (the threat)",
            ],
        ),
    ],
)
def test_defences_grouped_by_answer(fen: str, rows: list[str]) -> None:
    assert section(shown(fen, "#2"), "Key") == rows
    # The same with python-chess alone: every reply to the key, and every move that mates after it.
    board = chess.Board(fen)
    board.push_san(rows[0].removeprefix("Key: 1.").split("!")[0])
    expected = {board.san(reply): mates_after(board, reply) for reply in board.legal_moves}
    printed: dict[str, set[str]] = {}
    for row in rows[1:]:
        match = re.fullmatch(r"  1\.\.\.(.*?)  +2\.(.*?)(  \(.*\))?", row)
        assert match
        printed |= {reply: set(match[2].split(", ")) for reply in match[1].split(", ")}
    assert printed == expected


def mates_after(board: chess.Board, reply: chess.Move) -> set[str]:
    after = board.copy()
    after.push(reply)
    return {san for san in map(after.san, after.legal_moves) if san.endswith("#")}


@pytest.mark.parametrize(
    ("fen", "symbol", "caption", "rows"),
    [
        (
            "8/8/7R/K1k5/8/1q2Pr2/4Q3/8 w - - 0 1",
            "s#1",
            "(4+3) White to play, selfmate in one (s#1)",
            ["Key: 1.Qb5+!  (with check)", "  1...Qxb5#   is what was asked for"],
        ),
        (
            "8/8/2p4Q/8/3k1P2/8/3K4/8 w - - 0 1",
            "=1",
            "(3+2) White to play, stalemate in one (=1)",
            ["Key: 1.Qxc6!  (stalemate at once)"],
        ),
        (
            "8/8/k1R5/8/6P1/2K5/6p1/8 b - - 0 1",
            "h#2",
            "(3+2) Black begins, helpmate in two (h#2)",
            ["Solutions:", "  1.Ka5 Kc4 2.Ka4 Ra6#"],
        ),
        (
            "8/8/2K5/8/2k5/3p4/3P2R1/8 w - - 0 1",
            "h#1.5",
            "(3+2) White begins, helpmate in one and a half (h#1.5)",
            ["Solutions:", "  1...Kd6 2.Kd4 Rg4#"],
        ),
        (
            "8/8/5Q2/p7/8/k7/2K5/8 b - - 0 1",
            "h=1",
            "(2+2) Black begins, helpstalemate in one (h=1)",
            ["Solutions:", "  1.Ka4 Qb2"],
        ),
    ],
)
def test_every_genre(fen: str, symbol: str, caption: str, rows: list[str]) -> None:
    # Genres and who begins: WFCC Codex; the numbers of help play as columns print them (common practice, no source).
    lines = shown(fen, symbol)
    assert f"     {caption}" in lines
    assert section(lines, rows[0].split(":")[0]) == rows
    board = chess.Board(fen)
    for san in re.findall(r"[KQRBN]?[a-h]?x?[a-h][1-8][+#]?", " ".join(rows)):
        board.push_san(san)
    if "=" in symbol:
        assert board.is_stalemate()
    else:
        assert board.is_checkmate()


@pytest.mark.parametrize(
    ("fen", "message"),
    [
        ("hello", "neither a file nor a position: 'hello'"),
        ("", "neither a file nor a position: ''"),
        ("8/8/8/8/8/8/8/9 w - - 0 1", "not a FEN: "),
        (f"{FEN} {FEN}", "more than a position"),
        (f"{FEN} and more", "more than a position"),
    ],
)
def test_what_is_no_position_says_why(fen: str, message: str) -> None:
    with pytest.raises(NotAPosition) as caught:
        board_of(fen, chess.WHITE)
    assert str(caught.value).startswith(message)


def test_fields_a_fen_leaves_out_are_filled_by_convention() -> None:
    # WFCC Codex 16(1): castling is allowed with king and rook at home; a stated "-" stands.
    home = "4k3/8/8/8/8/8/8/4K2R"
    assert board_of(home, chess.BLACK).fen() == f"{home} b K - 0 1"
    assert board_of(f"{home} w", chess.BLACK).fen() == f"{home} w K - 0 1"
    assert board_of(f"{home} w -", chess.BLACK).fen() == f"{home} w - - 0 1"


@pytest.mark.parametrize(
    ("fen", "message"),
    [
        ("8/8/4N3/4R2p/8/8/5K2/8 w - - 0 1", "there is no black king"),
        ("8/8/4N3/4R2p/6k1/5K2/8/8 b - - 0 1", "not to move is in check"),
        ("8/8/4N3/4R2p/6k1/8/5K2/7P w - - 0 1", "first or eighth rank"),
    ],
)
def test_what_cannot_be_played_says_why(keyproof: Keyproof, fen: str, message: str) -> None:
    result = keyproof("prove", fen, "--stipulation", "#2")
    assert result.exit_code == 2
    assert result.stderr.startswith("keyproof: error: the position cannot be played: ")
    assert message in result.stderr
    assert result.stdout == ""


def test_json_of_a_position(keyproof: Keyproof) -> None:
    result = keyproof("prove", FEN, "--stipulation", "#2", "--as", "json")
    shown = json.loads(result.stdout)
    searched = shown.pop("searched")
    assert searched["complete"] is True
    assert searched["positions"] > 0
    assert shown["verdict"] == "sound"
    assert shown["keys"] == ["Kg2"]
    assert shown["shortest"] == 2
    assert shown["tries"] == [{"move": "Rxh5", "refutations": ["Kxh5"]}]
    assert shown["threats"] == []
    assert shown["zugzwang"] is True
    assert shown["defences"] == [{"move": "Kh4", "answers": ["Re4#"]}, {"move": "h4", "answers": ["Rg5#"]}]


FILE = (
    SOUND
    + "\nNo. 2\nFEN: k7/8/1K6/8/8/8/8/6RR w - - 0 1\nMate in one.\n"
    + "\nNo. 3\nFEN: k7/8/1K6/8/8/8/8/7R w - - 0 1\n1.Rh8#\n"
)


@pytest.fixture
def bulletin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bulletin.txt").write_text(FILE)


@pytest.mark.usefixtures("bulletin")
def test_every_puzzle_of_a_file(keyproof: Keyproof) -> None:
    result = keyproof("prove", "bulletin.txt")
    assert result.exit_code == 2
    assert [line for line in result.stdout.splitlines() if line.startswith("bulletin.txt")] == [
        "bulletin.txt, line 1: No. 1 The waiting king",
        "bulletin.txt, line 6: No. 2",
    ]
    assert result.stderr == "bulletin.txt:10:1: error: no stipulation was found: add --stipulation\n"
    named = keyproof("prove", "bulletin.txt", "--stipulation", "#1")
    assert named.exit_code == 1
    assert named.stderr == ""


@pytest.mark.usefixtures("bulletin")
def test_json_of_a_file(keyproof: Keyproof) -> None:
    shown = json.loads(keyproof("prove", "bulletin.txt", "--as", "json").stdout)
    assert shown["path"] == "bulletin.txt"
    assert [(entry["line"], entry.get("verdict"), bool(entry["error"])) for entry in shown["puzzles"]] == [
        (1, "sound", False),
        (6, "unsound", False),
        (10, None, True),
    ]


def test_more_men_than_a_game_leaves_are_impossible_and_proved_all_the_same(keyproof: Keyproof) -> None:
    # FIDE Laws, the initial array: eight pawns.
    result = keyproof("prove", "k7/8/2K5/8/8/PPPPP3/PPPP4/1Q6 w - - 0 1", "--stipulation", "#2")
    assert "Impossible: White has 9 pawns; 8 is the most." in result.stdout
    assert "Tries, each with its only refutation:" in result.stdout
    assert result.exit_code == 1
    result = keyproof("prove", "k7/8/2K5/8/8/PPPP4/PPPP4/1Q6 w - - 0 1", "--stipulation", "#2")
    assert "Impossible" not in result.stdout
