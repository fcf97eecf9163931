"""The ways in which beads may tell a position, cheapest first.

A man and a square beside each other are a man on its square, in this order or the other; a side holds until another
is named, a man until its squares end. Each departure from that costs (costs.py). Which way is meant only the proof can
tell, so many are kept: a beam goes from bead to bead, and at each of them the telling may be over.
"""

from collections.abc import Iterable, Sequence
from operator import attrgetter

import chess
from msgspec.structs import replace

from ..descriptive import squares_called
from . import costs
from .bead import Bead
from .least import Rest
from .way import WHITE, Ended, Men, Way, both_kings

_JOINS = frozenset(("and", ",", "&"))
_ENDS = {"end": 0, "square": costs.LEFT_OFF, "man": costs.LEFT_OFF}  # what it costs that a telling ends before them
_DEARER = frozenset(("plays", "end"))  # behind them ways are weighed against the most that they may cost
_PARTS = frozenset((",", ":", ";"))
_APART = {";": costs.STOP, ",": costs.COMMA}

# All that bears on what may still come of a way.
_future = attrgetter("men", "side", "side_before", "man", "wanted", "squares", "back", "last", "rank", "file", "by")


def ways(beads: Sequence[Bead], start: int, *, from_white: bool, most: int | None = None) -> list[Ended] | None:
    """Return what the beads from `start` on may tell, cheapest first, each set of men once.

    `from_white`: squares in descriptive notation are all counted from White's side. `most`: None is returned as soon as
    a bound says that nothing they tell costs so little, its men counted half.
    """
    rest = None if most is None else Rest(beads, start, most)
    beam = [Way()]
    ended: dict[Men, Ended] = {}
    idle = 0
    before = ""
    for place in range(start, min(len(beads), start + costs.MOST_BEADS)):
        bead = beads[place]
        if bead.text == before == "\n":
            beam = [replace(way, cost=way.cost + costs.BLANK_LINE) if way.whole else way for way in beam]
        before = bead.text
        pauses = bead.does == "end" and beam[0].pauses
        if bead.does in ("word", "empty"):
            beam = _passed_by(beam, bead)
        else:
            beam = _cheapest([after for way in beam for after in _taken(way, bead, from_white)])
        if bead.does in _ENDS or bead.text == "\n":
            _end(ended, beam, place, _ENDS.get(bead.does, costs.LINE))
        if rest is not None and bead.does in _DEARER and not rest.tells(beam, place + 1 - start):
            if not any(rest.is_told(each) for each in ended.values()):
                return None
            rest = None
        idle = 0 if beam[0].put_here else idle + pauses
        if idle > costs.MOST_PAUSES or beam[0].cost > costs.HOPELESS:
            break
    return _likeliest(ended.values())


def _cheapest(found: Iterable[Way]) -> list[Way]:
    """Return the ways with the best prospects, of those with the same future the cheapest."""
    best: dict[tuple[object, ...], Way] = {}
    for way in found:
        future = _future(way)
        if future not in best or way.cost < best[future].cost:
            best[future] = way
    return sorted(best.values(), key=attrgetter("cost"))[: costs.BEAM]


def _end(ended: dict[Men, Ended], beam: Iterable[Way], place: int, cost: int) -> None:
    for way in beam:
        if way.whole:
            over = way.cost + cost + way.left() + len(way.squares) * costs.SQUARE_PASSED
            over += costs.MISCOUNTED if way.wanted else 0
            if way.men not in ended or over < ended[way.men].cost:
                ended[way.men] = Ended(over, way.men, place, cost < costs.LEFT_OFF)


def _likeliest(ended: Iterable[Ended]) -> list[Ended]:
    """Return the cheapest of those that end at each place, cheapest first."""
    found: list[Ended] = []
    times: dict[int, int] = {}
    for each in sorted(ended, key=lambda each: each.rank):
        times[each.end] = times.get(each.end, 0) + 1
        if times[each.end] <= costs.MOST_OF_AN_END and not any(each.short_of(other) for other in found):
            found.append(each)
    near = [each for each in found if each.cost <= costs.MOST and each.rank <= found[0].rank + costs.LIKELY]
    return near[: costs.MOST_WAYS]


def _passed_by(beam: Iterable[Way], bead: Bead) -> list[Way]:
    """Return the ways behind a word that is no man, square or side: they differ in their futures as before."""
    joined, apart, parts = bead.text in _JOINS, _APART.get(bead.text, 0), bead.text in _PARTS
    after = [
        replace(
            way,
            words=way.words + 1,
            joined=joined,
            apart=apart if apart > way.apart else way.apart,
            to=way.to and not parts,  # "and nothing else: two on the g-file, g6"
        )
        for way in beam
    ]
    return sorted(after, key=attrgetter("cost"))


