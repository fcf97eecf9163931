"""FEN as printed in running text (PGN standard, 16.1), with all six fields or fewer.

What has the shape of a FEN but cannot be read becomes a diagram with faults, so that a
misprint is reported and not skipped.
"""

import re
from collections.abc import Iterator, Mapping, Sequence

import chess
from msgspec import Struct, field

from .document import Diagram, TextFault
from .forsyth import STANDARD, Placement, language_of, loose_placements, squares_of, strokes
from .in_lines import InLines
from .spans import Span

_PLACEMENT = InLines(lambda: re.compile(r"(?<![\w/.\\])[A-Za-z0-9]*(?:/[A-Za-z0-9]*){6,9}(?!_?[^\W_]{2}|[^\W_]|[/\\])"))
_GAP = r"(?:[ \t\u00a0]+|_)"
_DASH = "[-–—]"
_END = r"(?=[\"'`)\]};,.]|\s*$|\s*[\r\n])"  # the rest of the line is not a field
_TARGET = rf"(?:{_DASH}(?!\w)|[a-z]\d(?:(?={_GAP}\d)|{_END}))"
_TURN = re.compile(rf"{_GAP}([wb])(?!\w)|{_GAP}(\w{{1,5}})(?={_GAP}(?:{_DASH}|[KQkq]{{1,4}}){_GAP}{_TARGET})")
_CASTLING = re.compile(
    rf"{_GAP}(?:({_DASH})(?:(?={_GAP}{_TARGET})|{_END})|([KQkq]{{1,4}})(?!\w)|(\w{{1,5}})(?={_GAP}{_TARGET}))"
)
_EN_PASSANT = re.compile(rf"{_GAP}({_TARGET})")
_HALFMOVES = re.compile(rf"{_GAP}(\d{{1,4}})(?:(?={_GAP}\d)|(?!\.){_END})")
_MOVE_NUMBER = re.compile(_GAP + r"(\d{1,4})(?!\w|\.\S|…|\s?\.\.)")


class _Reading(Struct):
    letters: Mapping[str, chess.PieceType]
    pieces: dict[chess.Square, chess.Piece] = field(default_factory=dict)
    piece_spans: dict[chess.Square, Span] = field(default_factory=dict)
    faults: list[TextFault] = field(default_factory=list)


def _looks_like_ranks(ranks: list[str], letters: Mapping[str, chess.PieceType]) -> bool:
    """Tell a placement from a path: most ranks have eight squares and most signs name men."""
    full = sum(squares_of(rank) == 8 for rank in ranks)
    signs = "".join(ranks)
    known = sum(sign in "12345678" or sign.upper() in letters for sign in signs)
    return full >= (4 if len(ranks) == 8 else 5) and 4 * known >= 3 * len(signs)


def _read_rank(rank: str, number: int, start: int, reading: _Reading) -> None:
    span = Span(start, start + len(rank))
    if not rank:  # it is shown at the slash before it, the first rank at the slash after it
        span = Span(start, start + 1) if number == 8 else Span(start - 1, start)
    width = squares_of(rank)
    file = 0
    for place, sign in enumerate(rank, start):
        if sign in "09":
            fault = f"{sign} is not a number of empty squares"
            reading.faults.append(TextFault(Span(place, place + 1), fault))
            return
        if sign.isdecimal():
            file += int(sign)
            continue
        kind = reading.letters.get(sign.upper())
        if kind is None:
            hint = "; the knight is N or n" if sign in "Ss" else ""
            fault = f"the letter {sign} names no man in a FEN{hint}"
            reading.faults.append(TextFault(Span(place, place + 1), fault))
        elif file < 8:
            square = chess.square(file, number - 1)
            reading.pieces[square] = chess.Piece(kind, sign.isupper())
            reading.piece_spans[square] = Span(place, place + 1)
        file += 1
    if width != 8:
        squares = "1 square" if width == 1 else f"{width or 'no'} squares"
        reading.faults.append(TextFault(span, f"rank {number} of the FEN has {squares}"))


def _read_placement(text: str, placement: Placement, letters: Mapping[str, chess.PieceType]) -> _Reading:
    reading = _Reading(letters)
    if len(placement.ranks) != 8:
        reading.faults.append(TextFault(placement.span, f"the FEN has {len(placement.ranks)} ranks"))
        return reading
    for number, rank in zip(range(8, 0, -1), placement.ranks, strict=True):
        _read_rank(rank.of(text), number, rank.start, reading)
    return reading


