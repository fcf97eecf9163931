"""The proof of a puzzle as a tree that can be unfolded."""

from collections.abc import Iterator, Sequence

import chess
from keyproof.rules.play.mating_net import mating_net, sentences
from keyproof.rules.play.node import numbered
from keyproof.rules.proof.proof import Answer, Defence, KeyPlay, Proof
from keyproof.rules.proof.prover import tree
from keyproof.rules.writing.draft import after

from ..reports.play import listed, opening_ply
from .markup import Markup, join, tag

MOST_TRIES = 24
MOST_UNFOLDED = 40  # replies whose further play is given, in a mate in three
_LEAST_EFFORT = 5.0  # million positions for the play below a reply, which the proof has been through already


class ProofTree:
    """Writes the proof of one puzzle."""

    def __init__(self, proof: Proof) -> None:
        self.proof = proof
        self.board = chess.Board(proof.fen)
        self.first = opening_ply(self.board.turn, proof.stipulation.symbol)
        self.left = MOST_UNFOLDED

    def markup(self) -> Markup:
        """Return the whole proof, folded."""
        return tag(
            "details",
            tag("summary", "The proof: every line"),
            [self._key(play) for play in self.proof.play],
            self._tries(),
            self._solutions(),
            tag("p", self._searched(), class_="searched"),
            class_="proof",
        )

    def _number(self, board: chess.Board, moves: Sequence[str]) -> str:
        played = 2 * (board.fullmove_number - self.board.fullmove_number) + int(self.board.turn) - int(board.turn)
        return listed(moves, self.first + played)

    def _key(self, play: KeyPlay) -> Markup:
        after_key = after(self.board, play.move)
        sans = _by_answers(after_key, play.defences)
        return join(
            tag("h4", f"Key: {numbered([self.board.san(play.move)], self.first)}!"),
            tag("p", self._manner(play, after_key)),
            tag("ul", [self._defences(after_key, play.length, *group) for group in sans]),
            None if play.complete else tag("p", "The search ended before every defence was answered."),
        )

    def _manner(self, play: KeyPlay, after_key: chess.Board) -> str:
        if not any(after_key.legal_moves):
            return "It ends the play at once."
        if after_key.is_check():
            return "It gives check."
        if play.threats:
            passed = after(after_key, chess.Move.null())
            threats = [passed.san(threat.move) for threat in play.threats]
            return f"Threat{'s' if len(threats) > 1 else ''}: {listed(threats, self.first + 2)}."
        return "It threatens nothing: zugzwang." if play.zugzwang else "Whether it threatens anything is not known."

    def _defences(
        self, board: chess.Board, length: int, defences: Sequence[Defence], answers: tuple[Answer, ...]
    ) -> Markup:
        """Return replies with the same answers, and below them what follows or why it is mate."""
        replies = self._number(board, [board.san(defence.move) for defence in defences])
        if not answers:
            told = "ends the play" if defences[0].ends else "has no answer in time"
            return tag("li", f"{replies} {told}")
        reply = after(board, defences[0].move)
        told = self._number(reply, [reply.san(answer.move) for answer in answers])
        follows = self._further(after(reply, answers[0].move), length - 2, answers[0])
        return tag("li", f"{replies} {told}", self._why(board, defences, answers[0].move) or follows)

    def _why(self, board: chess.Board, defences: Sequence[Defence], answer: chess.Move) -> Markup | None:
        """Return the reasons of a mate; where they differ from reply to reply, with the replies they belong to."""
        nets: dict[str, list[str]] = {}
        for defence in defences:
            mated = after(board, defence.move, answer)
            if not mated.is_checkmate():
                return None
            said = " ".join(sentences(mated, mating_net(mated)))
            nets.setdefault(said, []).append(board.san(defence.move))
        told = [
            tag("p", said if len(nets) == 1 else f"After {self._number(board, replies)}: {said}")
            for said, replies in nets.items()
        ]
        return tag("details", tag("summary", "why it is mate"), told, class_="why")

    def _further(self, board: chess.Board, n: int, answer: Answer) -> Markup | None:
        """Return the play after an answer of a direct mate that needs one more move."""
        if self.proof.stipulation.genre != "#" or n != 1 or answer.length != 2 or not self.left:
            return None
        self.left -= 1
        try:
            branches = list(tree(board, n, effort=_LEAST_EFFORT))
        except TimeoutError:
            return None
        groups = [
            (tuple(Defence(move, branch.answers) for move in branch.defences), branch.answers) for branch in branches
        ]
        return tag(
            "details", tag("summary", "further"), tag("ul", [self._defences(board, n, *group) for group in groups])
        )

    def _tries(self) -> Markup | None:
        tries = self.proof.tries
        if not tries:
            return None
        rows = []
        for attempt in tries[:MOST_TRIES]:
            tried = after(self.board, attempt.move)
            refutation = numbered([tried.san(attempt.refutations[0])], self.first + 1)
            rows.append(tag("li", f"{numbered([self.board.san(attempt.move)], self.first)}? but {refutation}!"))
        more = len(tries) - MOST_TRIES
        return join(
            tag("h4", "Tries, each with its only refutation"),
            tag("ul", rows, class_="tries"),
            tag("p", f"and {more} more") if more > 0 else None,
        )

    def _solutions(self) -> Markup | None:
        if not self.proof.solutions:
            return None
        lines = [numbered(list(_sans(self.board, line)), self.first) for line in self.proof.solutions]
        return join(tag("h4", "Solutions"), tag("ul", [tag("li", line) for line in lines]))

    def _searched(self) -> str:
        searched = self.proof.searched
        cost = f"Searched {searched.positions:,} positions"
        if searched.complete:
            return f"{cost}; every question was decided."
        return f"{cost}; not every question was decided ({searched.reached})."


def _sans(board: chess.Board, line: Sequence[chess.Move]) -> Iterator[str]:
    for move in line:
        yield board.san(move)
        board = after(board, move)


def _by_answers(
    board: chess.Board, defences: Sequence[Defence]
) -> list[tuple[tuple[Defence, ...], tuple[Answer, ...]]]:
    """Group replies by the printed answers, the longest play first; a reply with play to follow stands alone."""
    groups: dict[tuple[str, ...], list[Defence]] = {}
    for defence in defences:
        reply = after(board, defence.move)
        printed = [reply.san(answer.move) for answer in defence.answers]
        if defence.answers and defence.answers[0].length > 1:
            printed.append(defence.move.uci())
        groups.setdefault(tuple(printed), []).append(defence)
    told = [(tuple(same), same[0].answers) for same in groups.values()]
    return sorted(told, key=lambda group: -(group[1][0].length if group[1] else 99))
