"""Manuscripts in LaTeX: the words of a source, with its commands put aside. Nothing is included or run.

Commands that pylatexenc knows stand for the sign they set. Of others only the name is known: their arguments are
read as text wherever they stand, so that a FEN or a move is found in whatever command sets it. A command
right before a square that is no word for a man hides what man is meant: nothing is made of that move.
"""

import re
from functools import cache
from typing import Any

from keyproof.grammar.letters import FIGURINES, WORDS
from msgspec import Struct
from pylatexenc.latex2text import LatexNodes2Text
from pylatexenc.latex2text import get_default_latex_context_db as signs_database
from pylatexenc.latexwalker import (
    LatexCharsNode,
    LatexCommentNode,
    LatexEnvironmentNode,
    LatexGroupNode,
    LatexMacroNode,
    LatexMathNode,
    LatexSpecialsNode,
    LatexWalker,
    LatexWalkerError,
)

from .counting import Counter, add_figure, join_row
from .flow import Flow
from .model import Extract, Passage, Refused, exact

MOST = 2 << 20  # characters of a source
_DEEPEST = 200

_SECTIONS = {"part": 1, "chapter": 1, "title": 1, "section": 2, "subsection": 3, "subsubsection": 4}
_QUIET = frozenset(
    [
        "documentclass",
        "usepackage",
        "newcommand",
        "renewcommand",
        "providecommand",
        "newenvironment",
        "def",
        "label",
        "ref",
        "pageref",
        "cite",
        "vspace",
        "hspace",
        "setlength",
        "addtolength",
        "setcounter",
        "input",
        "include",
        "bibliographystyle",
        "bibliography",
        "pagestyle",
        "thispagestyle",
        "hypersetup",
        "graphicspath",
        "index",
        "newtheorem",
        "newlength",
        "addtocounter",
        "DeclareMathOperator",
        "color",
        "selectlanguage",
        "pagenumbering",
    ]
)
_OUTSIDE = frozenset(("input", "include", "bibliography"))
_TABLES = frozenset(("tabular", "tabular*", "tabularx", "longtable", "array", "tabbing"))
_LISTS = frozenset(("itemize", "enumerate", "description"))
_VERBATIM = frozenset(("verbatim", "verbatim*", "lstlisting"))
_BREAKS = frozenset(("\\", "newline", "linebreak", "tabularnewline"))
_PARAGRAPHS = frozenset(
    ("par", "medskip", "bigskip", "smallskip", "newpage", "clearpage", "hrule", "item", "maketitle")
)
_OWN_SIGNS = {"ldots": "...", "dots": "...", "dotsc": "...", "textellipsis": "...", ",": " ", "\n": " ", "\t": " "}
_BLANK_LINE = re.compile(r"[ \t\r]*\n(?:[ \t\r]*\n)+[ \t\r]*")
_SQUARE = re.compile(r"[\s{}]*[a-h]?[1-8]?[x:]?[a-h][1-8]")
_UNKNOWN = "\u0298"  # where a man should stand: a letter that no language has for one, so that no move is read


def read(text: str) -> Extract:
    """Take a source apart. Raises Refused."""
    if len(text) > MOST:
        raise Refused(f"it has more than {MOST >> 20} million characters: part it")
    if _depth(text) > _DEEPEST:
        raise Refused(f"its groups stand more than {_DEEPEST} deep in each other")
    try:
        nodes, _, _ = LatexWalker(text, tolerant_parsing=True).get_latex_nodes()
        reader = _Reader(text)
        reader.take(_body(nodes))
        reader.end_passage()
    except RecursionError:
        raise Refused("its groups and environments stand too deep in each other") from None
    except LatexWalkerError as fault:
        raise Refused(f"it cannot be parted into commands: {' '.join(str(fault).split())[:200]}") from None
    return reader.extract


def _depth(text: str) -> int:
    """Return how many groups and environments stand in each other at most."""
    depth = most = 0
    for found in re.finditer(r"\\(?:begin|end)\b|\\.|[{}]|\$", text):
        sign = found[0]
        depth += (sign in ("{", "\\begin")) - (sign in ("}", "\\end"))
        most = max(most, depth)
    return most


