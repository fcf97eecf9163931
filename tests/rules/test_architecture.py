"""Nothing imports upward nor in a circle, and every package folder is installed.

Counted is every import that is written down, those in functions and under TYPE_CHECKING too.
"""

import ast
import tomllib
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from keyproof.rules.proof import memory

ROOT = Path(__file__).parents[2]
LAYERS = ("grammar", "rules", "linter")  # each may import itself and what stands before it
ROOMS = ("finding", "board", "retro", "proof", "play", "reading", "reasons", "writing", "case", "checks")  # likewise
MOST_LINES = 400
MODULES = sorted(path for layer in LAYERS for path in (ROOT / layer).rglob("*.py"))


def imported(path: Path, root: Path = ROOT) -> set[str]:
    """Return the absolute names a module below `root` imports."""
    package = ("keyproof", *path.relative_to(root).parent.parts)
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


def room_of(path: Path) -> str:
    """Return the room in which a module of rules/ stands."""
    return path.relative_to(ROOT / "rules").with_suffix("").parts[0]


def test_every_module_of_the_rules_stands_in_a_room() -> None:
    rooms = {room_of(path) for path in MODULES if path.is_relative_to(ROOT / "rules")}
    assert rooms - {"__init__"} == set(ROOMS)


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if path.is_relative_to(ROOT / "rules") and path != ROOT / "rules" / "__init__.py"],
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_no_room_imports_one_above_it(path: Path) -> None:
    open_to_it = ROOMS[: ROOMS.index(room_of(path)) + 1]
    wanted = {name.split(".")[2] for name in imported(path) if name.startswith("keyproof.rules.")}
    assert wanted <= set(open_to_it)


def graph(paths: list[Path], root: Path = ROOT) -> dict[str, set[str]]:
    """Return which of the modules each module imports, by their names as they are installed."""
    modules = {
        ".".join(("keyproof", *path.relative_to(root).with_suffix("").parts)).removesuffix(".__init__"): path
        for path in paths
    }
    edges: dict[str, set[str]] = {}
    for module, path in modules.items():
        wanted = imported(path, root)  # a module, or something in one
        edges[module] = {name if name in modules else name.rpartition(".")[0] for name in wanted} & modules.keys()
    return edges


def circle(edges: dict[str, set[str]]) -> list[str]:
    """Return the modules of a circle of imports, the first one again at the end; none where there is no circle."""
    try:
        TopologicalSorter(edges).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_modules_import_one_another_in_a_circle() -> None:
    assert circle(graph(MODULES)) == []


def test_a_circle_is_found_under_type_checking_too(tmp_path: Path) -> None:
    folder = tmp_path / "rules"
    folder.mkdir()
    (folder / "__init__.py").write_text("")
    (folder / "one.py").write_text("from . import two\n")
    (folder / "two.py").write_text("from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from .one import One\n")
    edges = graph(sorted(folder.glob("*.py")), tmp_path)
    assert edges["keyproof.rules.one"] == {"keyproof.rules.two"}
    assert set(circle(edges)) == {"keyproof.rules.one", "keyproof.rules.two"}


def test_the_tests_above_see_relative_and_absolute_imports() -> None:
    names = imported(ROOT / "rules" / "checks" / "moves.py")
    assert "keyproof.rules.checks.register.rule" in names
    assert "keyproof.rules.finding.Fault" in names
    assert "keyproof.grammar.moves.Effect" in names


def test_what_makes_a_proof_is_all_that_the_prover_imports() -> None:
    edges = graph([path for path in MODULES if path.is_relative_to(ROOT / "rules")])
    found: set[str] = set()
    waiting = ["keyproof.rules.proof.prover"]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += edges.get(name, ())
    files = {name.removeprefix("keyproof.rules.").replace(".", "/") + ".py" for name in found}
    assert files - {"proof/kernel.py"} == set(memory._MAKERS)  # the kernel is a library of its own, hashed beside them


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


def test_values_are_made_without_compiling_methods_at_each_start() -> None:
    for path in MODULES:
        assert "dataclasses" not in imported(path), f"{path}: values are msgspec.Struct, replaced by msgspec.structs"


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
    ignored = {".py", ".pyc", ".pyi", ".so", ".c", ".h", ".inc", ".tables"}  # modules, types, what an install makes
    found = {
        path
        for layer in LAYERS
        for path in (ROOT / layer).rglob("*")
        if path.is_file() and path.suffix not in ignored and "__pycache__" not in path.parts
    }
    assert found == listed


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_file_is_too_long(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
