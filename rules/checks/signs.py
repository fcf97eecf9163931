"""What the text says a move does: check, mate, double check, stalemate."""

from collections.abc import Iterator

from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..play.node import Node
from ..reading.reading import Mention
from .instead import with_mates
from .reasons import false_reasons
from .register import rule
from .roots import after_false_key, ambiguous, false_key, lost_after, sound_mentions, unexplained

_NAMED = 2  # words before "check" from which on it is said of a man: "the queen checks", not "the check from f8"


def _said(case: Case, *effects: Effect) -> Iterator[tuple[Mention, Span, list[Node]]]:
    """Yield the mentions of which one of `effects` is said, its place, and the positions they lead to."""
    for mention in sound_mentions(case):
        span = mention.says(*effects) if mention.effects else None
        if span is None or not mention.after or ambiguous(mention) or after_false_key(case, mention.at[0]):
            continue
        yield mention, span, mention.after


def _move(case: Case, node: Node) -> str:
    assert node.parent is not None
    assert node.move is not None
    return case.say(node.parent, node.move)


def _after(case: Case, node: Node) -> str:
    """Say which defence a move answers, where a phrase stands for several."""
    defence = node.parent
    if defence is None or defence.parent is None or not defence.move:
        return ""
    return f" after {case.say(defence.parent, defence.move)}"


def _where(case: Case, mention: Mention, node: Node) -> str:
    return _after(case, node) if len(mention.after) > 1 else ""


def _not_mate(case: Case) -> Iterator[tuple[Mention, Span, Node]]:
    for mention, span, nodes in _said(case, Effect.mate):
        wrong = [node for node in nodes if not node.mate]
        replies = unexplained(case, [node.parent for node in wrong if node.parent is not None], mention)
        if replies:
            yield mention, span, next(node for node in wrong if node.parent is replies[0])


@rule("check-not-mate", Level.error)
def check_not_mate(case: Case) -> Iterator[Fault]:
    """A move is called mate, and the side in check has an answer.

    The evidence goes on to a reply that escapes. What does mate there is named; the repair puts it in the place of
    the printed move where it is one move alone.

    Source: FIDE Laws 1.4.1.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Re4#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention, span, node in _not_mate(case):
        if not node.check:
            continue
        escapes = list(node.board.legal_moves)
        message = (
            f"{_move(case, node)} is check but not mate{_where(case, mention, node)}: "
            f"{case.say_all(node, escapes, most=3)} {'escapes' if len(escapes) == 1 else 'escape'}"
        )
        yield with_mates(case, mention, node, Fault(span, message, node.evidence(escapes[0])))


@rule("mate-without-check", Level.error)
def mate_without_check(case: Case) -> Iterator[Fault]:
    """A move is called mate and does not even give check.

    Source: FIDE Laws 1.4.1.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re1#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for mention, span, node in _not_mate(case):
        if not node.check and not node.stalemate:
            reply = next(iter(node.board.legal_moves))
            message = f"{_move(case, node)} is not mate, not even check{_where(case, mention, node)}"
            yield with_mates(case, mention, node, Fault(span, message, node.evidence(reply)))


@rule("stalemate-not-mate", Level.error)
def stalemate_not_mate(case: Case) -> Iterator[Fault]:
    """A move is called mate and stalemates: no legal move is left, but the king is not in check.

    Source: FIDE Laws 5.2.1.

    Bad:
        FEN: 7k/8/5K2/6Q1/8/8/8/8 w - - 0 1
        Mate in one.
        1.Qg6#

    Good:
        FEN: 7k/8/5K2/6Q1/8/8/8/8 w - - 0 1
        Mate in one.
        1.Qg7#
    """
    for mention, span, node in _not_mate(case):
        if node.stalemate:
            message = (
                f"{_move(case, node)} is stalemate, not mate{_where(case, mention, node)}: the king is not in check"
            )
            yield Fault(span, message, node.evidence())


@rule("no-check", Level.error)
def no_check(case: Case) -> Iterator[Fault]:
    """A move is called check, or marked "+", and gives none.

    Source: FIDE Laws 3.9.1 and C.13.4.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2+! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5+! Kh8 2.Rc8#, 1...Kg8 2.Rc8#
    """
    for mention, span, nodes in _said(case, Effect.check):
        if mention.says(Effect.mate):
            continue
        wrong = next((node for node in nodes if not node.check), None)
        if wrong is not None:
            repair = (Edit(span, ""),) if span.of(case.text).strip() in ("+", "†") else ()
            message = f"{_move(case, wrong)} gives no check{_where(case, mention, wrong)}"
            yield Fault(span, message, wrong.evidence(), repair)


