"""What the text of a puzzle says and asks for, before any move of it is played."""

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import takewhile

import chess
from keyproof.grammar.below import may_number, numbers_post
from keyproof.grammar.clauses import Clause, of_block
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.sentence_ends import sentences
from keyproof.grammar.sentences import joined, listed, with_stops
from keyproof.grammar.spans import Span
from keyproof.grammar.stated_solutions import stated_number
from keyproof.grammar.statements import Claim, Statement, Turn
from keyproof.grammar.traces import NUMBERED_MOVE
from msgspec import Struct

from ..board.stipulation import Stipulation
from ..reading.retold import told_statements
from . import asked
from .granted import Result


class Asking(Struct, dict=True):
    """The text of a puzzle, with what is stated in it.

    `loose` is text of the file that stands before every puzzle ("all are mates in two"); it
    gives the stipulation where the puzzle has none of its own.
    """

    text: str
    masked: str
    puzzle: PuzzleText
    loose: tuple[Span, ...] = ()

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
        return [claim for claim in self._opening_claims if claim.kind == kind]

    @cached_property
    def _opening_claims(self) -> list[Claim]:
        before = takewhile(lambda statement: not isinstance(statement, Turn), self.statements)
        return [statement for statement in (*self._of_headings, *before) if isinstance(statement, Claim)]

    @cached_property
    def _of_headings(self) -> list[Statement]:
        """The statements of the headings."""
        return told_statements(self.masked, self.puzzle.headings)[0]

    @cached_property
    def stipulation_claim(self) -> Claim | None:
        """The words that state the stipulation, None where nothing does."""
        if self.other_genre is not None:
            return None
        own = [claim for claim in self.claims("stipulation") if self._may_ask(claim)]
        return (
            asked.first_stipulation([each for each in own if not may_number(self.masked, each, self.puzzle)] or own)
            or asked.in_other_words(self.masked, (*self.puzzle.headings, *self.puzzle.prose))
            or asked.shared_stipulation(self.masked, self.puzzle.orders)
            or asked.shared_stipulation(self.masked, self.loose)
            or asked.first_stipulation(
                s for s in self.statements if isinstance(s, Claim) and s.kind == "stipulation" and self._may_ask(s)
            )
        )

    def _may_ask(self, claim: Claim) -> bool:
        """Tell whether a sign asks for something, and is no value of something, "Y = 2", nor the number of a post."""
        before = self.masked[max(0, claim.span.start - 3) : claim.span.start].rstrip(" \t")
        value = claim.text.startswith("=") and before[-1:].isalnum()
        return not value and not numbers_post(self.masked, claim)

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

    @cached_property
    def stated(self) -> Stipulation | None:
        """What the puzzle asks for: as the text says, else as the file that its position stands in; None: unsaid."""
        claim = self.stipulation_claim
        said = claim.text if claim is not None else self.puzzle.asked
        return asked.read_stipulation(said) if said and self.other_genre is None else None

    @cached_property
    def side_claims(self) -> list[tuple[chess.Color, Span]]:
        """The sides that the words before the first move say begin, with the place of each."""
        found = []
        for claim in [*self.claims("side_to_move"), *([self.stipulation_claim] if self.stipulation_claim else [])]:
            side = re.search(r"\b(white|black)\b", claim.text.lower())
            if side is not None:
                found.append((side[1] == "white", claim.span))
        return found

    @cached_property
    def told_in(self) -> tuple[str, Mapping[str, chess.PieceType]]:
        """The language of the words, and the letters of the men that go with it."""
        return told_in(self.masked, self.puzzle.prose, LANGUAGES[self.language])

    @cached_property
    def clauses(self) -> list[Clause]:
        """The clauses of the solution text, whether or not anything in them was read."""
        blocks = zip(self.puzzle.prose, self._sentences, strict=True)
        return [clause for span, told in blocks for clause in of_block(self.masked, span, told)]

    @property
    def sentences(self) -> Iterator[Sequence[Lexeme]]:
        """The words of each sentence of the solution text, with the signs between them."""
        for told in self._sentences:
            for sentence in told:
                if words := [each for each in sentence if each.kind != "line"]:
                    yield words

    @cached_property
    def _sentences(self) -> list[list[list[Lexeme]]]:
        return [sentences(self.masked, span, *self.told_in) for span in self.puzzle.prose]
