"""Lines of play in the files that have a notation of their own for them (PGN, EPD)."""

import re
from collections.abc import Iterable, Iterator

from keyproof.grammar.document import Diagram, TextFault
from keyproof.grammar.scan import language_of, read_span, tokens
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Marker, MoveNumber, Statement, Turn
from msgspec.structs import replace

_HELP = re.compile(
    r"\bh[#=]\s?\d{1,2}(?P<sign>\.5|½)?|\bhelp-?(?:stale)?-?mates?\s+in\s+\S+(?P<words>\s+and\s+a\s+half)?", re.I
)

_PAWN = re.compile(r"[a-h][1-8]")
_PAWNS = re.compile(rf"(?:{_PAWN.pattern}[\s!?+#]*)+")
_NUMBER = "1. "  # behind which a square is a move; which one it is says its place in the line


def first_ply(black_begins: bool, said: str) -> int:
    """Return the number of the first half-move, counted from 1 for a move numbered "1.".

    Black begins with "1...", but in help play, if the words around the play call it that,
    with "1."; there it is White's half move that is numbered "1...".
    """
    help_play = _HELP.search(said)
    if help_play is None:
        return 2 if black_begins else 1
    return 2 if help_play["sign"] or help_play["words"] else 1


def language(text: str, play: Iterable[Span]) -> str:
    """Return the language of the piece letters of these stretches."""
    return language_of(tokens(text, span) for span in play)


def numbered(turn: Turn, ply: int) -> Turn:
    """Give a half-move the number that its place in the line means, at the printed number where there is one."""
    span = turn.number.span if turn.number is not None else Span(turn.span.start, turn.span.start)
    return replace(turn, number=MoveNumber(span, (ply + 1) // 2, ply % 2 == 0), placed=True)


def movetext(text: str, span: Span, language: str) -> Iterator[Statement]:
    """Yield the statements of a stretch of play, where a square alone is the move of a pawn: "{ a remark } d6"."""
    for statement in read_span(text, span, language):
        if not isinstance(statement, Aside) or _PAWNS.fullmatch(text, *statement.span) is None:
            yield statement
            continue
        for square in _PAWN.finditer(text, *statement.span):
            start = square.start() - len(_NUMBER)
            told = text[:start] + _NUMBER + square[0]
            yield from read_span(told, Span(start, len(told)), language)


def remark(text: str, span: Span, language: str) -> Iterator[Statement]:
    """Yield the statements of a remark beside the play, which goes on afterwards where it was.

    What it calls the key is the move that the notation has as such: "1. e8=Q { the only key } ( 1. e8=N+ )".
    """
    yield Break("open", Span(span.start, span.start))
    depth = 0
    said = list(read_span(text, span, language))
    last = max((place for place, each in enumerate(said) if isinstance(each, Turn)), default=0)
    for place, statement in enumerate(said):
        if isinstance(statement, Marker) and statement.kind == "key" and place >= last:
            continue
        if isinstance(statement, Break):
            if statement.kind == "close" and not depth:
                continue  # it would end the remark
            depth += {"open": 1, "close": -1}.get(statement.kind, 0)
        yield statement
    end = Span(span.end, span.end)
    yield Break("stop", end)
    for _ in range(depth + 1):
        yield Break("close", end)


def unusable(span: Span, reason: str) -> Diagram:
    """Return what stands for a position that cannot be read."""
    return Diagram("fen", span, {}, faults=(TextFault(span, reason),))


def moved(found: Diagram, by: int) -> Diagram:
    """Return a diagram found in a part of the text that starts at offset `by`, with its places in the whole."""

    def there(span: Span) -> Span:
        return Span(span.start + by, span.end + by)

    return replace(
        found,
        span=there(found.span),
        piece_spans={square: there(span) for square, span in found.piece_spans.items()},
        castling_span=None if found.castling_span is None else there(found.castling_span),
        faults=tuple(TextFault(there(fault.span), fault.message) for fault in found.faults),
    )
