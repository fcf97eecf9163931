"""What the words and signs around printed moves say of their order: told before what they answer, denied, tried."""

from __future__ import annotations

import re
from collections.abc import Sequence

import chess
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Statement, Turn

from ..play.node import Node
from .reading import Mention
from .replay import Unit
from .units import names_a_man, next_turn_after

FAR = 99  # the number of a half-move that no solution reaches

_ON_RANK = re.compile(r"^(?:on|to)\s+the\s+(?:\w+th|1st|2nd|3rd|first|second|third)\s+rank\s*[:,–-]?$", re.I)
_NEAR = 12  # statements of one sentence
_BEATS = frozenset(("beats", "meets", "refutes", "refute"))
_DENIES = frozenset(("not", "and not", "rather than", "instead of", "nicht", "und nicht", "statt", "et non", "pas"))
_DENIES |= frozenset(("no", "y no", "non", "e non", "niet", "en niet"))


def stands_first(turn: Turn, behind: Sequence[Statement]) -> bool:
    """Tell whether a reply is told before the first move it answers: "1...Kd3! refutes 1.Qg4+ and 1.Re6+"."""
    number, following = turn.number, next_turn_after(list(behind[:_NEAR]), 0)
    if number is None or not number.second or number.value != 1 or following is None or following.number is None:
        return False
    words = next((each.text for each in behind[:1] if isinstance(each, Aside)), "")
    return following.number.ply == 1 and any(
        each.sense("mark") in _BEATS for each in lexemes(words, Span(0, len(words)))
    )


def is_denied(turn: Turn, before: Sequence[Turn], gap: Sequence[Statement]) -> bool:
    """Tell whether an answer is named as one that is none: "the mate is 2.Bf4#, not 2.Ne7"."""
    words = [each.text.strip().lower() for each in gap if isinstance(each, Aside)]
    last = before[-1].number if before else None
    if words and turn.choices and turn.choices[0].castling and _prevents(words[-1]):
        return True  # "she stops 1...O-O by holding g8"
    if last is None or turn.number is None or not words:
        return False
    return turn.number.ply == last.ply and (last.ply or 0) > 1 and words[-1] in _DENIES


def _prevents(words: str) -> bool:
    said = lexemes(words, Span(0, len(words)))
    return bool(said) and "prevents" in said[-1].categories


def numbers_either(turn: Turn, answer: Turn | None) -> bool:
    """Tell whether "1." is Black's number too, as in old books: "If 1. K to Kt 4, Q to B 6, mate"."""
    number = turn.number
    if number is None or number.second or answer is None or not turn.choices or not turn.choices[0].descriptive:
        return False
    return (answer.number is not None and (answer.number.value or 0) > 1) or _mates(answer)


def pairs(mark: Break, before: Sequence[Turn], following: Statement | None) -> bool:
    """Tell whether a semicolon stands between a reply and its answer: "K to B 8; 2. Q to R sq., mate"."""
    if mark.kind != "semicolon" or len(before) != 1 or not isinstance(following, Turn):
        return False
    last, number = before[0], following.number
    if last.effects or last.choices[-1].effects or last.choices[-1].annotation or last.choices[0].worded:
        return False
    if last.number is not None and not last.number.second:
        return False
    numbered = number is None or (not number.second and number.value is not None and number.value > 1)
    return numbered and _mates(following)


def of_a_rank(aside: Aside, following: Statement | None) -> bool:
    """Tell whether words name the replies to a rank: "on the 8th rank: Rc8#"."""
    return _ON_RANK.search(aside.text) is not None and isinstance(following, Break | Turn)


def refuted_at_once(turn: Turn, following: Statement | None, diagram: Node) -> bool:
    """Tell whether a move without a number is printed as a try: "Qg5? Kh8!"."""
    if turn.number is not None or not turn.choices or not isinstance(following, Turn) or not following.choices:
        return False
    signs = turn.choices[-1].annotation[:1] + following.choices[0].annotation[:1]
    return signs == "?!" and all(diagram.meant(each) for each in turn.choices)


def fails_at_once(before: Sequence[Turn], diagram: Node) -> bool:
    """Tell whether what is said to fail can only be a first move: "Q to B 5 will not do, on account of ..."."""
    if len(before) != 1 or before[0].number is not None:
        return False
    phrases = before[0].choices
    return bool(phrases) and all(not each.worded and diagram.meant(each) for each in phrases)


def _mates(turn: Turn) -> bool:
    said = turn.effects + tuple(each for phrase in turn.choices for each in phrase.effects)
    return any(effect is Effect.mate for effect, _ in said)


def bracketed_firsts(bracketed: list[Node], sentence: Sequence[Mention]) -> list[Node]:
    """Return the first moves that brackets of this sentence name, for what answers them behind the brackets.

    "Either rook to the second rank (1.Ra2 or Rb2) looks strong, but Kf4 disposes of them."
    """
    named = [node for mention in sentence for node in mention.after]
    return bracketed if bracketed and bracketed[0].ply == 1 and all(node in named for node in bracketed) else []


def refutes_it(unit: Unit, sentence: Sequence[Mention]) -> bool:
    """Tell whether a numbered reply is told right behind the first move that it refutes: "1.Be4 is met by 1...g5!"."""
    told = unit.ply == 2 and bool(unit.intro & {"refuted_by", "refuted_only_by"}) and len(unit.path) == 2
    return told and bool(sentence) and sentence[-1].at[:1] == unit.path[0] and sentence[-1].after == unit.path[1]


def tells_castling(unit: Unit, path: Sequence[Sequence[Node]]) -> bool:
    """Tell whether words only explain a castling: "the king goes to c one and the rook to d one"."""
    phrases = [phrase for turn in unit.turns for phrase in turn.choices]
    nodes = [frontier[0] for frontier in path[1:] if frontier]
    return all(phrase.worded and phrase.piece in (chess.KING, chess.ROOK) for phrase in phrases) and any(
        node.parent is not None
        and node.move is not None
        and node.parent.board.is_castling(node.move)
        and all(names_a_man(node, phrase) for phrase in phrases)
        for node in nodes
    )
