"""Puzzles made on the spot, each different, proved and written out by the project itself.

Men are put on squares at random until there is just one key. Nothing about them is known but what python-chess and the
prover say, and the same seed gives the same puzzles.
"""

import random
from collections.abc import Iterable, Iterator

import chess
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove
from keyproof.rules.writing.draft import NoDraft, draft
from keyproof.rules.writing.voices import written

MEN = ("KQRNkp", "KQBNkp", "KRRNkp", "KQRBknp", "KRBNPkpp", "KQNNkrp", "KQRPkbn", "KRRBNkpp")
TWO = Stipulation.parse("#2")


def positions(seed: int = 1) -> Iterator[chess.Board]:
    """Yield positions with exactly one key to a mate in two, none twice."""
    chance = random.Random(seed)
    known: set[str] = set()
    while True:
        board = chess.Board(None)
        for letter, square in zip(chance.choice(MEN), chance.sample(range(64), 10), strict=False):
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        if not board.is_valid() or board.is_check() or board.board_fen() in known:
            continue
        proof = prove(board, TWO)
        if proof.verdict == "sound":
            known.add(board.board_fen())
            yield board


def solved(seed: int = 1) -> Iterator[str]:
    """Yield such puzzles as a column prints them: position, stipulation, solution."""
    for board in positions(seed):
        try:
            yield "\n\n".join(written(draft(board, TWO), "column"))
        except NoDraft:
            continue


def column(puzzles: Iterable[str]) -> str:
    """Print puzzles as one Markdown file, numbered."""
    return "\n".join(f"## No. {number}\n\n{puzzle}\n" for number, puzzle in enumerate(puzzles, start=1))
