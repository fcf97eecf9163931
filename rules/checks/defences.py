"""Defences and their answers: what is left out, and what does not answer."""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.moves import Effect, Sort

from ..board.names import side
from ..case.case import Case
from ..finding import Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, Reading, Role, State
from .appending import appended
from .hedges import doubted
from .instead import named, put_right
from .printed import first_move_role, passed, printed_moves, printed_threats, shown_threats
from .register import rule
from .roots import after_false_key, falsely_signed, misprints, sound_mentions, unexplained


@rule("defence-left-out", Level.warning)
def defence_left_out(case: Case) -> Iterator[Fault]:
    """The variations after the key pass over a legal reply.

    A reply counts as covered by a variation, by "any other", or by the printed threat where
    that still mates; in a game file a threat is printed where it answers some reply. A text
    that gives the key alone is left alone; from mates in three on, replies that are only met
    by shorter play may be left out (WFCC rules for writing solutions). It is an error where
    the text says that nothing is left out ("no matter what Black plays").

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! zugzwang. 1...Kh4 2.Re4#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! zugzwang. 1...Kh4 2.Re4#, any other 2.Rg5#

    Blind spots: replies later in the line (2...) are not counted.
    """
    reading = case.reading
    if reading is None or not case.direct or case.proof is None:
        return
    for node, key in reading.first_moves(Role.key).items():
        if node.move not in case.proof.keys or node.board.is_game_over():
            continue
        printed = reading.printed_after(node)
        replies = [m for m in printed if m.role is Role.defence]
        variations = [m for m in replies if not m.says(Effect.denied)]
        if any(m.state is State.impossible for m in printed) or _set_unanswered(reading):
            continue  # the misprinted reply may be the one that seems left out
        whole = next((p for p in reading.claims if p.claim.kind == "complete" and node in p.nodes), None)
        if not variations and whole is None:
            continue
        if node in reading.others:
            continue
        left = _left_out(case, node, replies)
        if whole is None and all(len(case.mating_moves(node.play(move)).lengths) > 1 for move in left):
            continue
        if len(left) > misprints(case, node):
            several = len(left) > 1
            named = "; ".join(f"{case.say(node, move)} {_answers(case, node, move)}" for move in left[:6])
            more = f" and {len(left) - 6} more" if len(left) > 6 else ""
            message = f"{len(left)} {'replies are' if several else 'reply is'} left out: {named}{more}"
            level = Level.error if whole is not None else None
            span = whole.claim.span if whole is not None else key.phrase.span
            yield Fault(span, message, node.choices(left), appended(case, node, left), level)


def _set_unanswered(reading: Reading) -> bool:
    """Tell whether the answer to a set of replies ("1...R~") cannot be played: then the set was read elsewhere."""
    pairs = zip(reading.mentions, reading.mentions[1:], strict=False)
    return any(not reply.phrase.exact and answer.state is State.impossible for reply, answer in pairs)


def _left_out(case: Case, node: Node, replies: list[Mention]) -> list[chess.Move]:
    printed = printed_moves(replies, node)
    if node.legal <= printed:
        return []
    threats = printed_threats(case, node) or shown_threats(case, node)
    left = []
    for move in node.board.legal_moves:
        if move in printed:
            continue
        after = node.play(move)
        solved = case.mating_moves(after)
        if not solved.complete:
            continue
        if any(threat in solved.lengths for threat in threats):
            continue
        if case.moves_left(after) > 1 and any(n < case.moves_left(after) for n in solved.lengths.values()):
            continue
        left.append(move)
    return left


def _answers(case: Case, node: Node, reply: chess.Move) -> str:
    after = node.play(reply)
    moves = list(case.mating_moves(after).lengths)
    return f"({case.say_all(after, moves[:2])})" if moves else ""


@rule("answer-fails", Level.error)
def answer_fails(case: Case) -> Iterator[Fault]:
    """An answer to a defence does not mate in the number of moves that is left.

    The evidence goes on to the reply that escapes. An answer printed for several defences
    ("any other 2.Re4") must do for each of them. A move that is called mate and is none is
    reported as that, and only there.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re1, 1...h4 2.Rg5

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4, 1...h4 2.Rg5
    """
    for mention in _attacks(case, Role.answer):
        yield from _failure(case, mention)


