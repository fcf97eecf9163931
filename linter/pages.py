"""The page of a rule: its check's docstring, taken apart.

Summary in one line.

Free paragraphs.

Settings:
    those under which the examples hold, as in keyproof.toml (may be left out)
Bad:
    the text of a small puzzle file with the fault
Good:
    the same without it
Blind spots: what the rule cannot see (may be left out).
"""

import inspect
import re
import textwrap
from functools import cache

from keyproof.rules.checks.register import Rule, load_rules
from keyproof.rules.finding import Level
from msgspec import Struct

_PART = re.compile(r"(?P<name>Settings|Bad|Good|Blind spots):[ \t]*(?P<rest>.*)")


class BadPage(ValueError):
    """A docstring that lacks a part of a page."""


class Page(Struct, frozen=True):
    """What the user is told about a rule. `bad` and `good` are texts of puzzle files, read under `settings`.

    `settings` and `blind_spots` may be empty.
    """

    name: str
    level: Level
    summary: str
    body: tuple[str, ...]
    bad: str
    good: str
    blind_spots: str
    settings: str = ""


def pages() -> dict[str, Page]:
    """Return the pages of all rules by name, in alphabetical order."""
    return {name: page(rule) for name, rule in load_rules().items()}


@cache
def page(rule: Rule) -> Page:
    """Take one rule's docstring apart; BadPage says what is missing."""
    lines = inspect.cleandoc(rule.page).splitlines()
    if not lines or not lines[0].strip() or _PART.match(lines[0]):
        raise BadPage(f"the page of {rule.name} lacks a summary in its first line")
    if len(lines) > 1 and lines[1].strip():
        raise BadPage(f"the page of {rule.name} has a summary of more than one line")
    parts: dict[str, list[str]] = {"body": []}
    current = "body"
    for line in lines[2:]:
        start = _PART.fullmatch(line)
        if start is not None:
            current = start["name"]
            if current in parts:
                raise BadPage(f"the page of {rule.name} has two parts {current!r}")
            parts[current] = [start["rest"]]
        elif current in ("Settings", "Bad", "Good") and line and not line[0].isspace():
            raise BadPage(f"the page of {rule.name} has text after {current!r} that is not indented: {line!r}")
        else:
            parts[current].append(line)
    return Page(
        name=rule.name,
        level=rule.level,
        summary=lines[0].strip(),
        body=tuple(_paragraphs(parts["body"])),
        bad=_block(rule, parts, "Bad"),
        good=_block(rule, parts, "Good"),
        blind_spots=" ".join(" ".join(parts.get("Blind spots", ())).split()),
        settings=_block(rule, parts, "Settings") if "Settings" in parts else "",
    )


def _paragraphs(lines: list[str]) -> list[str]:
    return [" ".join(text.split()) for text in re.split(r"\n\s*\n", "\n".join(lines)) if text.strip()]


def _block(rule: Rule, parts: dict[str, list[str]], name: str) -> str:
    if name not in parts:
        raise BadPage(f"the page of {rule.name} lacks the part {name!r}")
    first, *rest = parts[name]
    if first.strip():
        raise BadPage(f"the page of {rule.name} has text on the line of {name!r}: indent it on the next")
    text = textwrap.dedent("\n".join(rest)).strip("\n")
    if not text.strip():
        raise BadPage(f"the page of {rule.name} has an empty part {name!r}")
    return text + "\n"