def _turn(field_: re.Match[str], reading: _Reading) -> chess.Color | None:
    printed = field_[field_.lastindex or 1]
    if printed.lower() in ("w", "b"):
        return printed.lower() == "w"
    span = Span(*field_.span(2))
    reading.faults.append(TextFault(span, f"the FEN gives the side to move as {printed}; it is w or b"))
    return None


def _castling(rights: re.Match[str], reading: _Reading) -> tuple[str | None, Span]:
    printed = rights[rights.lastindex or 1]
    span = Span(*rights.span(rights.lastindex or 1))
    if rights[1]:
        return "-", span
    if rights[3]:
        reading.faults.append(TextFault(span, f"the castling field is {printed}; it is - or some of K, Q, k and q"))
        return None, span
    if len(set(printed)) != len(printed):
        reading.faults.append(TextFault(span, f"the castling field {printed} names a right twice"))
        return None, span
    return printed, span


def find_fens(text: str, *, standard: bool = False) -> Iterator[Diagram]:
    """Yield every FEN in `text` (masked text of a document) in order. Never raises for any text.

    Unless it must be in the `standard` notation, its men may have the letters of another language (see forsyth.py).
    """
    loose = [] if standard else list(loose_placements(text))
    yield from _with_strokes(text, loose, standard=standard)


def _with_strokes(text: str, loose: Sequence[Placement], *, standard: bool) -> Iterator[Diagram]:
    """Yield the placements in `loose` and those with bare strokes between them, in order."""
    place = 0
    waiting = list(loose)
    for match in _PLACEMENT.finditer(text):
        while waiting and waiting[0].span.start <= match.start():
            place = waiting[0].span.end
            yield _read(text, waiting[0], language_of(waiting[0], text))
            waiting.pop(0)
        if match.start() < place or (waiting and waiting[0].span.start < match.end()):
            continue
        placement = strokes(match)
        letters = STANDARD if standard else language_of(placement, text)
        if _looks_like_ranks(match[0].split("/"), letters):
            yield _read(text, placement, letters)
    for each in waiting:
        yield _read(text, each, language_of(each, text))


def _read(text: str, placement: Placement, letters: Mapping[str, chess.PieceType]) -> Diagram:
    reading = _read_placement(text, placement, letters)
    end = placement.span.end
    turn: chess.Color | None = None
    castling: str | None = None
    castling_span: Span | None = None
    en_passant: chess.Square | None = None
    has_en_passant_field = False
    if found := _TURN.match(text, end):
        turn = _turn(found, reading)
        end = found.end()
        if rights := _CASTLING.match(text, end):
            end = rights.end()
            castling, castling_span = _castling(rights, reading)
            if target := _EN_PASSANT.match(text, end):
                end = target.end()
                has_en_passant_field = True
                en_passant = _en_passant(target, turn, reading)
                if halfmoves := _HALFMOVES.match(text, end):
                    end = halfmoves.end()
                    if number := _MOVE_NUMBER.match(text, end):
                        end = number.end()
    return Diagram(
        kind="fen",
        span=Span(placement.span.start, end),
        pieces=reading.pieces,
        piece_spans=reading.piece_spans,
        turn=turn,
        castling=castling,
        castling_span=castling_span,
        en_passant=en_passant,
        has_en_passant_field=has_en_passant_field,
        faults=tuple(reading.faults),
    )


def _en_passant(target: re.Match[str], turn: chess.Color | None, reading: _Reading) -> chess.Square | None:
    printed = target[1]
    if printed in "-–—":
        return None
    span = Span(*target.span(1))
    if printed not in chess.SQUARE_NAMES:
        reading.faults.append(TextFault(span, f"the en passant field names {printed}, which is not a square"))
        return None
    side, rank = ("Black", "3") if turn is chess.BLACK else ("White", "6")
    if turn is not None and printed[1] != rank:
        reading.faults.append(
            TextFault(span, f"the en passant square is {printed}; with {side} to move it lies on rank {rank}")
        )
        return None
    return chess.parse_square(printed)
