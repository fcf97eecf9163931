"""The process in which a PDF is taken apart: what breaks it, breaks here. Run by `pdf`, never loaded by it.

Standard input is a line of JSON, the request, and then the file; standard output is JSON. Memory and processor time
are limited; the file is not trusted, no script in it is run, nothing outside it is read.
"""

import ctypes
import json
import sys
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as raw
from msgspec import Struct

MOST_PAGES = 2_000
MOST_CHARS = 8_000_000
MEMORY = 2 << 30  # bytes
PROCESSOR = 300  # seconds: a guard against a file made to hang, no limit that a book comes near
_GAP = 1.1  # of the height: a wider gap parts two strokes
_BLANK = 0.22  # of the height: a wider gap is a blank
_HIGHLIGHT, _NOTE = 9, 1
_LEAST_FIGURE = 36  # points, half an inch
_MANY_PATHS = 60  # drawn lines and areas on a page: a drawing


_SPACE = 32
_UNSEEN = frozenset((0, 10, 13, 0xFFFE, 0xFFFF))
_BELOW, _ABOVE = 0.22, 0.78  # of the size of the font: how far a character reaches from its base line

_Char = tuple[int, int, float, float, float, float]  # number, code, left, bottom, right, top


class _Run(Struct):
    """Characters that follow each other on one line; `bottom` and `top` are those of the largest."""

    chars: list[_Char]
    left: float
    right: float
    bottom: float
    top: float

    @property
    def height(self) -> float:
        """How high the characters are."""
        return self.top - self.bottom

    @property
    def middle(self) -> float:
        """Where the line of the run is."""
        return (self.top + self.bottom) / 2


class Refusal(Exception):
    """The file is not read; the message says why."""


def main() -> None:
    """Answer one request."""
    _limit()
    request = json.loads(sys.stdin.buffer.readline())
    data = sys.stdin.buffer.read()
    try:
        answer = _boxes(data, request["boxes"]) if "boxes" in request else _read(data)
    except Refusal as refusal:
        answer = {"refused": str(refusal)}
    except MemoryError:
        answer = {"refused": "it takes more memory than a manuscript may"}
    sys.stdout.buffer.write(json.dumps(answer, separators=(",", ":")).encode())


def _limit() -> None:
    try:
        import resource
    except ImportError:  # a system without such limits
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR, PROCESSOR))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _opened(data: bytes) -> pdfium.PdfDocument:
    try:
        document = pdfium.PdfDocument(data)
    except pdfium.PdfiumError as fault:
        locked = "password" in str(fault).lower()
        raise Refusal("it is locked by a password" if locked else "it is broken: no page can be found in it") from None
    if len(document) > MOST_PAGES:
        raise Refusal(f"it has {len(document)} pages, more than the {MOST_PAGES} that are read")
    return document


def _read(data: bytes) -> dict[str, Any]:
    document = _opened(data)
    pages, total = [], 0
    for index in range(len(document)):
        try:
            page = document[index]
        except pdfium.PdfiumError:
            pages.append({"strokes": [], "figures": [], "drawn": 0, "comments": [], "broken": True})
            continue
        text = page.get_textpage()
        count = max(raw.FPDFText_CountChars(text), 0)
        total += count
        if total > MOST_CHARS:
            raise Refusal(f"it has more than {MOST_CHARS:,} characters")
        boxes = _chars(text, count)
        figures, drawn = _pictures(page)
        comments = _comments(page, boxes)
        pages.append({"strokes": _strokes(boxes), "figures": figures, "drawn": drawn, "comments": comments})
        text.close()
        page.close()
    return {"pages": pages}


