"""Diagrams: what stands where, the sizes, and every way of asking for one that cannot be made."""

import builtins
import io
import re
import struct
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import chess
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st
from keyproof.linter.cli import cli
from keyproof.linter.diagrams.files import NoDiagram, Width, as_png, as_svg
from keyproof.linter.diagrams.svg import Arrow, Drawing, described, standalone
from PIL import Image

SVG = "{http://www.w3.org/2000/svg}"
FEN = "1R6/b7/k1K5/2p2Qp1/1p4R1/5P2/P7/8 w - - 0 1"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["diagram", *arguments])


def men_drawn(text: str) -> dict[chess.Square, str]:
    """Read a drawing back: the man on each square, by the names of the symbols."""
    found = {}
    for use in ET.fromstring(text).iter(f"{SVG}use"):
        file, rank = int(use.attrib["x"]) // 100, 7 - int(use.attrib["y"]) // 100
        colour, letter = use.attrib["href"].removeprefix("#")
        found[chess.square(file, rank)] = letter if colour == "w" else letter.lower()
    return found


@given(st.dictionaries(st.sampled_from(chess.SQUARES), st.sampled_from("KQRBNPkqrbnp")), st.booleans())
def test_every_man_stands_on_its_square(men: dict[chess.Square, str], coordinates: bool) -> None:
    """FIDE Laws C.5 and C.6: a1 at the bottom left, seen from White."""
    board = chess.Board(None)
    for square, symbol in men.items():
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    assert men_drawn(standalone(board, Drawing(coordinates), width="480")) == men


def test_a1_is_dark() -> None:
    # FIDE Laws 2.1: the right corner square nearest to each player is light.
    root = ET.fromstring(standalone(chess.Board(None), width="480"))
    dark = next(path for path in root.iter(f"{SVG}path") if path.get("fill") == "url(#hatch)").attrib["d"]
    corners = {tuple(map(int, found)) for found in re.findall(r"M(\d+) (\d+)h", dark)}
    assert (0, 700) in corners
    assert (700, 700) not in corners
    assert len(corners) == 32


def test_the_position_in_words() -> None:
    assert described(chess.Board(FEN)) == (
        "White: king c6, queen f5, rooks g4, b8, pawns a2, f3; Black: king a6, bishop a7, pawns b4, c5, g5"
    )


def test_a_title_is_text() -> None:
    drawn = standalone(chess.Board(FEN), width="480", title='<script>"&')
    assert ET.fromstring(drawn)[0].text == '<script>"&'


def test_marks_arrows_and_the_edge() -> None:
    plain = as_svg(chess.Board(FEN), Drawing(coordinates=False), Width(480)).decode()
    full = as_svg(chess.Board(FEN), Drawing(True, (chess.A4,), (Arrow(chess.A8, chess.A7),)), Width(480)).decode()
    assert plain.count("<circle") == 0
    assert 'cx="50" cy="450"' in full
    assert full.count("scale(1.7)") == 16
    assert plain.count("scale(1.7)") == 0
    assert 'viewBox="0 0 816 816"' in plain


@pytest.mark.parametrize(("width", "pixels"), [("480", 480), ("60mm", 709), ("25.4 mm", 300)])
def test_png_has_the_width_asked_for(width: str, pixels: int) -> None:
    pytest.importorskip("resvg_py", reason="the library that draws PNG is not installed")
    png = as_png(chess.Board(FEN), Drawing(), Width.parse(width))
    # PNG specification, 11.2.2: width and height follow the name of the first chunk.
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", png[16:24]) == (pixels, pixels)


def pixels(png: bytes) -> list[list[int]]:
    """Read a PNG back: the darkness of each pixel by rows."""
    image = Image.open(io.BytesIO(png)).convert("RGB").getchannel("R")
    data = image.tobytes()
    return [[255 - value for value in data[start : start + image.width]] for start in range(0, len(data), image.width)]


def darkness(rows: list[list[int]], square: chess.Square, size: int) -> tuple[float, int]:
    """Return the mean darkness of the inner part of a square of an edgeless diagram, and the widest run of one tone."""
    cell, rim = size * 100 / 816, size * 8 / 816
    left, top = rim + chess.square_file(square) * cell, rim + (7 - chess.square_rank(square)) * cell
    inside = [row[round(left + 0.15 * cell) : round(left + 0.85 * cell)] for row in rows]
    inside = inside[round(top + 0.15 * cell) : round(top + 0.85 * cell)]
    every = [value for row in inside for value in row]
    return sum(every) / len(every) / 255, max(every) - min(every)


