"""What it costs to read a stretch of text from the position of a puzzle.

What the stretch says by itself, its statements and frames, is worked out once and not again for each position.
"""

from collections.abc import Callable, Sequence

from keyproof.grammar.document import PuzzleText
from keyproof.grammar.frames.values import Frame
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Statement, Turn
from msgspec.structs import replace

from ..reading.reader import read
from ..reading.reading import Role, State, effect_holds
from ..reading.walk.outcome import frames_of, price
from .case import Case
from .prices import Price

# Small numbers, weighed against each other and against those of `binding`.
IMPOSSIBLE = 12  # a move that cannot be played from the position
NOT_READ = 4  # words that should be a move and are none there, or stand behind one that cannot be played
OTHER_KEY = 12  # a key that does not solve
FALSE_SIGN = 4  # "check" or "mate" that is none
WALK = 2  # costs of the walk that make one of these

Make = Callable[[PuzzleText], Case]


class Pricing:
    """The prices of the stretches of one text on the positions of its puzzles."""

    def __init__(self, masked: str, cases: Sequence[Case], make: Make) -> None:
        self.masked = masked
        self.cases = cases
        self.make = make
        self.keys: dict[int, list[Statement]] = {}
        self.statements: dict[tuple[Span, bool], list[Statement]] = {}
        self.frames: dict[tuple[Span, str, bool], list[Frame]] = {}

    def of(self, span: Span, index: int) -> Price:
        """Return what it costs to read a stretch from a puzzle's position, after its key, and whether it has moves."""
        return self.cases[index].priced.of(self.masked, span, lambda: self._play(span, index))

    def _play(self, span: Span, index: int) -> Price:
        """Take the literal reading or the walk, the cheaper one: each knows manners of telling the other does not.

        Where the literal reading costs nothing there is no cheaper one.
        """
        literal, plays, other_key = self._read(span, index)
        if plays and not literal:
            return other_key, True
        case = self.cases[index]
        assert case.board is not None
        proof, plies = case.likely if case.likely is not None else (None, None)
        cost, moves = price(self._frames(span, case), case.board.copy(stack=False), proof, plies)
        if not plays:
            return cost // WALK, moves > 0
        return min(literal, cost // WALK) + other_key, True

    def _frames(self, span: Span, case: Case) -> list[Frame]:
        place = span, case.language, case.puzzle.spoken
        if place not in self.frames:
            self.frames[place] = frames_of(self.masked, (span,), LANGUAGES[case.language], flowing=case.puzzle.spoken)
        return self.frames[place]

    def _statements(self, span: Span, case: Case) -> list[Statement]:
        place = span, case.puzzle.spoken
        if place not in self.statements:
            puzzle = replace(case.puzzle, prose=(span,), headings=(), play=None)
            self.statements[place] = self.make(puzzle).statements
        return self.statements[place]

    def _read(self, span: Span, index: int) -> tuple[int, bool, int]:
        """Return what the literal reading of a stretch costs, whether it has moves, and what a false key costs."""
        case = self.cases[index]
        statements = self._statements(span, case)
        if not any(isinstance(each, Turn) and not each.bare_square for each in statements):
            return 0, False, 0
        assert case.board is not None
        known = self._key(index)
        stipulation = case.stated
        plies = stipulation.plies if stipulation is not None and stipulation.genre == "#" else None
        reading = read(
            case.board.copy(stack=False), [*known, *statements], case._shift(case.board), case._mater(case.board), plies
        )
        told = {id(phrase) for each in known if isinstance(each, Turn) for phrase in each.choices}
        cost, proof = NOT_READ * len(reading.not_understood), case.stated_proof
        moves, other_key = False, 0
        for mention in reading.mentions:
            if id(mention.phrase) in told:
                continue
            moves = True
            cost += IMPOSSIBLE * (mention.state is State.impossible) + NOT_READ * (mention.state is State.not_examined)
            if proof is not None and mention.role is Role.key and mention.at[0] is reading.diagram:
                other_key += OTHER_KEY * any(node.move not in proof.keys for node in mention.after)
            cost += FALSE_SIGN * sum(
                not effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after
            )
        return cost, moves or bool(reading.not_understood), other_key

    def _key(self, index: int) -> list[Statement]:
        """Return the proved key of a puzzle as a text would tell it, nothing where there is not exactly one."""
        if index not in self.keys:
            case = self.cases[index]
            proof = case.stated_proof
            keys = proof.keys if proof is not None and not proof.stipulation.help_play else ()
            words = f"1.{case.board.san(keys[0]).rstrip('+#')}!" if len(keys) == 1 and case.board is not None else ""
            self.keys[index] = scan(words, (Span(0, len(words)),))[0] if words else []
        return self.keys[index]
