"""Positions set up, proved and drawn; scripts rehearsed; captions and diagrams written."""

import io
import itertools
import re
import zipfile
from base64 import b64encode
from typing import Any

import chess
import chess.pgn
import pytest
from keyproof.linter.desk import asking, rehearsing
from keyproof.linter.desk.shown import checked_text
from keyproof.linter.desk.shown import place as shown_place
from keyproof.linter.desk.units import Spots
from keyproof.linter.diagrams.files import Width, as_png, as_svg
from keyproof.linter.diagrams.reading import NoPicture, position_of, with_position
from keyproof.linter.diagrams.svg import Drawing
from keyproof.linter.listen import writing
from keyproof.linter.listen.desk import Checked, Desk
from keyproof.linter.listen.places import place_at
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.positions import NotAPosition
from keyproof.linter.readers import captions
from keyproof.linter.sources import document_from_text, kind_of
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.writing.voices import VOICES

from .conftest import COLUMN, FEN

# The letters of ten languages are those of grammar/letters.py, FIDE Laws C.2 and C.3.
MEN = {
    "en": "White: Kf2, Re5, Ne6; Black: Kg4, h5",
    "de": "Weiß: Kf2, Te5, Se6; Schwarz: Kg4, h5",
    "fr": "Blancs: Rf2, Te5, Ce6; Noirs: Rg4, h5",
    "es": "Blancas: Rf2, Te5, Ce6; Negras: Rg4, h5",
    "it": "Bianco: Rf2, Te5, Ce6; Nero: Rg4, h5",
    "nl": "Wit: Kf2, Te5, Pe6; Zwart: Kg4, h5",
    "pt": "Brancas: Rf2, Te5, Ce6; Pretas: Rg4, h5",
    "pl": "Białe: Kf2, We5, Se6; Czarne: Kg4, h5",
    "sv": "Vit: Kf2, Te5, Se6; Svart: Kg4, h5",
    "ru": "Белые: Крf2, Лe5, Кe6; Чёрные: Крg4, h5",
}


def read(text: str, name: str = "column.md") -> Checked:
    *_, last = Desk(Options(effort=1)).check(document_from_text(name, text, "markdown"), Cancel())
    return last


@pytest.mark.parametrize("language", MEN)
def test_men_are_read_in_ten_languages(language: str) -> None:
    found = asking.position(MEN[language])
    assert found["men"] == FEN.split()[0]


@pytest.mark.parametrize("text", ["", "  ", "no position", "/etc/passwd", "White: Kz9; Black: Kg4", "8/8/8 w"])
def test_what_is_no_position_is_told(text: str) -> None:
    with pytest.raises(NotAPosition) as told:
        asking.position(text)
    assert str(told.value)


def test_what_is_wrong_with_a_list_of_men_is_told() -> None:
    for text, why in (
        ("White: Kh4, Qh7, Rh7; Black: Kd1", "a second man is put on h7"),
        ("White: Kh4, Qz7; Black: Kd1", "z7 is not a square"),
        ("no position", "the men of both sides"),
    ):
        with pytest.raises(NotAPosition, match=why):
            asking.position(text)


def test_a_position_is_proved() -> None:
    found = asking.proof(FEN, "mate in two", 1, Cancel())
    assert found["verdict"] == "sound"
    words = "\n".join("".join(part for part, _ in line["parts"]) for line in found["lines"])
    assert "Key: 1.Kg2!" in words
    assert "1...h4    2.Rg5#" in words
    for fen, asked, why in (
        (FEN, "", "nothing says what is asked"),
        (FEN, "checkers", "checkers"),
        ("8/8/8/8/8/8/8/K7 w - - 0 1", "#2", "no black king"),
        ("nonsense", "#2", "neither a file nor a position"),
    ):
        with pytest.raises(NotAPosition, match=why):
            asking.proof(fen, asked, 1, Cancel())


