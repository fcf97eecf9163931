"""The tree of positions a solution text speaks of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import chess
from keyproof.grammar.moves import MovePhrase

from ..board.copying import after
from ..board.resolve import fits, meant_moves
from ..finding import Evidence
from ..proof import native


class Node:
    """A position reached from the diagram, with the move that led to it.

    `ply` counts half-moves from the diagram. `shift` is 1 where the first of them is printed
    as "1...", else 0. A pass (set play, threats) is a null move. `first` is the position after the
    first move of the line, a pass in the set play; None in the `diagram`. `check` tells whether the
    side to move is in check, `over` whether it has no legal move; with both it is mated.
    """

    def __init__(
        self, board: chess.Board, move: chess.Move | None = None, parent: Node | None = None, shift: int = 0
    ) -> None:
        self.board = board
        self.move = move
        self.parent = parent
        self.ply: int = 0 if parent is None else parent.ply + 1
        self.diagram: Node = self if parent is None else parent.diagram
        self.first: Node | None = None if parent is None else parent.first or self
        self.shift = shift
        self._children: dict[tuple[chess.Square, chess.Square, chess.PieceType | None], Node] = {}
        self._meant: dict[tuple[Any, ...], list[chess.Move]] = {}
        self._legal, self.check = native.legal(board)
        self.over: bool = not self._legal
        self.mate: bool = self.check and self.over

    def play(self, move: chess.Move) -> Node:
        """Return the position after `move`, a legal move or a pass; the same node each time."""
        key = move.from_square, move.to_square, move.promotion
        child = self._children.get(key)
        if child is None:
            child = self._children[key] = Node(after(self.board, move), move, self, self.shift)
        return child

    def played(self, moves: Iterable[chess.Move]) -> list[Node]:
        """Return the positions after those of some moves that were played from here."""
        keys = [(move.from_square, move.to_square, move.promotion) for move in moves]
        return [self._children[key] for key in keys if key in self._children]

    def pass_move(self) -> Node | None:
        """Return the position with the other side to move, or None in check, when a pass has no meaning."""
        return None if self.check else self.play(chess.Move.null())

    @property
    def forced(self) -> chess.Move | None:
        """The only legal move, None where there is a choice, or none at all."""
        return native.move_of(self._legal[0]) if len(self._legal) == 1 else None

    @property
    def legal(self) -> set[chess.Move]:
        """All legal moves."""
        return set(map(native.move_of, self._legal))

    def meant(self, phrase: MovePhrase) -> list[chess.Move]:
        """Return the legal moves that a phrase stands for here, as `resolve.meant_moves` does, and remember them."""
        moves = self._meant.get(phrase.meaning)
        if moves is None:
            moves = self._meant[phrase.meaning] = self._moves_meant(phrase)
        return moves

    def _moves_meant(self, phrase: MovePhrase) -> list[chess.Move]:
        if phrase.destination is None:
            return meant_moves(self.board, phrase)
        men = chess.BB_ALL if phrase.piece is None else self.board.pieces_mask(phrase.piece, self.board.turn)
        to = phrase.destination << 6
        words = [word for word in self._legal if word & 0o7700 == to and men >> (word & 63) & 1]
        if len(words) > 1 and (phrase.descriptive or phrase.captures_last):
            return meant_moves(self.board, phrase)
        moves = [move for move in map(native.move_of, words) if fits(self.board, move, phrase)]
        return meant_moves(self.board, phrase) if len(moves) > 1 else moves

    @property
    def stalemate(self) -> bool:
        """True if the side to move is stalemated."""
        return not self.check and self.over

    @property
    def number(self) -> str:
        """Return the number printed before the next move: "2." or "2..."."""
        value, second = divmod(self.ply + self.shift, 2)
        return f"{value + 1}{'...' if second else '.'}"

    @property
    def path(self) -> list[Node]:
        """Return the nodes from the diagram to here, both included."""
        nodes: list[Node] = []
        node: Node | None = self
        while node is not None:
            nodes.append(node)
            node = node.parent
        return nodes[::-1]

    @property
    def moves(self) -> list[chess.Move]:
        """Return the moves from the diagram to here."""
        return [node.move for node in self.path if node.move is not None]

    def evidence(self, *more: chess.Move) -> Evidence:
        """Return the line from the diagram to here, and on by `more`, as evidence."""
        board = self.path[0].board.copy(stack=False)
        fen = board.fen()
        sans = []
        for move in [*self.moves, *more]:
            sans.append(board.san(move))
            board.push(move)
        return Evidence(fen, tuple(sans), shift=self.shift)

    def choices(self, moves: list[chess.Move]) -> Evidence:
        """Return several moves that are possible here as evidence."""
        return Evidence(self.board.fen(), tuple(self.board.san(move) for move in moves), "moves")


PASS = "(pass)"
"""What is printed for a null move, which SAN writes as "--"."""


def numbered(sans: Sequence[str], first: int = 0) -> str:
    """Join moves to "1.Nf4 Kd5 2.Qb6+"; `first` counts the single moves before, so 1 gives "1...Kd5 2.Qb6+"."""
    words = []
    for ply, san in enumerate(sans, start=first):
        if ply % 2 == 0:
            words.append(f"{ply // 2 + 1}.{san}")
        elif ply == first:
            words.append(f"{ply // 2 + 1}...{san}")
        else:
            words.append(san)
    return " ".join(words)
