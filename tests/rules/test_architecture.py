"""Nothing imports upward, and every package folder is installed."""

import ast
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LAYERS = ("grammar", "rules", "linter")  # each may import itself and what stands before it
MODULES = sorted(path for layer in LAYERS for path in (ROOT / layer).rglob("*.py"))


def imported(path: Path) -> set[str]:
    """Return the absolute names a module imports."""
    package = ("keyproof", *path.relative_to(ROOT).parent.parts)
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            start = ".".join((*base, node.module) if node.module else base)
            names |= {f"{start}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_imports_upward(path: Path) -> None:
    layer = LAYERS.index(path.relative_to(ROOT).parts[0])
    above = tuple(f"keyproof.{name}" for name in LAYERS[layer + 1 :])
    assert [name for name in imported(path) if name.startswith(above)] == []


def test_the_test_above_sees_relative_and_absolute_imports() -> None:
    names = imported(ROOT / "rules" / "checks" / "moves.py")
    assert "keyproof.rules.finding.rule" in names
    assert "keyproof.grammar.moves.Effect" in names


def test_rules_and_grammar_print_nothing() -> None:
    for layer in ("grammar", "rules"):
        for path in (ROOT / layer).rglob("*.py"):
            calls = [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.Call)]
            assert not any(isinstance(call.func, ast.Name) and call.func.id == "print" for call in calls), path


def test_the_layers_below_need_no_library_of_the_layer_above() -> None:
    outside = {"grammar": ("click", "rich", "markdown_it"), "rules": ("click", "rich", "markdown_it", "lark")}
    for layer, names in outside.items():
        for path in (ROOT / layer).rglob("*.py"):
            assert {name.split(".")[0] for name in imported(path)}.isdisjoint(names), path


def test_every_package_folder_is_installed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    folders = {path.parent for path in MODULES}
    assert set(project["packages"]) >= {"keyproof." + ".".join(folder.relative_to(ROOT).parts) for folder in folders}
    assert all((ROOT.joinpath(*name.split(".")[1:])).is_dir() for name in project["packages"])


def test_every_data_file_is_installed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    listed = {
        path
        for package, patterns in project["package-data"].items()
        for pattern in patterns
        for path in ROOT.joinpath(*package.split(".")[1:]).glob(pattern)
    }
    ignored = {".py", ".pyc", ".pyi", ".so", ".c", ".h", ".inc"}  # modules, their types, and what is compiled
    found = {
        path
        for layer in LAYERS
        for path in (ROOT / layer).rglob("*")
        if path.is_file() and path.suffix not in ignored and "__pycache__" not in path.parts
    }
    assert found == listed
