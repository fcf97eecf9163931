"""The settings of a house: its style, the levels of rules, the paths it leaves out.

They stand in `keyproof.toml`, or in the table `[tool.keyproof]` of `pyproject.toml`:

    pieces = "KQRBS"       # or "figurines"
    capture = "x"          # also ":", "×", "" for none
    check = "+"            # also "†", ""
    mate = "#"             # also "++", "‡", ""
    castling = "0-0"       # also "O-O"
    promotion = "=Q"       # also "Q", "(Q)", "/Q"
    sources = true         # every puzzle says where it was first printed
    effort = 50            # million positions for each proof, where the command line gives none
    leave-out = ["drafts/", "*.old.md"]   # patterns as in .gitignore

    [levels]
    defence-left-out = "error"            # or "warning", "note", "off"
"""

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from keyproof.rules.case.house import FORMS, House
from keyproof.rules.checks.register import load_rules
from keyproof.rules.finding import Level
from msgspec import Struct, field

OWN_FILE = "keyproof.toml"
SHARED_FILE = "pyproject.toml"

_TEXTS = ("pieces", *FORMS)
_KEYS = (*_TEXTS, "sources", "effort", "leave-out", "levels")
_LEVELS: dict[str, Level | None] = {**{level.name: level for level in Level}, "off": None}


class BadSettings(ValueError):
    """Settings that cannot be used; the message names the file, the key and what would be right."""


class Settings(Struct, frozen=True):
    """The settings in force. `levels` holds those rules whose level is changed, None: switched off.

    `left_out` are patterns as in .gitignore, for paths below `folder`.
    """

    house: House = field(default_factory=House)
    levels: Mapping[str, Level | None] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()
    folder: Path | None = None
    effort: float | None = None


def find(start: Path) -> Path | None:
    """Return the settings file nearest to a folder: in it or in one above. BadSettings if a file on the way is broken.

    A `pyproject.toml` without our table is passed over.
    """
    for folder in (start, *start.parents):
        if (folder / OWN_FILE).is_file():
            return folder / OWN_FILE
        shared = folder / SHARED_FILE
        if shared.is_file() and "keyproof" in _tools(shared):
            return shared
    return None


def settings_for(paths: Sequence[str], file: str | None = None) -> Settings:
    """Return the settings of `file`, or else of the file nearest to all paths. Raises BadSettings."""
    if file is not None:
        return load(Path(file))
    folders = [os.path.abspath(path if os.path.isdir(path) else os.path.dirname(path)) for path in paths]
    try:
        common = Path(os.path.commonpath(folders))
    except ValueError:  # on two drives
        return Settings()
    nearest = find(common)
    return load(nearest) if nearest is not None else Settings()


def load(path: Path) -> Settings:
    """Read a settings file. Raises BadSettings."""
    content = _tools(path).get("keyproof", {}) if path.name == SHARED_FILE else _toml(path)
    try:
        return parse(content, path.parent)
    except BadSettings as fault:
        raise BadSettings(f"{path}: {fault}") from None


def parse(content: object, folder: Path | None = None) -> Settings:
    """Make settings of the values of a table. BadSettings names the key that is wrong."""
    if not isinstance(content, dict):
        raise BadSettings("the settings are a table of keys and values")
    for key in content:
        if key not in _KEYS:
            raise BadSettings(f"there is no setting {key!r}{_nearest(key, _KEYS)}")
    style: dict[str, Any] = {}
    for key in _TEXTS:
        if key in content:
            if not isinstance(content[key], str):
                raise BadSettings(f"{key} is a text, not {content[key]!r}")
            style[key] = content[key]
    sources = content.get("sources", False)
    if not isinstance(sources, bool):
        raise BadSettings(f"sources is true or false, not {sources!r}")
    effort = content.get("effort")
    if effort is not None and (isinstance(effort, bool) or not isinstance(effort, int | float) or not effort > 0):
        raise BadSettings(f"effort is a number of million positions, not {effort!r}")
    left_out = content.get("leave-out", [])
    if not isinstance(left_out, list) or not all(isinstance(pattern, str) for pattern in left_out):
        raise BadSettings(f"leave-out is a list of patterns, not {left_out!r}")
    try:
        house = House(**style, sources=sources)
    except ValueError as fault:
        raise BadSettings(str(fault)) from None
    return Settings(house, _levels(content.get("levels", {})), tuple(left_out), folder, effort)


def _levels(content: object) -> dict[str, Level | None]:
    if not isinstance(content, dict):
        raise BadSettings(f"levels is a table of rules and their levels, not {content!r}")
    rules = load_rules()
    found: dict[str, Level | None] = {}
    for name, level in content.items():
        if name not in rules:
            raise BadSettings(f"no rule is named {name!r}{_nearest(name, rules)}")
        if level not in _LEVELS:
            raise BadSettings(f"the level of {name} is one of {', '.join(_LEVELS)}, not {level!r}")
        found[name] = _LEVELS[level]
    return found


def _nearest(name: str, known: Any) -> str:
    from difflib import get_close_matches  # no text of which the settings are right needs it

    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"; the nearest is {near[0]!r}" if near else f"; there are {', '.join(known)}"


def _tools(path: Path) -> dict[str, Any]:
    tools = _toml(path).get("tool", {})
    return tools if isinstance(tools, dict) else {}


def _toml(path: Path) -> dict[str, Any]:
    import tomllib  # most texts are checked without a settings file

    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as fault:
        raise BadSettings(f"{path}: not TOML: {fault}") from None
    except (OSError, UnicodeDecodeError) as fault:
        raise BadSettings(f"{path}: {getattr(fault, 'strerror', None) or fault}") from None
