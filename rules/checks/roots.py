"""One root, one finding: what a fault reported elsewhere accounts for."""

from collections.abc import Sequence

from ..case import Case
from ..play import Node
from ..reading import Mention, Role, State


def ambiguous(mention: Mention) -> bool:
    """Tell whether a phrase that means one move fits several; what it claims cannot be judged."""
    return mention.phrase.exact and any(len(after) > 1 for _, after in mention.ways)


def after_false_key(case: Case, node: Node) -> bool:
    """Tell whether the line to `node` begins with a printed key that does not solve.

    What follows there was written for another move, the true key, or for another diagram.
    """
    if len(node.path) < 2 or case.proof is None or case.reading is None or not case.has_key:
        return False
    first = node.path[1]
    if first.move is None or first not in case.reading.first_moves(Role.key):
        return False
    return case.proof.attempt(first.move) is not None


def unexplained(case: Case, failures: Sequence[Node]) -> list[Node]:
    """Return the answers that fail, without those to replies which a misprint may hide.

    Where one printed reply cannot be played, "any other" covers the reply that was meant
    as well, and its answer need not do for that one.
    """
    assert case.reading is not None
    kept = []
    for node in failures:
        reply = node.parent
        start = reply.parent if reply is not None else None
        if reply is None or start is None:
            kept.append(node)
            continue
        printed = case.reading.printed_after(start)
        unplayable = sum(mention.state is State.impossible for mention in printed)
        named = any(mention.phrase.exact and reply in mention.after for mention in printed)
        replies = {id(other.parent) for other in failures if other.parent is not None and other.parent.parent is start}
        if named or len(replies) > unplayable:
            kept.append(node)
    return kept
