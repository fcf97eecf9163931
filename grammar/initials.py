"""Initials that look like moves in descriptive notation: "Group B takes Q", "B to K. 1st prize"."""

import re

from .lexing import Token

# What promises a move, and what may stand between: "Solution. Q-B6", "1.Kg2 (K-Kt2)"
_PASSED = {"NUMBER": ("NEWLINE",), "KEY": ("NEWLINE", "STOP"), "TRY": ("NEWLINE",), "THREAT": (), "MOVE": ("OPEN",)}
_TELLS_A_MOVE = re.compile(r"[-–—−x×]|\b(?:to|takes|tks|captures|mates|[Qq]ueens|[Cc]astles)\b")
_NAMES_THE_SIDE = re.compile(r"[-–—−]\s?[KQ]\.?\s?(?:Kt|[RBN])")
_NAMES_A_SQUARE = re.compile(r"(?:Kt|[PKQRB])--?[KQ]?(?:Kt|[KQRBN])\d")

_GOES_TO_SQUARE = re.compile(r"(?:\bto|[-–—−])\s?(?:[KQ]\.?\s?)?(?:Kt|[KQRBN])\.?\s?[1-8]")
_SEVERAL = 3


def pass_over_initials(blocks: list[list[Token]]) -> None:
    """Take the descriptive moves in the blocks of one puzzle for words, unless one of them is beyond doubt.

    One is, if its number, "key" or another move stands before it, or if it names its square in full: "R-QR8". So are
    several that each name a square: "Kt to B 7", "P to Kt 7", "Q to B 4".
    """
    if "DESCRIPTIVE" not in {token.type for block in blocks for token in block}:
        return
    found: list[Token] = []
    for block in blocks:
        before = ""
        for token in block:
            if token.type == "DESCRIPTIVE":
                promised = before in _PASSED and _TELLS_A_MOVE.search(token.value)
                if promised or _NAMES_THE_SIDE.search(token.value):
                    return
                found.append(token)
            if token.type not in _PASSED.get(before, ()):
                before = token.type
    if sum(_GOES_TO_SQUARE.search(token.value) is not None for token in found) >= _SEVERAL:
        return
    for token in found:
        token.type = "SUSPECT" if _NAMES_A_SQUARE.fullmatch(token.value) else "WORD"
