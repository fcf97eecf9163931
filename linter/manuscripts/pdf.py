"""Manuscripts in PDF: page proofs. A process of its own takes them apart, so that a file made to do harm ends there."""

import json
import subprocess
import sys
from typing import Any

from .counting import Counter
from .model import Comment, Extract, Refused
from .pdf_layout import Stroke, ordered, without_running_heads
from .pdf_text import Chars, passages

MOST = 128 << 20  # bytes
_UNSEEN = "a position in it cannot be read and was compared with nothing"


def read(data: bytes) -> Extract:
    """Take a file apart. Raises Refused."""
    if len(data) > MOST:
        raise Refused(f"it has more than {MOST >> 20} MB: too large to be read")
    if b"%PDF-" not in data[:1024]:
        raise Refused("it is broken: it does not begin as a PDF does")
    answer = asked(data, {})
    shown = [ordered([Stroke(*each) for each in page["strokes"]]) for page in answer["pages"]]
    pages = without_running_heads(shown)
    extract = Extract()
    counter = Counter()
    passages(pages, extract, [_figures(page, number, counter) for number, page in enumerate(answer["pages"], 1)])
    _take_comments(extract, answer["pages"])
    if not any(page["strokes"] for page in answer["pages"]):
        raise Refused("it holds no text, only pictures of pages: keyproof cannot read these")
    return extract


def asked(data: bytes, request: dict[str, Any]) -> dict[str, Any]:
    """Ask the process of its own something about a file. Raises Refused."""
    command = [sys.executable, "-m", f"{__package__}.pdf_apart"]
    done = subprocess.run(command, input=json.dumps(request).encode() + b"\n" + data, capture_output=True, check=False)
    try:
        answer: dict[str, Any] = json.loads(done.stdout)
    except ValueError:
        if b"ModuleNotFoundError" in done.stderr and b"pypdfium2" in done.stderr:
            raise ModuleNotFoundError(name="pypdfium2") from None
        raise Refused("it is broken, or made to take more time or memory than a manuscript may") from None
    if "refused" in answer:
        raise Refused(answer["refused"])
    return answer


def _figures(page: dict[str, Any], number: int, counter: Counter) -> list[str]:
    if page.get("broken"):
        return [f"page {number} is broken and not read"]
    words = [f"{counter.next('figure')}, on page {number}, is a picture: {_UNSEEN}" for _ in page["figures"]]
    if page["drawn"] and not words:
        words.append(f"{counter.next('figure')}, on page {number}, is drawn: {_UNSEEN}")
    return words


def _take_comments(extract: Extract, pages: list[dict[str, Any]]) -> None:
    """Add the comments, with their edges in the passages."""
    wanted: dict[tuple[int, int], str] = {}
    for page, said in enumerate(pages):
        for index, each in enumerate(said["comments"]):
            if not each["chars"]:
                continue
            first, last = f"start {page} {index}", f"end {page} {index}"
            wanted.setdefault((page, each["chars"][0]), first)
            wanted.setdefault((page, each["chars"][1]), last)
            names = (wanted[page, each["chars"][0]], wanted[page, each["chars"][1]])
            extract.comments.append(
                Comment(each["author"], each["text"], names, tuple(each["answers"]), each["resolved"])
            )
    if not wanted:
        return
    for passage in extract.passages:
        at = 0
        for piece in passage.pieces:
            if isinstance(piece.node, Chars):
                for offset, number in enumerate(piece.node.numbers[: len(piece.text)]):
                    name = wanted.get((piece.node.page, number))
                    if name is not None:
                        passage.anchors.append((at + offset + name.startswith("end"), name))
            at += len(piece.text)