@pytest.mark.parametrize("size", [96, 128, 160, 200, 300, 480, 900])
def test_dark_squares_are_dark_and_hatched_at_every_size(size: int) -> None:
    pytest.importorskip("resvg_py", reason="the library that draws PNG is not installed")
    rows = pixels(as_png(chess.Board("8/8/8/8/8/8/8/8"), Drawing(False), Width(size)))
    light, even = darkness(rows, chess.D5, size)
    dark, contrast = darkness(rows, chess.E5, size)
    assert (light, even) == (0, 0)
    assert 0.15 < dark < 0.45
    assert contrast > 50  # lines, not a tone


@pytest.mark.parametrize("size", [96, 200, 480])
@pytest.mark.parametrize("square", [chess.E5, chess.D5])
def test_a_ring_leaves_the_middle_of_its_square_as_it_was(size: int, square: chess.Square) -> None:
    pytest.importorskip("resvg_py", reason="the library that draws PNG is not installed")
    board = chess.Board("8/8/8/8/8/8/8/8")
    plain, ringed = (pixels(as_png(board, Drawing(False, marks), Width(size))) for marks in ((), (square,)))
    cell, rim = size * 100 / 816, size * 8 / 816
    x, y = rim + (chess.square_file(square) + 0.5) * cell, rim + (7.5 - chess.square_rank(square)) * cell
    span = range(-round(0.2 * cell), round(0.2 * cell))
    for down in span:
        assert [plain[round(y) + down][round(x) + along] for along in span] == [
            ringed[round(y) + down][round(x) + along] for along in span
        ]
    edge = [ringed[round(y)][round(x - 0.43 * cell) + near] for near in (-1, 0, 1)]
    assert max(edge) > 170


@pytest.mark.parametrize("width", ["96", "480", "60mm"])
def test_an_svg_has_its_height(width: str) -> None:
    for drawing in (Drawing(), Drawing(False)):
        root = ET.fromstring(as_svg(chess.Board(FEN), drawing, Width.parse(width)))
        assert root.attrib["width"] == root.attrib["height"] == width


def test_without_the_library_a_png_is_refused(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    usual = builtins.__import__

    def missing(name: str, *args: Any, **extra: Any) -> Any:
        if name == "resvg_py":
            raise ImportError(name)
        return usual(name, *args, **extra)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(NoDiagram, match=r"pip install 'keyproof\[png\]'"):
        as_png(chess.Board(FEN), Drawing(), Width(480))


def test_any_position_of_a_line_of_play(tmp_path: Path) -> None:
    target = tmp_path / "after.svg"
    assert run(FEN, "-o", str(target), "--after", "1.Ra8! Ka5 2.R:a7#").exit_code == 0
    board = chess.Board(FEN)
    for san in ("Ra8", "Ka5", "Rxa7#"):
        board.push_san(san)
    drawn = men_drawn(target.read_text(encoding="utf-8"))
    assert drawn == {square: piece.symbol() for square, piece in board.piece_map().items()}


def test_a_puzzle_of_a_file(tmp_path: Path) -> None:
    column = tmp_path / "column.txt"
    column.write_text(f"No. 1 One\n8/8/8/8/8/k7/8/K6R w - - 0 1\nMate in two.\n\nNo. 2 Two\n{FEN}\nMate in two.\n")
    done = run(str(column), "--number", "2", "-o", "-")
    assert done.exit_code == 0
    assert "<title>No. 2 Two</title>" in done.output


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((FEN, "-o", "a.gif"), "ends in .svg or .png"),
        ((FEN, "-o", "a.svg", "--after", "1.Ra7"), "1.Ra7 cannot be played: no white rook can reach a7"),
        ((FEN, "-o", "a.svg", "--after", "1.Rb4"), "1.Rb4 may be any of"),
        ((FEN, "-o", "a.svg", "--after", "1.Hello"), "'Hello' is not a printed move"),
        ((FEN, "-o", "a.svg", "--mark", "i9"), "'i9' is no square"),
        ((FEN, "-o", "a.svg", "--arrow", "e2e2"), "'e2e2' is no arrow"),
        ((FEN, "-o", "a.svg", "--width", "wide"), "'wide' is no width"),
        ((FEN, "-o", "a.svg", "--width", "5"), "possible are 16 to 8000"),
        ((FEN, "-o", "a.svg", "--number", "2"), "there is no puzzle number 2"),
        ((FEN, "-o", "no such folder/a.svg"), "cannot be written"),
        (("hello", "-o", "a.svg"), "neither a file nor a position"),
    ],
)
def test_what_cannot_be_drawn(
    arguments: tuple[str, ...], message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run(*arguments)
    assert done.exit_code == 2
    assert message in done.output
    assert not list(tmp_path.iterdir())
