"""The solution text of a puzzle, replayed from its position with the proof of what is stated at hand."""

from collections.abc import Mapping, Sequence
from functools import cached_property

import chess
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Statement, Turn
from msgspec import field

from ..board.stipulation import Stipulation
from ..play.node import Node
from ..play.why import Impossible, why_not
from ..proof import prover
from ..proof.proof import Proof
from ..reading.account import Account, Taken, account
from ..reading.later import say_later_checks
from ..reading.numbers.claims import say_numbers
from ..reading.reader import read
from ..reading.reading import Mention, Reading, State
from ..reading.supposed import with_supposed_key
from ..reading.takes import takes
from . import printing
from .choosing import Telling, Way, better_told
from .granted import Granted, denied_castling
from .set_up import LIKELY, SetUp


class Replayed(SetUp, dict=True):
    """A puzzle with its solution text read.

    `granted` are the castlings that the FEN alone denies and the text plays. `chosen` says how sentences are meant, by
    their words; `ways` how each sentence that has two readings is read, once `reading` is known.
    """

    granted: list[Granted] = field(default_factory=list)
    chosen: Mapping[str, Way] = field(default_factory=dict)
    ways: dict[Span, Way] = field(default_factory=dict)

    @cached_property
    def reading(self) -> Reading | None:
        """The solution text replayed, None where no position can be played from.

        A castling that the FEN alone denies, with king and rook at home, is granted and the text is read again.
        """
        first = self._as_told
        if first is None or self.other_genre is not None or (self.stated is not None and self.stated.genre != "#"):
            return first
        board = first.diagram.board
        if self.stated is not None:
            first = with_supposed_key(
                first, self.statements, self.stated_proof, lambda given: self.replay(board, given)
            )
        told = self._better_told(first)
        say_later_checks(self.sentences, told)
        say_numbers(self.masked, self.sentences, told)
        return told

    @cached_property
    def _as_told(self) -> Reading | None:
        """The solution text replayed with nothing supposed."""
        if not self.playable:
            return None
        board = self.board
        assert board is not None
        while True:  # four times at most: each time a right is granted that the board has not had
            reading = self.replay(board)
            denied = denied_castling(reading)
            if denied is None:
                return reading
            self.granted.append(denied)
            board.castling_rights |= denied.corner

    def _better_told(self, literal: Reading) -> Reading:
        """Return the walk through the text where it explains more than the literal reading."""
        if (likely := self.likely) is None or literal.ran_away:
            return literal
        telling = Telling(
            self.masked,
            self.puzzle,
            self.statements,
            self.clauses,
            LANGUAGES[self.language],
            self.told_in[0] != "english",
            lambda sentence: self.chosen.get(self.words_of(sentence)),
            bool(self.chosen),
        )
        reading, ways = better_told(literal, telling, *likely)
        self.ways = ways or self.ways
        return reading

    def words_of(self, sentence: Span) -> str:
        """Return the words of a sentence without markup, in one line: what an author's choice names it by."""
        return " ".join(sentence.of(self.masked).split())

    def replay(
        self, board: chess.Board, given: Sequence[Statement] | None = None, *, faultless: bool = False
    ) -> Reading:
        """Read the solution text, or what is `given`, from a board; only as far as it is `faultless`."""
        plies = self.stated.plies if self.stated is not None and self.stated.genre == "#" else None
        return read(
            board,
            self.statements if given is None else given,
            self._shift(board),
            self._mater(board),
            plies,
            faultless=faultless,
        )

    def _shift(self, board: chess.Board) -> int:
        """Return 1 if the text numbers the first half-move "1...": help play of half moves, or Black to move."""
        if self.stated is not None and self.stated.help_play:
            return int(self.stated.half)
        numbers = (s.number for s in self.statements if isinstance(s, Turn) and s.number is not None)
        first = next(numbers, None)
        return int(board.turn == chess.BLACK and first is not None and first.second)

    def _mater(self, board: chess.Board) -> chess.Color:
        """Return the side that gives the mate at the end."""
        if self.stated is None or self.stated.genre in ("#", "="):
            return board.turn
        return chess.WHITE if self.stated.help_play else not board.turn

    @cached_property
    def impossible(self) -> list[tuple[Mention, Node, Impossible]]:
        """Every mention no legal move agrees with, the position it was read in, and the reason."""
        if self.reading is None:
            return []
        return [
            (mention, mention.at[0], why_not(mention.at[0], mention.phrase))
            for mention in self.reading.mentions
            if mention.state is State.impossible
        ]

    @cached_property
    def taken(self) -> list[Taken]:
        """What the reading took from the text; nothing where no position can be played from."""
        if self.reading is None:
            return []
        order = self.stipulation_claim  # no statement of the text where it is told in other words than "mate in two"
        asked = order is not None and any(span.start <= order.span.start < span.end for span in self.puzzle.prose)
        return [*takes(self.statements, self.reading), *([Taken(order.span)] if order is not None and asked else [])]

    @cached_property
    def account(self) -> Account:
        """The account of the text as it was read: what is held back afterwards is not among what it doubts."""
        return account(self.clauses, self.taken)

    @cached_property
    def stated_proof(self) -> Proof | None:
        """All that can be proved of what is stated."""
        told = self._as_told
        if told is None or self.stated is None:
            return None
        stated = self.stated_solutions
        if stated is not None:
            intended = stated[0]
        else:
            intended = max(1, len(self.printed_solutions)) if self.stated.help_play else 1
        return prover.prove(told.diagram.board, self.stated, effort=self.effort, solutions=intended, cancel=self.cancel)

    @cached_property
    def likely(self) -> tuple[Proof, int] | None:
        """The proof of what the puzzle asks for and its half-moves; where it says nothing, of a mate in two or three.

        It is a help for reading: what nobody has asked for is a ground to call anything false only if `supposed`.
        """
        if self.board is None or not self.playable:
            return None
        if self.stated is not None:
            proof = self.stated_proof if self.stated.genre == "#" else None
            return None if proof is None else (proof, self.stated.plies)
        for symbol in ("#2", "#3"):
            stipulation = Stipulation.parse(symbol)
            found = prover.prove(self.board, stipulation, effort=LIKELY, cancel=self.cancel)
            if found.keys:
                return found, stipulation.plies
        return None

    @cached_property
    def printed_solutions(self) -> dict[tuple[chess.Move, ...], Span]:
        """The lines of help play that the text prints to full length, each with the place of its last move."""
        if self.reading is None or self.stated is None or not self.stated.help_play:
            return {}
        return {
            tuple(node.moves): mention.phrase.span
            for mention in self.reading.mentions
            for node in mention.after
            if node.ply == self.stated.plies and self.reading.set_play not in node.path
        }

    @cached_property
    def signs(self) -> list[printing.Sign]:
        """The signs of the printed moves, in text order."""
        return [] if self.reading is None else printing.signs(self.reading, self.puzzle)