@rule("threat-fails", Level.error)
def threat_fails(case: Case) -> Iterator[Fault]:
    """The printed threat would not mate in time even if Black passed.

    Bad:
        FEN: 8/p7/8/1N1K4/1R6/8/8/k7 w - - 0 1
        Mate in two.
        1.Nc3! threat: 2.Ra4. 1...a5 2.Rb1#, 1...a6 2.Rb1#

    Good:
        FEN: 8/p7/8/1N1K4/1R6/8/8/k7 w - - 0 1
        Mate in two.
        1.Nc3! threat: 2.Rb1#.
    """
    for mention in _attacks(case, Role.threat):
        yield from _failure(case, mention)


@rule("set-play-fails", Level.error)
def set_play_fails(case: Case) -> Iterator[Fault]:
    """A mate said to be set is none: were Black to move in the diagram, the answer would not mate in time.

    Bad:
        FEN: 8/8/5K2/7k/8/8/8/4R3 w - - 0 1
        Mate in two.
        Set play: 1...Kh6 2.Re2.
        Key: 1.Re4! Kh6 2.Rh4#

    Good:
        FEN: 8/8/5K2/7k/8/8/8/4R3 w - - 0 1
        Mate in two.
        Set play: 1...Kh6 2.Rh1#.
        Key: 1.Re4! Kh6 2.Rh4#
    """
    for mention in _attacks(case, Role.set_play):
        yield from _failure(case, mention)


def _attacks(case: Case, role: Role) -> Iterator[Mention]:
    """Yield the attacker's moves with this role that were read, each meaning one move and claiming to lead to mate."""
    reading = case.reading
    if reading is None or not case.direct:
        return
    attacker = reading.diagram.board.turn
    for mention in sound_mentions(case):
        if (
            mention.asked
            or mention.state is not State.read
            or not mention.at
            or mention.phrase.annotation in ("?", "??", "?!")
        ):
            continue
        node = mention.at[0]
        if node.board.turn != attacker or not mention.phrase.exact or node is reading.diagram:
            continue
        in_set_play = node.first is reading.set_play
        kind = Role.set_play if in_set_play else Role.threat if passed(node) is not None else Role.answer
        if kind is role:
            yield mention


def _failure(case: Case, mention: Mention) -> Iterator[Fault]:
    said = [effect for effect, _ in mention.effects]
    if falsely_signed(mention):
        return  # reported by the rule on that sign
    if {Effect.not_mate, Effect.stalemate, Effect.denied} & set(said):
        return
    several = len(mention.ways) > 1
    failed: dict[Node, Node | None] = {}
    for node, after in mention.ways:
        if _hopeless(case, node):
            continue
        if not after:
            failed[node] = None
        elif len(after) == 1:
            refuted = case.refutations(after[0])
            if not refuted.mated and (refuted.moves or refuted.stalemate):
                failed[node] = after[0]
    for node in unexplained(case, list(failed), mention)[:1]:
        end = failed[node]
        if end is not None:
            yield _escape(case, mention, end, several)
        else:
            defence = f" {case.say(node.parent, node.move)}" if node.parent and node.move else ""
            message = f"this is no answer to{defence}: it cannot be played there"
            yield Fault(mention.phrase.span, message, node.evidence())


def _escape(case: Case, mention: Mention, end: Node, several: bool) -> Fault:
    node = end.parent
    assert node is not None
    assert end.move is not None
    name = case.say(node, end.move)
    to = f" after {case.say(node.parent, node.move)}" if several and node.parent and node.move else ""
    refuted = case.refutations(end)
    if refuted.stalemate:
        return Fault(mention.phrase.span, f"{name} is stalemate{to}", end.evidence())
    left = case.moves_left(node)
    replies = case.say_all(end, refuted.moves, most=3)
    goal = "does not mate" if left == 1 else f"does not mate in {left}"
    verb = "escapes" if len(refuted.moves) == 1 else "escape"
    solved = case.mating_moves(node)
    right = [*solved.lengths] if solved.complete else []
    instead = named(case, node, right, *(("mates", "mate") if left == 1 else (f"mates in {left}", f"mate in {left}")))
    message = f"{name} {goal}{to}: {replies} {verb}{instead}"
    return Fault(mention.phrase.span, message, end.evidence(refuted.moves[0]), put_right(case, mention, right))


def _hopeless(case: Case, node: Node) -> bool:
    """Tell whether the line has left the author's solution: after a refutation, a false key, or a bad answer."""
    reading = case.reading
    assert reading is not None
    role = first_move_role(case, node)
    if role is Role.set_play:
        return False
    if role is Role.first or after_false_key(case, node):
        return True
    before = passed(node)
    if before is not None:  # a threat: it stands or falls by itself
        return role is not Role.key or case.moves_left(node) < 1
    solved = case.mating_moves(node)
    if not solved.complete:
        return True
    # Where nothing mates, the fault lies earlier in the line and is reported there.
    return not solved.lengths


