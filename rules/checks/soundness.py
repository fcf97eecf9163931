"""The claim itself: the key, the tries and their refutations, zugzwang and threat."""

import re
from collections.abc import Collection, Iterator

import chess
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, Role, State
from .hedges import doubted
from .instead import named, put_right
from .register import rule
from .roots import after_false_key, ambiguous, falsely_signed, from_falsely_signed, sound_mentions
from .tried import left_as_refuted, refutations_said

_APPOSED = re.compile(r"[\s,({!?–—-]*(?:[^\W\d]+\s+){1,3}")  # what stands between a move and words for what it is


def _keys(case: Case) -> dict[Node, Mention]:
    return case.reading.first_moves(Role.key) if case.reading else {}


def _title(case: Case) -> Span:
    """Return where a fault of the whole puzzle is shown: the stipulation, else the diagram."""
    if case.stipulation_claim is not None and _inside(case.stipulation_claim.span, case.puzzle.span):
        return case.stipulation_claim.span
    assert case.diagram is not None
    return case.diagram.span


def _inside(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start and inner.end <= outer.end


@rule("key-fails", Level.error)
def key_fails(case: Case) -> Iterator[Fault]:
    """The printed key does not solve: Black has a reply after which there is no mate in time.

    The evidence is the key and such a reply. Where another first move solves, it is named.

    Source: WFCC Codex, Art. 8: a composition is solved by the author's solution.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Key: 1.Rxh5!

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Key: 1.Kg2!
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key:
        return
    for node, mention in _keys(case).items():
        assert node.move is not None
        attempt = proof.attempt(node.move)
        if attempt is None or node.move in proof.keys or _misprinted(mention):
            continue
        if node.stalemate:
            yield Fault(mention.phrase.span, f"{case.say(reading.diagram, node.move)} is stalemate", node.evidence())
            continue
        if not attempt.refutations:
            continue
        replies = case.say_all(node, attempt.refutations, most=4)
        message = f"{case.say(reading.diagram, node.move)} does not solve: {replies} {_verb(attempt.refutations)}"
        if proof.searched.complete:
            message += "; " + _solutions(case)
        yield Fault(mention.phrase.span, message, node.evidence(attempt.refutations[0]))


def _misprinted(mention: Mention) -> bool:
    """Tell whether a first move is ambiguous or carries a false sign: that is reported, and it may not be the move."""
    return ambiguous(mention) or falsely_signed(mention)


def _verb(moves: tuple[chess.Move, ...]) -> str:
    return "refutes" if len(moves) == 1 else "refute"


def _solutions(case: Case) -> str:
    assert case.proof is not None
    assert case.reading is not None
    keys = case.proof.keys
    if not keys:
        return f"no first move solves {case.stipulation}"
    return f"{case.say_all(case.reading.diagram, keys)} {'solves' if len(keys) == 1 else 'solve'}"


@rule("no-key", Level.error)
def no_key(case: Case) -> Iterator[Fault]:
    """No first move fulfils the stipulation, and the text prints no key that could be refuted.

    Source: WFCC Codex, Arts. 8 and 9.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/8/4K3 w - - 0 1
        Mate in two.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
    """
    proof = case.proof
    if proof is None or not case.has_key or not proof.searched.complete or proof.keys or _first_printed(case):
        return
    yield Fault(_title(case), f"no first move solves {case.stipulation}")


def _first_printed(case: Case) -> bool:
    """Tell whether the text claims some first move as key, playable or not."""
    assert case.reading is not None
    return any(
        m.role in (Role.key, Role.first) and m.at and m.at[0] is case.reading.diagram for m in case.reading.mentions
    )


@rule("second-key", Level.error)
def second_key(case: Case) -> Iterator[Fault]:
    """Another first move solves as well (a cook).

    Source: WFCC Codex, Arts. 8 and 9: one key.

    Bad:
        FEN: 4k3/8/7R/8/6K1/R7/8/8 w - - 0 1
        Mate in two.
        Key: 1.Ra7!

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Key: 1.Kg2!
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key or any(map(ambiguous, _keys(case).values())):
        return
    claimed = {node.move for mention in reading.firsts() for node in mention.after}  # "there is a cook: 1.Bd4"
    others = [key for key in proof.keys if key not in claimed]
    right = [node for node in _keys(case) if node.move in proof.keys]
    if not others or proof.shortest != (case.stipulation.moves if case.stipulation else None):
        return
    if right:
        span = _keys(case)[right[0]].phrase.span
        message = (
            f"not the only key: {case.say_all(reading.diagram, others)} {'solves' if len(others) == 1 else 'solve'} too"
        )
        yield Fault(span, message, reading.diagram.choices(others))
    elif not _first_printed(case) and len(others) > 1:
        message = f"{len(others)} first moves solve: {case.say_all(reading.diagram, others)}"
        yield Fault(_title(case), message, reading.diagram.choices(others))


@rule("short-mate", Level.error)
def short_mate(case: Case) -> Iterator[Fault]:
    """There is a mate in fewer moves than the stipulation says.

    Source: WFCC Codex, Arts. 8 and 9; a mate in n is by move n against any defence.

    Bad:
        FEN: 7k/8/5KQ1/8/8/8/8/8 w - - 0 1
        Mate in two.
        1.Qg5! Kh7 2.Qg7#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key or proof.shortest is None:
        return
    assert case.stipulation is not None
    if proof.shortest >= case.stipulation.moves:
        return
    moves = [play.move for play in proof.play if play.length == proof.shortest]
    message = (
        f"the stipulation is {case.stipulation}, but {case.say_all(reading.diagram, moves)} "
        f"{'mates' if len(moves) == 1 else 'mate'} in {proof.shortest}"
    )
    yield Fault(_title(case), message, reading.diagram.choices(moves))


@rule("try-solves", Level.error)
def try_solves(case: Case) -> Iterator[Fault]:
    """A move printed as a try in fact solves.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Kg2?

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5!
        Key: 1.Kg2!
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key:
        return
    for node, mention in reading.first_moves(Role.try_).items():
        if node.move is not None and node.move in proof.keys and not _misprinted(mention):
            message = f"{case.say(reading.diagram, node.move)} is no try: it solves {case.stipulation}"
            yield Fault(mention.phrase.span, message, node.evidence())


@rule("refutation-fails", Level.error)
def refutation_fails(case: Case) -> Iterator[Fault]:
    """The move said to refute a try is met by mate all the same.

    A first move that does not solve, printed with a reply in the same sentence and nothing more, is said to be refuted
    by that.

    The evidence is the line up to the answer that mates, or begins to. What does refute is named; the repair puts it
    in the place of the printed move where it is one move alone.

    Bad:
        FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1
        Mate in two.
        Try: 1.Kc7? a3!
        Key: 1.Kb6!

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5!
        Key: 1.Kg2!
    """
    proof, reading = case.proof, case.reading
    if proof is None or reading is None or not case.has_key:
        return
    sole = {id(each.mention) for each in refutations_said(case)}
    for mention in sound_mentions(case):
        if mention.state is not State.read or not mention.phrase.exact:
            continue
        if mention.role is not Role.refutation and not (id(mention) in sole or left_as_refuted(case, mention)):
            continue
        if falsely_signed(mention) or any(from_falsely_signed(case, node) for node in mention.at):
            continue
        for node in mention.after:
            if node.parent is None or node.parent.move is None or node.move is None:
                continue
            attempt = proof.attempt(node.parent.move)
            if attempt is None or not attempt.complete or node.move in attempt.refutations:
                continue
            name = case.say(node.parent, node.move)
            lengths = case.mating_moves(node).lengths if case.direct else {}
            best = min(lengths, key=lambda move: lengths[move], default=None)
            met = f"{case.stipulation} goes on"
            if best is not None:
                met = f"{case.say(node, best)} {_mates(lengths[best])}"
            right = named(case, node.parent, attempt.refutations, "refutes", "refute")
            evidence = node.evidence() if best is None else node.evidence(best)
            repair = put_right(case, mention, attempt.refutations)
            yield Fault(mention.phrase.span, f"{name} refutes nothing: {met}{right}", evidence, repair)
            break


def _mates(length: int) -> str:
    return "mates" if length == 1 else f"mates in {length}"


def _told_apart(case: Case, node: Node, claim: Span) -> bool:
    """Tell whether a claim stands in another sentence than the move it was taken to be about, and this in words."""
    told = [] if case.reading is None else [each.phrase for each in case.reading.printed_into(node)]
    sentence = next((each.sentence for each in case.clauses if each.span.start <= claim.start < each.span.end), claim)
    return all(each.worded and not sentence.start <= each.span.start < sentence.end for each in told)


@rule("threat-overlooked", Level.error)
def threat_overlooked(case: Case) -> Iterator[Fault]:
    """Zugzwang, a waiting move or "no threat" is claimed, and White threatens mate.

    Zugzwang means that only the duty to move loses: a pass would hold.

    Source: glossary terms block and threat (standard usage of the trade).

    Bad:
        FEN: 8/p7/8/1N1K4/1R6/8/8/k7 w - - 0 1
        Mate in two.
        1.Nc3! zugzwang. 1...a5 2.Rb1#, 1...a6 2.Rb1#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    if case.reading is None or not case.direct:
        return
    for placed in case.reading.claims:
        if placed.claim.kind not in ("zugzwang", "no_threat") or doubted(case, placed.claim.span):
            continue
        node = placed.nodes[0]
        if case.moves_left(node) < 1 or after_false_key(case, node) or _of_the_reply(case, node, placed.claim.span):
            continue
        waiting = node.pass_move()
        if waiting is None:
            if _told_apart(case, node, placed.claim.span):
                continue  # nobody says that of a check, so another move is meant
            yield Fault(placed.claim.span, "this move gives check, so Black is in no zugzwang", node.evidence())
            continue
        solved = case.mating_moves(waiting)
        if solved.lengths and not _tells_threat(case, waiting, placed.claim.span, solved.lengths):
            threats = list(solved.lengths)
            verb = "is threatened" if len(threats) == 1 else "are threatened"
            yield Fault(
                placed.claim.span, f"{case.say_all(waiting, threats, most=3)} {verb}", waiting.evidence(threats[0])
            )


def _of_the_reply(case: Case, node: Node, claim: Span) -> bool:
    """Tell whether words stand right behind a printed reply, which is then what waits: "1...h4, a waiting move"."""
    told = case.reading.mentions if case.reading is not None else ()
    last = max((each for each in told if each.phrase.span.end <= claim.start), key=_end, default=None)
    if last is None or node not in last.at or last.phrase.worded:
        return False
    return _APPOSED.fullmatch(case.masked, last.phrase.span.end, claim.start) is not None


def _end(mention: Mention) -> int:
    return mention.phrase.span.end


def _tells_threat(case: Case, waiting: Node, claim: Span, threats: Collection[chess.Move]) -> bool:
    """Tell whether its sentence tells what is threatened after all: "she threatens nothing, yet 2.Rh3 is mate".

    Before it on its line as well: "double threat (Qb8, Qc8), so no marks for 'waiting move'".
    """
    sentence = next((each.sentence for each in case.clauses if each.span.start <= claim.start < each.span.end), claim)
    told = case.reading.mentions if case.reading else ()
    begin = max(sentence.start, case.masked.rfind("\n", 0, claim.start) + 1)
    beside = (each.phrase for each in told if begin <= each.phrase.span.start < sentence.end)
    return any(set(waiting.meant(phrase)) & set(threats) for phrase in beside if phrase.exact)


@rule("unproved", Level.note)
def unproved(case: Case) -> Iterator[Fault]:
    """The proof did not finish within the effort allowed, so some claims stand unproved.

    Raise `--effort` (million positions for each proof). What was proved before the end is
    used; nothing unproved is reported as false or passed as true.

    Settings:
        effort = 0.02

    Bad:
        FEN: 8/8/8/8/7k/8/PPPPPPPP/RNBQKBNR w KQ - 0 1
        Mate in nine.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    proof = case.proof
    if proof is None or proof.searched.complete:
        return
    how_far = f": {proof.searched.reached}" if proof.searched.reached else ""
    message = f"not proved after {proof.searched.positions:,} positions{how_far}; a larger --effort may decide"
    yield Fault(_title(case), message)
