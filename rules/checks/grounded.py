"""When a finding stands by itself, whatever of the text around it was not understood."""

import re
from collections.abc import Iterable

from keyproof.grammar.clauses import Clause
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Reason

from ..case.case import Case
from ..finding import Finding
from ..reading.account import Standing, left_open
from ..reading.reading import Mention, PlacedReason, Role
from ..reasons.deciders import DECIDERS
from ..reasons.impossible import impossible
from .hedges import NEW_CLAUSE
from .unplayed import told_as_unplayed

PLAIN = frozenset(("check-not-mate", "mate-without-check", "refutation-fails"))
"""Of a move whose place is sure nothing but its effect is false."""

_COUNTS = frozenset(("wrong-number-of-mates", "wrong-flights"))  # so many words lead to them that none was taken amiss

_OF_FIRST = frozenset(("castling-through-check", "castling-into-check"))

_OF_REPLIES = frozenset(("king-into-check", "move-after-the-end", "pinned-man-moves", "check-not-met"))

_IN_ALL = re.compile(r"\b(?:legal|in\s+(?:all|total)|altogether|all\s+told)\b", re.I)
_RELATIVE = re.compile(r"\b(?:which|who|that|where)\b", re.I)


def false_anywhere(case: Case, finding: Finding) -> bool:
    """Tell whether a finding is about a reason that no position can make true, be it placed rightly or not."""
    placed = _reason_of(case, finding)
    return placed is not None and bool(impossible(placed.reason))


def counts_or_goes_on(case: Case, finding: Finding, mention: Mention | None, clause: Clause) -> bool:
    """Tell whether a finding is about a number, or about what a move does that is told right behind the one before.

    Words that may change what is said of it must all have been understood.
    """
    if finding.rule == "wrong-piece-count" and not any(shown.told for shown in case.puzzle.diagrams):
        return True  # the men of a position that is printed, whatever is said of its play
    numbered = mention is not None and mention.turn.number is not None and not mention.phrase.worded
    if finding.rule in _OF_FIRST and mention is not None and numbered:
        return bool(mention.at) and mention.at[0].ply == 0  # its number says so
    words = left_open(clause, case.taken)
    if finding.rule in _COUNTS or _is_counted(case, finding):
        return all(_apart(case, finding.span, word) for word in words)
    if words or mention is None:
        return False
    if not _goes_on(case, mention):
        return False
    if finding.rule in _OF_REPLIES:
        return mention.role is Role.refutation  # that it refutes is said, so that it is played there
    threat = finding.rule == "threat-fails" and _is_called_threat(mention)
    if finding.rule not in PLAIN and not threat and not (finding.rule == "answer-fails" and _in_full(case, mention)):
        return False
    return told_as_unplayed(case, finding, mention, clause, case.taken) is None


def _is_counted(case: Case, finding: Finding) -> bool:
    """Tell whether a finding is about words that say how many replies refute, beside one whose place is sure.

    Or about such as name the position they count in, or all that there are: "Black has only four legal moves after
    1.g8=N", "he has six moves in all".
    """
    if (placed := _reason_of(case, finding)) is not None:
        plain = placed.anchored or _IN_ALL.search(finding.span.of(case.masked)) is not None
        return plain and finding.rule == "wrong-number-of-replies"
    claims = case.reading.claims if case.reading is not None else ()
    return any(each.claim.span == finding.span and each.claim.kind == "refutations" for each in claims)


def plainly_told(case: Case, finding: Finding) -> bool:
    """Tell whether a finding is about a reason that names its men with their squares, or holds nowhere in the text.

    It is the man who does it whose square must be named, or the one it is done to where nobody does it.
    """
    placed = _reason_of(case, finding)
    if placed is None or not _names_its_man(placed.reason):
        return False
    reason = placed.reason
    named = bool(reason.squares) or (reason.man is not None and bool(reason.man.squares or reason.man.named))
    return named or not _holds_somewhere(case, reason)


def words_of_its_clause(case: Case, finding: Finding, words: Iterable[Span]) -> tuple[Span, ...]:
    """Return those words that bear on a finding: "is pinned and cannot stir" denies nothing of the pin."""
    placed = _reason_of(case, finding)
    if placed is None or not _names_its_man(placed.reason):
        return tuple(words)
    return tuple(word for word in words if not _apart(case, placed.reason.span, word))


def _reason_of(case: Case, finding: Finding) -> PlacedReason | None:
    if case.reading is None:
        return None
    return next((each for each in case.reading.reasons if each.reason.span == finding.span), None)


def _names_its_man(reason: Reason) -> bool:
    man = reason.other if reason.other is not None and reason.other.squares else reason.man
    return man is not None and len(man.squares) == 1


def _holds_somewhere(case: Case, reason: Reason) -> bool:
    """Tell whether a reason may hold in any position that the text leads to."""
    assert case.reading is not None
    told = {node for mention in case.reading.mentions for after in mention.after for node in after.path}
    verdicts = (DECIDERS[reason.kind](node, reason) for node in {case.reading.diagram, *told})
    return any(each is not None and each.verdict != "wrong" for each in verdicts)


def _apart(case: Case, reason: Span, word: Span) -> bool:
    """Tell whether a word stands in another clause than a reason."""
    if word.end <= reason.start:
        return NEW_CLAUSE.search(case.masked, word.end, reason.start) is not None
    return any(each.search(case.masked, reason.end, word.start) for each in (NEW_CLAUSE, _RELATIVE))


def _goes_on(case: Case, mention: Mention) -> bool:
    """Tell whether a move is told right behind the one it is played after, with nothing between that may tell another.

    Words for a threat lead back to the first move told last, whatever stands between. What is asked may be a reply
    that is then answered, "If the rook goes to c5? Rook e6, mate", but no first move that nothing calls a try.
    """
    reading, start = case.reading, mention.phrase.span.start
    if reading is None or len(mention.at) != 1 or mention.at[0].ply == 0:
        return False
    before = [each for each in reading.mentions if each.phrase.span.end <= start]
    told = next((each for each in reversed(before) if each.at != mention.at), None)  # "queen f3, or rook d3"
    if told is None:
        return False
    if told.at[:1] == [reading.diagram] and reading.is_open(told.phrase.span.start) and not told.marked:
        return False
    if _is_called_threat(mention):
        return told.after == [mention.at[0].parent]
    ours = {entry.clause.sentence for place in (told.phrase.span.start, start) if (entry := case.account.at(place))}
    between = [each for each in case.account.entries if told.phrase.span.end <= each.span.start < start]
    ours = ours if told is before[-1] else set()  # "if any other man moves" may lead away from the answer before
    placed = all(each.standing is Standing.placed or each.clause.sentence in ours for each in between)
    return placed and told.after == mention.at


def _is_called_threat(mention: Mention) -> bool:
    return mention.role is Role.threat and "threat" in mention.intro


def _in_full(case: Case, mention: Mention) -> bool:
    """Tell whether an answer is told with its man and square, in the sentence of its defence: "if a4, the queen to c4".

    Nothing else is then what it may answer, though no word says that it mates.
    """
    reading, entry = case.reading, case.account.at(mention.phrase.span.start)
    if reading is None or entry is None or mention.phrase.destination is None or not mention.phrase.worded:
        return False
    words = lexemes(case.masked, mention.phrase.span, *case.told_in)
    named = any("man" in word.categories for word in words) and {word.kind for word in words} == {"word", "square"}
    told = [case.account.at(each.phrase.span.start) for each in reading.printed_into(mention.at[0])]
    return named and any(each is not None and each.clause.sentence == entry.clause.sentence for each in told)
