"""What binds a move to the one told just before, so that it costs to tell it of another position."""

from __future__ import annotations

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move
from keyproof.grammar.moves import Effect

from . import costs
from .attach import FAIL, KEY, REFUTE, THREAT, TRY, Place, says_mate
from .hypothesis import Hypothesis, Placement
from .oracle import Oracle
from .prices import Prices, names_both

_PROPOSED = (Stance.asked, Stance.wished)
_LEADS = frozenset({"if", "then", "but"}) | THREAT
_PROPOSES = TRY | {"at diagram"}
_SAYS_WHY = REFUTE | FAIL | {"but", "because", "was futile"}
_LEADS_ON = _SAYS_WHY | {"then", "overlooks"}  # from a try to its reply, in print too: "1.Qh7? holds c7, but 1...e5!"


def broken(frame: Move, place: Place, at: Hypothesis, oracle: Oracle) -> int:
    """Return what it costs to play a move from a place, if that leaves what the move is bound to."""
    cost = costs.DISJOINED if _disjoins(frame, place, at) else 0
    leaves = not set(place.nodes) & set(at.frontier)
    diagram = at.frontier[0].diagram
    replies = place.nodes[0].board.turn != diagram.board.turn
    skips = place.nodes[0].parent in at.frontier and bool(place.nodes[0].move)
    if leaves and (replies or skips) and _tries(frame, at, oracle) and not _of_true_key(place, at, oracle):
        cost += costs.UNREFUTED if frame.printed and not _goes_on(frame, at) else costs.UNREFUTED_TOLD
    elif replies and _passed_try(frame, at):
        cost += costs.UNREFUTED
    return cost + costs.MARK_MISFITS * _leaves_if(frame, place, at)


def _goes_on(frame: Move, at: Hypothesis) -> bool:
    """Tell whether a printed reply is led to from the try, or numbered in its sentence: "1.Bc1+ ch, by 1...Ka1"."""
    return bool(frame.marks & _LEADS_ON) or (frame.number is not None and not at.sentence_over)


def _leaves_if(frame: Move, place: Place, at: Hypothesis) -> bool:
    """Tell whether "then" would not go on from the attack of "if" right before: "if Bc3 is played then Bg5 is mate"."""
    told = None if at.link is None else at.link.placement
    if told is None or "then" not in frame.marks or told.frame.stance is not Stance.asserted:
        return False
    attacks = told.starts()[0].board.turn == at.frontier[0].diagram.board.turn
    return "if" in told.frame.marks and attacks and place.nodes != at.frontier


def _disjoins(frame: Move, place: Place, at: Hypothesis) -> bool:
    """Tell whether a place parts a move from the one that words join it to: "Bd6, Bf8 or Bc5"."""
    told = None if at.link is None else at.link.placement
    listed = at.waiting and "or" in frame.marks and "if" in frame.marks  # "on g8 or on h6"
    if told is None or told.frame.vague or frame.number is not None or (frame.marks & _LEADS and not listed):
        return False
    start, before = place.nodes[0], told.starts()
    if frame.signs == () and not frame.marks & TRY:  # "Bf3 Qe4#" is one line, or a list, but "Qe8? Kb6! Qe7? Kb5!"
        return place.nodes not in (at.frontier, before)
    if not (frame.listed or "or" in frame.marks) or start.board.turn != before[0].board.turn:
        return False
    return not place.beside if at.waiting else place.nodes != before


def _tries(frame: Move, at: Hypothesis, oracle: Oracle) -> bool:
    """Tell whether the move told last is surely a first move or an answer that fails, of which a reply may tell why."""
    told = at.last
    if told is None or at.fresh or not _is_told(told.frame, frame):
        return False
    if told.starts()[0].parent is not None:
        return _fails(frame, told, at, oracle)
    here = frame.printed and frame.number is not None and not at.sentence_over  # "1.Qb4, when 1...Kd4 holds"
    if at.key is not None and (frame.able or "if" in frame.marks) and not here:
        return False  # "on e4 he allows ..." goes back to the key
    if frame.bare and frame.vague:  # "whatever" may be said of the first move
        led = told.frame.marks & (TRY | KEY) or told.frame.number is not None or frame.marks & (REFUTE | {"but"})
        if not led:
            return False
    return all(oracle.solves(node) is False for node in at.frontier)