def _chars(page: Any, count: int) -> list[_Char]:
    """Return the characters of a page that are shown. Each is as high as its font is large, whatever its shape.

    This is done for every character of a book, so the functions are called without wrappers, and what all
    characters of one text object share (its base line, its size) is asked for once.
    """
    text = page.raw
    box, x, y = raw.FS_RECTF(), ctypes.c_double(), ctypes.c_double()
    box_at, x_at, y_at = ctypes.byref(box), ctypes.byref(x), ctypes.byref(y)
    code_of, generated, box_of = raw.FPDFText_GetUnicode, raw.FPDFText_IsGenerated, raw.FPDFText_GetLooseCharBox
    object_of = ctypes.CFUNCTYPE(ctypes.c_void_p, ctypes.c_void_p, ctypes.c_int)(
        ctypes.cast(raw.FPDFText_GetTextObject, ctypes.c_void_p).value or 0
    )
    place = ctypes.cast(text, ctypes.c_void_p)
    last: object = _SPACE  # no text object yet
    bottom = top = 0.0
    found = []
    for number in range(count):
        code = code_of(text, number)
        if code in _UNSEEN or (code == _SPACE and generated(text, number) == 1):
            continue
        if not box_of(text, number, box_at):
            continue
        owner = object_of(place, number)
        if owner != last or owner is None:
            last = owner
            size = _size(text, number)
            raw.FPDFText_GetCharOrigin(text, number, x_at, y_at)
            bottom, top = y.value - _BELOW * size, y.value + _ABOVE * size
        found.append((number, code, box.left, bottom, box.right, top))
    return found


def _size(text: Any, number: int) -> float:
    """Return how large the font of a character is on the page."""
    matrix = raw.FS_MATRIX()
    scale = 1.0
    if raw.FPDFText_GetMatrix(text, number, ctypes.byref(matrix)):
        scale = (matrix.c**2 + matrix.d**2) ** 0.5
    return max(float(raw.FPDFText_GetFontSize(text, number)) * scale, 0.5)


def _strokes(chars: list[_Char]) -> list[list[Any]]:
    """Return the strokes of a page: (text, numbers of its characters, left, right, bottom, top).

    Signs of another font, such as figurines, may come anywhere in the file; they are put where they stand.
    """
    runs = sorted(_runs(chars), key=lambda run: -run.middle)
    strokes: list[list[Any]] = []
    row: list[_Run] = []
    for run in runs:
        if row and abs(row[0].middle - run.middle) > 0.45 * max(row[0].height, run.height):
            strokes += _joined(row)
            row = []
        row.append(run)
    return strokes + _joined(row)


def _runs(chars: list[_Char]) -> list[_Run]:
    """Part the characters where one does not follow the other on the same line."""
    runs: list[_Run] = []
    run: _Run | None = None
    for char in chars:
        _, code, left, bottom, right, top = char
        if run is not None:
            gap = left - run.right
            height, tall = top - bottom, run.top - run.bottom
            largest = height if height > tall else tall
            level = bottom == run.bottom or abs(bottom + top - run.bottom - run.top) < 0.9 * largest
            if level and -0.6 * tall < gap < _GAP * largest:
                run.chars.append(char)
                if right > run.right:
                    run.right = right
                if left < run.left:
                    run.left = left
                if height > tall:
                    run.bottom, run.top = bottom, top
                continue
        if code != _SPACE:
            run = _Run([char], left, right, bottom, top)
            runs.append(run)
    return runs


def _joined(row: list[_Run]) -> list[list[Any]]:
    """Make strokes of the runs of one line: those that stand in each other, or touch, are one."""
    row.sort(key=lambda run: run.left)
    groups: list[list[_Char]] = []
    right = 0.0
    for run in row:
        if groups and run.left < right + 0.3 * run.height:
            groups[-1] += run.chars
        else:
            groups.append(list(run.chars))
            right = run.right
        right = max(right, run.right)
    strokes = []
    for group in groups:
        group.sort(key=lambda char: char[2])
        strokes += _stroke(group)
    return strokes


def _stroke(chars: list[_Char]) -> list[list[Any]]:
    """Return the stroke of characters from left to right; small raised figures call up notes and are left out."""
    middle = len(chars) // 2
    base = sorted([char[3] for char in chars])[middle]
    tall = sorted([char[5] - char[3] for char in chars])[middle]
    text: list[str] = []
    numbers: list[int] = []
    furthest = chars[0][2]
    for number, code, left, bottom, right, top in chars:
        sign = chr(code) if code < 0x110000 and not 0xD800 <= code < 0xE000 else "\ufffd"
        if text and bottom > base + 0.15 * tall and top - bottom < 0.75 * tall and sign.isdigit():
            continue
        if left - furthest > _BLANK * tall and text and code != _SPACE and not text[-1].isspace():
            text.append(" ")
            numbers.append(-1)
        if code != _SPACE or text:
            text.append(sign)
            numbers.append(number)
        if right > furthest:
            furthest = right
    while text and text[-1] == " ":
        text.pop()
        numbers.pop()
    if not text:
        return []
    edges = (chars[0][2], furthest, min([c[3] for c in chars]), max([c[5] for c in chars]))
    return [["".join(text), numbers, *edges]]


