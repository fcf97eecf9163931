"""Lines of a mail that quote another: the signs before them are no words."""

import re

_QUOTED = re.compile(r"^[ \t]*(?:>[ \t]?)+", re.M)


def unquoted(text: str) -> str:
    """Return a text of the same length with blanks for the signs that quote its lines: "> White: Kg1"."""
    return _QUOTED.sub(lambda signs: " " * len(signs[0]), text) if ">" in text else text