def _taken(way: Way, bead: Bead, from_white: bool) -> list[Way]:
    """Return the ways in which a bead may go on."""
    match bead.does:
        case "side":
            passed = replace(way, cost=way.cost + (0 if bead.near else costs.SIDE_PASSED))
            waits = costs.BY_WHOM if bead.near and way.man and not way.open else 0
            return [*(replace(each, aside=bead.near) for each in _side(way, bead.values[0], waits)), passed]
        case "own" | "hearer" | "other":
            return [way, *(each for side in (0, 1) for each in _side(way, side, costs.OWNERS[bead.does][side]))]
        case "against":
            return _side(way, 1 - (1 if way.side is None else way.side))
        case "man":
            return _man(way, bead)
        case "square":
            return _square(way, bead, from_white)
        case "lifted":
            return _lifted(way, bead)
        case "file" | "rank":
            return _line(way, bead, from_white)
        case "home":
            return _home(way, bead, from_white)
        case "explains":
            return [replace(way, cost=way.cost + (costs.EXPLAINS if way.men else 0), words=way.words + 1)]
        case "number":
            return _number(way, bead, from_white)
        case "takes back":
            return [replace(way, back=True)]
        case "plays":
            played = [replace(way, cost=way.cost + (costs.PLAYS if way.men else 0), words=0)]
            unput = bead.values and way.file is not None and way.man and not way.open  # "e-file: a knight, 8. On the f"
            return [*played, *_met(way, bead, way.file or 0, bead.values[0] - 1, 0, from_white)] if unput else played
        case "to" | "not":
            return [replace(way, to=True, none=bead.does == "not")]
        case _:  # "end"
            asked = bead.text == "?" and way.man and not way.open  # "And the rooks? On c6 and g7."
            cost, apart = way.cost, 0 if asked else costs.STOP
            cost += costs.PAUSE if way.men and way.pauses and not asked else 0
            return [replace(way, cost=cost, put_here=False, wanted=0, to=False, none=False, words=0, apart=apart)]


def _number(way: Way, bead: Bead, from_white: bool) -> list[Way]:
    """Return the ways to take a number: it counts men, or is a rank on the file that was named."""
    (number,) = bead.values
    found = [way]
    if way.file is not None and 0 < number < 9:
        found += _met(way, bead, way.file, number - 1, 0, from_white)
    if number == 1 and not way.man and way.last is not None:
        found += [replace(way, cost=way.cost + costs.ONE, man=way.last[1] % WHITE, open=False)]
    if way.open or not way.wanted:
        found += [replace(way, wanted=number, man=0 if way.open else way.man, open=False)]
    return found


def _home(way: Way, bead: Bead, from_white: bool) -> list[Way]:
    """Return the ways to take "his own square", on the file that bears a king's or queen's own name."""
    found = [replace(way, words=way.words + 1)]
    if way.man in (chess.KING, chess.QUEEN) and not way.open:
        squares = squares_called("K" if way.man == chess.KING else "Q", None, str(bead.values[0]))
        home = replace(bead, does="square", values=tuple(chess.scan_forward(squares)), old=True)
        found += _square(way, home, from_white)[1:]
    return found


def _line(way: Way, bead: Bead, from_white: bool) -> list[Way]:
    """Return the ways to take the name of a file or rank: men follow on it, or it meets the line named before."""
    (value,) = bead.values
    by_line = way.file if bead.does == "file" else way.rank
    passed = way.cost + (0 if by_line is None else costs.LINE_PASSED)
    found = [replace(way, cost=passed, words=way.words + 1)]
    named = (
        way.cost + way.left() + costs.LINE_NAMED + (costs.OTHER_LINES if way.by not in ("", "side", bead.does) else 0)
    )
    if bead.does == "file":
        found += [replace(way, cost=named, file=value, rank=None, by="file", man=0, open=False, words=0)]
        if way.man and not way.open:  # "two knights, both on the h-file, one on seven"
            found += [replace(way, cost=way.cost + costs.LINE_NAMED, file=value, rank=None, words=0)]
        if way.rank is not None:
            found += _met(way, bead, value, way.rank, costs.ON_LINE, from_white)
        return found
    found += [replace(way, cost=named, rank=value, file=None, by="rank", man=0, open=False, words=0)]
    if way.file is not None:
        found += _met(way, bead, way.file, value, costs.ON_LINE, from_white)
    if way.rank is not None:
        found += _met(way, bead, value, way.rank, costs.COUNTED, from_white)
    return found


def _met(way: Way, bead: Bead, file: int, rank: int, cost: int, from_white: bool) -> list[Way]:
    """Return the ways in which the square where two lines meet may get a man."""
    square = Bead("square", bead.span, (chess.square(file, rank),))
    _, *put = _square(way, square, from_white)
    return [replace(each, cost=each.cost + cost) for each in put]


