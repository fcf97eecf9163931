"""What shows that a move was put in another place of the play than its author meant.

Where it stands it is false, and no author would say so there: a mate on the first move of what takes two, a move that
could only be played a move before, an answer to what is told only further on.
"""

from __future__ import annotations

from itertools import pairwise

from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.moves import Effect, Sort
from keyproof.grammar.spans import Span

from ..board.resolve import meant_moves
from ..case.case import Case
from ..finding import Finding
from ..reading.account import Account
from ..reading.reading import Mention, Role, State
from .before import past_unread
from .named import has_no_such_man, is_the_others, stands_there
from .unled import led_by, unled

_OF_MATE = frozenset(("check-not-mate", "mate-without-check", "key-fails"))
_OF_REPLIES = frozenset(("refutation-fails", "further-refutation"))
_OF_PLACE = frozenset(("answer-fails", "threat-fails", "check-not-mate", "mate-without-check", "wrong-capture-sign"))


def misplaced(case: Case, finding: Finding, mention: Mention, account: Account | None) -> bool:
    """Tell whether the place a move was given is more likely wrong than what is said of it.

    `account` is that of the text, None where the file itself says after what each move is played.
    """
    if finding.rule == "illegal-move" and (has_no_such_man(mention) or stands_there(mention) or is_the_others(mention)):
        return True  # nobody forgets that a side has no queen, or where a man stands
    return (
        (account is not None and past_unread(case.reading, mention, account))
        or unled(case, finding, mention)
        or (account is not None and _of_rest_unread(case, finding, mention))
        or _mates_too_soon(case, finding, mention)
        or _played_before(case, mention)
        or _follows_what_cannot_be(case, mention)
        or _played_in_another(case, finding, mention)
        or _replies_to_words(case, finding, mention)
        or _said_of_another(case, finding, mention)
        or _answers_what_is_told_later(case, finding, mention)
        or _beside_a_threat(case, finding, mention)
        or _has_led_here(case, finding, mention)
    )


def _has_led_here(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a reply is that by which the position of a record came about: `c0 "1...Nf8"`, and he is there."""
    reading, square = case.reading, mention.phrase.destination
    if finding.rule != "move-after-the-end" or case.puzzle.play is None or reading is None or square is None:
        return False
    board, number = reading.diagram.board, mention.turn.number
    man = board.piece_at(square)
    arrived = man is not None and man.color != board.turn and man.piece_type == mention.phrase.piece
    return arrived and number is not None and number.second


def _of_rest_unread(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether an answer to all other moves does for some, and one it fails for may be told in words passed over.

    "It can be taken in three ways, by the bishop, by the rook ... After all other moves queen to a8 mates."
    """
    reading = case.reading
    if finding.rule != "check-not-mate" or reading is None or not any(node.mate for node in mention.after):
        return False
    told = [each for node in mention.at for each in reading.printed_into(node)]
    others = any(each.phrase.sort is Sort.any_other for each in told)
    return others and any(span.start < mention.phrase.span.start for span in reading.passed)


def _mates_too_soon(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether words call a first move mate though more moves are asked for: it is a threat or an answer."""
    asked, said = case.stipulation, mention.says(Effect.mate)
    if finding.rule not in _OF_MATE or asked is None or asked.plies < 2 or not mention.at or mention.at[0].ply:
        return False
    if said is None and mention.phrase.worded and not mention.marked:
        start, told = mention.phrase.span.start, case.reading.mentions if case.reading is not None else ()
        theirs = [span for each in told for _, span in each.effects]
        mates = (span for each in case.clauses if each.span.start <= start < each.span.end for span in each.mates)
        return any(not any(span.overlaps(other) for other in theirs) for span in mates)
    return said is not None and said.of(case.masked)[:1].isalpha()


def _played_before(case: Case, mention: Mention) -> bool:
    """Tell whether a printed move that cannot be played could have been one or more half-moves before.

    Behind words and without a number it is then told beside a move, not after it: "3.Qg7# or else ...Kh6". So is one,
    even with a number, that stands in its own line already.
    """
    number = mention.turn.number
    own = number is not None and mention.phrase.span.start - number.span.end <= 1
    if mention.state is not State.impossible or not mention.at or mention.phrase.worded or case.reading is None:
        return False
    line = mention.at[0].path
    if own and number is not None and number.value is not None:
        return any(after.move in node.meant(mention.phrase) for node, after in pairwise(line))
    if led_by(mention, case.reading.mentions, case.masked):
        return False
    return any(node.meant(mention.phrase) for node in line[:-1])


def _follows_what_cannot_be(case: Case, mention: Mention) -> bool:
    """Tell whether the move before, in the same clause and at the same place, cannot be played either."""
    told = [] if case.reading is None else case.reading.mentions
    place = next((at for at, each in enumerate(told) if each is mention), 0)
    if mention.state is not State.impossible or not place:
        return False
    before, start = told[place - 1], mention.phrase.span.start
    clause = next((each.span for each in case.clauses if each.span.start <= start < each.span.end), mention.phrase.span)
    return before.state is State.impossible and before.at == mention.at and clause.start <= before.phrase.span.start


def _played_in_another(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a first move that cannot be played can be in a puzzle near this one: it is told of that one.

    The key is none of these: whose solution stands where is asked elsewhere.
    """
    if finding.rule != "illegal-move" or mention.role is Role.key or not mention.at or mention.at[0].ply:
        return False
    return any(meant_moves(board, mention.phrase) for _, board in case.neighbours())


def _replies_to_words(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a printed reply was put behind several first moves, one of which words may only seem to tell."""
    if finding.rule not in _OF_REPLIES or mention.phrase.worded or len(mention.at) < 2 or case.reading is None:
        return False
    told = [case.reading.printed_into(node) for node in mention.at]
    return any(each and all(first.phrase.worded for first in each) for each in told)


def _said_of_another(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether an "or" stands between a move and the word that calls it a check: "he goes Kf8 or checks there"."""
    between = Span(mention.phrase.span.end, finding.span.start)
    if finding.rule != "no-check" or between.end <= between.start:
        return False
    return any(word.sense("link") == "or" for word in lexemes(case.masked, between, *case.told_in))


def _answers_what_is_told_later(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether the move that one is put behind is told only in a sentence further on."""
    if finding.rule not in _OF_PLACE or case.reading is None or not mention.at or mention.at[0].ply == 0:
        return False
    start = mention.phrase.span.start
    end = next((each.sentence.end for each in case.clauses if each.span.start <= start < each.span.end), start)
    told = case.reading.printed_into(mention.at[0])
    return bool(told) and all(each.phrase.span.start >= end for each in told)


def _beside_a_threat(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether nothing calls a move a threat, and words behind it lead to one that is called so.

    "The key gives this up and puts 2.Qb5 in its place, while 2.Qxb4 is threatened."
    """
    if finding.rule != "threat-fails" or case.reading is None or mention.intro:
        return False
    end = mention.phrase.span.end
    sentence = next((each.sentence for each in case.clauses if each.span.start < end <= each.span.end), None)
    behind = next((each for each in case.reading.mentions if end <= each.phrase.span.start), None)
    if sentence is None or behind is None or behind.at != mention.at or behind.phrase.span.start >= sentence.end:
        return False
    between = lexemes(case.masked, Span(end, behind.turn.span.start), *case.told_in)
    return "was threat" in behind.intro and any(word.kind == "word" and not word.sense("link") for word in between)