def test_what_is_put_into_a_text_is_read_from_it_again() -> None:
    (puzzle,) = check_text("column.md", asking.printed(FEN, "#2"), Options()).puzzles
    assert (puzzle.fen, puzzle.stipulation, puzzle.verdict) == (FEN, "#2", "sound")


@pytest.mark.parametrize("coordinates", [True, False])
def test_a_picture_that_was_drawn_here_is_read(coordinates: bool) -> None:
    pytest.importorskip("resvg_py")
    board = chess.Board("r3k2r/pP6/8/2PpP3/8/8/6Np/R3K2R b KQkq - 0 1")
    drawing = Drawing(coordinates, (chess.E4,))
    svg = as_svg(board, drawing, Width(300), "<&>")
    assert position_of(svg).board_fen() == board.board_fen()
    png = as_png(board, drawing, Width(300))
    assert position_of(png).fen() == board.fen()
    found = asking.picture("image/png", b64encode(png).decode())
    assert found["turn"] == "b"


def test_a_png_with_its_position_is_as_its_standard_has_it() -> None:
    """PNG (Third Edition) 5.3 and 11.3.3, read with struct and zlib alone: each chunk has its length and its CRC."""
    import struct
    import zlib

    pytest.importorskip("resvg_py")
    png = as_png(chess.Board(), Drawing(), Width(100))
    at, kinds = 8, []
    while at < len(png):
        (size,) = struct.unpack_from(">I", png, at)
        kind, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + size]
        assert struct.unpack_from(">I", png, at + 8 + size)[0] == zlib.crc32(kind + body)
        kinds.append(kind)
        at += 12 + size
    assert kinds[:2] == [b"IHDR", b"tEXt"]
    assert kinds[-1] == b"IEND"


@pytest.mark.parametrize(
    "picture",
    [
        b"",
        b"\x89PNG\r\n\x1a\n",
        b"\x89PNG\r\n\x1a\n" + b"\xff" * 50,
        b"<svg/>",
        b"<svg><use href='#wX' x='0' y='0'/></svg>",
        b"<svg><use href='#wK' x='9000' y='0'/></svg>",
        b"<svg><use href='#wK'/></svg>",
        b"<!DOCTYPE x [<!ENTITY a 'aaaa'>]><svg><use href='#wK' x='0' y='0'/>&a;</svg>",
        b"GIF89a",
        b"x" * 5_000_000,
    ],
)
def test_another_picture_is_refused(picture: bytes) -> None:
    with pytest.raises(NoPicture):
        position_of(picture)
    with pytest.raises(NotAPosition):
        asking.picture("image/png", b64encode(picture).decode())
    with pytest.raises(NotAPosition):
        asking.picture("image/png", "not base64!")


def test_a_png_of_another_keeps_its_pixels() -> None:
    header = b"\x89PNG\r\n\x1a\n" + b"\0\0\0\rIHDR" + b"\0" * 17
    with_text = with_position(header + b"rest", chess.Board())
    assert with_text.startswith(header)
    assert with_text.endswith(b"rest")


@pytest.mark.parametrize("voice", VOICES)
def test_only_the_missing_lines_are_written(voice: str) -> None:
    text = COLUMN.replace(", 1...h4 2.Rg5#", "")
    checked = read(text)
    entry = writing.puzzle_at(checked, len(text))
    facts = writing.facts(entry, 1)
    added = writing.missing(entry, facts, voice, str)  # type: ignore[arg-type]
    whole = f"{text.rstrip()}\n\n{added}\n"
    assert [each.finding.rule for each in check_text("column.md", whole, Options()).findings] == []
    assert writing.missing(read(whole).entries[0], facts, voice, str) == ""  # type: ignore[arg-type]
    assert writing.missing(read(COLUMN).entries[0], facts, voice, str) == ""  # type: ignore[arg-type]


