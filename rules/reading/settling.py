"""What the whole text settles: which first moves are the key and tries, and which replies refute."""

from __future__ import annotations

from keyproof.grammar.moves import Effect

from ..play.node import Node
from .reading import Mention, Reading, Role


def settle_first_moves(reading: Reading) -> None:
    """Give first moves printed without a sign their role: known ones keep theirs, a refuted one is a try."""
    roles: dict[Node, Role] = {}
    for mention in reading.firsts():
        if mention.role is not Role.first:
            roles.setdefault(mention.after[0], mention.role)
    for mention in reading.mentions:
        if mention.role is Role.first and mention.after and mention.after[0] in roles:
            mention.role = roles[mention.after[0]]
    unsettled = [mention for mention in reading.firsts() if mention.role is Role.first and not mention.asked]
    for mention in unsettled:
        node = mention.after[0]
        replies = reading.printed_after(node)
        unanswered = mention.perhaps_try and replies and not any(_answered(reply, reading) for reply in replies)
        if unanswered or any(refutes(reply, reading) for reply in replies):
            mention.role = roles[node] = Role.try_
    if not any(mention.role is Role.key for mention in reading.firsts()):
        left = [mention for mention in unsettled if mention.role is Role.first]
        # The key is the move with most of its play printed, of several such the first.
        key = max((m.after[0] for m in left), key=lambda node: len(_replies(node, reading)), default=None)
        for mention in left:
            if mention.after[0] is key and (_replies(key, reading) or not mention.phrase.worded):
                mention.role = Role.key


def _replies(node: Node, reading: Reading) -> set[Node]:
    """Return the positions after the replies to a first move to which an answer is printed."""
    mentions = reading.mentions
    told = [mention for mention in mentions if mention.after and not mention.says(Effect.denied)]
    return {at for mention in told for at in mention.at if at.parent is node}


def settle_refutations(reading: Reading) -> None:
    """Call the replies to a try refutations where the text says so, or where no answer to them is printed."""
    for node in reading.first_moves(Role.try_):
        printed = reading.printed_after(node)
        replies = [m for m in printed if m.role is Role.defence and not m.says(Effect.denied)]
        said = [m for m in replies if refutes(m, reading)]
        for mention in said or [m for m in replies if not _answered(m, reading)]:
            mention.role = Role.refutation


def refutes(mention: Mention, reading: Reading) -> bool:
    """Tell whether the text says of a reply to a first move that it refutes that."""
    if mention.role is not Role.defence or mention.at[0].parent is not reading.diagram:
        return False
    if "!" in mention.phrase.annotation or mention.intro & {"refuted_by", "refuted_only_by"}:
        return True
    return "but" in mention.intro and not ("if" in mention.intro and _answered(mention, reading))


def _answered(mention: Mention, reading: Reading) -> bool:
    return any(reading.printed_after(node) for node in mention.after)
