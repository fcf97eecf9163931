"""What an archive tells: counted again by python-chess alone, which knows nothing of the survey."""

import json
from collections import Counter
from pathlib import Path

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.reports.survey import said_of_all
from keyproof.linter.survey import FIRST, Survey, canonical

from .conftest import FEN, SOUND, Keyproof


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    board = chess.Board(FEN)
    ways = {
        "a": board,
        "b": board.transform(chess.flip_horizontal),
        "c": board.mirror(),  # Black to move: the same problem, told of the other side
        "d": chess.Board("8/8/4N3/4R3/6k1/8/5K2/8 w - - 0 1"),
    }
    for name, each in ways.items():
        (tmp_path / f"{name}.txt").write_text(f"No. 1\n\nFEN: {each.fen()}\n\nMate in two.\n")
    (tmp_path / "e.txt").write_text(f"FEN: {FEN}\nMate in three.\n")
    (tmp_path / "f.md").write_text(SOUND)
    return tmp_path


def test_the_counts_are_those_of_the_files(archive: Path, keyproof: Keyproof) -> None:
    told = json.loads(keyproof("survey", "--as", "json", "--jobs", "1", str(archive)).stdout)
    tasks = Counter(task for task, of in told["verdicts"].items() for _ in range(sum(of.values())))
    assert told["files"] == 6
    assert tasks["#2"] == 5
    assert tasks["#3"] == 1
    assert told["puzzles"] == 6
    assert told["verdicts"]["#2"]["sound"] >= 4


def test_a_position_is_found_again_turned_and_in_other_colours(archive: Path, keyproof: Keyproof) -> None:
    told = json.loads(keyproof("survey", "--as", "json", "--jobs", "1", str(archive)).stdout)["repeated"]
    assert told["positions"] == 1
    (group,) = told["first"]
    assert [Path(place["path"]).name for place in group["places"]] == ["a.txt", "b.txt", "c.txt", "e.txt", "f.md"]
    assert group["turned"]
    assert "the task" in group["differ"]
    assert told["disagree"] == 1


def test_a_report_is_counted_like_the_files_it_tells_of(archive: Path, tmp_path: Path, keyproof: Keyproof) -> None:
    report = tmp_path / "report.jsonl"
    keyproof("check", "--as", "jsonl", "--jobs", "1", "-o", str(report), str(archive))
    assert keyproof("survey", str(report)).stdout == keyproof("survey", "--jobs", "1", str(archive)).stdout


def test_positions_that_are_not_listed_are_told_of() -> None:
    assert "listed" not in said_of_all(FIRST, 3)
    assert f"listed are {FIRST}," in said_of_all(FIRST + 1, 3)


def test_a_report_that_breaks_off_says_so(archive: Path, tmp_path: Path, keyproof: Keyproof) -> None:
    report = tmp_path / "report.jsonl"
    keyproof("check", "--as", "jsonl", "--jobs", "1", "-o", str(report), str(archive))
    report.write_bytes(report.read_bytes()[:-20])
    done = keyproof("survey", str(report))
    assert done.exit_code == 2
    assert "breaks off here" in done.stderr


def test_the_page_is_whole_and_says_what_the_text_says(archive: Path, tmp_path: Path, keyproof: Keyproof) -> None:
    page = tmp_path / "survey.html"
    assert keyproof("survey", "--as", "page", "-o", str(page), "--jobs", "1", str(archive)).exit_code == 0
    written = page.read_text("utf-8")
    assert "<svg" in written
    assert "Repeated positions" in written
    assert "http://" not in written.replace("http://www.w3.org", "")
    assert "a.txt:1" in written


@st.composite
def boards(draw: st.DrawFn) -> chess.Board:
    """Draw men on squares, with pawns or without."""
    letters = draw(st.lists(st.sampled_from("QRBNqrbn" + draw(st.sampled_from(["", "Pp"]))), max_size=6))
    squares = draw(st.permutations(range(8, 56)))
    board = chess.Board(None)
    for letter, square in zip(["K", "k", *letters], squares, strict=False):
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    board.turn = draw(st.booleans())
    return board


@given(boards())
def test_all_ways_to_see_a_position_are_one(board: chess.Board) -> None:
    ways = [chess.flip_horizontal]
    if not board.pawns:
        ways += [chess.flip_vertical, chess.flip_diagonal, chess.flip_anti_diagonal]
    for way in ways:
        assert canonical(board.transform(way)) == canonical(board)
    assert canonical(board.mirror()) == canonical(board)


@given(boards(), boards())
def test_other_men_are_another_position(one: chess.Board, other: chess.Board) -> None:
    if one.turn == other.turn and Counter(map(str, one.piece_map().values())) != Counter(
        map(str, other.piece_map().values())
    ):
        assert canonical(one) != canonical(other)


def test_pawns_and_castling_keep_a_board_as_it_is() -> None:
    pawns = chess.Board("8/8/8/8/8/4P3/4K3/k7 w - - 0 1")
    assert canonical(pawns) != canonical(pawns.transform(chess.flip_vertical))
    castling = chess.Board("4k3/8/8/8/8/8/8/4K2R w K - 0 1")
    without = chess.Board("4k3/8/8/8/8/8/8/4K2R w - - 0 1")
    assert canonical(castling) != canonical(without)
    assert canonical(castling) != canonical(castling.transform(chess.flip_horizontal))


def test_unsound_puzzles_are_told_by_kind() -> None:
    survey = Survey()
    line = {
        "path": "a", "line": 1, "title": "", "fen": None, "stipulation": "#2", "verdict": "unsound", "move_mentions": 1,
        "checked": 1, "findings": [{"rule": "second-key", "level": "error", "message": ""}],
    }  # fmt: skip
    survey.add(line)
    survey.add(line | {"findings": []})
    assert survey.unsound["second-key"] == 1
    assert survey.unsound.total() == 2