@rule("nothing-else-left", Level.note)
def nothing_else_left(case: Case) -> Iterator[Fault]:
    """The text answers "any other" move, and every legal move is printed already.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#, 1...any other 2.Re4#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...any other 2.Rg5#
    """
    mentions = case.reading.mentions if case.reading else []
    unplayable = any(mention.state is State.impossible for mention in mentions)  # and may stand for another move
    for mention in mentions:
        if mention.phrase.sort is Sort.any_other and mention.at and not mention.after and not unplayable:
            yield Fault(mention.phrase.span, "no other move is left: every legal one is printed")


@rule("not-only-move", Level.error)
def not_only_move(case: Case) -> Iterator[Fault]:
    """A move is called the only one, or forced, and another legal move exists.

    "The only move" is let pass of a reply that alone refutes a try; "forced" and "the only legal move" are not.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 (forced) 2.Re4#, any other 2.Rg5#

    Good:
        FEN: 8/8/5K2/7k/8/8/8/4R3 w - - 0 1
        Mate in two.
        1.Re4! Kh6 (forced) 2.Rh4#
    """
    reading = case.reading
    for placed in reading.claims if reading else ():
        mention = placed.mention
        if placed.claim.kind != "only_move" or mention is None or not mention.after:
            continue
        told = mention.phrase.span.end
        if doubted(case, placed.claim.span, told if told <= placed.claim.span.start else 0):
            continue
        if _only_refutation(case, mention) and not re.search("legal|forced", placed.claim.text, re.I):
            continue
        assert reading is not None
        node = mention.at[0]
        if len(mention.ways) > 1 or node.board.turn == reading.diagram.board.turn:
            continue
        others = [move for move in node.board.legal_moves if node.play(move) not in mention.after]
        if others:
            verb = "is" if len(others) == 1 else "are"
            message = f"not the only move: {case.say_all(node, others, most=4)} {verb} legal too"
            yield Fault(placed.claim.span, message, node.choices(others))


def _only_refutation(case: Case, mention: Mention) -> bool:
    if mention.role is not Role.refutation or not case.direct or case.stipulation is None:
        return False
    return [node.move for node in mention.after] == list(case.refutations(mention.at[0]).moves)


@rule("has-legal-move", Level.error)
def has_legal_move(case: Case) -> Iterator[Fault]:
    """The text says a side has no legal move, and it has one.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! and Black has no legal move.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4# and Black has no legal move, 1...h4 2.Rg5#
    """
    for placed in case.reading.claims if case.reading else ():
        if placed.claim.kind != "no_legal_move" or doubted(case, placed.claim.span):
            continue
        node = placed.nodes[0]
        named = re.search(
            r"\b(white|black)\b", case.text[max(0, placed.claim.span.start - 8) : placed.claim.span.end].lower()
        )
        if named is None or (named[1] == "white") != node.board.turn:
            continue
        moves = list(node.board.legal_moves)
        if moves:
            message = f"{side(node.board.turn)} has a legal move: {case.say_all(node, moves, most=4)}"
            yield Fault(placed.claim.span, message, node.choices(moves))


@rule("solution-stops-short", Level.warning)
def solution_stops_short(case: Case) -> Iterator[Fault]:
    """No printed line comes near the mate that the stipulation promises.

    The last moves may be left out (WFCC rules for writing solutions: in a mate in three the
    second white moves are enough), but a text with variations should carry at least one
    of them to the attacker's last move but one.

    Bad:
        FEN: 8/8/8/8/7k/8/PPPPPPPP/RNBQKBNR w KQ - 0 1
        Mate in three.
        1.d4! Kg4, 1...Kh5, any other

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, any other 2.Rg5#
    """
    reading = case.reading
    if reading is None or not case.direct or case.proof is None:
        return
    assert case.stipulation is not None
    needed = max(2 * case.stipulation.moves - 3, 2)
    for node, key in reading.first_moves(Role.key).items():
        if node.move not in case.proof.keys:
            continue
        replies = [m for m in reading.printed_after(node) if m.role is Role.defence and not m.says(Effect.denied)]
        lines = [m for m in reading.mentions if m.after and m.after[0].first is node]
        depth = max((child.ply for m in lines for child in m.after), default=0)
        if any(m.state is State.impossible for m in reading.mentions):
            continue
        mated = any(child.mate for m in lines for child in m.after)
        if replies and depth < needed and not mated:
            message = f"the lines stop at move {(depth + 1) // 2}; the stipulation is {case.stipulation}"
            yield Fault(key.phrase.span, message, node.evidence())
