"""Whether the literal reading has found all there is in a text, so that the walk finds no more."""

from collections.abc import Sequence
from itertools import pairwise

from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Marker, Statement, Turn

from ..play.node import Node
from .account import Account
from .reading import Mention, Reading, Role, State, effect_holds
from .walk.oracle import Oracle

_SAYS_MORE = frozenset(("again", "alike"))
_SET = frozenset(("set",))
_REPLY = 2  # half-moves from the diagram


def enough(literal: Reading, statements: Sequence[Statement], placed: Account, oracle: Oracle) -> bool:
    """Tell whether an English text needs no walk: all is printed, or what is told in words stands in its place too.

    A reading without fault that leaves nothing waiting is one; but where words beside a move call it mate, or say that
    something is so again, the walk has more to find.
    """
    if not literal.mentions or literal.not_understood or not all(map(_is_true, literal.mentions)):
        return False
    if placed.placed < placed.total or _waiting(literal, oracle):
        return False
    if _threatens_late(literal) or _leaves_set_play(literal, statements):
        return False
    given = [each for each in statements if not (isinstance(each, Break) and each.kind in ("line", "comma"))]
    for aside, following in zip(given, (*given[1:], None), strict=True):
        if isinstance(aside, Aside) and (
            _says_mate(aside.text) or (not isinstance(following, Turn) and _says(aside.text, _SAYS_MORE))
        ):
            return False  # but not at "for instance 1.Qe2+? Kd4!", where the moves are told
    return True


def _leaves_set_play(literal: Reading, statements: Sequence[Statement]) -> bool:
    """Tell whether set play is announced, and none was found: "1.Kg2! ... Set play: 1...Kh4", true behind the key."""
    if any(mention.role is Role.set_play for mention in literal.mentions):
        return False
    return any(
        (isinstance(each, Marker) and each.kind == "set_play") or (isinstance(each, Aside) and _says(each.text, _SET))
        for each in statements
    )


def _is_true(mention: Mention) -> bool:
    """Tell whether a move can be played where it was placed, and all that is said of it is so."""
    if mention.state is not State.read or mention.misnumbered:
        return False
    return all(effect_holds(effect, node) for effect, _ in mention.effects for node in mention.after)


def _says_mate(words: str) -> bool:
    """Tell whether some words speak of mate."""
    return any(lexeme.sense("effect") == "mate" for lexeme in lexemes(words, Span(0, len(words))))


def _says(words: str, marks: frozenset[str]) -> bool:
    """Tell whether some words mark a move in one of some ways: "1...Nd2 the same" repeats one."""
    said = (lexeme.sense("mark") for lexeme in lexemes(words, Span(0, len(words))))
    return any(each in marks for each in said)


def _waiting(reading: Reading, oracle: Oracle) -> bool:
    """Tell whether moves of tries and defences wait for an answer, or answers do not do where they were put.

    "1.Qb4? 1.Qe5? Kc6!" tells one refutation of both. What is only asked need not be answered,
    nor what is called the key: if that fails, it is false.
    """
    answered = {node for mention in reading.mentions for node in mention.at}
    return any(
        _fails(mention, oracle)
        or (
            not mention.asked
            and mention.role is not Role.key
            and bool(mention.after)  # else it was not played: "the bishop cannot come to d4"
            and all(node not in answered and _waits(node, oracle) for node in mention.after)
        )
        for mention in reading.mentions
    )


def _threatens_late(reading: Reading) -> bool:
    """Tell whether a move right behind a reply was put where nobody replies: "... then Kd2. But White castles"."""
    told = sorted((each for each in reading.mentions if each.after), key=lambda each: each.phrase.span)
    return any(after.role is Role.threat and before.after[0].ply == _REPLY for before, after in pairwise(told))


def _fails(mention: Mention, oracle: Oracle) -> bool:
    return mention.phrase.exact and any(_answers(node) and oracle.right(node) is False for node in mention.after)


def _answers(node: Node) -> bool:
    return node.ply > _REPLY and node.ply % 2 == 1 and bool(node.move)


def _waits(node: Node, oracle: Oracle) -> bool:
    first = node.first
    if node.over or first is None or not first.move:
        return False  # without a first move it is told where a man can go
    return oracle.solves(node) is False if node is first else node.ply == _REPLY and oracle.refutes(node) is False