def _side(way: Way, side: int, cost: int = 0) -> list[Way]:
    left = way.left()
    changes = way.whole and side != way.side and not way.by
    anew = changes and len(way.men) > costs.KINGS_FIRST
    again = way.cost + cost + (costs.SIDE_AGAIN if anew else 0)
    by = way.by or ("side" if side == way.side or changes else "")
    found = [replace(way, cost=again + left, side=side, side_before=way.side, man=0, open=False, wanted=0, by=by)]
    if left:
        found += [replace(way, cost=again, side=side, by=by)]  # "the king, the white one"
    elif way.man:
        found += [replace(way, cost=again + costs.KEPT, side=side, side_before=way.side)]
    elif way.last is not None and not way.words:  # "on a4 stands a knight, a black one"
        (square, man) = way.last
        last = square, man % WHITE + WHITE * side
        men = way.men - {way.last} | {last}
        found += [replace(way, cost=way.cost + cost, men=men, last=last, whole=both_kings(men))]
    return found


def _man(way: Way, bead: Bead) -> list[Way]:
    found: list[Way] = []
    left = way.left()
    for rank, kind in enumerate(bead.values):
        cost = rank * costs.ANOTHER_MEANING
        if way.squares and (put := _all_put(way, kind, cost + costs.AFTER + _far(way) + way.apart)) is not None:
            found += [put]
        if way.back and way.last is not None and (way.open or not way.man):
            lifts = [_lift(way, each) for each in way.men if each[1] == kind + (way.last[1] & WHITE)]
            found += lifts or [_renamed(way, kind, cost)]
            cost += costs.NOT_BACK if lifts else 0
        cost += 0 if way.back else left
        cost += costs.BY_WHOM if bead.near and way.man and not way.open else 0
        cost += costs.MISCOUNTED if way.open and way.wanted else 0
        wanted = 0 if way.open else way.wanted
        named = replace(way, cost=way.cost + cost, man=kind, open=False, words=0, apart=0, to=False, wanted=wanted)
        found += [named]
        if way.side_before not in (None, way.side):
            ends = named.cost + (costs.ASIDE_ENDS if way.aside else costs.SIDE_ENDS)
            found += [replace(named, cost=ends, side=way.side_before, side_before=way.side)]
    if bead.near:
        found += [replace(way, words=0)]
    elif left and not way.passed(bead.values[0]):
        found += [replace(way, cost=way.cost + costs.BESIDE, words=way.words + 1)]
    passed = costs.MAN_PASSED if bead.tight else way.passed(bead.values[0])
    if bead.tight and way.whole and chess.KING in bead.values:
        passed = costs.ANOTHER_KING
    passed = 0 if way.back else passed  # "no rooks"
    if bead.near and way.man and not way.open:
        return found
    found += [replace(way, cost=way.cost + passed, words=way.words + 1, man=0, open=False, none=False, back=False)]
    return found


def _renamed(way: Way, kind: int, cost: int) -> Way:
    """Take the man told last for one of another kind."""
    assert way.last is not None
    square, man = way.last
    last = square, kind + (man & WHITE)
    men = way.men - {way.last} | {last}
    return replace(way, cost=way.cost + cost, men=men, back=False, last=last, whole=both_kings(men))


def _all_put(way: Way, kind: int, cost: int) -> Way | None:
    """Put a man on each of the squares that wait."""
    put: Way | None = replace(way, cost=way.cost + cost, squares=())
    for square in way.squares:
        put = None if put is None else _put(put, square, kind, 0)
    return None if put is None else replace(put, man=0, open=False)


def _square(way: Way, bead: Bead, from_white: bool) -> list[Way]:
    third = way.man == chess.KING and not way.open and way.whole
    stands = not bead.old and any(square == bead.values[0] for square, _ in way.men)
    passed = way.cost + (costs.ANOTHER_KING if third else costs.STANDS if stands else costs.SQUARE_PASSED)
    found = [replace(way, cost=passed, words=0, apart=0, to=False)]
    far = _far(way)
    if not way.man or way.open:
        waiting = replace(way, squares=(*way.squares, bead.values[0]), man=0, open=False, words=0, apart=0)
        apart = way.apart if way.squares else 0
        found += [replace(waiting, cost=way.cost + min(far, costs.FAR) + apart, to=False, wanted=0)]
    way = _off_line(way, bead)
    for rank, named in enumerate(_on_its_wing(way, bead)):
        square = chess.square_mirror(named) if bead.old and way.side == 0 and not from_white else named
        found += _on(way, square, bead, rank * costs.ANOTHER_MEANING + (costs.TO if way.to else 0) + far)
    return found