def test_the_board_moves_along_with_a_script() -> None:
    spoken = list(rehearsing.script(read(COLUMN)))
    assert [each.words for each in spoken] == [
        "No. 7: The waiting king",
        "White to play and mate in two.",
        "Key: 1.Kg2!",
        "Black is in zugzwang.",
        "1...Kh4 2.Re4#, 1...h4 2.Rg5#",
    ]
    board = chess.Board(FEN)
    shown = [board.board_fen()]
    board.push_san("Kg2")
    shown.append(board.board_fen())
    for line in (("Kh4", "Re4#"), ("h4", "Rg5#")):  # one for each change of position
        after = board.copy()
        for san in line:
            after.push_san(san)
            shown.append(after.board_fen())
    assert [fen.split()[0] for fen, _ in rehearsing.positions(spoken)] == shown
    assert list(rehearsing.script(read("No puzzle at all."))) != []


def test_how_many_men_there_are_is_not_spoken() -> None:
    spoken = rehearsing.script(read(COLUMN.replace("mate in two.", "mate in two. (3+2)")))
    assert [each.words for each in spoken][1:4] == [
        "White to play and mate in two.",
        "Key: 1.Kg2!",
        "Black is in zugzwang.",
    ]


def test_a_reader_pauses_where_a_sentence_ends() -> None:
    text = """No. 1. White: Kg7, Qf8, Rd1. Black: Kh5, d5, f2. Mate in two.

Solution of No. 1. The key is 1.Qf4! The try 1.Qf5+? is refuted by 1...Kh4! In the end, 2. Queen takes.
"""
    assert [each.words for each in rehearsing.script(read(text))] == [
        "No. 1.",
        "Mate in two.",
        "Solution of No. 1.",
        "The key is 1.Qf4!",
        "The try 1.Qf5+? is refuted by 1...Kh4!",
        "In the end, 2. Queen takes.",
    ]


def test_diagrams_are_numbered(tmp_path: object) -> None:
    shown = rehearsing.positions(list(rehearsing.script(read(COLUMN))))
    packed = zipfile.ZipFile(io.BytesIO(asking.sheet_of_diagrams("a/b/my column.md", shown, "svg", "300")))
    assert packed.namelist() == [*(f"my-column-00{number}.svg" for number in range(1, 7)), "my-column.txt"]
    assert position_of(packed.read("my-column-001.svg")).board_fen() == FEN.split()[0]
    assert packed.read("my-column.txt").decode().splitlines()[1].startswith("my-column-002.svg  1.Kg2: Key: 1.Kg2!")


def test_times_become_captions() -> None:
    """WebVTT (W3C) 4.1: header, blank line, cues with timings of hours to thousandths; SubRip has commas."""
    long = "And if he pushes the pawn instead, he blocks h four for his own king, & the rook <slides> down to g five."
    timed = [(0, 1500, "White to play."), (1500, 3_725_250, long)]
    cues = rehearsing.cues(timed)
    assert [cue.start for cue in cues][:2] == [0, 1500]
    assert all(one.end == other.start for one, other in itertools.pairwise(cues))
    assert cues[-1].end == 3_725_250
    assert " ".join(" ".join(cue.words.split()) for cue in cues[1:]) == long
    assert all(len(line) <= 42 and cue.words.count("\n") < 2 for cue in cues for line in cue.words.split("\n"))
    vtt, srt = rehearsing.captions(cues, "vtt"), rehearsing.captions(cues, "srt")
    assert vtt.startswith("WEBVTT\n\n1\n00:00:00.000 --> 00:00:01.500\nWhite to play.\n\n2\n00:00:01.500 --> ")
    assert "--> 01:02:05.250\n" in vtt
    assert "&amp; the" in vtt
    assert "&lt;slides&gt;" in vtt
    assert re.match(r"1\n00:00:00,000 --> 00:00:01,500\nWhite to play\.\n\n2\n", srt)
    for text in (vtt, srt):
        assert [start for _, start in captions.times(text)] == [cue.start for cue in cues]