def _is_told(frame: Move, reply: Move) -> bool:
    """Tell whether a move is asserted, or proposed as a first move: "It is tempting to play 1.Qf4", "Qf4? No, Kd6"."""
    if any(effect is Effect.stalemate for effect, _ in frame.effects):
        return False  # no reply to it is told
    proposed = frame.number is not None or bool(frame.marks & _PROPOSES) or bool(reply.marks & _SAYS_WHY)
    return frame.stance is Stance.asserted or (frame.stance in _PROPOSED and proposed)


def _of_true_key(place: Place, at: Hypothesis, oracle: Oracle) -> bool:
    """Tell whether a place is right behind a key, one that does not solve having just been called so."""
    told, node = at.last, place.nodes[0]
    called = told is not None and bool(told.frame.marks & KEY) and not told.frame.marks & TRY
    return called and node.ply == 1 and oracle.solves(node) is True


def _fails(frame: Move, told: Placement, at: Hypothesis, oracle: Oracle) -> bool:
    """Tell whether words tell a reply right behind an answer that fails: "Rook to b5 is check. The king takes it."."""
    if _loose(frame) and not (frame.printed and frame.marks & _SAYS_WHY):
        return False
    if (
        (told.frame.printed and not frame.printed)
        or told.frame.vague
        or told.starts()[0].board.turn != at.frontier[0].diagram.board.turn
    ):
        return False
    if says_mate(told.frame):
        return False  # no reply to it is told
    if "if" in frame.marks and at.sentence_over:
        return False  # another sentence tells of another reply
    return told.ends() == at.frontier and all(oracle.right(end) is False for end in at.frontier)


def _passed_try(frame: Move, at: Hypothesis) -> bool:
    """Tell whether words tell a reply right behind a first move told plainly that has been passed over."""
    link = at.last_move
    if link is None or link.placement is not None or at.fresh or at.lost or not isinstance(link.frame, Move):
        return False
    first = link.frame
    if first.idle:
        alone = first.stance is Stance.asserted and not (first.listed or "or" in first.marks)
        plain = alone and bool(frame.marks & _LEADS_ON)  # "a bishop there fails as the king slips out"
    elif link.known or "if" in frame.marks or _loose(frame):
        return False
    else:
        plain = not (_loose(first) or first.vague) and Prices.passed(first) == costs.PROSE_SOLID
    diagram = at.frontier[0].diagram
    return plain and any(diagram.meant(phrase) for phrase in first.ways[0].choices)


def _loose(frame: Move) -> bool:
    """Tell whether a move is printed, or told in words that may only name it."""
    return frame.printed or frame.able or frame.bare or (frame.vague and not names_both(frame))


def says_reply(frame: Move, at: Hypothesis, oracle: Oracle) -> bool:
    """Tell whether words lead from an attack that fails to a man and a square: he goes there, "Rc2, because Kc8"."""
    told, who = at.last, frame.who
    goes = frame.printed or frame.towards or bool(frame.verb) or "but" in frame.marks  # not "as the knight a2 takes"
    if not (goes and frame.marks & _SAYS_WHY) or (who is not None and (who.square is not None or who.ours)):
        return False
    if told is None:
        return _passed_try(frame, at)
    attacks = told.starts()[0].board.turn == at.frontier[0].diagram.board.turn
    return attacks and told.ends() == at.frontier and all(oracle.right(end) is False for end in told.ends())


def leads_on(at: Hypothesis) -> bool:
    """Tell whether the words just before tell a reply that waits for its answer: "after king to c5, queen to d4"."""
    told = at.last
    return told is not None and "if" in told.frame.marks and told.ends() == at.frontier


def waits_behind_key(at: Hypothesis) -> bool:
    """Tell whether a reply to the key waits for its answer in the same breath, so that no first move is told."""
    return at.key is not None and at.waiting > costs.UNANSWERED and at.frontier[0].first is at.key
