"""What the voices share: how moves and their numbers are printed, and what is said of the puzzle as a whole."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Sequence

import chess
from msgspec.structs import replace

from ..board.names import listing, side
from ..proof.proof import FirstMove
from ..retro.men import Men
from ..retro.origins import origins
from ..retro.past import contradiction
from .draft import Draft, Reply, after, flights
from .grouping import Group, Told, in_order, told

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_AIMS = {"#": "mate", "s#": "selfmate", "r#": "reflexmate", "=": "stalemate", "h#": "helpmate", "h=": "helpstalemate"}


def past(board: chess.Board) -> str:
    """Say what a reader would wonder about: a position that no game leads to, a man that must be promoted."""
    if contradiction(board) is not None:
        return " The position is unreachable in a game."
    promoted = [group for colour in chess.COLORS for group in origins(Men(board), colour).promoted]
    return " There is a promoted man on the board." if promoted else ""


def counted(number: int) -> str:
    """Return a small number as a word."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def flights_on(squares: list[str]) -> str:
    """Name the squares a king can go to: "the flights e8 and g8"."""
    return f"the flight{'s' if len(squares) > 1 else ''} {listing(squares)}"


def asked(draft: Draft) -> str:
    """Say what is asked: "White to play and mate in two."."""
    stipulation = draft.stipulation
    length = counted(stipulation.moves) + (" and a half" if stipulation.half else "")
    aim = _AIMS[stipulation.genre]
    if stipulation.help_play:
        several = len(draft.solutions) > 1
        return f"{aim.capitalize()} in {length}." + (
            f" {counted(len(draft.solutions)).capitalize()} solutions." if several else ""
        )
    return f"{side(draft.board.turn)} to play and {aim} in {length}."


