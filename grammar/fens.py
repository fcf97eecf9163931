"""FEN as printed in running text (PGN standard, 16.1), with all six fields or fewer.

What has the shape of a FEN but cannot be read becomes a diagram with faults, so that a
misprint is reported and not skipped.
"""

import re
from collections.abc import Iterator

import chess
from msgspec import Struct, field

from .document import Diagram, TextFault
from .spans import Span

_PLACEMENT = re.compile(r"(?<![\w/.\\])[A-Za-z0-9]*(?:/[A-Za-z0-9]*){6,9}(?![\w/\\])")
_GAP = r"[ \t\u00a0]+"
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


_MEN = {sign: chess.Piece.from_symbol(sign) for sign in "pnbrqkPNBRQK"}
_KNOWN = re.compile(rf"[{''.join(_MEN)}1-8]")


class _Reading(Struct):
    pieces: dict[chess.Square, chess.Piece] = field(default_factory=dict)
    piece_spans: dict[chess.Square, Span] = field(default_factory=dict)
    faults: list[TextFault] = field(default_factory=list)


def _squares(rank: str) -> int:
    """Count the squares a rank describes; any letter is one square."""
    return sum([int(sign) if sign.isdigit() else 1 for sign in rank])


def _looks_like_ranks(ranks: list[str]) -> bool:
    """Tell a placement from a path: most ranks have eight squares and most signs name men."""
    full = sum(_squares(rank) == 8 for rank in ranks)
    signs = "".join(ranks)
    known = len(_KNOWN.findall(signs))
    return full >= (4 if len(ranks) == 8 else 5) and 4 * known >= 3 * len(signs)


def _read_rank(rank: str, number: int, start: int, reading: _Reading) -> None:
    span = Span(start, start + len(rank))
    if not rank:  # it is shown at the slash before it, the first rank at the slash after it
        span = Span(start, start + 1) if number == 8 else Span(start - 1, start)
    width = _squares(rank)
    file = 0
    for place, sign in enumerate(rank, start):
        if sign in _MEN:
            if file < 8:
                square = chess.square(file, number - 1)
                reading.pieces[square] = _MEN[sign]
                reading.piece_spans[square] = Span(place, place + 1)
            file += 1
        elif sign in "09":
            fault = f"{sign} is not a number of empty squares"
            reading.faults.append(TextFault(Span(place, place + 1), fault))
            return
        elif sign.isdigit():
            file += int(sign)
        else:
            hint = "; the knight is N or n" if sign in "Ss" else ""
            fault = f"the letter {sign} names no man in a FEN{hint}"
            reading.faults.append(TextFault(Span(place, place + 1), fault))
            file += 1
    if width != 8:
        squares = "1 square" if width == 1 else f"{width or 'no'} squares"
        reading.faults.append(TextFault(span, f"rank {number} of the FEN has {squares}"))


def _read_placement(text: str, start: int) -> _Reading:
    reading = _Reading()
    ranks = text.split("/")
    if len(ranks) != 8:
        whole = Span(start, start + len(text))
        reading.faults.append(TextFault(whole, f"the FEN has {len(ranks)} ranks"))
        return reading
    for index, rank in enumerate(ranks):
        _read_rank(rank, 8 - index, start, reading)
        start += len(rank) + 1
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


def find_fens(text: str) -> Iterator[Diagram]:
    """Yield every FEN in `text` (masked text of a document) in order. Never raises for any text."""
    for match in _PLACEMENT.finditer(text):
        ranks = match[0].split("/")
        if _looks_like_ranks(ranks):
            yield _read(text, match)


def _read(text: str, placement: re.Match[str]) -> Diagram:
    reading = _read_placement(placement[0], placement.start())
    end = placement.end()
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
        span=Span(placement.start(), end),
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
