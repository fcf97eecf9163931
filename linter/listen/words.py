"""Every word of the desk, by name: those of its page and those its server sends there, in one file, words.json."""

import json
from functools import cache
from importlib.resources import files


@cache
def words() -> dict[str, str]:
    """Return every word, by its name; values to be filled in stand in braces."""
    found: dict[str, str] = json.loads(as_file())
    return found


@cache
def as_file() -> str:
    """Return the file as the page gets it."""
    return files(__package__).joinpath("words.json").read_text(encoding="utf-8")


def word(name: str, /, **values: object) -> str:
    """Return a word with its values filled in. KeyError where there is no such word, or a value is missing."""
    return words()[name].format(**values)
