"""Every word of the desk stands in one file: none is written in its modules, none there is without use."""

import ast
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from keyproof.linter.listen.words import word, words

LINTER = Path(__file__).parents[2] / "linter"
PAGE = LINTER / "desk" / "page"
# What these say is printed in a terminal, or answered to a stranger who has no page.
ELSEWHERE = {"command.py", "running.py", "guard.py"}
SERVERS = [path for path in sorted((LINTER / "desk").glob("*.py")) if path.name not in ELSEWHERE]
SERVERS += [LINTER / "listen" / name for name in ("wording.py", "writing.py", "filed.py", "words.py")]
SCRIPTS = [path for path in sorted(PAGE.glob("*.js")) if path.name != "editor.js"]
_SENTENCE = re.compile(r"\b[A-Za-z]+[,:]? [a-z]+[,:]? [a-z]+\b")


def told(path: Path) -> Iterator[tuple[int, str]]:
    """Yield the strings of a module that are no docstrings, with their lines."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    values = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings | values:
            yield node.lineno, node.value


# A policy, an address, the words of SQL and such are written for programs.
FOR_PROGRAMS = re.compile(r"-src |ancestors|no-|filename")


@pytest.mark.parametrize("path", SERVERS, ids=lambda path: path.name)
def test_the_server_has_no_words_of_its_own(path: Path) -> None:
    found = [(line, text) for line, text in told(path) if _SENTENCE.search(text) and not FOR_PROGRAMS.search(text)]
    assert found == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_the_page_has_no_words_of_its_own(path: Path) -> None:
    script = re.sub(r"//.*", "", path.read_text(encoding="utf-8"))
    literals = re.findall(r"\"([^\"\n]*)\"|`([^`]*)`", re.sub(r"\$\{[^}]*\}", "", script))
    found = {text for each in literals for text in each if _SENTENCE.search(text)}
    assert found - {"replaced match on line $"} == set()  # by which the editor asks for our word


def used() -> set[str]:
    """Return the names of all words that are asked for."""
    found: set[str] = set()
    html = (PAGE / "page.html").read_text(encoding="utf-8")
    found |= set(re.findall(r"\$(\w+)", html))
    for path in [*SCRIPTS, *SERVERS, LINTER / "listen" / "session.py"]:
        found |= set(re.findall(r"[\"'`](\w+)[\"'`]", path.read_text(encoding="utf-8")))
    return found


def test_each_word_is_used_and_each_use_has_one() -> None:
    known = set(words())
    of_values = {f"verdict_{each}" for each in ("sound", "unsound", "unproved", "no_claim")}
    of_values |= {f"way_{each}" for each in ("printed", "told", "now", "chosen")}
    assert known - used() - of_values == set()
    asked: set[str] = set()
    for path in [*SCRIPTS, *SERVERS, LINTER / "listen" / "session.py"]:
        asked |= set(re.findall(r"\bword\(\s*\"(\w+)\"", path.read_text(encoding="utf-8")))
    html = (PAGE / "page.html").read_text(encoding="utf-8")
    asked |= set(re.findall(r"\$(\w+)", html)) - {"nonce", "symbols"}
    assert asked - known == set()


def test_a_word_is_filled_in_alike_on_both_sides() -> None:
    """The page fills in {name}, the server what `str.format` does: no other form of a field stands in the file."""
    for name, text in words().items():
        fields = re.findall(r"\{(\w+)\}", text)
        assert text.count("{") == text.count("}") == len(fields), name
        assert word(name, **dict.fromkeys(fields, "{x}")) == re.sub(r"\{\w+\}", "{x}", text)


def test_the_words_go_with_the_package() -> None:
    assert files("keyproof.linter.listen").joinpath("words.json").is_file()
