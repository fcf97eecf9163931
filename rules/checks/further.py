"""Tries that fail to more replies than the text says."""

from collections.abc import Iterator

import chess
from keyproof.grammar.counts import says_several_replies
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, Role, State
from .register import rule
from .roots import ambiguous, falsely_signed
from .tried import refutations_said

_SEVERAL = 2  # refutations left out, up to which they may have been overlooked: beyond, one was told of many


@rule("further-refutation", Level.warning)
def further_refutation(case: Case) -> Iterator[Fault]:
    """A try is printed with a refutation, and other replies refute it as well.

    A try is a first move that fails to exactly one reply (common practice, no source). It
    is an error where the text says there is only one ("fails only to", "has one answer, ...Kh3", "...Kh3 and nothing
    else"), or says how many there are. Words that may speak of the legal replies are false only if they are so of these
    too.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rg5+? Kh3!
        Key: 1.Kg2!

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5!
        Key: 1.Kg2!
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key:
        return
    for placed in refutations_said(case):
        node = placed.nodes[0]
        own = () if placed.mention is None else placed.mention.after
        others = [move for move in _untold(case, node, sole=placed.claim.count == 1) if node.play(move) not in own]
        if others and own and own[0].move in _refuting(case, node):
            yield Fault(placed.claim.span, _message(case, node, others), node.choices(others), level=Level.error)
    counted = {placed.nodes[0] for placed in refutations_said(case)}
    for node, mention in reading.first_moves(Role.try_).items():
        if node in counted or ambiguous(mention) or falsely_signed(mention):
            continue
        if any(m.state is State.impossible for m in reading.printed_after(node)):
            continue
        printed = [m for m in reading.printed_after(node) if m.role is Role.refutation and m.after]
        if not printed or all("because" in m.intro for m in printed):
            continue  # "c6 fails, as the king is let out at e7" does not say that nothing else refutes it
        said = {child.move for m in printed for child in m.after}
        others = _untold(case, node)
        if others and said & set(_refuting(case, node)) and not _counts_them(case, mention, printed[-1]):
            only = any("refuted_only_by" in m.intro for m in printed)
            if len(others) > _SEVERAL and not (only or mention.phrase.annotation):
                continue
            level = Level.error if only else None
            yield Fault(printed[0].phrase.span, _message(case, node, others), node.choices(others), level=level)


def _refuting(case: Case, node: Node) -> tuple[chess.Move, ...]:
    assert case.proof is not None
    assert node.move is not None
    attempt = case.proof.attempt(node.move)
    return () if attempt is None else attempt.refutations


def _untold(case: Case, node: Node, *, sole: bool = False) -> list[chess.Move]:
    """Return the refutations of a first move that the text does not print; where one is the `sole`, not as such."""
    assert case.reading is not None
    replies = case.reading.printed_after(node)
    printed = (each for each in replies if not sole or each.role is Role.refutation)
    told = {child.move for each in printed for child in each.after}
    return [move for move in _refuting(case, node) if move not in told]


def _message(case: Case, node: Node, others: list[chess.Move]) -> str:
    assert case.reading is not None
    assert node.move is not None
    verb = "refutes" if len(others) == 1 else "refute"
    return f"{case.say_all(node, others, most=4)} {verb} {case.say(case.reading.diagram, node.move)} too"


def _counts_them(case: Case, attempt: Mention, last: Mention) -> bool:
    """Tell whether the text says that there are several: "1.c8=N? has three answers, 1...Kg4 for one"."""
    start, end = attempt.phrase.span.start, last.phrase.span.end
    sentence = next((each.sentence for each in case.clauses if each.span.start < end <= each.span.end), None)
    told = Span(start, end if sentence is None else max(end, sentence.end))
    return says_several_replies(case.masked, told, case.told_in[0])
