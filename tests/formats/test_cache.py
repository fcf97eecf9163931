"""Proofs kept between runs."""

import pickle
import sqlite3
import subprocess
import sys
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import chess
import pytest
from click.testing import CliRunner, Result
from keyproof.linter import cache
from keyproof.linter.cli import cli
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof import memory, native, plain, prover
from keyproof.rules.proof.limits import Cancel

from .texts import COLUMN, FEN

TWO = Stipulation.parse("#2")


# A mate in four that is not there: costly enough for the kernel to be worth keeping.
COSTLY = "1k6/3b1p2/1n1p2p1/2p1r3/2P1N3/1P1B1P2/3R2P1/1K6 w - - 0 1"
FOUR = Stipulation.parse("#4")


@pytest.fixture(autouse=True)
def everything(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the cheapest proofs too, so that small puzzles serve for the tests."""
    monkeypatch.setattr(memory, "WORTH_KEEPING", dict.fromkeys(memory.WORTH_KEEPING, -1))


@pytest.fixture(autouse=True)
def let_go() -> Iterator[None]:
    """No store of a test outlives it."""
    yield
    cache._begun = None
    memory.use(None)
    if cache._store is not None:
        cache._store.close()
        cache._store = None


@pytest.fixture
def searches(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The searches that were really made, each noted when it begins."""
    made: list[str] = []

    def noting(search: Callable[..., object]) -> Callable[..., object]:
        def noted(*args: object, **more: object) -> object:
            made.append(search.__name__)
            return search(*args, **more)

        return noted

    monkeypatch.setattr(native, "_run", noting(native._run))
    monkeypatch.setattr(plain.Attack, "__init__", noting(plain.Attack.__init__))
    return made


def run(folder: Path, *more: str) -> Result:
    (folder / "a.md").write_text(COLUMN, encoding="utf-8")
    cache._begun = None  # as in a new process
    return CliRunner().invoke(cli, ["check", *more, str(folder / "a.md")])


def test_an_unchanged_puzzle_is_not_searched_again(tmp_path: Path, searches: list[str]) -> None:
    first = run(tmp_path)
    assert searches
    searches.clear()
    second = run(tmp_path)
    assert searches == []
    assert second.output == first.output
    assert second.exit_code == first.exit_code == 0


def test_fresh_searches_and_keeps_what_it_finds(tmp_path: Path, searches: list[str]) -> None:
    run(tmp_path, "--fresh")
    made = len(searches)
    run(tmp_path, "--fresh")
    assert len(searches) == 2 * made > 0
    run(tmp_path)
    assert len(searches) == 2 * made


def test_another_effort_or_prover_is_another_question(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache.begin()
    board = chess.Board(FEN)
    prover.prove(board, TWO, effort=1)
    prover.prove(board, TWO, effort=2)
    monkeypatch.setenv("KEYPROOF_PROVER", "plain")
    prover.prove(board, TWO, effort=2)
    assert len(questions(kept)) == (3 if native.kernel is not None else 2)


def test_another_kernel_is_another_question(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    known = memory.prover_version("plain")
    for name in memory._MAKERS:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes((memory._RULES / name).read_bytes())
    monkeypatch.setattr(memory, "_RULES", tmp_path)
    memory.prover_version.cache_clear()
    assert memory.prover_version("plain") == known
    for name in memory._MAKERS:
        kept = (tmp_path / name).read_bytes()
        (tmp_path / name).write_text("# another")
        memory.prover_version.cache_clear()
        assert memory.prover_version("plain") != known
        (tmp_path / name).unlink()
        memory.prover_version.cache_clear()
        with pytest.raises(FileNotFoundError):
            memory.prover_version("plain")
        (tmp_path / name).write_bytes(kept)
    memory.prover_version.cache_clear()


def test_what_is_kept_is_what_was_found(kept: Path) -> None:
    board = chess.Board(FEN)
    found = prover.prove(board, TWO)
    mates = prover.mating_moves(board, 2)
    cache.begin()
    prover.prove(board, TWO)
    prover.mating_moves(board, 2)
    again, mates_again = prover.prove(board, TWO), prover.mating_moves(board, 2)
    assert (again.keys, again.attempts, again.play, again.set_play) == (
        found.keys,
        found.attempts,
        found.play,
        found.set_play,
    )
    assert mates_again == mates


@pytest.mark.skipif(native.kernel is None, reason="the kernel was not built")
def test_only_what_takes_longer_to_search_than_to_remember_is_kept(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(memory, "WORTH_KEEPING", {"native": 20_000, "plain": 0})
    cache.begin()
    assert prover.prove(chess.Board(FEN), TWO).searched.positions < 20_000
    assert questions(kept) == []
    found = prover.prove(chess.Board(COSTLY), FOUR, effort=0.2)
    assert found.searched.positions > 20_000
    assert len(questions(kept)) == 1
    assert prover.prove(chess.Board(COSTLY), FOUR, effort=0.2) == found


def test_a_search_that_was_cut_short_is_not_kept(kept: Path) -> None:
    cache.begin()
    stop = Cancel()
    stop.cancel()
    prover.prove(chess.Board(FEN), TWO, cancel=stop)
    prover.prove(chess.Board(FEN), TWO, seconds=1000)
    assert questions(kept) == []


def questions(kept: Path) -> list[str]:
    with sqlite3.connect(kept / "proofs.sqlite") as database:
        found = [row[0] for row in database.execute("SELECT question FROM proofs")]
    database.close()
    return found


@pytest.mark.parametrize("damage", [b"no database at all", b"", bytes(5000)])
def test_a_damaged_file_is_begun_anew_with_a_warning(tmp_path: Path, kept: Path, damage: bytes) -> None:
    run(tmp_path)
    assert cache._store is not None
    cache._store.close()
    for beside in kept.glob("proofs.sqlite-*"):
        beside.unlink()
    (kept / "proofs.sqlite").write_bytes(damage)
    result = run(tmp_path)
    assert result.exit_code == 0
    warned = "were damaged" in result.stderr
    assert warned is bool(damage)  # an empty file is a database without tables
    assert "No fault was found" in result.stdout
    assert questions(kept)
    assert run(tmp_path).stderr == ""


def test_damage_in_the_middle_costs_only_the_proofs(tmp_path: Path, kept: Path) -> None:
    run(tmp_path)
    assert cache._store is not None
    cache._store.close()
    data = bytearray((kept / "proofs.sqlite").read_bytes())
    data[4096:] = bytes(b ^ 0x5A for b in data[4096:])
    (kept / "proofs.sqlite").write_bytes(data)
    assert run(tmp_path).exit_code == 0
    assert run(tmp_path).stderr == ""


@pytest.mark.parametrize(
    "answer",
    [
        b"",
        zlib.compress(b"no pickle"),
        zlib.compress(pickle.dumps(["no proof"])),
        zlib.compress(b"cos\nsystem\n(S'exit 1'\ntR."),  # would run a command, were it not refused
    ],
)
def test_an_answer_that_is_no_proof_is_searched_again(kept: Path, answer: bytes) -> None:
    cache.begin()
    board = chess.Board(FEN)
    found = prover.prove(board, TWO)
    with sqlite3.connect(kept / "proofs.sqlite") as database:
        database.execute("UPDATE proofs SET answer = ?", (answer,))
    database.close()
    assert prover.prove(board, TWO).keys == found.keys


def test_a_folder_that_takes_no_file_is_done_without(tmp_path: Path, kept: Path) -> None:
    kept.write_text("a file where the folder should be")
    result = run(tmp_path)
    assert result.exit_code == 0
    assert result.stderr.startswith("keyproof: warning: no proofs can be kept in ")


def test_an_empty_variable_keeps_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KEYPROOF_CACHE", "")
    assert cache.folder() is None
    assert cache.begin() == []
    assert cache._store is None


def test_the_usual_folder_is_the_users_own(monkeypatch: pytest.MonkeyPatch) -> None:
    from platformdirs import user_cache_dir

    monkeypatch.delenv("KEYPROOF_CACHE")
    assert str(cache.folder()) == user_cache_dir("keyproof", appauthor=False)


def test_only_so_many_proofs_are_kept(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST_PROOFS", 100)
    store = cache.ProofStore(kept / "proofs.sqlite")
    for number in range(500):
        store.keep(f"question {number}", b"answer")
    store.close()
    assert 100 <= len(questions(kept)) < 170
    assert questions(kept)[-1] == "question 499"


def test_processes_share_the_file(tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KEYPROOF_PROVER", "plain")  # its proofs are all worth keeping
    (tmp_path / "a.md").write_text(COLUMN, encoding="utf-8")
    command = [sys.executable, "-m", "keyproof.linter", "check", str(tmp_path / "a.md")]
    together = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(4)]
    for process in together:
        out, complaint = process.communicate(timeout=120)
        assert (process.returncode, complaint) == (0, "")
        assert "No fault was found" in out
    assert questions(kept)
