"""Write corpus/published: the solution texts of the problems in tests/data/published.jsonl, every line proved.

To add a problem, append its line to that file (FEN, stipulation, `key_san`, composer, source, year;
first printed 1870 to 1930) and run this file. A problem is refused unless its printed key is the
only one. `COLUMNS` says which problems go into which file, and how that file prints a move.
"""

import json
import re
import textwrap
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import chess
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.proof import Answer, FirstMove, KeyPlay, Proof
from keyproof.rules.proof.prover import Branch, prove, tree
from msgspec.structs import replace

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "corpus" / "published"
PROBLEMS = ROOT / "tests" / "data" / "published.jsonl"

Problem = dict[str, Any]

_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
_MOST_TRIES = 4
_MOST_ANSWERS = 3  # beyond which a defence met by short play is left out
_FEW = 4  # replies, up to which they are named where "any other" would do


@dataclass(frozen=True)
class Column:
    """One file of corpus/published: its name, its heading, the problems it takes and its notation."""

    name: str
    heading: str
    takes: Callable[[Problem], bool]
    knight: str = "N"
    mate: str = "#"
    capture: str = "x"
    promotion: str = "={}"
    separator: str = "/"

    @property
    def markdown(self) -> bool:
        return self.name.endswith(".md")

    def move(self, board: chess.Board, move: chess.Move) -> str:
        """Print a move in the notation of this file, without its number."""
        san = board.san(move).replace("N", self.knight).replace("#", self.mate)
        san = re.sub("=(.)", lambda match: self.promotion.format(match[1]), san)
        return san.replace("x", self.capture)

    def joined(self, moves: Sequence[str]) -> str:
        """Print alternatives: "2.Qb3#/Qb4#", but the word "mate" only once, after the last."""
        if self.mate[0] != " " or not all(text.endswith(self.mate) for text in moves):
            return self.separator.join(moves)
        return self.separator.join(text.removesuffix(self.mate) for text in moves) + self.mate


def _length(problem: Problem) -> int:
    return int(problem["stipulation"].removeprefix("#"))


def _between(length: range, years: range) -> Callable[[Problem], bool]:
    return lambda problem: _length(problem) in length and problem["year"] in years


COLUMNS = (
    Column("two-movers-to-1909.md", "Mates in two, 1876 to 1905", _between(range(2, 3), range(1800, 1910))),
    Column(
        "two-movers-from-1910.txt",
        "MATES IN TWO, 1910 TO 1922",
        _between(range(2, 3), range(1910, 2000)),
        knight="S",
        promotion="{}",
    ),
    Column(
        "three-movers-to-1909.txt",
        "MATES IN THREE, 1859 TO 1905",
        _between(range(3, 4), range(1800, 1910)),
        mate=" mate",
        promotion="({})",
    ),
    Column(
        "three-movers-from-1910.md",
        "Mates in three, 1910 to 1916",
        _between(range(3, 4), range(1910, 2000)),
        knight="S",
    ),
    Column(
        "longer.md",
        "Mates in four, five and six",
        _between(range(4, 7), range(1800, 2000)),
        capture=":",
        separator=" or ",
    ),
)