GERMAN = """# Nr. 7: Der wartende König

8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

Weiß am Zug, matt in zwei Zügen.

Lösung: 1.Kg2! Zugzwang. 1...Kh4 2.Te4#, 1...h4 2.Te4#
"""


def test_evidence_and_what_was_read_have_the_letters_of_the_text() -> None:
    """German piece letters: T for the rook, as FIDE Laws C.3 leaves it to each country."""
    checked = read(GERMAN)
    shown = checked_text(checked)
    (finding,) = shown["findings"]
    assert [step["label"] for step in finding["evidence"]["steps"]] == ["", "1.Kg2", "h4", "2.Te4+", "Kh5"]
    at = GERMAN.index("1...Kh4 2.T")
    place = place_at(checked, at + 11)
    assert place is not None
    told = shown_place(place, Spots(checked.filed))
    assert told["line"] == "1.Kg2 Kh4 2.Te4#"
    assert told["taken"]["rows"][0] == "after 1.Kg2: defence 1...Kh4, answer 2.Te4#"


def test_a_pass_is_said_in_words() -> None:
    checked = read(COLUMN.replace("Black is in zugzwang.", "The threat is 2.Re4#."))
    found = [each["evidence"] for each in checked_text(checked)["findings"] if each["evidence"]]
    labels = [step["label"] for evidence in found for step in evidence["steps"]]
    assert "(pass)" in labels
    assert not any("--" in label for label in labels)


@pytest.mark.parametrize("mark", ["[sic]", "[sic: check-not-mate]", "[sic: wrong-key] "])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_mark_that_lets_a_finding_stand_is_no_sentence(mark: str, end: str) -> None:
    """It is neither spoken nor counted among the clauses that were not understood."""
    text = COLUMN.replace("zugzwang. ", "zugzwang.\n").replace("\n", end)
    marked = text.replace(f"zugzwang.{end}", f"zugzwang. {mark}{end}")
    assert marked != text
    for spoken in zip(rehearsing.script(read(text)), rehearsing.script(read(marked)), strict=True):
        assert spoken[0].words == spoken[1].words
    plain, other = (check_text("column.md", each, Options()).account for each in (text, marked))
    assert [each.standing for each in other.entries] == [each.standing for each in plain.entries]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("column.md", COLUMN.replace("2.Rg5#", "2.Re4#")),
        ("column.txt", COLUMN.replace("2.Rg5#", "2.Re4#  ")),
        ("column.pgn", f'[SetUp "1"]\n[FEN "{FEN}"]\n\n1. Kg2 Kh4 (1... h4 2. Re4#) 2. Re4# *\n'),
    ],
)
def test_a_finding_that_is_let_stand_is_found_no_more(name: str, text: str) -> None:
    """In a PGN the mark is a comment to the end of the line (PGN standard 5), so that every reader passes it over."""

    def shown(of: str) -> list[dict[str, Any]]:
        document = document_from_text(name, of, kind_of(name) or "text")
        *_, last = Desk(Options(effort=1)).check(document, Cancel())
        return list(checked_text(last)["findings"])

    (finding,) = (each for each in shown(text) if each["rule"] == "check-not-mate")
    edit = finding["accept"]
    after = text[: edit["from"]] + edit["text"] + text[edit["to"] :]
    assert [each["rule"] for each in shown(after) if each["rule"] == "check-not-mate"] == []
    if name.endswith(".pgn"):
        game = chess.pgn.read_game(io.StringIO(after))
        assert game is not None
        assert game.errors == []
        assert [move.uci() for move in game.mainline_moves()] == ["f2g2", "g4h4", "e5e4"]


def test_no_mark_is_written_into_an_epd() -> None:
    text = f'{FEN.rsplit(" ", 2)[0]} dm 2; bm Re4; id "x";\n'
    *_, last = Desk(Options(effort=1)).check(document_from_text("a.epd", text, "epd"), Cancel())
    (finding,) = checked_text(last)["findings"]
    assert finding["accept"] is None
