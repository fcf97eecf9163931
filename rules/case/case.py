"""One puzzle on the desk: its text, position, reading and proof, each worked out once and shared by all rules."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from itertools import takewhile
from typing import Any

import chess
from keyproof.grammar.below import may_number
from keyproof.grammar.clauses import Clause, clauses
from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.letters import FIGURINES, LANGUAGES
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.sentences import joined, listed, with_stops
from keyproof.grammar.spans import Span
from keyproof.grammar.stated_solutions import stated_number
from keyproof.grammar.statements import Claim, Statement, Turn
from keyproof.grammar.traces import NUMBERED_MOVE
from msgspec import Struct, field

from ..board.endings import Tables, open_tables
from ..board.stipulation import Stipulation
from ..finding import Finding
from ..play import castling
from ..play.node import PASS, Node
from ..play.why import Impossible, why_not
from ..proof import prover
from ..proof.limits import Cancel
from ..proof.proof import Proof
from ..reading.reader import read
from ..reading.reading import Mention, Reading, Role, State
from ..reading.retold import told_statements
from ..reading.supposed import with_supposed_key
from ..retro import past
from . import asked, printing, setting
from .before import with_the_past
from .choosing import Telling, Way, better_told
from .granted import Granted, Result, denied_castling
from .held import Held
from .house import House
from .prices import Prices
from .sic import Sic
from .supposed import Supposed, supposed

# Faults that leave nothing to play: no king to mate, or a king that could be captured.
UNPLAYABLE = (
    chess.STATUS_NO_WHITE_KING
    | chess.STATUS_NO_BLACK_KING
    | chess.STATUS_TOO_MANY_KINGS
    | chess.STATUS_PAWNS_ON_BACKRANK
    | chess.STATUS_OPPOSITE_CHECK
    | chess.STATUS_EMPTY
)

_LIKELY = 1  # million positions to find out what a puzzle may ask for


class Case(Struct, dict=True):
    """A puzzle and all that is known about it.

    `loose` is text of the file that stands before every puzzle ("all are mates in two"); it
    gives the stipulation where the puzzle has none of its own. `effort` limits each proof,
    in million positions. `house` is the style asked for, `usual` the form of each sign that the
    file prints most often. `cancel` stops the proofs, which are then incomplete. `column` are all
    puzzles of the file, this one among them, for the rules that look at them together.
    `tables_folder` holds endgame tables. `as_stated`: the fields of a FEN count whatever the diagram proves.
    """

    text: str
    masked: str
    puzzle: PuzzleText
    loose: tuple[Span, ...] = ()
    effort: float = prover.DEFAULT_EFFORT
    house: House = field(default_factory=House)
    usual: Mapping[str, str] = field(default_factory=dict)
    cancel: Cancel | None = None
    column: Sequence["Case"] = ()
    tables_folder: str | None = None
    as_stated: bool = False
    where: Callable[[int], str] | None = None  # names the place of an offset, "line 12"; None: as `text` counts
    granted: list[Granted] = field(default_factory=list)
    solved: dict[Node, prover.Solved] = field(default_factory=dict)  # what `mating_moves` found
    sound: list[Mention] | None = None  # what `checks.roots.sound_mentions` found
    noted: dict[tuple[str, Node | None], Any] = field(default_factory=dict)  # what `checks.roots.once` found
    priced: Prices = field(default_factory=Prices)  # what `binding` found
    sic: list[Sic] = field(default_factory=list)  # the author's [sic] marks, set by `checks.run.findings`
    sic_used: list[Sic] = field(default_factory=list)  # those of them that some finding needed
    held: list[Held] = field(default_factory=list)  # findings from clauses that were not wholly understood
    stood: list[Finding] = field(default_factory=list)  # findings that could be held against the text
    chosen: Mapping[str, Way] = field(default_factory=dict)  # how sentences are meant, by their words
    ways: dict[Span, Way] = field(default_factory=dict)  # how each sentence that has two readings is read; by `reading`
    gate: object | None = None  # says which findings may stand: a `checks.gate.Gate`, which is above this room

    # -- what was printed ----------------------------------------------------

    @cached_property
    def _scanned(self) -> tuple[list[Statement], str]:
        if self.puzzle.play is not None:
            return self.puzzle.play()
        found, language = told_statements(self.masked, self.puzzle.prose)
        return list(joined(with_stops(found) if self.puzzle.spoken else listed(found, self.masked))), language

    @property
    def statements(self) -> list[Statement]:
        """The statements of the solution text, in order."""
        return self._scanned[0]

    @property
    def language(self) -> str:
        """The language of the piece letters (two-letter code)."""
        return self._scanned[1]

    def claims(self, kind: str) -> list[Claim]:
        """Return the claims of one kind that stand before the first move, those of the headings first."""
        before = takewhile(lambda statement: not isinstance(statement, Turn), self.statements)
        return [s for s in (*self._of_headings, *before) if isinstance(s, Claim) and s.kind == kind]

    @cached_property
    def _of_headings(self) -> list[Statement]:
        """The statements of the headings."""
        return told_statements(self.masked, self.puzzle.headings)[0]

    @cached_property
    def stipulation_claim(self) -> Claim | None:
        """The words that state the stipulation, None where nothing does."""
        if self.other_genre is not None:
            return None
        own = [claim for claim in self.claims("stipulation") if not self._figure(claim)]
        return (
            asked.first_stipulation([each for each in own if not may_number(self.masked, each, self.puzzle)] or own)
            or asked.in_other_words(self.masked, (*self.puzzle.headings, *self.puzzle.prose))
            or asked.shared_stipulation(self.masked, self.puzzle.orders)
            or asked.shared_stipulation(self.masked, self.loose)
            or asked.first_stipulation(
                s for s in self.statements if isinstance(s, Claim) and s.kind == "stipulation" and not self._figure(s)
            )
        )

    def _figure(self, claim: Claim) -> bool:
        """Tell whether an equals sign gives the value of something and asks for no stalemate: "Y = 2"."""
        before = self.masked[max(0, claim.span.start - 3) : claim.span.start].rstrip(" \t")
        return claim.text.startswith("=") and before[-1:].isalnum()

    @cached_property
    def other_genre(self) -> Span | None:
        """The words that ask for a kind of problem that is not known here, such as "series-helpmate in 5"."""
        for span in (*self.puzzle.headings, *self.puzzle.prose):
            move = NUMBERED_MOVE.search(self.masked, span.start, span.end)
            found = asked.OTHER_GENRES.search(self.masked, span.start, move.start() if move else span.end)
            if found is not None:
                return Span(*found.span())
            if move is not None:
                break
        return None

    @cached_property
    def result(self) -> Result | None:
        """The win or draw that the caption of a study claims; None where there is another stipulation."""
        if self.stated is not None or self.other_genre is not None:
            return None
        for span in (*self.puzzle.headings, *self.puzzle.prose):
            move = NUMBERED_MOVE.search(self.masked, span.start, span.end)
            found = asked.RESULT.search(self.masked, span.start, move.start() if move else span.end)
            if found is not None:
                colour = (found["side"] or found["first"]).lower() == "white"
                return Result(colour, int(found["result"].lower().startswith("w")), Span(*found.span()))
            if move is not None:
                break
        return None

    @cached_property
    def tables(self) -> Tables | None:
        """The endgame tables of the run, None where none were given."""
        return None if self.tables_folder is None else open_tables(self.tables_folder)

    @cached_property
    def stated_solutions(self) -> tuple[int, Span] | None:
        """The number of solutions that the text says there are, with the place: "2 solutions", "2.1.1.1"."""
        for span in self.puzzle.counts:
            if "." not in span.of(self.masked) or (self.stated is not None and self.stated.help_play):
                return stated_number(span.of(self.masked)), span
        return None

    @cached_property
    def promises_set_play(self) -> bool:
        """True if an asterisk after the symbol of the stipulation says that there is set play: "h#2*"."""
        return self.stipulation_claim is not None and asked.is_starred(self.stipulation_claim, self.text, self.masked)

    @property
    def stipulation(self) -> Stipulation | None:
        """What the puzzle asks for, as it is stated or else `supposed`."""
        return self.stated or (None if self.supposed is None else self.supposed.stipulation)

    @cached_property
    def stated(self) -> Stipulation | None:
        """What the puzzle asks for: as the text says, else as the file that its position stands in; None: unsaid."""
        claim = self.stipulation_claim
        said = claim.text if claim is not None else self.puzzle.asked
        return asked.read_stipulation(said) if said and self.other_genre is None else None

    @cached_property
    def supposed(self) -> Supposed | None:
        """What the puzzle is taken to ask for where nothing states it; the reading does not rest on it."""
        if self.stated is not None or self.result is not None or self.other_genre is not None or self.reading is None:
            return None
        if self.granted or self.likely is None:  # a proof made before a right was granted says nothing
            return None
        others = {other.stated for other in self.column if other.stated is not None}
        return supposed(self.likely[0], self.reading, others, self.masked, self.puzzle, self.loose, self.told_in[0])

    @cached_property
    def side_claims(self) -> list[tuple[chess.Color, Span]]:
        """The sides that the words before the first move say begin, with the place of each."""
        found = []
        for claim in [*self.claims("side_to_move"), *([self.stipulation_claim] if self.stipulation_claim else [])]:
            side = re.search(r"\b(white|black)\b", claim.text.lower())
            if side is not None:
                found.append((side[1] == "white", claim.span))
        return found

    # -- the position ----------------------------------------------------------

    @cached_property
    def diagram(self) -> Diagram | None:
        """The printed position that is used: the first one that could be read."""
        return next((diagram for diagram in self.puzzle.diagrams if not diagram.faults), None)

    @cached_property
    def board(self) -> chess.Board | None:
        """The position under the composition conventions, None where none was printed.

        A list or a drawn board states no castling right, so king and rook at home may
        castle (WFCC Codex 16(1)); a FEN states the rights. Either way a right that is proved
        lost is none, and a capture en passant is open where the double step is proved (16(2)) or the text tells it.
        """
        diagram = self.diagram
        return None if diagram is None else self._set_up(diagram, self._turn(diagram))

    def _set_up(self, diagram: Diagram, turn: chess.Color) -> chess.Board:
        board = chess.Board(None)
        board.set_piece_map(diagram.pieces)
        board.turn = turn
        for colour in chess.COLORS:
            for wing in ("short", "long"):
                letter = ("K" if wing == "short" else "Q") if colour else ("k" if wing == "short" else "q")
                at_home = self.at_home(board, colour, wing)
                if at_home and (diagram.castling is None or letter in diagram.castling):
                    board.castling_rights |= chess.BB_SQUARES[castling.rook_home(colour, wing)]
        board.ep_square = diagram.en_passant
        if board.status() & chess.STATUS_INVALID_EP_SQUARE:
            board.ep_square = None  # a field that no double step explains is reported and opens no capture
        if not board.status() & UNPLAYABLE:
            with_the_past(board, diagram, self.as_stated, self.masked, self.puzzle.stretches)
        return board

    def _turn(self, diagram: Diagram) -> chess.Color:
        if self.stated is not None and self.stated.help_play:
            return self.stated.first_to_move  # a FEN copied for help play often says "w" all the same
        if self.side_claims:
            said = self.side_claims[0][0]  # against the FEN too: its "b" is the likelier slip
            slip = diagram.turn is (not said) and self._solves(diagram, not said) and not self._solves(diagram, said)
            return said != slip  # but not against the proof
        if diagram.turn is not None:
            return diagram.turn
        return self.stated.first_to_move if self.stated is not None else chess.WHITE

    def _solves(self, diagram: Diagram, side: chess.Color) -> bool:
        """Tell whether a side that begins can do what a direct puzzle asks for."""
        board = self._set_up(diagram, side)
        if self.stated is None or self.stated.genre != "#" or board.status() & UNPLAYABLE:
            return False
        return bool(prover.prove(board, self.stated, effort=_LIKELY, cancel=self.cancel).keys)

    @staticmethod
    def at_home(board: chess.Board, colour: chess.Color, wing: str) -> bool:
        """Tell whether king and rook of the castling stand on their original squares."""
        king, rook = chess.Piece(chess.KING, colour), chess.Piece(chess.ROOK, colour)
        return (
            board.piece_at(castling.king_home(colour)) == king
            and board.piece_at(castling.rook_home(colour, wing)) == rook
        )

    @cached_property
    def unreachable(self) -> past.Contradiction | None:
        """Why no game leads to the position, None if that is not proved. Asked only where it is `playable`."""
        assert self.board is not None
        return past.contradiction(self.board)

    @cached_property
    def men(self) -> dict[chess.Square, chess.Piece]:
        """The men of the position by square."""
        return {} if self.board is None else self.board.piece_map()

    @cached_property
    def playable(self) -> bool:
        """True if there is a position from which moves can be played."""
        return self.board is not None and not self.board.status() & UNPLAYABLE

    @cached_property
    def clauses(self) -> list[Clause]:
        """The clauses of the solution text, whether or not anything in them was read."""
        return clauses(self.masked, self.puzzle.prose, *self.told_in)

    @cached_property
    def told_in(self) -> tuple[str, Mapping[str, chess.PieceType]]:
        """The language of the words, and the letters of the men that go with it."""
        return told_in(self.masked, self.puzzle.prose, LANGUAGES[self.language])

    # -- the replay --------------------------------------------------------------

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
        return self._better_told(first)

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
            lambda: self.clauses,
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

    @cached_property
    def fitting(self) -> setting.Fitting | None:
        """The other position that the whole solution fits, where it does not fit its own."""
        if self.board is None or self.reading is None:
            return None
        replay = partial(self.replay, faultless=True)
        solution = setting.Solution(replay, self.stated, self.effort)
        return setting.fitting(self.board, self.reading, solution, self._neighbours())

    def _neighbours(self) -> Iterator[tuple[int, chess.Board]]:
        """Yield the boards of the puzzles near this one in the column, the nearest first, with their places in it."""
        place = next((index for index, other in enumerate(self.column) if other is self), None)
        if place is None:
            return
        most = setting.MOST_NEIGHBOURS
        near = range(max(0, place - most), min(len(self.column), place + most + 1))
        for index in sorted(near, key=lambda index: abs(index - place))[1 : most + 1]:
            board = self.column[index].board
            if board is not None and self.column[index].playable:
                yield index, board

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

    # -- the proof -----------------------------------------------------------------

    @property
    def proof(self) -> Proof | None:
        """All that can be proved of the position, None without a position or a stipulation."""
        return self.stated_proof if self.supposed is None else self.supposed.proof

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
            found = prover.prove(self.board, stipulation, effort=_LIKELY, cancel=self.cancel)
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

    @cached_property
    def false_keys(self) -> set[Node]:
        """The positions after printed keys that do not solve."""
        if self.proof is None or self.reading is None or not self.has_key:
            return set()
        keys = self.reading.first_moves(Role.key)
        return {node for node in keys if node.move and self.proof.attempt(node.move) is not None}

    @property
    def direct(self) -> bool:
        """True for a direct mate, whose threats, defences and answers the rules compare with the proof."""
        return self.stipulation is not None and self.stipulation.genre == "#"

    @property
    def has_key(self) -> bool:
        """True where one side forces the aim, so that the text has a key and tries (#, =, s#, r#)."""
        return self.stipulation is not None and not self.stipulation.help_play

    def moves_left(self, node: Node) -> int:
        """Return how many moves the attacker still has after `node`, by the stipulation."""
        assert self.stipulation is not None
        return self.stipulation.moves - (node.ply + 1) // 2

    def mating_moves(self, node: Node) -> prover.Solved:
        """Return the attacker's moves in `node` that mate within the stipulated length."""
        left = self.moves_left(node)
        if left < 1:  # a line printed beyond the stipulated length
            return prover.Solved({}, complete=True, positions=0)
        solved = self.solved.get(node)
        if solved is None:
            solved = self._answered_in_proof(node) or prover.mating_moves(
                node.board, left, effort=self.effort, cancel=self.cancel
            )
            self.solved[node] = solved
        return solved

    def _answered_in_proof(self, node: Node) -> prover.Solved | None:
        """Return the answers that the proof lists already: to a reply to a key or, in the set play, to a move."""
        proof, first = self.proof, node.parent
        if proof is None or first is None or first.move is None or node.ply != 2 or not self.direct:
            return None
        if not proof.searched.complete or self.reading is None or first.parent is not self.reading.diagram:
            return None
        if first.move:
            play = proof.play_after(first.move)
            defences = () if play is None else play.defences
        else:
            defences = proof.set_play or ()
        answers = next((defence.answers for defence in defences if defence.move == node.move), None)
        if answers is None:
            return None
        return prover.Solved({answer.move: answer.length for answer in answers}, complete=True, positions=0)

    def refutations(self, node: Node) -> prover.Refuted:
        """Return the defender's replies in `node` after which there is no mate in time."""
        if node.over:
            return prover.Refuted((), node.stalemate, node.mate, complete=True, positions=0)
        return prover.refutations(node.board, max(0, self.moves_left(node)), effort=self.effort, cancel=self.cancel)

    # -- words -------------------------------------------------------------------------

    @cached_property
    def piece_letters(self) -> dict[str, str]:
        """English piece letters to the author's."""
        printed = {
            letter: piece
            for letter, piece in LANGUAGES[self.language].items()
            if letter not in FIGURINES and len(letter) <= 2
        }
        knights = [m.phrase.text for m in (self.reading.mentions if self.reading else [])]
        letters: dict[str, str] = {}
        for letter, piece in printed.items():
            english = chess.piece_symbol(piece).upper()
            if english == "N" and self.language == "en":
                letters["N"] = "S" if any(text.startswith("S") for text in knights) else "N"
            else:
                letters.setdefault(english, letter)
        return letters

    def say(self, node: Node, move: chess.Move) -> str:
        """Print a move with its number and the author's piece letters: "1.Sf4", "2...Kd5"."""
        return node.number + self.letters(node.board.san(move))

    def letters(self, san: str) -> str:
        """Put SAN in the author's piece letters, and a pass in words."""
        return re.sub(r"[KQRBN]", lambda m: self.piece_letters.get(m[0], m[0]), san).replace("--", PASS)

    def say_all(self, node: Node, moves: Iterable[chess.Move], most: int = 6) -> str:
        """Print several moves of one position; beyond `most` only their number."""
        moves = list(moves)
        sans = [self.letters(node.board.san(move)) for move in moves[:most]]
        if len(moves) > most:
            return f"{node.number}{', '.join(sans)} and {len(moves) - most} more"
        return node.number + (sans[0] if len(sans) == 1 else f"{', '.join(sans[:-1])} and {sans[-1]}")