@rule("mate-marked-check", Level.warning)
def mate_marked_check(case: Case) -> Iterator[Fault]:
    """A move is marked as check only, and it is mate.

    Source: FIDE Laws C.13.4 and C.13.5.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4, 1...h4 2.Rg5
    """
    for mention, span, nodes in _said(case, Effect.check):
        more = mention.says(Effect.mate, Effect.double_plus, Effect.not_mate)
        called_so = mention.phrase.worded and len(case.text[mention.phrase.span.start : span.start].split()) < _NAMED
        if not (more or called_so) and all(node.mate for node in nodes):
            sign = span.of(case.text)
            plain = sign.strip() in ("+", "†") and not mention.phrase.descriptive
            repair = (Edit(span, sign.replace(sign.strip(), "#")),) if plain else ()
            yield Fault(span, f"{_move(case, nodes[0])} is mate, not only check", nodes[0].evidence(), repair)


@rule("not-double-check", Level.error)
def not_double_check(case: Case) -> Iterator[Fault]:
    """Double check is claimed, and fewer than two men give check, or others than the text names.

    "++" is mate under FIDE Laws C.13.5 and double check in older books (common practice, no
    source); it is reported only where it is neither.

    Bad:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5++! Kh8 2.Rc8#, 1...Kg8 2.Rc8#

    Good:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5+! Kh8 2.Rc8++, 1...Kg8 2.Rc8++
    """
    for mention, span, nodes in _said(case, Effect.double_check, Effect.double_plus):
        sign = mention.says(Effect.double_plus) is not None
        for node in nodes:
            checkers = len(node.board.checkers())
            if checkers >= 2 or (sign and node.mate):
                continue
            count = "one man gives check" if checkers else "no check is given"
            neither = ", and it is not mate" if sign else ""
            yield Fault(span, f"{_move(case, node)} is no double check: {count}{neither}", node.evidence())
            break
    yield from false_reasons(case, "double_check")


@rule("mixed-double-plus", Level.note)
def mixed_double_plus(case: Case) -> Iterator[Fault]:
    """ "++" stands for mate in one place of the text and for double check in another.

    Both uses are in print (FIDE Laws C.13.5 for mate; double check in older books, common
    practice, no source), but a reader cannot tell them apart.

    Bad:
        FEN: 4k3/5pp1/8/8/4N3/8/8/K3R3 w - - 0 1
        1.Nf6++ Kf8 2.Re8++

    Good:
        FEN: 4k3/5pp1/8/8/4N3/8/8/K3R3 w - - 0 1
        1.Nf6++ Kf8 2.Re8#
    """
    marked = list(_said(case, Effect.double_plus))
    mates = [each for each in marked if all(node.mate for node in each[2])]
    doubles = [each for each in marked if all(_double_check_only(node) for node in each[2])]
    if mates and doubles:
        _, span, nodes = doubles[0]
        message = f'"++" marks a double check here and mate at {_move(case, mates[0][2][0])}'
        yield Fault(span, message, nodes[0].evidence())


def _double_check_only(node: Node) -> bool:
    return len(node.board.checkers()) >= 2 and not node.mate


@rule("not-discovered-check", Level.error)
def not_discovered_check(case: Case) -> Iterator[Fault]:
    """Discovered check is claimed, and the check does not come from a man that stood behind, or not from the one named.

    Source: common practice, no source.

    Bad:
        FEN: 8/6pk/8/7K/8/5N2/8/2R5 w - - 0 1
        Mate in two.
        1.Ng5 discovered check! Kh8 2.Rc8#, 1...Kg8 2.Rc8#

    Good:
        FEN: 7k/8/5K2/8/8/8/1B6/8 w - - 0 1
        1.Kf7 discovered check
    """
    for _, span, nodes in _said(case, Effect.discovered_check):
        for node in nodes:
            checkers = node.board.checkers()
            if node.move is None or any(square != node.move.to_square for square in checkers):
                continue
            message = f"{_move(case, node)} gives {'a direct check' if checkers else 'no check'}, not a discovered one"
            yield Fault(span, message, node.evidence())
            break
    yield from false_reasons(case, "discovered_check")


