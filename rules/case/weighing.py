"""Which of the positions that a telling may be is meant: by its words, the proof and the solution told behind it.

All that speaks for and against one is weighed here. The words say how likely each is (grammar/gleaning). Of those
that are near the likeliest one that is sound is meant, the one on which what follows costs least. What is farther from
the words is not asked: of the positions that differ in one man from a sound one about a quarter are sound too, mostly
with the same solution, so that neither the proof nor the play behind it can tell them apart.
"""

from collections.abc import Iterator

import chess
from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.gleaning.costs import MOST_LEFT
from keyproof.grammar.gleaning.tellings import Telling
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .case import Case
from .meant import sound
from .pricing import Make, Pricing

AS_PLAIN = 2  # so much dearer than the plainest the sound one may be: else the author has told one that is not
FOLLOWING = 2_000  # characters behind a telling by which they are weighed


def meant(telling: Telling, span: Span, make: Make) -> Diagram | None:
    """Return the position that a telling in a stretch of text means, or None where none of what it may be is sound.

    Where the plainest that can be meant is not sound, and what is sound is far from the words, the author has rather
    told one that is not: it is not replaced by another.
    """
    possible = [each for each in zip(telling.ranks, telling.diagrams, strict=True) if _possible(each[1])]
    if not possible:
        return None
    most = min(MOST_LEFT, possible[0][0] + AS_PLAIN)
    near = [each for each in possible if each[0] <= most]
    found = [(rank, case) for rank, diagram in near for case in _sound(diagram, span, make)]
    if not found:
        return None
    pricing = Pricing(found[0][1].masked, [case for _, case in found], make)
    prices = [rank + pricing.of(case.puzzle.prose[-1], place)[0] for place, (rank, case) in enumerate(found)]
    shown = [case.puzzle.diagrams[0] for _, case in found]
    *_, best = min((price, found[at][0], -len(shown[at].pieces), at) for at, price in enumerate(prices))
    return shown[best]  # of two that cost the same the one that leaves out nobody


def _sound(diagram: Diagram, span: Span, make: Make) -> Iterator[Case]:
    """Yield the puzzle of a position if it is sound, or of the position without its last man if that was its key.

    The key is often told right behind a position, and in the words of one: "... pawn d2. Answer: rook a5". On the
    board with its second rook the key would take it, if anything did.
    """
    shown = {square: at for square, at in diagram.piece_spans.items() if square in diagram.pieces}
    if shown:
        square = max(shown, key=shown.__getitem__)
        man = diagram.pieces[square]
        without = {other: piece for other, piece in diagram.pieces.items() if other != square}
        spans = {other: at for other, at in shown.items() if other != square}
        end = max((at.end for at in spans.values()), default=diagram.span.start)
        shorter = replace(diagram, span=Span(diagram.span.start, end), pieces=without, piece_spans=spans)
        case = make(_puzzle(shorter, span)) if end < shown[square].start and _possible(shorter) else None
        if case is not None and sound(case) and _is_key(case, square, man.piece_type):
            yield case
            return
    case = make(_puzzle(diagram, span))
    if sound(case):
        yield case


def _is_key(case: Case, square: chess.Square, kind: chess.PieceType) -> bool:
    """Tell whether the key of a sound puzzle is a move by a man of a kind to a square."""
    assert case.likely is not None
    assert case.board is not None
    (key,) = case.likely[0].keys
    return key.to_square == square and case.board.piece_type_at(key.from_square) == kind


def _puzzle(diagram: Diagram, span: Span) -> PuzzleText:
    """Return a puzzle of which the stretch, but not much more than is needed, is the text."""
    shown = diagram.span
    prose = Span(span.start, shown.start), Span(shown.end, min(span.end, shown.end + FOLLOWING))
    return PuzzleText("", span, (diagram,), prose)


def _possible(diagram: Diagram) -> bool:
    board = chess.Board(None)
    board.set_piece_map(diagram.pieces)
    return not board.status() & ~chess.STATUS_OPPOSITE_CHECK