class Manner(ABC):
    """Moves in signs: "1.Qb6!"."""

    def __init__(self, draft: Draft, print_as: Callable[[str], str] = str) -> None:
        self.draft = draft
        self.print_as = print_as
        self.brief = draft.stipulation.moves > 2
        self.others_told = False  # replies to the key that are none of the draft's

    @abstractmethod
    def body(self) -> Iterator[str]:
        """Yield the paragraphs after the stipulation."""

    @abstractmethod
    def replies(self) -> Iterator[str]:
        """Yield the paragraphs on the replies to the key."""

    def say(self, board: chess.Board, move: chess.Move) -> str:
        """Return a move without its number."""
        return self.print_as(board.san(move))

    def number(self, board: chess.Board) -> str:
        """Return the number printed before a move: "2." or "2..."."""
        start = self.draft.board
        played = 2 * (board.fullmove_number - start.fullmove_number) + int(start.turn) - int(board.turn)
        shift = self.draft.stipulation.half if self.draft.stipulation.help_play else 0
        value, second = divmod(played + shift, 2)
        return f"{value + 1}{'...' if second else '.'}"

    def position(self) -> str:
        """Return the position."""
        return self.draft.board.fen(en_passant="fen")

    def solutions(self) -> Iterator[str]:
        """Yield the solutions of help play, a line each."""
        for line in self.draft.solutions:
            words, board = [], self.draft.board
            for ply, move in enumerate(line):
                number = self.number(board)
                words.append((number if ply == 0 or "..." not in number else "") + self.say(board, move))
                board = after(board, move)
            yield " ".join(words)

    def opening(self) -> str:
        """Return what is asked, and what a reader would wonder about."""
        white, black = (self.draft.board.occupied_co[colour].bit_count() for colour in (chess.WHITE, chess.BLACK))
        return f"{asked(self.draft)} ({white}+{black}){past(self.draft.board)}"

    def play(self) -> Told:
        """Return the replies to the key as they are told."""
        found = told(self.draft.replies, self.say, self.draft.threats, brief=self.brief)
        groups = found.groups
        if self.others_told:
            groups = tuple(replace(group, who="any other") if group.who == "any" else group for group in groups)
        return Told(tuple(in_order(groups)), found.left)

    def ideas(self) -> list[str]:
        """Say what the key offers, and what it does to the king's field: the flights it gives and takes."""
        draft = self.draft
        if draft.after_key is None or draft.board.is_check() or draft.after_key.is_check():
            return []
        before = set(flights(after(draft.board, chess.Move.null())))
        now = set(flights(draft.after_key))
        given, lost = ([chess.square_name(each) for each in sorted(some)] for some in (now - before, before - now))
        said = self._offer()
        if given and lost:
            said.append(f"That gives the king {flights_on(given)} and takes {flights_on(lost)}.")
        elif given:
            said.append(f"{side(draft.after_key.turn)}'s king gains {flights_on(given)}.")
        elif lost:
            said.append(f"That takes {flights_on(lost)} from the king.")
        return said

    def _offer(self) -> list[str]:
        """Say what the key sacrifices: its man, where a lesser one can take it, or any if nothing guards it."""
        key, board = self.draft.key, self.draft.after_key
        assert key is not None
        assert board is not None
        kind = board.piece_type_at(key.to_square) or chess.PAWN
        takers = [
            board.piece_type_at(move.from_square) for move in board.legal_moves if move.to_square == key.to_square
        ]
        guarded = board.is_attacked_by(not board.turn, key.to_square)
        offered = any(not guarded or (taker or 0) < kind for taker in takers if taker != chess.KING or not guarded)
        return [f"The key sacrifices the {chess.piece_name(kind)}."] if offered and kind != chess.PAWN else []

    def changed(self, group: Group) -> bool:
        """Tell whether each reply of a group has one answer in the set play and another after the key, in print."""
        ready = {reply.move: self._printed(reply) for reply in self.draft.set_play}
        found = [(ready.get(reply.move, ()), self._printed(reply)) for reply in group.replies]
        return not group.rest and all(len(old) == len(new) == 1 and old != new for old, new in found)

    def _printed(self, reply: Reply) -> tuple[str, ...]:
        return tuple(self.say(reply.after, answer.move) for answer in reply.answers)

    def menace(self, attempt: FirstMove) -> chess.Move | None:
        """Return the one mate in one that a try of a two-mover threatens; None where it gives check or waits."""
        tried = after(self.draft.board, attempt.move)
        if str(self.draft.stipulation) != "#2" or tried.is_check():
            return None
        passed = after(tried, chess.Move.null())
        mates = [move for move in passed.legal_moves if after(passed, move).is_checkmate()]
        return mates[0] if len(mates) == 1 else None

    def moves(self, board: chess.Board, moves: Sequence[chess.Move]) -> str:
        """Return moves of one position with their number: "1...Kd5/Kc4"."""
        return self.number(board) + "/".join(self.say(board, move) for move in moves)

    def line(self, group: Group) -> str:
        """Return the replies and their answers; where play follows, only the answer that it follows."""
        first = group.first
        answers = group.answers[:1] if first.further else group.answers
        return f"{self._replies(group)} {self.moves(first.after, answers)}"

    def _replies(self, group: Group) -> str:
        first = group.first
        if group.rest:
            return "Any other move" if group.who == "any other" else "Any move"
        if group.who == "any move of the man":
            letter = chess.piece_symbol(first.before.piece_type_at(first.move.from_square) or chess.PAWN).upper()
            return f"{self.number(first.before)}{self.print_as(letter)}~"
        return self.moves(first.before, [reply.move for reply in group.replies])

    def others(self, group: Group) -> str:
        """Return the answers besides the one that play follows, "" where there are none."""
        if not group.first.further or len(group.answers) < 2:
            return ""
        return self.moves(group.first.after, group.answers[1:])

    def threats(self) -> str:
        """Return what the key threatens."""
        assert self.draft.after_key is not None
        passed = after(self.draft.after_key, chess.Move.null())
        return listing([self.moves(passed, [threat]) for threat in self.draft.threats])
