"""What betrays a line of play before anything is read: a printed move, a move number with its move."""

import re

from .letters import FIGURINES, LANGUAGES

_letters = sorted({letter for table in LANGUAGES.values() for letter in table}, key=lambda name: (-len(name), name))
_man = rf"(?:{'|'.join(_letters)}|[{''.join(FIGURINES)}]\ufe0e?)"

_MOVE = (
    rf"(?:{_man}\s?)?[a-h]?[1-8]?[x:×–-]?{_man}?[a-h][1-8](?![a-z0-9])"
    rf"|[O0o]-[O0o]|{_man}\s?[~∼]|[a-h]x[a-h](?![a-z])"
)

# "P-K4", "Kt (K 4) takes P", "R to K Kt 8", as descriptive.lark has it; "K moves" and "Castles" betray nothing.
_name = r"(?:[KQ](?:['’]s)?\.?\s?)?(?:Kt|[KQRBNS])(?:['’]s)?\.?\s?"
_square = rf"(?:{_name}|(?:his|her)\s)(?:[1-8](?!\d)|sq)"
_DESCRIPTIVE = (
    rf"(?:(?:{_name})?P\b\.?\s?|{_name})(?:\({_square}\)\s?)?"
    rf"(?:(?:(?:--|[-–—])\s?|to\s){_square}|(?:[x×]\s?|(?:takes|tks\.?)\s)(?:Kt|[KQRBNSP])(?![a-z]))"
)

PRINTED_MOVE = re.compile(rf"{_MOVE}|{_DESCRIPTIVE}")
"""Text that looks like a move in any of the languages; the look of it, not its sense."""

# It begins with its digit, and looks at what stands before it afterwards: so a search leaps from digit to digit.
NUMBERED_MOVE = re.compile(
    rf"\d(?<![\w.]\d)(?:\d{{0,2}}\s?(?:\.\s?\.\.\.?|\.{{1,3}}|…)\s*(?:{_MOVE}|{_DESCRIPTIVE})|\d?\s{_DESCRIPTIVE})"
)
"""A move number and the move it belongs to: the sign of a solution text."""
