"""LibreOffice and poppler where they are installed (Debian); texts written as HTML and as LaTeX."""

import atexit
import contextlib
import html
import re
import shutil
import subprocess
import tempfile
import time
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest
from keyproof.grammar.document import Block, Document

SOFFICE = shutil.which("soffice")
needs_office = pytest.mark.skipif(
    SOFFICE is None, reason="LibreOffice is not installed: apt-get install libreoffice-writer"
)
needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler is not installed: apt-get install poppler-utils"
)


@cache
def _profile() -> Path:
    """Return the folder of LibreOffice's own settings: made anew for each file they would take longer than the file."""
    folder = Path(tempfile.mkdtemp(prefix="office"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


KEPT = Path(__file__).parents[2] / ".pytest_cache" / "converted"
DAYS = 7  # that something is kept
"""What was converted in this run and the last, for LibreOffice takes longer over a file than we do over ten."""


def converted(files: Sequence[Path], kind: str, folder: Path, *, reading: str | None = None) -> list[Path]:
    """Convert files with LibreOffice, or take what it made of just these before; return what it wrote into a folder."""
    suffix = kind.partition(":")[0]
    written = [folder / file.with_suffix(f".{suffix}").name for file in files]
    kept = KEPT / _made_of(files, kind, reading)
    if kept.exists():
        for path in written:
            shutil.copyfile(kept / path.name, path)
        return written
    _convert(files, kind, folder, reading)
    unfinished = Path(tempfile.mkdtemp(dir=_room()))
    for path in written:
        shutil.copyfile(path, unfinished / path.name)
    with contextlib.suppress(OSError):  # another process was quicker
        unfinished.rename(kept)
    return written


def _room() -> Path:
    """Return the folder of what is kept, without what the last days had no use for."""
    KEPT.mkdir(parents=True, exist_ok=True)
    for each in KEPT.iterdir():
        if each.stat().st_mtime < time.time() - DAYS * 86_400:
            shutil.rmtree(each, ignore_errors=True)
    return KEPT


def _made_of(files: Sequence[Path], kind: str, reading: str | None) -> str:
    """Return a name for what a conversion depends on: the installed program, what is asked of it, names and bytes."""
    program = Path(str(SOFFICE)).resolve().stat()
    made_of = sha256(repr((program.st_mtime_ns, program.st_size, kind, reading)).encode())
    for file in files:
        made_of.update(file.name.encode() + sha256(file.read_bytes()).digest())
    return made_of.hexdigest()


def _convert(files: Sequence[Path], kind: str, folder: Path, reading: str | None) -> None:
    command = [str(SOFFICE), f"-env:UserInstallation={_profile().as_uri()}", "--headless"]
    if reading is not None:
        command.append(f"--infilter={reading}")
    command += ["--convert-to", kind, "--outdir", str(folder), *map(str, files)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    suffix = kind.partition(":")[0]
    assert all((folder / file.with_suffix(f".{suffix}").name).exists() for file in files), done.stdout + done.stderr


WEB = "HTML (StarWriter)"  # LibreOffice's name of the filter that reads a page as a text document


def as_html(document: Document, *, breaks: bool) -> str:
    """Write a document as a page: what it calls a heading is one, rows are rows."""
    parts = []
    row: list[str] = []
    for block in document.blocks:
        if row and block.kind != "cell":
            parts.append(f"<table>{''.join(row)}</table>")
            row = []
        if block.kind == "cell":
            cells = [words.strip() for words in block.span.of(document.text).split("|")]
            row.append(f"<tr>{''.join(f'<td>{html.escape(words)}</td>' for words in cells)}</tr>")
        else:
            parts.append(_html_of(document, block, breaks=breaks))
    if row:
        parts.append(f"<table>{''.join(row)}</table>")
    body = "\n".join(parts)
    return (
        f'<!DOCTYPE html>\n<html><head><meta charset="utf-8"><title>.</title></head>\n<body>\n{body}\n</body></html>\n'
    )


def _lines(document: Document, block: Block) -> list[str]:
    return [line.strip() for line in block.span.of(document.masked).splitlines()]


def _html_of(document: Document, block: Block, *, breaks: bool) -> str:
    if block.kind == "code" or _drawn(document, block):
        return f"<pre>{html.escape(block.span.of(document.masked))}</pre>"
    lines = [html.escape(re.sub(r"\s+", " ", line)) for line in _lines(document, block)]
    words = ("<br>" if breaks else "\n").join(lines)
    if block.kind == "heading":
        return f"<h{block.level}>{words}</h{block.level}>"
    return f"<p>{words}</p>"


def _drawn(document: Document, block: Block) -> bool:
    """Tell a board drawn with signs, and columns made with blanks."""
    lines = block.span.of(document.text).splitlines()
    if any(re.search(r"\S {3,}\S", line) for line in lines):
        return True
    return sum(bool(re.fullmatch(r"\s*(?:[1-8]\s+)?(?:\S\s+){7}\S\s*", line)) for line in lines) >= 8


_LATEX = str.maketrans(
    {sign: f"\\{sign}" for sign in "#$%&_{}"}
    | {"\\": r"\textbackslash ", "~": r"\textasciitilde{}", "^": r"\textasciicircum{}"}
)
_SECTIONS = {1: "chapter", 2: "section", 3: "subsection"}


def as_latex(document: Document) -> str:
    """Write a document as a source for LaTeX."""
    parts = []
    for block in document.blocks:
        if block.kind == "code" or _drawn(document, block):
            parts.append(f"\\begin{{verbatim}}\n{block.span.of(document.masked)}\n\\end{{verbatim}}")
            continue
        if block.kind == "cell":
            cells = [words.strip().translate(_LATEX) for words in block.span.of(document.text).split("|")]
            parts.append(f"\\begin{{tabular}}{{{'l' * len(cells)}}}{' & '.join(cells)} \\\\ \\end{{tabular}}")
            continue
        words = "\\\\\n".join(line.translate(_LATEX).replace("...", r"\ldots{}") for line in _lines(document, block))
        parts.append(f"\\{_SECTIONS[min(block.level, 3)]}{{{words}}}" if block.kind == "heading" else words)
    body = "\n\n".join(parts)
    return (
        f"\\documentclass{{article}}\n\\usepackage[utf8]{{inputenc}}\n\\begin{{document}}\n{body}\n\\end{{document}}\n"
    )
