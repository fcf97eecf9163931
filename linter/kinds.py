"""The kinds of files that are read. Nothing else stands here: the command line asks for them before it reads any."""

from typing import Literal, get_args

Kind = Literal["text", "markdown", "pgn", "epd", "captions", "docx", "odt", "html", "latex", "pdf", "rtf"]
"""Each but a manuscript is read by the module of its name in `readers`."""

READ_AS: tuple[Kind, ...] = get_args(Kind)
"""All kinds, as they are named on the command line."""

KINDS: dict[str, Kind] = {
    ".txt": "text",
    ".md": "markdown",
    ".markdown": "markdown",
    ".pgn": "pgn",
    ".epd": "epd",
    ".vtt": "captions",
    ".srt": "captions",
    ".docx": "docx",
    ".odt": "odt",
    ".html": "html",
    ".htm": "html",
    ".xhtml": "html",
    ".tex": "latex",
    ".pdf": "pdf",
    ".rtf": "rtf",
}
"""The kind of a file by its suffix in lower case."""

MANUSCRIPTS: frozenset[Kind] = frozenset(("docx", "odt", "html", "latex", "pdf", "rtf"))
"""The kinds that are taken apart by `manuscripts`; text at hand under such a name is what was taken out of it."""

SOURCES: frozenset[Kind] = frozenset(("html", "latex"))
"""The manuscripts that are text themselves, and so may be edited as such."""
