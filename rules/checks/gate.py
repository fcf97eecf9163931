"""Which findings may stand: no accusation from a clause that was not wholly understood.

A finding rests on the clause it points at. Where the author only asks, supposes, wishes, quotes or takes back, it is
none. Where words of the clause are part of nothing that was read, or most of what the text says of its puzzle was
not placed, the words may mean something else: then a note says what the clause would have meant. Printed notation
means one thing wherever it stands, so of it only the first is asked, and what a text leaves out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import takewhile

from keyproof.grammar.clauses import Clause
from keyproof.grammar.cues import Stance
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, Marker

from ..case.case import Case
from ..case.held import Held
from ..finding import Finding, Level
from ..reading.account import Standing, left_open, squares_left
from ..reading.reading import Mention, Role, State
from .around import lost_around, passed_beside
from .before import begun_in_the_dark, right_behind_the_key
from .breath import answers, in_one_breath, listed, of_the_set_play
from .grounded import PLAIN, counts_or_goes_on, false_anywhere, plainly_told, words_of_its_clause
from .misplaced import misplaced
from .missing import may_stand_unread
from .named import names_no_man, of_a_kind, tells
from .nowhere import follows_placed, holds_nowhere
from .roots import ambiguous
from .tried import called_a_try, told_as_a_try
from .trust import account_borne_out
from .unplayed import told_as_unplayed

_ENOUGH = 0.7  # the part of a text's clauses that must be placed before its words can be held against it
_TRUSTED = 0.6  # the part that must be, before the places of its words count as checked
_NEARLY_ALL = 0.8  # the part that must be, where the text and the position do not agree on the side to move
_HARDLY_ANY = 0.1  # the part that may be left, where a slip of the reading is far likelier than one of the author
_CALLED = 0.5  # the part that must be, where words call a move the key and it is none
_SILENT = 0.15  # the part of a text's clauses that may name a square and be no move
_FEW = 4  # clauses of a text that is too short to say how well it was understood

LEAVES_OUT = frozenset(("defence-left-out", "refutation-left-out"))
"""Rules that report what a text does not say: it may say it in a clause that was not understood."""

_WHOLE = frozenset(("turned-diagram", "solution-of-another-puzzle"))  # they say themselves what is not understood

_MISREAD = frozenset(
    ("wrong-side", "mate-marked-check", "missing-promotion", "wrong-capture-sign", "captures-nothing", "check-not-met")
)  # slips that hardly any author makes: where a part was not understood, the move rather stands elsewhere

_WORDY = frozenset(("ambiguous-move", "missing-promotion", "mate-marked-check", "wrong-promotion"))  # the same of words

_KEYS = frozenset(("key-fails", "second-key", "no-key", "short-mate", "castling-convention"))


def gate_of(case: Case) -> Gate:
    """Return the gate of a puzzle; the same one whenever it is asked for."""
    if not isinstance(case.gate, Gate):
        case.gate = Gate(case)
    return case.gate


class Gate:
    """Says of each finding of one puzzle whether it may stand."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self._starts = [clause.span.start for clause in case.clauses]

    def passes(self, finding: Finding) -> bool:
        """Tell whether a finding may be looked into at all: the clause asserts or denies something."""
        clause = self._clause(finding.span)
        if clause is None:
            return True
        if finding.level is Level.note:
            return clause.asserts
        if clause.governed and clause.stance is Stance.denied:
            return False  # "it is not true that 2.Qb6 is mate": that it is false is what the author says
        mention = self._mention(finding.span)
        if clause.stance is Stance.denied and mention is not None and mention.state is State.impossible:
            return not mention.phrase.worded  # "there is nobody left to castle with"
        return self._asserts(finding.span) and not self._is_open(finding.span)

    def held(self, finding: Finding, found: Sequence[Finding]) -> Held | None:
        """Return why a finding may not stand, else None. `found` are all findings of the puzzle."""
        clause, mention = self._clause(finding.span), self._mention(finding.span)
        if any(shown.span.start <= finding.span.start < shown.span.end for shown in self._case.puzzle.diagrams):
            return None  # a position is as it is printed, whatever is said of it
        if finding.rule == "no-stipulation" and self._may_be_asked:
            return Held(finding)
        if clause is None or finding.level is Level.note or false_anywhere(self._case, finding):
            return None
        if counts_or_goes_on(self._case, finding, mention, clause):
            return None
        puzzle = self._case.puzzle
        in_prose = puzzle.play is None or any(map(finding.span.overlaps, puzzle.remarks))  # else its place is certain
        if mention is not None and misplaced(self._case, finding, mention, self._case.account if in_prose else None):
            return Held(finding)
        if mention is not None and in_prose:
            words = told_as_unplayed(self._case, finding, mention, clause, self._case.taken)
            if words is not None:
                return Held(finding, words)
        unplayed = mention is not None and mention.state is State.impossible
        whole = self._of_the_whole(finding.span) or finding.rule == "castling-not-at-home"
        behind_key = finding.rule == "threat-overlooked" and right_behind_the_key(self._case, finding.span.start)
        if mention is not None and mention.state is State.read and passed_beside(self._case, finding):
            return Held(finding)
        lost = lost_around(self._case.account, finding, mention, self._accused(found), paired=self._paired(finding))
        if lost and not (whole or behind_key):
            return Held(finding)
        if mention is not None and unplayed and of_the_set_play(mention, self._case.masked, clause):
            return Held(finding)  # "1...d2, met in the diagram by 2.Qa1#, now meets 2.Qf6#"
        printed = self._printed(finding.span)
        if printed and not self._numbered(finding.span) and (words := tuple(left_open(clause, self._case.taken))):
            return Held(finding, words)  # "it could interpose there against Qf2"
        no_man = not self._in_notation and names_no_man(finding, mention)
        if no_man or self._follows_unread_key(finding):
            return Held(finding)
        calls = finding.rule == "key-fails" and self._calls_key(finding.span)
        if finding.rule == "key-fails" and told_as_a_try(self._case, mention, called=calls):
            return Held(finding)
        if finding.rule == "try-solves" and not (self._in_notation or called_a_try(self._case, mention, clause)):
            return Held(finding)
        if finding.rule in LEAVES_OUT and self._may_be_told(found):
            return Held(finding)
        plain = self._in_notation or (
            finding.rule in _KEYS and (finding.rule != "key-fails" or self._calls_key(finding.span))
        )
        if plain and printed and not self._hangs_from_doubt(finding):
            return None
        if self._in_the_dark and finding.rule not in _WHOLE and not whole:
            return Held(finding)  # the position or the text may be another's
        nowhere = mention is not None and mention.phrase.piece is not None and holds_nowhere(self._case, mention)
        if self._hangs_from_doubt(finding) and not (nowhere and unplayed):
            return Held(finding)
        if printed:
            part = 1.0 if finding.rule in _MISREAD else _CALLED if self._paired(finding) else _NEARLY_ALL
            part = _NEARLY_ALL if finding.rule == "check-not-met" and self._paired(finding) else part
            told = finding.rule in _WHOLE or self._fair(found) >= part or self._among_placed(finding) or nowhere
            return None if told or (part < 1 and self._case.account.total <= 2 * _FEW) else Held(finding)
        if finding.rule in LEAVES_OUT:
            return Held(finding) if may_stand_unread(self._case, finding) else None
        words = words_of_its_clause(self._case, finding, left_open(clause, self._case.taken))
        if words:
            return Held(finding, words)
        if whole or plainly_told(self._case, finding):
            return None
        if finding.rule == "key-fails" and self._calls_key(finding.span):
            return None if self._case.account.placed >= _CALLED * self._case.account.total else Held(finding)
        if finding.rule == "wrong-side" and (mention is None or mention.phrase.colour is None):
            return Held(finding)  # nobody forgets whose move it is; the move belongs elsewhere
        if finding.rule in _WORDY and not self._all_else_placed(finding):
            return Held(finding)
        if begun_in_the_dark(clause, self._case.account, self._accused(found)):
            return Held(finding)
        behind = nowhere and unplayed and follows_placed(self._case.account, finding.span.start)
        plain = self._among_placed(finding) or behind
        return None if plain or behind_key or self._followed(finding, found) else Held(finding)

    def _hangs_from_doubt(self, finding: Finding) -> bool:
        """Tell whether a finding is about the play after a first move that was only supposed, or may be another one."""
        reading = self._case.reading
        if reading is None:
            return False
        unplayable = any(each.state is State.impossible and each.phrase.castling for each in reading.mentions)
        if finding.rule == "threat-overlooked" and (reading.supposed or unplayable):
            return True
        mention = self._mention(finding.span)
        if mention is None or not mention.at:
            return False
        first = mention.at[0].first
        if first is not None and any(ambiguous(told) or of_a_kind(told) for told in reading.printed_into(first)):
            return True
        return any(self._only_supposed(reading.printed_into(node)) for node in mention.at[0].path[1:])

    def _follows_unread_key(self, finding: Finding) -> bool:
        """Tell whether what is taken for the key is only called so in a clause before, whose own move was not read."""
        if finding.rule != "key-fails":
            return False
        told = [e.span.start for e in self._case.statements if isinstance(e, Marker) and e.kind == "key"]
        entry = self._case.account.at(max((place for place in told if place < finding.span.start), default=-1))
        return entry is not None and entry.standing is Standing.not_understood and entry.clause.names_a_square

    def _only_supposed(self, told: Sequence[Mention]) -> bool:
        """Tell whether a move is told in words, and only where they are open or suppose it ("the rook would land")."""
        if any(each.marked and (each.role is Role.try_ or self._solves(each)) for each in told):
            return False  # "Who says Bishop f3? Well done, that's it", "What about queen b7?"
        if told and all(each.phrase.worded and self._is_open(each.phrase.span) for each in told):
            return True
        clauses = [self._clause(each.phrase.span) for each in told if each.phrase.worded]
        return (
            bool(told)
            and len(clauses) == len(told)
            and all(clause is not None and clause.stance in (Stance.supposed, Stance.wished) for clause in clauses)
        )

    def _solves(self, mention: Mention) -> bool:
        keys = () if self._case.proof is None else self._case.proof.keys
        return all(node.ply == 1 and node.move in keys for node in mention.after)

    def _fair(self, found: Sequence[Finding]) -> float:
        """Return the part of a text's clauses that were placed or are accused, all of one that is too short to say."""
        account = self._case.account
        if account.total <= _FEW:
            return 1.0
        accused = self._accused(found)
        return sum(e.standing is Standing.placed or e.span in accused for e in account.entries) / account.total

    @cached_property
    def _in_the_dark(self) -> bool:
        """True where so little of a text was placed that it may not be about the position it was read from."""
        return self._case.account.total > _FEW and 2 * self._case.account.placed < self._case.account.total

    @cached_property
    def trusted(self) -> int:
        """How many of the moves the text speaks of were placed, and may be believed to be placed where they belong."""
        reading = self._case.reading
        return 0 if reading is None else sum(map(self._trusts, reading.mentions))

    @cached_property
    def mentioned(self) -> int:
        """How many moves the text speaks of, those among them that were not read."""
        reading = self._case.reading
        silent = [
            entry.span
            for entry in self._case.account.entries
            if entry.standing is Standing.not_understood and squares_left(entry.clause, self._case.taken)
        ]
        if reading is None:
            return len(silent)
        told = [mention.phrase.span for mention in reading.mentions]
        told += [each.span for each in reading.not_understood]
        told += [span for span in reading.passed if span not in reading.named]
        left = [span for span in silent if not any(span.start <= each.start < span.end for each in told)]
        return len(told) + (len(left) if len(left) > max(1, _SILENT * self._case.account.total) else 0)

    def _trusts(self, mention: Mention) -> bool:
        sure = self._case.reading is None or self._case.reading.is_sure(mention)
        if mention.state is State.not_examined or not sure or self._is_doubted(mention):
            return False
        if 2 * self._case.account.placed < self._case.account.total and self._case.account.total > _FEW:
            return False
        if not mention.phrase.worded and not mention.turn.bare_square:
            return True
        accused = mention.state is State.impossible and mention.phrase.span in self._stood
        followed = self._key_is_known and self._case.account.placed >= _TRUSTED * self._case.account.total
        return accused or (mention.state is State.read and followed)

    def _is_open(self, span: Span) -> bool:
        reading = self._case.reading
        return reading is not None and reading.is_open(span.start)

    def _is_doubted(self, mention: Mention) -> bool:
        """Tell whether a finding about a move, and not about what is left out beside it, was held back."""
        places = [mention.phrase.span, *(place for _, place in mention.effects)]
        doubted = [held.finding.span for held in self._case.held if held.finding.rule not in LEAVES_OUT]
        return any(place.start < span.end and span.start < place.end for span in doubted for place in places)

    @cached_property
    def _stood(self) -> set[Span]:
        return {finding.span for finding in self._case.stood}

    def _asserts(self, span: Span) -> bool:
        """Tell whether all clauses that a stretch of text is part of can be false."""
        index = max(0, bisect_right(self._starts, span.start) - 1)
        over = takewhile(lambda clause: clause.span.start < span.end, self._case.clauses[index:])
        return all(clause.asserts for clause in over if span.start < clause.span.end)

    def _clause(self, span: Span) -> Clause | None:
        index = bisect_right(self._starts, span.start) - 1
        clause = self._case.clauses[index] if index >= 0 else None
        return clause if clause is not None and span.start < clause.span.end else None

    def _all_else_placed(self, finding: Finding) -> bool:
        left = sum(
            entry.standing is not Standing.placed and not entry.span.start <= finding.span.start < entry.span.end
            for entry in self._case.account.entries
        )
        return left <= _HARDLY_ANY * self._case.account.total

    @cached_property
    def _may_be_asked(self) -> bool:
        """Tell whether the order may stand in words that were not understood, or with another puzzle."""
        others = any(each.stated is not None for each in self._case.column)
        return self._case.likely is not None and (others or self._case.account.placed < self._case.account.total)

    def _calls_key(self, span: Span) -> bool:
        mention = self._mention(span)
        return mention is not None and (mention.marked or "!" in mention.phrase.annotation or self._exclaims(mention))

    def _exclaims(self, mention: Mention) -> bool:
        return self._case.masked[mention.phrase.span.end : mention.phrase.span.end + 1] == "!"

    def _printed(self, span: Span) -> bool:
        """Tell whether a finding is about a move printed in notation, with its number or in a line that has numbers."""
        mention = self._mention(span)
        if mention is None or mention.phrase.worded or mention.turn.bare_square:
            return False
        return bool(mention.turn.number or mention.phrase.annotation or mention.phrase.effects or self._in_notation)

    def _paired(self, finding: Finding) -> bool:
        """Tell whether it is about an answer printed behind its defence, both with their numbers, after the key.

        As sure of its place is a reply printed behind its first move, in the same sentence, or an answer to several.
        """
        mention, reading, proof = self._mention(finding.span), self._case.reading, self._case.proof
        if mention is None or reading is None or proof is None or not mention.at:
            return False
        at, number = mention.at[-1], mention.turn.number
        if len(mention.at) > 1 and not listed(mention, reading, self._clause):
            return False
        if at.ply == 1 and at.move and (number or mention.phrase.annotation):
            return in_one_breath(mention, reading.printed_into(at), self._clause)
        if not number:
            return False
        told = [each for each in reading.printed_into(at) if not each.phrase.worded and each.turn.number]
        after_key = len(at.path) > 1 and at.path[1].move in proof.keys
        return after_key and answers(mention, told, reading.mentions, self._clause)

    def _numbered(self, span: Span) -> bool:
        mention = self._mention(span)
        return mention is not None and mention.turn.number is not None

    @cached_property
    def _in_notation(self) -> bool:
        """True where the text prints its moves and does not tell them: then a move without a number is one too.

        "Anything else" tells no move: it is what a printed table calls the replies it does not list.
        """
        reading = self._case.reading
        return reading is not None and not any(map(tells, reading.mentions))

    def _mention(self, span: Span) -> Mention | None:
        reading = self._case.reading
        for mention in reading.mentions if reading is not None else ():
            places = [mention.phrase.span, *(place for _, place in mention.effects)]
            if any(place.start < span.end and span.start < place.end for place in places):
                return mention
        return None

    def _of_the_whole(self, span: Span) -> bool:
        """Tell whether a finding is about a claim that depends on no play: who moves, in how many, how many men."""
        return any(claim.span.start < span.end and span.start < claim.span.end for claim in self._claims)

    @cached_property
    def _claims(self) -> list[Claim]:
        kinds = ("count", "stipulation", "side_to_move")
        return [each for each in self._case.statements if isinstance(each, Claim) and each.kind in kinds]

    def _among_placed(self, finding: Finding) -> bool:
        """Tell whether a plain claim stands in a clause that was placed, between two that were placed as well."""
        entries = self._case.account.entries
        at = next((place for place, entry in enumerate(entries) if entry.holds(finding.span.start)), None)
        if finding.rule not in PLAIN or at is None or not self._key_is_known:
            return False
        around = entries[max(0, at - 1) : at + 2]
        placed = all(entry.standing is Standing.placed for entry in around)
        return placed and len(around) == 3 and self._case.account.placed >= _CALLED * self._case.account.total

    def _may_be_told(self, found: Sequence[Finding]) -> bool:
        """Tell whether what seems left out may be told in the set play, or by a move that was put in a wrong place."""
        held = [each.finding for each in self._case.held if each.finding.rule not in LEAVES_OUT]
        return any(each.rule == "set-play-fails" for each in found) or any(self._mention(each.span) for each in held)

    def _accused(self, found: Iterable[Finding]) -> set[Span]:
        return {entry.span for each in found if (entry := self._case.account.at(each.span.start)) is not None}

    def _followed(self, finding: Finding, found: Sequence[Finding]) -> bool:
        """Tell whether so much of the text was placed that its words can be held against it."""
        if finding.rule not in _KEYS and not self._key_is_known:
            return False
        account = account_borne_out(self._case) if finding.rule in PLAIN else self._case.account
        accused = self._accused(found)
        fair = sum(entry.standing is Standing.placed or entry.span in accused for entry in account.entries)
        if any(each.rule == "wrong-side-to-move" for each in found) and account.placed < _NEARLY_ALL * account.total:
            return False  # the play may be the other side's
        least = account.total - fair
        fair = min(fair, account.placed + max(1, account.total // 6))
        return least <= 1 or account.total <= _FEW or fair >= _ENOUGH * account.total

    @cached_property
    def _key_is_known(self) -> bool:
        """Tell whether the reading starts the play with a move that solves, where there is one."""
        case, reading = self._case, self._case.reading
        if reading is None or case.proof is None or not case.has_key or not case.proof.keys or reading.supposed:
            return True
        called = any(mention.marked for mention in reading.firsts())
        firsts = {node.move for mention in reading.firsts() for node in mention.after}
        return called or bool(firsts & set(case.proof.keys)) or self._case.account.total <= _FEW
