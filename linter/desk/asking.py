"""What the page asks that needs no open text: a position set up and proved, a picture read, a sheet of diagrams."""

import io
import re
import zipfile
from base64 import b64decode
from binascii import Error as NotBase64
from collections.abc import Iterable
from itertools import dropwhile
from typing import Any

import chess
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.proof.prover import prove

from ..diagrams.files import Width, as_png, as_svg
from ..diagrams.reading import NoPicture, position_of
from ..diagrams.svg import Drawing, described
from ..listen.words import word
from ..positions import NotAPosition, NothingRead, parse_stipulation, typed
from ..reports import proof as proof_report
from ..reports.position import count
from ..reports.proof import asked
from ..sources import Unreadable
from .manner import AS_FEN, Listing, Manner

LARGEST_PICTURE = 2_000_000  # bytes


def position(text: str) -> dict[str, Any]:
    """Return a position that was typed: a FEN, or men in any of the languages. NotAPosition says what is wrong."""
    if not text.strip():
        raise NotAPosition(word("nothing_typed"))
    try:
        found = typed(text.strip(), None)
    except NothingRead:
        raise NotAPosition(word("no_position_typed")) from None
    except Unreadable as fault:
        raise NotAPosition(str(fault)) from None
    assert found.board is not None
    return shown(found.board) | {"stipulation": found.stipulation.symbol if found.stipulation else ""}


def shown(board: chess.Board) -> dict[str, Any]:
    """Return a position as the page sets it up."""
    return {
        "fen": board.fen(en_passant="fen"),
        "men": board.board_fen(),
        "turn": "w" if board.turn else "b",
        "words": described(board),
        "count": count(board),
    }


def picture(kind: str, data: str) -> dict[str, Any]:
    """Return the position of a picture that keyproof drew, given in base64. NotAPosition says why there is none."""
    try:
        content = b64decode(data, validate=True)
        if len(content) > LARGEST_PICTURE:
            raise NoPicture(word("picture_large"))
        return shown(position_of(content))
    except (NotBase64, NoPicture) as fault:
        raise NotAPosition(str(fault)) from None


def proof(fen: str, words: str, effort: float, cancel: Cancel) -> dict[str, Any]:
    """Prove a position that was set up. NotAPosition says why that cannot be done."""
    if not words.strip():
        raise NotAPosition(word("nothing_asked"))
    stipulation = parse_stipulation(words.strip())
    board = _board(fen)
    if board.turn != stipulation.first_to_move and stipulation.help_play:
        board.turn = stipulation.first_to_move
    try:
        proved = prove(board, stipulation, effort=effort, cancel=cancel)
    except ValueError as fault:
        raise NotAPosition(str(fault)) from None
    lines = list(dropwhile(lambda line: line.text, proof_report.report(proved)))[1:]  # the page draws the position
    return {
        "verdict": proved.verdict,
        "asked": asked(stipulation, board.turn),
        "lines": [{"parts": [[part.text, part.look] for part in line.parts]} for line in lines],
    }


def _board(fen: str) -> chess.Board:
    found = typed(fen, None).board
    assert found is not None
    return found


def printed(fen: str, words: str, manner: Manner = AS_FEN) -> str:
    """Return a position and what is asked as a text that `check` reads, in a manner. NotAPosition as `proof`.

    Where a list of men would not say all of the position, it is printed as a FEN.
    """
    board = _board(fen)
    said = asked(parse_stipulation(words), board.turn) if words.strip() else ""
    counted = count(board) if said and manner.counted else ""
    position = _men(board, said, manner.listing) or board.fen(en_passant="fen")
    return f"{manner.number}{position}\n" + (f"\n{said} {counted}".rstrip() + "\n" if said else "")


def _men(board: chess.Board, said: str, listing: Listing | None) -> str:
    """Return a position as a list of men, "" where it would not be read as this position again."""
    if listing is None:
        return ""
    listed = listing.of(board)
    try:
        again = typed(f"{listed}\n\n{said}", None).board
    except (NotAPosition, Unreadable):
        return ""
    return listed if again is not None and again.fen() == board.fen() else ""


def diagram(fen: str, form: str, width: str) -> bytes:
    """Draw one position as "svg" or "png". NoDiagram, NotAPosition say why not."""
    draw = as_png if form == "png" else as_svg
    return draw(_board(fen), Drawing(), Width.parse(width), "")


def stem(name: str) -> str:
    """Return what files that are made of a text are called after it."""
    return re.sub(r"[^\w-]+", "-", name.rpartition("/")[2].rpartition(".")[0]).strip("-") or "diagrams"


def sheet_of_diagrams(name: str, fens: Iterable[tuple[str, str]], form: str, width: str) -> bytes:
    """Draw positions as numbered files, packed together; `fens` come with what each is called, listed in a text."""
    called = stem(name)
    packed = io.BytesIO()
    listed = []
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, (fen, words) in enumerate(fens, start=1):
            file = f"{called}-{number:03}.{form}"
            archive.writestr(zipfile.ZipInfo(file, (2000, 1, 1, 0, 0, 0)), diagram(fen, form, width))
            listed.append(f"{file}  {words}\n")
        archive.writestr(zipfile.ZipInfo(f"{called}.txt", (2000, 1, 1, 0, 0, 0)), "".join(listed))
    return packed.getvalue()
