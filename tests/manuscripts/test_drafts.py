"""Drafts as documents, and pictures that name their position: PNG specification (11.3.3.2), SVG 2 (5.9)."""

import io
from pathlib import Path

import docx as word
import pytest
from click.testing import CliRunner, Result
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_file
from lxml import etree, html
from PIL import Image

from .office import converted, needs_office
from .samples import RELATIONS, docx, paragraph

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
WRONG = "White: Kf2, Re5, Nd6; Black: Kg4, Ph5"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, arguments)


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("suffix", ["docx", "html"])
def test_a_draft_comes_back_clean(suffix: str, there: Path) -> None:
    Path("a.txt").write_text(f"No. 7: The waiting king\n\n{FEN}\n\nMate in two.\n", encoding="utf-8")
    assert run("draft", "a.txt", "-o", f"d.{suffix}").exit_code == 0
    result = check_file(f"d.{suffix}", Options(fresh=True))
    (puzzle,) = result.puzzles
    assert (puzzle.title, puzzle.fen, puzzle.verdict, puzzle.keys) == (
        "No. 7: The waiting king",
        FEN,
        "sound",
        ("Kg2",),
    )
    assert puzzle.checked == puzzle.move_mentions > 5
    assert result.findings == ()
    assert result.remarks == ()


def test_the_picture_of_a_draft_has_its_men_as_other_text(there: Path) -> None:
    run("draft", FEN, "--stipulation", "#2", "-o", "d.docx")
    document = word.Document("d.docx")
    (shape,) = document.inline_shapes
    assert shape._inline.docPr.get("descr") == "White: king f2, rook e5, knight e6; Black: king g4, pawn h5"
    assert round(shape.width.mm) == 60


@pytest.mark.parametrize("suffix", ["docx", "html"])
def test_play_below_play_is_a_list_in_a_list(suffix: str, there: Path) -> None:
    name = f"d.{suffix}"
    done = run("draft", "4k3/Q7/8/8/4K3/3p4/8/3N4 w - - 0 1", "--stipulation", "#3", "--voice", "tutorial", "-o", name)
    assert done.exit_code == 0
    if suffix == "docx":
        styles = {each.text.split(" ")[0]: each.style.name for each in word.Document(name).paragraphs if each.style}
        items = {words: styles[words] for words in ("1...Kd8", "2...Kc8")}
        assert items == {"1...Kd8": "List Bullet", "2...Kc8": "List Bullet 2"}
    else:
        page = html.fromstring(Path(name).read_bytes())
        (item,) = page.xpath("//ul/li[starts-with(., '1...Kd8 2.Kd6')]")
        assert [each.text_content().split(" ")[0] for each in item.xpath("./ul/li")] == ["2...d2", "2...Kc8", "2...Ke8"]
    result = check_file(name, Options(fresh=True))
    assert result.findings == ()
    assert result.puzzles[0].checked == result.puzzles[0].move_mentions > 15


def test_a_draft_follows_the_house(there: Path) -> None:
    Path("house.toml").write_text('pieces = "KDTLS"\nmate = "‡"\n', encoding="utf-8")
    run("draft", FEN, "--stipulation", "#2", "-o", "d.docx", "--settings", "house.toml")
    words = "\n".join(each.text for each in word.Document("d.docx").paragraphs)
    assert "1...Kh4 2.Te4‡" in words
    assert "Re4" not in words


@pytest.mark.parametrize(
    ("arguments", "status", "message"),
    [
        (("d.pdf",), 2, "ends in .docx or .html"),
        (("missing/d.docx",), 2, "cannot be written"),
    ],
)
def test_a_draft_that_cannot_be_written(arguments: tuple[str], status: int, message: str, there: Path) -> None:
    done = run("draft", FEN, "--stipulation", "#2", "-o", *arguments)
    assert done.exit_code == status
    assert message in done.stderr


def test_an_unsound_puzzle_writes_no_file(there: Path) -> None:
    done = run("draft", "8/8/8/8/8/5k2/8/5K2 w - - 0 1", "--stipulation", "#2", "-o", "d.docx")
    assert done.exit_code == 1
    assert not Path("d.docx").exists()


def test_a_png_names_its_position(there: Path) -> None:
    assert run("diagram", FEN, "-o", "a.png").exit_code == 0
    with Image.open("a.png") as picture:
        picture.load()
        assert picture.text == {"FEN": FEN}


def test_an_svg_names_its_position(there: Path) -> None:
    run("diagram", FEN, "-o", "a.svg")
    root = etree.parse("a.svg").getroot()
    assert root.findtext("{http://www.w3.org/2000/svg}metadata") == f"FEN: {FEN}"


def with_picture(data: bytes, *lines: str) -> bytes:
    links = RELATIONS.replace(b"</Rel", b'<Relationship Id="r7" Type="x/image" Target="media/i.png"/></Rel')
    drawing = '<w:p><w:r><w:drawing><a:blip xmlns:a="v" xmlns:r="x" r:embed="r7"/></w:drawing></w:r></w:p>'
    body = paragraph("No. 7: The waiting king") + drawing + "".join(paragraph(line) for line in lines)
    return docx(body, **{"word/_rels/document.xml.rels": links, "word/media/i.png": data})


def test_a_diagram_made_here_is_compared_with_the_words_beside_it(there: Path) -> None:
    run("diagram", FEN, "-o", "a.png")
    Path("a.docx").write_bytes(with_picture(Path("a.png").read_bytes(), WRONG, "Mate in two.", "1.Kg2!"))
    rules = [each.finding.rule for each in check_file("a.docx", Options()).findings]
    assert "diagrams-differ" in rules


def test_any_other_png_is_not_read(there: Path) -> None:
    out = io.BytesIO()
    Image.new("RGB", (64, 64)).save(out, "PNG")
    Path("a.docx").write_bytes(with_picture(out.getvalue(), "Mate in two.", "1.Kg2!"))
    (remark,) = check_file("a.docx", Options()).remarks
    assert remark.message.startswith("figure 1 is a picture")


@needs_office
@pytest.mark.slow
@pytest.mark.xdist_group("office")  # one process has LibreOffice's settings
@pytest.mark.parametrize("kind", ["odt", "docx"])
def test_libreoffice_keeps_the_position_in_a_picture(kind: str, there: Path) -> None:
    run("draft", FEN, "--stipulation", "#2", "-o", "d.docx")
    folder = there / "again"
    folder.mkdir()
    (again,) = converted([there / "d.docx"], kind, folder)
    (puzzle,) = check_file(str(again), Options()).puzzles
    assert puzzle.fen == FEN
