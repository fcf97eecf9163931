"""The editor component that the wheel holds: as its recipe builds it, small enough, with the licences of its parts."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from .conftest import ROOT

EDITOR = ROOT / ".ci" / "editor"
PAGE = ROOT / "linter" / "desk" / "page"
LARGEST = 400_000  # bytes


def test_it_is_small_and_its_licences_go_with_it() -> None:
    built = (PAGE / "editor.js").read_text(encoding="utf-8")
    assert built.isascii()
    assert len(built) < LARGEST
    notice = (PAGE / "editor.licences.txt").read_text(encoding="utf-8")
    parts = dict(re.findall(r"^(\S+) (\d+\.\d+\.\d+) \(MIT\)$", notice, re.M))
    locked = json.loads((EDITOR / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    shipped = {
        name.removeprefix("node_modules/"): package["version"]
        for name, package in locked.items()
        if name and "esbuild" not in name and not package.get("devOptional")
    }
    assert parts.items() <= shipped.items()
    assert {"@codemirror/state", "@codemirror/view", "@codemirror/commands", "@codemirror/search"} <= set(parts)
    assert notice.count("Permission is hereby granted") == len(parts)
    assert "http" not in json.dumps(locked)  # no lock file names a registry


def test_only_its_own_parts_are_asked_for() -> None:
    """No part of the page names another host, and every module that is imported is there."""
    for path in PAGE.glob("*.*"):
        if path.name in ("editor.js", "editor.licences.txt"):
            continue
        words = path.read_text(encoding="utf-8")
        assert not re.findall(r"(?:https?:)?//[\w.-]+\.\w+", words.replace("http://www.w3.org/2000/svg", "")), path
        for module in re.findall(r'from "\./([\w.]+)"', words):
            assert (PAGE / module).is_file()


@pytest.mark.network
def test_the_recipe_builds_the_same_bytes(tmp_path: Path) -> None:
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("npm is not installed")
    built, recipe = tmp_path / "linter" / "desk" / "page", tmp_path / ".ci" / "editor"
    built.mkdir(parents=True)
    shutil.copytree(EDITOR, recipe, ignore=shutil.ignore_patterns("node_modules"))
    for command in (["ci"], ["run", "build"]):
        done = subprocess.run([npm, *command], cwd=recipe, capture_output=True, encoding="utf-8", timeout=300)
        if done.returncode and command == ["ci"] and ("ENOTFOUND" in done.stderr or "network" in done.stderr.lower()):
            pytest.skip("the registry of packages cannot be reached")
        assert done.returncode == 0, done.stderr
    for name in ("editor.js", "editor.licences.txt"):
        assert (built / name).read_bytes() == (PAGE / name).read_bytes()
