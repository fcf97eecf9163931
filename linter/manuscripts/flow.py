"""Words with the blanks that a file is laid out with: however many, they count as one, or as none at an edge."""

import re
from typing import Any

from .model import Passage, Piece, exact

_BLANKS = re.compile(r"[ \t\r\n\f]+")


class Flow:
    """Fills a passage with words."""

    def __init__(self, passage: Passage) -> None:
        self.passage = passage
        self.blank = True  # what came last ends in a blank, or nothing came yet

    def words(self, text: str, node: Any, start: int = 0) -> None:
        """Add text that begins at `start` of a node."""
        place = 0
        for found in _BLANKS.finditer(text):
            at, size = found.start(), found.end() - found.start()
            if found[0] == " " and not (self.blank and at == 0):
                continue  # it stands for itself
            self.passage.add(exact(text[place:at], node, start + place))
            if at > 0 or not self.blank:
                self.passage.add(Piece(" ", node, start + at, size, exact=False))
            place = found.end()
        self.passage.add(exact(text[place:], node, start + place))
        if text:
            self.blank = text[-1] in " \t\r\n\f"

    def sign(self, sign: str, node: Any, at: int = 0, size: int = 1) -> None:
        """Add what stands for the `size` characters of a node from `at` on. A soft hyphen is not shown."""
        if sign == "\u00ad":
            return
        self.passage.add(Piece(sign, node, at, size, exact=False))
        self.blank = sign.endswith("\n")

    def strip(self) -> None:
        """Take blanks at the end away."""
        pieces = self.passage.pieces
        while pieces and pieces[-1].text.isspace():
            self.passage.size -= len(pieces.pop().text)
        if pieces and pieces[-1].exact and (gone := len(pieces[-1].text) - len(pieces[-1].text.rstrip())):
            last = pieces.pop()
            self.passage.size -= len(last.text)
            self.passage.add(exact(last.text[:-gone], last.node, last.at))
        self.blank = True
