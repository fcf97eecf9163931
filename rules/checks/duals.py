"""Duals: more than one way to mate after a defence."""

import re
from collections.abc import Iterator

import chess

from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, Role, State
from .mates import called_only
from .printed import printed_moves, printed_threats
from .register import rule
from .roots import falsely_signed, once


@rule("dual", Level.note)
def dual(case: Case) -> Iterator[Fault]:
    """Another answer mates as well, and the text gives only one.

    Duals after the key are flaws, not unsoundness (WFCC Codex, Arts. 9 to 11); the
    reader who finds the other mate should not be told there is one. Print both
    ("2.Qc7/Qe8#") and the rule is silent. Replies not printed on their own ("any other")
    are not counted, nor are the attacker's last moves with a threat that still works.
    Most columns leave duals unsaid, so it is a note; where the puzzle's text prints other duals, or says that its
    answer is the only one, it is a warning.

    Bad:
        FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1
        Mate in two.
        1.Kb6! Kc8 2.Qe8#, 1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#

    Good:
        FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1
        Mate in two.
        1.Kb6! Kc8 2.Qe8/Qc7#, 1...Ka8 2.Qa7/Qb7/Qd8/Qe8/Qf8#
    """
    reading = case.reading
    if reading is None or not case.direct or case.proof is None:
        return
    for key in reading.first_moves(Role.key):
        if key.move not in case.proof.keys:
            continue
        threats = printed_threats(case, key)
        seen: set[Node] = set()
        for mention in reading.printed_after(key):
            if not mention.after or mention.after[0] in seen:
                continue
            node = mention.after[0]
            if mention.role is not Role.defence or not mention.phrase.exact or len(mention.after) != 1:
                continue  # words for several replies hide none of them that is told for itself
            seen.add(node)
            printed = printed_moves(reading.printed_after(node), node)
            mating = case.mating_moves(node).lengths
            shown = [move for move in mating if move in printed]
            others = [move for move in mating if move not in printed and move not in threats]
            answers = reading.printed_after(node)
            if any(m.state is State.impossible or falsely_signed(m) for m in answers) or len(shown) < len(printed):
                continue  # the misprinted answer may be the other one
            if shown and others and node not in called_only(case):
                yield _dual(case, mention, node, shown[0], others)


def _dual(case: Case, mention: Mention, node: Node, shown: chess.Move, others: list[chess.Move]) -> Fault:
    assert node.parent is not None
    assert node.move is not None
    lengths = case.mating_moves(node).lengths
    verb = "mates" if len(others) == 1 else "mate"
    if any(lengths[move] > 1 for move in others):
        verb = "leads to mate in time" if len(others) == 1 else "lead to mate in time"
    message = (
        f"after {case.say(node.parent, node.move)} {case.say_all(node, others, most=4)} {verb} too, "
        f"besides {case.letters(node.board.san(shown))}"
    )
    told = case.moves_left(node) <= 1 and (_prints_duals(case) or _says_only(case, mention))
    level = Level.warning if told else None
    return Fault(mention.phrase.span, message, node.choices(others), level=level)


def _prints_duals(case: Case) -> bool:
    """Tell whether the text gives more than one answer to some defence."""

    def found() -> bool:
        moves: dict[Node, set[chess.Move | None]] = {}
        for mention in case.reading.mentions if case.reading is not None else ():
            if mention.role is Role.answer and mention.phrase.exact:
                for node, after in mention.ways:
                    moves.setdefault(node, set()).update(child.move for child in after)
        return any(len(each) > 1 for each in moves.values())

    return once(case, "prints duals", None, found)


def _says_only(case: Case, mention: Mention) -> bool:
    """Tell whether the sentence of a defence calls something in it the only one."""
    here = (each.sentence for each in case.clauses if each.span.start <= mention.phrase.span.start < each.span.end)
    return any(re.search(r"\bonly\b", sentence.of(case.masked), re.I) for sentence in here)