def _far(way: Way) -> int:
    """Return what the words since the last man or square cost between a man and its square."""
    return (way.words // 3 if way.words < 3 * costs.FARTHEST else costs.FARTHEST) * costs.FAR


def _on_its_wing(way: Way, bead: Bead) -> Sequence[int]:
    """Return what a square may be, on the wing of its man first: "the king at his bishop's square" is on f1."""
    if not bead.old or way.man not in (chess.KING, chess.QUEEN) or way.open:
        return bead.values
    return sorted(bead.values, key=lambda square: (chess.square_file(square) > 3) != (way.man == chess.KING))


def _off_line(way: Way, bead: Bead) -> Way:
    """Forget the rank or file that was named, where a square elsewhere follows: men are not put by lines."""
    if way.rank is None and way.file is None:
        return way
    on = {chess.square_rank(square) == way.rank or chess.square_file(square) == way.file for square in bead.values}
    return way if True in on or bead.old else replace(way, rank=None, file=None)


def _lifted(way: Way, bead: Bead) -> list[Way]:
    """Return the ways to take a square on which no man stands, as is said: who was put there goes elsewhere."""
    found = [_lift(way, each) for each in way.men if each[0] in bead.values]
    found += [
        put for each in found if each.squares and (put := _all_put(each, each.man, 0)) is not None
    ]  # "e6, not e5"
    return [*found, replace(way, cost=way.cost + (costs.NOT_LIFTED if found else 0), words=way.words + 1)]


def _lift(way: Way, stands: tuple[chess.Square, int]) -> Way:
    """Take a man from where it was put; it waits for another square."""
    left, side, kind = way.men - {stands}, int(stands[1] > WHITE), stands[1] % WHITE
    way = replace(way, cost=way.cost - costs.PUT, men=left, whole=both_kings(left), side=side, man=kind, open=False)
    return replace(way, back=False, words=0, apart=0, to=False, none=False, last=None)


def _on(way: Way, square: chess.Square, bead: Bead, cost: int) -> list[Way]:
    """Return the ways in which a square may get a man that was named before. No other waits for its man beyond that."""
    cost += len(way.squares) * costs.SQUARE_PASSED
    way = replace(way, squares=()) if way.squares else way
    found: list[Way | None] = []
    if way.back and way.last is not None:
        left = way.men - {way.last}
        side = int(way.last[1] > WHITE)
        cheaper = way.cost - costs.PUT
        taken = replace(way, cost=cheaper, men=left, whole=both_kings(left), back=False, last=None, side=side)
        found += [_put(taken, square, way.last[1] % WHITE, cost)]
        cost += costs.NOT_BACK
    if way.tight and not bead.tight and way.man != chess.PAWN:
        named = costs.MAN_PASSED if way.man and not way.open else 0  # "Ra1, knights a5"
        found += [_put(way, square, chess.PAWN, cost + named)]  # "Ra1 b2": behind men with letters a pawn has none
    if way.man and not (bead.tight and way.open):
        apart = way.open and way.words and not way.joined
        put = _put(way, square, way.man, cost + (costs.OPEN if apart else 0) + (0 if way.open else way.apart))
        if put is not None and bead.tight and not way.tight:
            put = replace(put, tight=True)
        found += [put]
    return [each for each in found if each is not None]


def _put(way: Way, square: chess.Square, kind: int, cost: int) -> Way | None:
    """Put a man on a square; None where it cannot stand there."""
    side, men = way.side, way.men
    if side is None:
        side, cost = 1, cost + costs.SIDE_SUPPOSED
    if kind == chess.PAWN and chess.square_rank(square) in (0, 7):
        return None
    if kind == chess.KING and _stands_elsewhere(men, kind + WHITE * side, square):
        side, cost = 1 - side, cost + costs.SECOND_KING
        if _stands_elsewhere(men, kind + WHITE * side, square):
            return None
    man = kind + WHITE * side
    here = [other for place, other in men if place == square]
    if man in here:
        return replace(
            way,
            cost=way.cost + cost + costs.AGAIN,
            open=True,
            words=0,
            apart=0,
            to=False,
            put_here=True,
            side=side,
            joined=False,
        )
    if here:
        cost, men = cost + costs.OVER, men - {(square, here[0])}
    men = men | {(square, man)}
    return replace(
        way,
        cost=way.cost + cost + costs.PUT,
        men=men,
        whole=both_kings(men) if here or kind == chess.KING else way.whole,
        last=(square, man),
        side=side,
        open=True,
        wanted=way.wanted - 1 if way.wanted else 0,
        back=False,
        words=0,
        apart=0,
        joined=False,
        to=False,
        put_here=True,
    )


def _stands_elsewhere(men: Men, man: int, square: chess.Square) -> bool:
    return bool([place for place, other in men if other == man and place != square])