@rule("not-stalemate", Level.error)
def not_stalemate(case: Case) -> Iterator[Fault]:
    """Stalemate is claimed, and it is none.

    Source: FIDE Laws 5.2.1: no legal move, and the king not in check.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? stalemate.
        Key: 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 7k/8/5K2/6Q1/8/8/8/8 w - - 0 1
        1.Qg6? is stalemate.
    """
    for mention, span, nodes in _said(case, Effect.stalemate):
        wrong = next((node for node in nodes if not node.stalemate), None)
        if wrong is None:
            continue
        if wrong.mate:
            yield Fault(span, f"{_move(case, wrong)} is mate, not stalemate", wrong.evidence())
            continue
        reply = next(iter(wrong.board.legal_moves))
        message = (
            f"{_move(case, wrong)} is no stalemate{_where(case, mention, wrong)}: "
            f"{case.say(wrong, reply)} can be played"
        )
        yield Fault(span, message, wrong.evidence(reply))


@rule("mate-denied", Level.error)
def mate_denied(case: Case) -> Iterator[Fault]:
    """The text says a move is not mate, or no check, and it is.

    Source: FIDE Laws 1.4.1 and 3.9.1.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4 is not mate, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
        After 1.Kg2 h4 2.Re4 is not mate.
    """
    for _, span, nodes in _said(case, Effect.not_mate):
        if all(node.mate for node in nodes):
            yield Fault(span, f"{_move(case, nodes[0])} is mate", nodes[0].evidence())
    for mention, span, nodes in _said(case, Effect.not_check):
        signed = any(effect is Effect.mate for effect, _ in mention.phrase.effects)  # it is said of another move
        if not signed and all(node.check for node in nodes):
            yield Fault(span, f"{_move(case, nodes[0])} is check", nodes[0].evidence())


@rule("unmarked-mate", Level.note)
def unmarked_mate(case: Case) -> Iterator[Fault]:
    """A mate is printed without its sign in a text that marks its other mates.

    FIDE Laws C.13.5 makes the sign optional, so a text without any is left alone.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4, 1...h4 2.Rg5
    """
    yield from _unmarked(case, mate=True)


@rule("unmarked-check", Level.note)
def unmarked_check(case: Case) -> Iterator[Fault]:
    """A check is printed without its sign in a text that marks its other checks.

    FIDE Laws C.13.4 makes the sign optional, so a text without any is left alone.

    Bad:
        FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1
        Mate in two.
        Tries: 1.Rh8? Ka7! and 1.Nd7? Ka7!
        Key: 1.Kb6! Kb8 2.Rh8#, 1...a3 2.Rh8#
        After 1.Kc7? Ka7 White has only 2.Ra3, and 2.Rh7 is met by 2...Ka6 3.Rh3 a3 4.Rxa3+ Kb5.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    yield from _unmarked(case, mate=False)


def _unmarked(case: Case, mate: bool) -> Iterator[Fault]:
    marks = {Effect.mate, Effect.double_plus} if mate else {Effect.check, Effect.double_plus, Effect.double_check}
    signs: dict[bool, str] = {}  # the first one in algebraic notation, and in descriptive
    bare: list[Mention] = []
    for mention in sound_mentions(case):
        nodes = mention.after
        if not nodes or mention.phrase.worded:
            continue
        if not all(node.mate if mate else _only_check(node) for node in nodes):
            continue
        if any(_suspect(case, node) for node in nodes):
            continue
        # Only signs count: "(threat 2.Qd5 mate)" says nothing of how the column prints its mates.
        said = [each for choice in mention.turn.choices for each in choice.effects]  # "2.Qb3/Qf7#"
        found = [span.of(case.text).strip() for effect, span in said if effect in marks]
        if found:
            signs.setdefault(mention.phrase.descriptive, found[0])
        if not said and not mention.effects:
            bare.append(mention)
    for mention in bare:
        sign = signs.get(mention.phrase.descriptive)
        if sign is None:
            continue
        message = f"{_move(case, mention.after[0])} is {'mate' if mate else 'check'} and not marked; others are"
        end = mention.phrase.span.end - len(mention.phrase.annotation)
        repair = () if mention.phrase.descriptive else (Edit(Span(end, end), sign),)
        yield Fault(mention.phrase.span, message, mention.after[0].evidence(), repair)


def _suspect(case: Case, node: Node) -> bool:
    """Tell whether a graver fault of this move is reported: it is no key, or the reply to it cannot be played."""
    return false_key(case, node) or lost_after(case, node)


def _only_check(node: Node) -> bool:
    return node.check and not node.mate
