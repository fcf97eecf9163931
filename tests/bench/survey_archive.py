"""A survey of an archive that nobody has read, held against python-chess alone.

Run it from the root of the checkout: `python tests/bench/survey_archive.py FOLDER [PUZZLES]`. It writes an archive of
EPD records into the folder: mates in one and in two with men put on squares at random, sound or not, keys right and
wrong, and positions that come again, turned, mirrored or in the other colours. It checks them into report.jsonl, makes
survey.json and survey.html of that, and compares every count with what python-chess says: all mates in one, all
repeats, and the verdicts of some mates in two, played out move by move.
"""

import json
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import chess
import puzzles
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove

SAMPLE = 300  # mates in two that are played out
FILES = 20
ONE = Stipulation.parse("#1")
SIDES = ("horizontal", "vertical", "diagonal", "anti_diagonal")


def board_of(chance: random.Random) -> chess.Board:
    """Return men on squares at random, White to move and nobody in check."""
    while True:
        board = chess.Board(None)
        for letter, square in zip(chance.choice(puzzles.MEN), chance.sample(range(64), 10), strict=False):
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        if board.is_valid() and not board.is_check() and any(board.legal_moves):
            return board


def turned(board: chess.Board, chance: random.Random) -> chess.Board:
    """Return a position laid on itself otherwise, perhaps in the other colours."""
    if board.pawns:
        board = board.transform(chess.flip_horizontal)
    else:
        board = board.transform(getattr(chess, f"flip_{chance.choice(SIDES)}"))
    return board.mirror() if chance.random() < 0.5 else board


def records(number: int, seed: int) -> Iterator[str]:
    """Yield records of EPD."""
    chance, kept = random.Random(seed), list[tuple[chess.Board, int]]()
    sound = puzzles.positions(seed)
    for each in range(1, number + 1):
        if kept and chance.random() < 0.1:
            board, moves = chance.choice(kept)
            board = turned(board, chance)
        else:
            board, moves = board_of(chance), chance.choice((1, 1, 2, 2, 2))
            if moves == 2 and chance.random() < 0.5:
                board = next(sound)
            elif moves == 1 and chance.random() < 0.8:
                while not mates(board, 1):
                    board = board_of(chance)
            kept.append((board, moves))
        keys = prove(board, ONE if moves == 1 else puzzles.TWO).keys
        choice = chance.random()
        told = keys[0] if keys and choice < 0.9 else chance.choice(list(board.legal_moves))
        key = f"bm {board.san(told)}; " if choice < 0.95 else ""
        yield f'{" ".join(board.fen().split()[:4])} dm {moves}; {key}id "No. {each}";\n'


def same(board: chess.Board) -> str:
    """Return what stands for a position whichever way it is laid, by the transformations of python-chess."""
    board = board if board.turn == chess.WHITE else board.mirror()
    ways = [board, board.transform(chess.flip_horizontal)]
    if not board.pawns:
        ways += [each.transform(chess.flip_vertical) for each in ways]
        ways += [each.transform(chess.flip_diagonal) for each in ways]
    return min(each.board_fen() for each in ways)


def mates(board: chess.Board, moves: int) -> bool:
    """Tell whether the side to move mates in so many moves at the most."""
    return any(_does(board, move, moves) for move in list(board.legal_moves))


def _does(board: chess.Board, move: chess.Move, moves: int) -> bool:
    board.push(move)
    try:
        if moves == 1 or board.is_checkmate():
            return board.is_checkmate()
        return any(board.legal_moves) and all(_answered(board, reply, moves - 1) for reply in list(board.legal_moves))
    finally:
        board.pop()


def _answered(board: chess.Board, reply: chess.Move, moves: int) -> bool:
    board.push(reply)
    try:
        return mates(board, moves)
    finally:
        board.pop()


def verdict(board: chess.Board, moves: int) -> str:
    """Return what a puzzle is: sound where one key mates in just so many moves."""
    keys = [move for move in list(board.legal_moves) if _does(board, move, moves)]
    short = moves > 1 and any(_does(board, move, moves - 1) for move in list(board.legal_moves))
    return "sound" if len(keys) == 1 and not short else "unsound"


def counts(lines: list[str], chance: random.Random) -> tuple[Counter[str], int, dict[int, str]]:
    """Return by python-chess alone the puzzles of each task and verdict, repeated positions, and some verdicts."""
    found: Counter[str] = Counter()
    positions: Counter[str] = Counter()
    two: list[tuple[int, chess.Board]] = []
    for number, line in enumerate(lines, 1):
        board, told = chess.Board.from_epd(line)
        moves = int(str(told["dm"]))
        positions[same(board)] += 1
        if moves == 1:
            found[f"#1 {verdict(board, 1)}"] += 1
        else:
            found["#2"] += 1
            two.append((number, board))
    some = {number: verdict(board, 2) for number, board in chance.sample(two, min(SAMPLE, len(two)))}
    return found, sum(count > 1 for count in positions.values()), some


def main(folder: Path, number: int) -> int:
    """Make, check, survey, compare, and return the status."""
    lines = list(records(number, seed=29))
    made = folder / "archive"
    made.mkdir(parents=True)
    size = -(-len(lines) // FILES)
    for place in range(0, len(lines), size):
        (made / f"{place // size:02}.epd").write_text("".join(lines[place : place + size]), "utf-8")
    report, run = folder / "report.jsonl", [sys.executable, "-m", "keyproof.linter"]
    began = time.process_time()
    subprocess.run([*run, "check", "--as", "jsonl", "-o", str(report), str(made)], check=False)
    subprocess.run([*run, "survey", str(report), "--as", "json", "-o", str(folder / "survey.json")], check=True)
    subprocess.run([*run, "survey", str(report), "--as", "page", "-o", str(folder / "survey.html")], check=True)
    told = json.loads((folder / "survey.json").read_text("utf-8"))
    found, repeated, some = counts(lines, random.Random(1))
    verdicts = {}
    for line in map(json.loads, report.read_text("utf-8").splitlines()):
        if "verdict" in line:
            verdicts[int(line["title"].split()[-1])] = line["verdict"]
    compared = [
        ("puzzles", told["puzzles"], len(lines)),
        *((name, told["verdicts"]["#1"].get(name[3:], 0), found[name]) for name in ("#1 sound", "#1 unsound")),
        ("#2", sum(told["verdicts"]["#2"].values()), found["#2"]),
        ("positions that stand more than once", told["repeated"]["positions"], repeated),
        ("mates in two played out, with the same verdict", sum(verdicts[n] == v for n, v in some.items()), len(some)),
    ]
    print("| what | survey | python-chess alone |\n|---|---|---|")
    for what, ours, theirs in compared:
        print(f"| {what} | {ours:,} | {theirs:,} |")
    print(f"\n{time.process_time() - began:.0f} s of this process", file=sys.stderr)
    return int(any(ours != theirs for _, ours, theirs in compared))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000))
