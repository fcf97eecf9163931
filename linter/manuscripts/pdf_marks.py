"""Highlight annotations in a PDF (ISO 32000-1, 12.5.6.10), added behind the file as it stands."""

import io
from typing import Any

from pypdf import PdfReader, PdfWriter
from pypdf.errors import PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, NumberObject, TextStringObject

from .marking import Marks, Placing
from .model import AUTHOR, Refused
from .pdf import asked
from .pdf_text import Chars

_INK = (0.98, 0.90, 0.55)  # of the highlight


def marked(data: bytes, _: object, placing: Placing, marks: Marks) -> bytes:
    """Return the file with highlight annotations. A repair stands in the words of its comment."""
    wanted: list[dict[int, list[int]]] = [_chars(placing, placing.shown(mark.span)) for mark in marks.marks]
    boxes = _boxes(data, wanted)
    try:
        writer = PdfWriter(PdfReader(io.BytesIO(data)), incremental=True)
        for number, (mark, pages) in enumerate(zip(marks.marks, wanted, strict=True)):
            for page, numbers in pages.items():
                quads = _quads([box for each in numbers if (box := boxes.get((page, each)))])
                if quads:
                    words = "\n".join(mark.words)
                    _add(writer, page, _highlight(quads, words, f"keyproof-{marks.when}-{number}-{page}", marks.when))
        out = io.BytesIO()
        writer.write(out)
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError, OSError) as fault:
        raise Refused(
            f"no comments can be added to it: {' '.join(str(fault).split()) or type(fault).__name__}"
        ) from None
    return out.getvalue()


def _chars(placing: Placing, span: Any) -> dict[int, list[int]]:
    """Return the characters of a span, by the page."""
    found: dict[int, list[int]] = {}
    for piece, first, last in placing.within(span):
        node: Chars = piece.node
        found.setdefault(node.page, []).extend(each for each in node.numbers[first:last] if each >= 0)
    return found


def _boxes(data: bytes, wanted: list[dict[int, list[int]]]) -> dict[tuple[int, int], list[float]]:
    request: dict[str, list[int]] = {}
    for pages in wanted:
        for page, numbers in pages.items():
            request.setdefault(str(page), []).extend(numbers)
    if not request:
        return {}
    answer = asked(data, {"boxes": request})["boxes"]
    return {
        (int(page), number): box
        for page, numbers in request.items()
        for number, box in zip(numbers, answer[page], strict=True)
        if box is not None
    }


def _quads(boxes: list[list[float]]) -> list[list[float]]:
    """Return one box for each line of characters."""
    lines: list[list[float]] = []
    for left, bottom, right, top in boxes:
        if lines and abs(lines[-1][1] - bottom) < 0.5 * (top - bottom) and left >= lines[-1][0]:
            lines[-1][2] = max(lines[-1][2], right)
            lines[-1][1], lines[-1][3] = min(lines[-1][1], bottom), max(lines[-1][3], top)
        else:
            lines.append([left, bottom, right, top])
    return lines


def _highlight(quads: list[list[float]], words: str, name: str, when: str) -> DictionaryObject:
    corners = [
        FloatObject(each)
        for left, bottom, right, top in quads
        for each in (left, top, right, top, left, bottom, right, bottom)
    ]
    edges = [min(q[0] for q in quads), min(q[1] for q in quads), max(q[2] for q in quads), max(q[3] for q in quads)]
    date = "D:" + "".join(sign for sign in when if sign.isdecimal()) + "Z"
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Annot"),
            NameObject("/Subtype"): NameObject("/Highlight"),
            NameObject("/Rect"): ArrayObject([FloatObject(each) for each in edges]),
            NameObject("/QuadPoints"): ArrayObject(corners),
            NameObject("/C"): ArrayObject([FloatObject(each) for each in _INK]),
            NameObject("/F"): NumberObject(4),
            NameObject("/T"): TextStringObject(AUTHOR),
            NameObject("/Contents"): TextStringObject(words),
            NameObject("/NM"): TextStringObject(name),
            NameObject("/M"): TextStringObject(date),
            NameObject("/CreationDate"): TextStringObject(date),
        }
    )


def _add(writer: PdfWriter, page: int, annotation: DictionaryObject) -> None:
    writer.add_annotation(writer.pages[page], annotation)
