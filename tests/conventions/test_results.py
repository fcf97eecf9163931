"""Wins and draws against the endgame tables that come with the python-chess source package."""

import random
from pathlib import Path

import chess
import pytest
from click.testing import CliRunner
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.board.endings import NoTables, Tables, settled
from source_package import data

__all__ = ["data"]  # the fixture


def found(text: str, tables: Path | None) -> list[str]:
    options = Options(tables=None if tables is None else str(tables))
    return [placed.finding.rule for placed in check_text("t.txt", text, options).findings]


def messages(text: str, tables: Path | None) -> list[str]:
    options = Options(tables=None if tables is None else str(tables))
    return [placed.finding.message for placed in check_text("t.txt", text, options).findings]


# King and pawn against king: with the king on the sixth rank before his pawn White wins, whoever
# moves; behind it he draws with Black's king in opposition (textbook rule, from memory; the tables
# of the package say the same). Black's king on d8 and the pawn on e5 belong to no such rule.
WON = "White: Ke6, Pe5; Black: Ke8\nWhite to play and win.\n"
DRAWN = "White: Kd5, Pe5; Black: Ke7\nBlack to play and draw.\n"


@pytest.mark.network
@pytest.mark.parametrize("format_of_tables", ["syzygy", "gaviota"])
def test_results_by_either_kind_of_table(data: Path, format_of_tables: str) -> None:
    tables = data / format_of_tables
    assert found(WON, tables) == []
    assert found(DRAWN, tables) == []
    assert found(WON.replace("win", "draw"), tables) == ["false-result"]
    assert found(DRAWN.replace("draw", "win"), tables) == ["false-result"]
    assert found(WON + "1.Kd6 Kd8 2.e6 Ke8 3.e7 Kf7 4.Kd7\n", tables) == []
    assert found(WON + "1.Kf6 Kf8 2.e6 Ke8 3.Kf5\n", tables) == ["move-spoils-result"]
    assert found(DRAWN + "1...Kd7 2.e6+ Ke7 3.Ke5 Kd8\n", tables) == ["move-spoils-result"]
    assert found(DRAWN + "1...Kd7 2.e6+ Ke7 3.Ke5 Ke8 4.Kd6 Kd8\n", tables) == []


@pytest.mark.network
def test_only_moves(data: Path) -> None:
    only = DRAWN + "1...Kd7 2.e6+ Ke7 3.Ke5 Ke8 (the only move) 4.Kd6 Kd8\n"
    assert found(only, data) == []
    assert found(WON + "1.Kd6 (the only move) Kd8\n", data) == ["another-move-keeps-result"]  # 1.Kf6 as well


@pytest.mark.network
def test_a_try_may_spoil_the_result(data: Path) -> None:
    assert found(WON + "Try: 1.Kf5? Ke7! The solution is 1.Kd6! Kd8 2.e6\n", data) == []


def test_without_tables_nothing_is_passed_as_right() -> None:
    assert messages(WON, None) == ["not proved: no endgame tables were given (--tables)"]


@pytest.mark.network
def test_what_no_table_covers_is_not_passed_as_right(data: Path) -> None:
    text = "White: Ke6, Pe5, Pa2, Pb2; Black: Ke8, Pa7, Pb7\nWhite to play and win.\n"
    assert messages(text, data) == ["not proved: no table covers it"]


@pytest.mark.network
def test_both_kinds_of_table_agree(data: Path) -> None:
    """Two formats, computed by different authors, on the endings of three men that both cover."""
    chance = random.Random(5)
    compared = 0
    with Tables(str(data / "syzygy")) as syzygy, Tables(str(data / "gaviota")) as gaviota:
        while compared < 300:
            board = chess.Board(None)
            men = "Kk" + chance.choice("QRPqrp")
            for square, symbol in zip(chance.sample(chess.SQUARES, 3), men, strict=True):
                board.set_piece_at(square, chess.Piece.from_symbol(symbol))
            board.turn = chance.random() < 0.5
            if board.is_valid() and settled(board) is None:
                assert syzygy.value(board) == gaviota.value(board), board.fen()
                compared += 1


@pytest.mark.parametrize(
    ("fen", "value"),
    [
        ("R5k1/5ppp/8/8/8/8/8/4K3 b - - 0 1", -1),  # FIDE Laws 5.1.1: mate
        ("7k/5K2/6Q1/8/8/8/8/8 b - - 0 1", 0),  # 5.2.1: stalemate
        ("7k/8/8/8/8/8/8/KN6 w - - 0 1", 0),  # 5.2.2: neither side can mate
        ("7k/8/8/8/8/8/8/KR6 w - - 0 1", None),
    ],
)
def test_what_needs_no_table(fen: str, value: int | None) -> None:
    assert settled(chess.Board(fen)) == value


def test_a_folder_without_tables_is_an_error_of_one_line(tmp_path: Path) -> None:
    with pytest.raises(NoTables, match="no endgame tables"):
        Tables(str(tmp_path))
    text = tmp_path / "t.txt"
    text.write_text(WON)
    for folder in (tmp_path, tmp_path / "none"):
        result = CliRunner().invoke(cli, ["check", "--tables", str(folder), str(text)])
        assert result.exit_code == 2
        assert result.output.startswith("keyproof: error: ")
        assert result.output.count("\n") == 1


def test_castling_rights_are_outside_the_tables(tmp_path: Path) -> None:
    (tmp_path / "KRvK.rtbw").write_bytes(b"not a table")
    with Tables(str(tmp_path)) as tables:
        assert tables.value(chess.Board("4k3/8/8/8/8/8/8/4K2R w K - 0 1")) is None
        assert tables.value(chess.Board("4k3/8/8/8/8/8/8/4K2R w - - 0 1")) is None  # a broken file is not trusted