def _pictures(page: Any) -> tuple[list[list[float]], int]:
    """Return the boxes of the pictures on a page, and how much is drawn on it with lines and areas."""
    figures, drawn = [], 0
    for each in page.get_objects(max_depth=3):
        if each.type == raw.FPDF_PAGEOBJ_IMAGE:
            left, bottom, right, top = each.get_bounds()
            if right - left >= _LEAST_FIGURE and top - bottom >= _LEAST_FIGURE:
                figures.append([left, bottom, right, top])
        elif each.type == raw.FPDF_PAGEOBJ_PATH:
            drawn += 1
    return figures, int(drawn >= _MANY_PATHS)


# -- comments


def _comments(page: Any, chars: list[_Char]) -> list[dict[str, Any]]:
    count = raw.FPDFPage_GetAnnotCount(page)
    found: dict[str, dict[str, Any]] = {}
    answers: list[tuple[str, str, str]] = []
    for index in range(min(count, 10_000)):
        annotation = raw.FPDFPage_GetAnnot(page, index)
        if not annotation:
            continue
        name = _said(annotation, b"NM") or f"number {index}"
        parent = raw.FPDFAnnot_GetLinkedAnnot(annotation, b"IRT")
        if parent:
            answers.append((_said(parent, b"NM"), _said(annotation, b"Contents"), _said(annotation, b"State")))
            raw.FPDFPage_CloseAnnot(parent)
        elif raw.FPDFAnnot_GetSubtype(annotation) in (_HIGHLIGHT, _NOTE):
            inside = _covered(annotation, chars)
            found[name] = {
                "author": _said(annotation, b"T"),
                "text": _said(annotation, b"Contents"),
                "chars": [min(inside), max(inside)] if inside else [],
                "answers": [],
                "resolved": False,
            }
        raw.FPDFPage_CloseAnnot(annotation)
    for parent_name, words, state in answers:
        if parent_name in found:
            if words:
                found[parent_name]["answers"].append(words)
            found[parent_name]["resolved"] |= state in ("Completed", "Rejected", "Cancelled")
    return list(found.values())


def _said(annotation: Any, key: bytes) -> str:
    size = raw.FPDFAnnot_GetStringValue(annotation, key, None, 0)
    if not 2 < size < 1 << 20:
        return ""
    buffer = (ctypes.c_ushort * (size // 2))()
    raw.FPDFAnnot_GetStringValue(annotation, key, buffer, size)
    return bytes(buffer).decode("utf-16-le", "replace").rstrip("\0").replace("\r\n", "\n").replace("\r", "\n")


def _covered(annotation: Any, chars: list[_Char]) -> list[int]:
    """Return the characters whose middle a comment covers."""
    areas = []
    for index in range(min(raw.FPDFAnnot_CountAttachmentPoints(annotation), 200)):
        quad = raw.FS_QUADPOINTSF()
        if raw.FPDFAnnot_GetAttachmentPoints(annotation, index, quad):
            xs, ys = (quad.x1, quad.x2, quad.x3, quad.x4), (quad.y1, quad.y2, quad.y3, quad.y4)
            areas.append((min(xs), min(ys), max(xs), max(ys)))
    return [
        number
        for number, _, left, bottom, right, top in chars
        if any(a <= (left + right) / 2 <= c and b <= (bottom + top) / 2 <= d for a, b, c, d in areas)
    ]


# -- where characters stand


def _boxes(data: bytes, wanted: dict[str, list[int]]) -> dict[str, Any]:
    """Return the boxes (left, bottom, right, top) of some characters, by the page."""
    document = _opened(data)
    found: dict[str, list[list[float] | None]] = {}
    box = raw.FS_RECTF()
    for key, numbers in wanted.items():
        page = document[int(key)]
        text = page.get_textpage()
        found[key] = [
            [box.left, box.bottom, box.right, box.top]
            if raw.FPDFText_GetLooseCharBox(text, number, ctypes.byref(box))
            else None
            for number in numbers
        ]
    return {"boxes": found}


if __name__ == "__main__":
    main()
