"""A line of a drawing in blanks and bars alone, whatever parts its squares and its number.

Each sign keeps its place: "[r][ ][p]" becomes "|r | |p ", "8: r . ." becomes "8  r . .", "r,,p" becomes a row
of cells between bars, and what quotes a line in a mail becomes blank.
"""

import re

_BARS = str.maketrans(dict.fromkeys("│┃║¦", "|"))
_QUOTED = re.compile(r"^[ \t]*(?:>[ \t]?)+")
_NUMBER = re.compile(
    r"^(?P<before>[ \t]*)(?:\[(?P<boxed>[1-8])\]|(?P<word>(?i:rank|row|reihe|rangée|fila|traversa|rij)[ \t]+)?"
    r"(?P<number>[1-8])(?:[.:)=]|[ \t](?=[-–—][ \t]+(?:\S{1,2}[ \t]+){7}\S{1,2}[ \t]*$)[-–—]))(?=\s)"
)
_BOLD = re.compile(r"(?<=\|)[ \t]*(?P<marks>\*\*?|__?|`)(?P<number>[1-8])(?P=marks)(?=[ \t]*\|)")
_BOXES = re.compile(
    r"(?P<number>[ \t]*[1-8]?[ \t]*)(?P<boxes>(?:\[[^\[\]]{0,3}\][ \t]*){8})(?P<after>[ \t]*[1-8]?[ \t]*)$"
)
_FRAMED = re.compile(
    r"(?P<before>[^|\w]*[\[({<])(?P<cells>[^|]{0,3}(?:\|[^|\[\](){}]{0,3}){6}\|[^|]{0,3}?)(?P<after>[\])}>])[ \t]*$"
)
_STRINGS = re.compile(
    r"[\s\[({,]*(?P<quote>['\"])[^'\"]{0,2}(?P=quote)(?:\s*,\s*(?P=quote)[^'\"]{0,2}(?P=quote)){7}[\s\])},]*"
)


def _parted(sign: str) -> re.Pattern[str]:
    """Return the pattern of eight squares that a sign parts, behind their number."""
    square = rf"[ ]*(?:[^{sign}\s]{{1,2}}[ ]*)?"
    number = rf"(?:(?P<number>[1-8])(?:[ ]*{sign}|[ ]+))?"
    return re.compile(rf"[ ]*{number}(?P<cells>(?:{square}{sign}){{7}}[ ]*(?:[^{sign}\s]{{1,2}})?){sign}?[ ]*$")


_PARTED = tuple(map(_parted, (",", ";", "/", "\t")))


def ruled(line: str) -> str:
    """Return a line of the same length in which bars part the squares, and blanks what else stands there."""
    line = line.translate(_BARS)
    if quoted := _QUOTED.match(line):
        line = " " * quoted.end() + line[quoted.end() :]
    if number := _NUMBER.match(line):
        digit = number.start("boxed") if number["boxed"] else number.start("number")
        line = f"{' ' * digit}{line[digit]}{' ' * (number.end() - digit - 1)}{line[number.end() :]}"
    for bold in _BOLD.finditer(line):
        line = f"{line[: bold.start()]}{bold['number'].rjust(bold.end() - bold.start())}{line[bold.end() :]}"
    if boxes := _BOXES.match(line):
        start, end = boxes.span("boxes")
        drawn = boxes["boxes"].rstrip()
        drawn = drawn[:-1].replace("[", "|").replace("]", " ") + "|"
        return line[:start] + drawn + line[start + len(drawn) : end] + line[end:]
    if framed := _FRAMED.match(line):
        start, end = framed.span("cells")
        return f"{line[: start - 1]}|{line[start:end]}|{line[end + 1 :]}"
    if _STRINGS.fullmatch(line):
        return _of_strings(line)
    return line


def cells_parted(line: str) -> tuple[str | None, list[tuple[int, str]]] | None:
    """Return the number of a rank whose eight squares one sign parts, and its squares, each with its place."""
    for sign, pattern in zip(",;/\t", _PARTED, strict=True):
        if parted := pattern.match(line):
            place = parted.start("cells")
            found = []
            for cell in parted["cells"].split(sign):
                found.append((place + len(cell) - len(cell.lstrip()), cell.strip()))
                place += len(cell) + 1
            return parted["number"], found
    return None


def _of_strings(line: str) -> str:
    """Draw a row of eight strings, as programs print them: the sign between two quotes is a square."""
    signs = [" "] * len(line)
    inside = list(re.finditer(r"(['\"])(.{0,2}?)\1", line))
    for cell in inside:
        signs[cell.start()] = "|"
        signs[cell.start(2) : cell.end(2)] = line[cell.start(2) : cell.end(2)]
    signs[inside[-1].end() - 1] = "|"
    return "".join(signs)
