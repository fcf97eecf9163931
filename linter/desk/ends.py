"""Line ends: the page knows only LF, and what is saved has those the file had."""

import re
from collections import Counter
from difflib import SequenceMatcher

from msgspec import Struct

_END = re.compile(r"\r\n|\r|\n")


class Ends(Struct, frozen=True):
    """The lines of a file as it stands on disk, and the end of each (one less than there are lines)."""

    lines: tuple[str, ...] = ("",)
    ends: tuple[str, ...] = ()

    @classmethod
    def of(cls, text: str) -> "Ends":
        """Take a text apart."""
        return cls(tuple(_END.split(text)), tuple(_END.findall(text)))

    @property
    def plain(self) -> str:
        """The text with LF at the end of each line."""
        return "\n".join(self.lines)

    @property
    def usual(self) -> str:
        """The line end that most lines have, LF where there is none."""
        return Counter(self.ends).most_common(1)[0][0] if self.ends else "\n"

    def restored(self, plain: str) -> str:
        """Return another text as the file would have it: lines that are still there keep their ends.

        Others get the usual one. A lone CR in the text ends a line too.
        """
        lines = _END.split(plain)
        if len(set(self.ends)) < 2:
            return self.usual.join(lines)
        ends = [self.usual] * (len(lines) - 1)
        matcher = SequenceMatcher(None, self.lines, lines, autojunk=False)
        for before, now, size in matcher.get_matching_blocks():
            for step in range(size):
                if before + step < len(self.ends) and now + step < len(ends):
                    ends[now + step] = self.ends[before + step]
        for place in range(len(ends) - 2, -1, -1):
            if ends[place] == "\r" and ends[place + 1] == "\n" and not lines[place + 1]:
                ends[place] = "\n"  # with nothing between them the two would be one
        return "".join(line + end for line, end in zip(lines, [*ends, ""], strict=True))