class _Writer:
    def __init__(self, problem: Problem, column: Column, place: int) -> None:
        self.problem, self.column, self.place = problem, column, place
        self.n = _length(problem)
        self.board = chess.Board(problem["fen"])
        proof = prove(self.board, Stipulation("#", self.n))
        if [self.board.san(key) for key in proof.keys] != [problem["key_san"]] or proof.shortest != self.n:
            raise ValueError(f"the printed key {problem['key_san']} of {problem['fen']} is not the only one")
        self.proof: Proof = proof
        self.play: KeyPlay = proof.play[0]
        self.after = _played(self.board, self.play.move)
        shortest = min((threat.length for threat in self.play.threats), default=0)
        self.threats = [threat for threat in self.play.threats if threat.length == shortest]

    # -- the parts of one problem -------------------------------------------

    def text(self) -> Iterator[str]:
        composer = self.problem["composer"].replace("not named", "Composer not named")
        if self.column.markdown:
            yield f"## {composer}\n\n*{self.problem['source']}*\n\n`{self.problem['fen']}`\n"
        else:
            yield f"No. {self.place}  {composer}\n{self.problem['source']}\n"
            yield f"White: {self._men(chess.WHITE)}"
            yield f"Black: {self._men(chess.BLACK)}"
        yield f"White to play and mate in {_NUMBERS[self.n]}. {self._count()}\n"
        tries = self._tries()
        if tries:
            yield _wrapped(f"{'Tries' if len(tries) > 1 else 'Try'}: {' '.join(tries)}") + "\n"
        yield _wrapped(f"Key: 1.{self.column.move(self.board, self.play.move)}! {self._aim()}".rstrip()) + "\n"
        bullet, indent = ("- ", "  ") if self.column.markdown else ("   ", "      ")
        for line in self._variations():
            yield _wrapped(bullet + line, indent)

    def _men(self, colour: chess.Color) -> str:
        men = []
        for kind in (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN):
            letter = chess.piece_symbol(kind).upper().replace("N", self.column.knight)
            men += [letter + chess.square_name(square) for square in self.board.pieces(kind, colour)]
        return ", ".join(men)

    def _count(self) -> str:
        white, black = (self.board.occupied_co[colour].bit_count() for colour in chess.COLORS)
        return f"({white}+{black})"

    def _tries(self) -> list[str]:
        """Return a few tries, the quiet ones first: a check or a capture tempts nobody who has solved before."""

        def crudeness(attempt: FirstMove) -> tuple[bool, bool]:
            return self.board.gives_check(attempt.move), self.board.is_capture(attempt.move)

        seen: set[tuple[chess.Square, tuple[chess.Move, ...]]] = set()
        ranked: list[tuple[bool, bool, bool, int, FirstMove]] = []
        for attempt in sorted(self.proof.tries, key=crudeness):
            alike = (attempt.move.from_square, attempt.refutations)
            ranked.append((*crudeness(attempt), alike in seen, len(ranked), attempt))
            seen.add(alike)
        lines = []
        for *_, attempt in sorted(ranked, key=lambda rank: rank[:-1])[:_MOST_TRIES]:
            after = _played(self.board, attempt.move)
            refutation = self.column.move(after, attempt.refutations[0])
            lines.append(f"1.{self.column.move(self.board, attempt.move)}? {refutation}!")
        return lines

    def _aim(self) -> str:
        if self.play.zugzwang:
            return "(zugzwang)"
        if not self.threats:
            return ""
        passed = _played(self.after, chess.Move.null())
        printed = [f"2.{self.column.move(passed, threat.move)}" for threat in self.threats]
        return f"(threat{'s' if len(printed) > 1 else ''}: {', '.join(printed)})"

    # -- the variations -----------------------------------------------------

    def _variations(self) -> Iterator[str]:
        """Yield the play after the key: what parries the threats, what lets only some of them through, the rest."""
        threats = [threat.move for threat in self.threats]
        parried: list[Branch] = []
        partly: list[Branch] = []
        met: list[Branch] = []
        for branch in tree(self.after, self.n - 1):
            still = sum(answer.move in threats for answer in branch.answers)
            (met if still == len(threats) > 0 else partly if still else parried).append(branch)
        full = [branch for branch in parried if branch.n > 1 and branch.answers[0].length == branch.n]
        for branch in full:
            yield from self._branch(branch)
        if self.n > 2 and met and met[0].answers[0].length == self.n - 1:
            yield next(self._branch(met[0]))
            met[0] = replace(met[0], defences=met[0].defences[1:])
        rest = [branch for branch in parried if branch not in full]
        told = [branch for branch in rest + partly if len(branch.answers) <= _MOST_ANSWERS or self.n == 2]
        yield from self._brief(told)
        if len(told) < len(rest + partly):
            yield "Other moves let a threat through." if rest == [] else "Other moves are met by shorter play."
        elif sum(len(branch.defences) for branch in met) < _FEW:
            yield from self._brief(met)
        elif met:
            replies = [move for branch in met for move in branch.defences]
            every = len(replies) == self.after.legal_moves.count()
            yield f"{'Any move' if every else 'Any other'} {self._common(self.after, replies, threats)}"

    def _brief(self, branches: list[Branch]) -> Iterator[str]:
        """Yield the replies and the answers to them, without what follows."""
        by_answers: dict[tuple[str, frozenset[chess.Move]], list[chess.Move]] = {}
        for branch in branches:
            moves = frozenset(answer.move for answer in branch.answers)
            for reply in branch.defences:
                # "2.Nxe5#" cannot stand for "2.Ne5#".
                printed = self._answers(_played(chess.Board(branch.fen), reply), branch)
                by_answers.setdefault((printed, moves), []).append(reply)
        for (printed, moves), replies in by_answers.items():
            # "1...a/b 2.c/d" would pair each reply with its own answer.
            for together in [[reply] for reply in replies] if len(replies) == len(moves) > 1 else [replies]:
                yield f"{self._moves(chess.Board(branches[0].fen), together)} {printed}"

    def _answers(self, board: chess.Board, branch: Branch) -> str:
        return self._moves(board, [answer.move for answer in branch.answers])

    def _common(self, board: chess.Board, replies: Sequence[chess.Move], moves: Sequence[chess.Move]) -> str:
        """Print moves that answer all of these replies, each only with the signs that are right every time."""
        after = [_played(board, reply) for reply in replies]
        printed = []
        for move in moves:
            texts = {self.column.move(position, move) for position in after}
            if len(texts) > 1:
                texts = {text.removesuffix(self.column.mate).removesuffix("+") for text in texts}
            ends = [_played(position, move) for position in after]
            sign = self.column.mate if all(end.is_checkmate() for end in ends) else ""
            printed.append(min(texts, key=len).removesuffix(sign) + sign)
        return self._number(after[0]) + self.column.joined(printed)

    def _branch(self, branch: Branch) -> Iterator[str]:
        """Yield a line for each reply that has its own continuation."""
        board = chess.Board(branch.fen)
        full = next(answer for answer in branch.answers if answer.length == branch.n)
        for reply in branch.defences:
            after = _played(board, reply)
            line = f"{self._moves(board, [reply])} {self._moves(after, [full.move])}"
            line += self._further(branch, reply, full)
            others = [answer.move for answer in branch.answers if answer is not full]
            yield line + (f". Or {self._moves(after, others)}." if others else "")

    def _further(self, branch: Branch, reply: chess.Move, answer: Answer) -> str:
        """Return the full-length play after one answer, as far as the room allows."""
        board = _played(_played(chess.Board(branch.fen), reply), answer.move)
        follow = [below for below in branch.then(reply, answer.move) if below.answers[0].length == below.n]
        parts: list[str] = []
        if branch.n == 2:
            follow.sort(key=lambda below: len(below.defences))
            rest = follow.pop() if follow and len(follow[-1].defences) > _FEW else None
            parts += self._brief(follow)
            if rest is not None:
                answers = self._common(board, rest.defences, [answer.move for answer in rest.answers])
                parts.append(f"{'any other' if follow else 'any move'} {answers}")
        for below in follow[: branch.n - 1] if branch.n > 2 else ():
            first = below.defences[0]
            line = f"{self._moves(board, [first])} {self._moves(_played(board, first), [below.answers[0].move])}"
            parts.append(line + self._further(below, first, below.answers[0]))
        if not parts:
            return ""
        # The first reply stands right behind the move it answers and needs no number.
        return " " + "; ".join([parts[0].removeprefix(self._number(board)), *parts[1:]])

    def _moves(self, board: chess.Board, moves: Sequence[chess.Move]) -> str:
        return self._number(board) + self.column.joined([self.column.move(board, move) for move in moves])

    def _number(self, board: chess.Board) -> str:
        number = board.fullmove_number - self.board.fullmove_number + 1
        return f"{number}." if board.turn == self.board.turn else f"{number}..."


def _played(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def _wrapped(text: str, indent: str = "") -> str:
    return textwrap.fill(text, 100, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def texts() -> dict[str, str]:
    """Return the text of every file of corpus/published by its name."""
    problems = [json.loads(line) for line in PROBLEMS.read_text(encoding="utf-8").splitlines()]
    written = {}
    for column in COLUMNS:
        heading = f"# {column.heading}" if column.markdown else f"{column.heading}\n{'=' * len(column.heading)}"
        taken = sorted(filter(column.takes, problems), key=lambda problem: problem["year"])
        parts = ["\n".join(_Writer(problem, column, place).text()) for place, problem in enumerate(taken, 1)]
        written[column.name] = "\n\n".join([heading, *parts]) + "\n"
    return written


if __name__ == "__main__":
    for name, text in texts().items():
        (PUBLISHED / name).write_text(text, encoding="utf-8")