def _body(nodes: list[Any]) -> list[Any]:
    """Return what a source sets: its document, or all of it where it is a part of one."""
    for node in nodes:
        if isinstance(node, LatexEnvironmentNode) and node.environmentname == "document":
            return list(node.nodelist)
    return nodes


@cache
def _signs() -> Any:
    return signs_database()


class _Table(Struct):
    """A table under way; `edges` are the passages at which the cells of its row begin."""

    name: str
    edges: list[int]
    row: int = 1
    column: int = 1


class _Reader:
    def __init__(self, text: str) -> None:
        self.source = text
        self.extract = Extract()
        self.counter = Counter()
        self.numbers: list[int | None] = []
        self.places: list[str] = []  # of the tables and notes one stands in
        self.footnotes: list[Any] = []
        self.table: _Table | None = None
        self._renew(Passage())

    def _renew(self, passage: Passage) -> None:
        self.passage, self.flow = passage, Flow(passage)

    def end_passage(self) -> None:
        """End the passage under way and begin a paragraph; the notes it calls up stand behind it."""
        passage = self.passage
        self.flow.strip()
        if passage.text.strip():
            passage.places.insert(0, (0, self.places[-1] if self.places else self.counter.next("paragraph")))
            self.extract.passages.append(passage)
        self._renew(Passage())
        notes, self.footnotes = self.footnotes, []
        for note in notes:
            self.places.append(self.counter.next("footnote"))
            self.take([note])
            self.end_passage()
            self.places.pop()

    def take(self, nodes: Any) -> None:
        """Read a list of nodes."""
        for node in nodes or ():
            if node is None or isinstance(node, LatexCommentNode):
                continue
            if isinstance(node, LatexCharsNode):
                self._chars(node.chars, node.pos)
            elif isinstance(node, LatexMacroNode):
                self._macro(node)
            elif isinstance(node, LatexEnvironmentNode):
                self._environment(node)
            elif isinstance(node, LatexSpecialsNode):
                self._special(node)
            elif isinstance(node, LatexGroupNode | LatexMathNode):
                self.take(node.nodelist)

    def _chars(self, chars: str, start: int) -> None:
        place = 0
        for blank in _BLANK_LINE.finditer(chars):
            self.flow.words(chars[place : blank.start()], self, start + place)
            if not self.numbers or self.passage.text.strip():
                self.end_passage()
            place = blank.end()
        self.flow.words(chars[place:], self, start + place)

    def _special(self, node: Any) -> None:
        if node.specials_chars == "&" and self.table is not None:
            self._cell()
            return
        spec = _signs().get_specials_spec(node.specials_chars)
        known = getattr(spec, "simplify_repl", None)
        sign = known if isinstance(known, str) else node.specials_chars
        if sign.isspace() and "\n" in sign:
            self.end_passage()
            return
        self.flow.sign(sign, self, node.pos, node.len)

    def _macro(self, node: Any) -> None:
        name = node.macroname
        if name in _SECTIONS:
            self.end_passage()
            self.passage.kind, self.passage.level = "heading", _SECTIONS[name]
            self._arguments(node)
            self.end_passage()
        elif name in ("footnote", "footnotetext", "thanks"):
            self.footnotes += self._groups(node)[-1:]
        elif name == "includegraphics":
            self._figure(node)
        elif name in _OUTSIDE:
            self.extract.note(f"\\{name} takes in another file, which is not read: check it too")
        elif name in _BREAKS:
            self._break(node)
        elif name in _PARAGRAPHS:
            self._paragraph(node, name)
        elif name not in _QUIET:
            self._set(node)

    def _break(self, node: Any) -> None:
        if self.table is not None:
            self._row()
        else:
            self.flow.strip()
            self.flow.sign("\n", self, node.pos, node.len)

    def _paragraph(self, node: Any, name: str) -> None:
        self.end_passage()
        if name == "item":
            self.passage.kind = "item"
            self._arguments(node)
            if self.numbers and (reached := self.numbers[-1]) is not None:
                self.numbers[-1] = reached + 1
                self.passage.number = reached + 1

    def _set(self, node: Any) -> None:
        """Show the sign that a command sets, or what stands in its arguments."""
        name = node.macroname
        spec = _signs().get_macro_spec(name)
        known = getattr(spec, "simplify_repl", None)
        arguments = self._groups(node)
        if name in _OWN_SIGNS:
            self.flow.sign(_OWN_SIGNS[name], self, node.pos, node.len)
        elif isinstance(known, str) and "%" not in known and not arguments:
            if known:
                self.flow.sign(known, self, node.pos, node.len)
        elif callable(known) and self._accent(node, known):
            return
        elif arguments:
            self._arguments(node)
        elif not getattr(spec, "macroname", "") and _SQUARE.match(self.source, node.pos + node.len):
            self._man(node)

    def _accent(self, node: Any, known: Any) -> bool:
        """Show a letter with an accent; False if the command is no accent."""
        if not (len(node.macroname) == 1 and not node.macroname.isalpha()) and node.macroname not in "cvuHtdbkr":
            return False
        shown = LatexNodes2Text().nodelist_to_text([node])
        self.flow.sign(shown.strip() or " ", self, node.pos, node.len)
        return True

    def _man(self, node: Any) -> None:
        """Show the man that an unknown command names, or that it is not known which man it is."""
        words = {word: kind for table in WORDS.values() for word, kind in table.items()}
        kind = words.get(node.macroname.lower())
        sign = next((sign for sign, piece in FIGURINES.items() if piece.piece_type == kind and piece.color), _UNKNOWN)
        if sign == _UNKNOWN:
            self.extract.note(f"the command \\{node.macroname} is not known: the move behind it is not read")
        self.flow.sign(sign, self, node.pos, node.len)

    def _groups(self, node: Any) -> list[Any]:
        found = node.nodeargd.argnlist if node.nodeargd is not None and node.nodeargd.argnlist else ()
        return [each for each in found if each is not None and not _is_option(self.source, each)]

    def _arguments(self, node: Any) -> None:
        self.take(self._groups(node))

    def _figure(self, node: Any) -> None:
        groups = self._groups(node)
        title = self.source[groups[-1].pos : groups[-1].pos + groups[-1].len].strip("{}") if groups else ""
        add_figure(self.extract, self.counter, b"", title, outside=True)

    # -- environments

    def _environment(self, node: Any) -> None:
        name = node.environmentname
        self.end_passage()
        if name in _VERBATIM:
            start = self.source.find("}", node.pos) + 1
            end = self.source.rfind("\\end", node.pos, node.pos + node.len)
            self.passage.kind = "code"
            self.passage.add(exact(self.source[start:end].rstrip(), self, start))
        elif name in _LISTS:
            self.numbers.append(0 if name == "enumerate" else None)
            self.take(node.nodelist)
            self.end_passage()
            self.numbers.pop()
        elif name in _TABLES:
            self._table(node)
        else:
            self.take(node.nodelist)
        self.end_passage()

    def _table(self, node: Any) -> None:
        outer = self.table
        self.table = _Table(self.counter.next("table"), [len(self.extract.passages)])
        self.places.append("")
        self._name_cell()
        self.take(node.nodelist)
        self._row()
        self.places.pop()
        self.table = outer

    def _name_cell(self) -> None:
        if self.table is not None:
            self.places[-1] = f"{self.table.name}, row {self.table.row}, column {self.table.column}"

    def _cell(self) -> None:
        self.end_passage()
        if self.table is not None:
            self.table.column += 1
            self.table.edges.append(len(self.extract.passages))
            self._name_cell()

    def _row(self) -> None:
        self.end_passage()
        table = self.table
        if table is None:
            return
        table.row += len(self.extract.passages) > table.edges[0]
        join_row(self.extract, table.edges)
        table.column, table.edges = 1, [len(self.extract.passages)]
        self._name_cell()


def _is_option(source: str, node: Any) -> bool:
    return source.startswith("[", node.pos) or source.startswith("*", node.pos)
