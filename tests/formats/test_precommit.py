"""The hook, run by pre-commit itself on a scratch repository."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from filelock import FileLock

from .texts import COLUMN, FAULTY

HOOKS = Path(__file__).parents[2] / ".pre-commit-hooks.yaml"

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")

IDENTITY = {
    "GIT_AUTHOR_NAME": "M. Lind",
    "GIT_AUTHOR_EMAIL": "lind@lindenhof.example",
    "GIT_COMMITTER_NAME": "M. Lind",
    "GIT_COMMITTER_EMAIL": "lind@lindenhof.example",
    "GIT_CONFIG_GLOBAL": os.devnull,
}


def run(folder: Path, *command: str, home: Path | None = None) -> "subprocess.CompletedProcess[str]":
    environment = os.environ | IDENTITY | {"PRE_COMMIT_HOME": str(home or folder / ".git" / "pre-commit-home")}
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)


def pre_commit(folder: Path, *arguments: str, home: Path | None = None) -> "subprocess.CompletedProcess[str]":
    return run(folder, sys.executable, "-m", "pre_commit", *arguments, home=home)


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A repository that uses the hook as it is published, but with the keyproof that is being tested."""
    root = tmp_path / "bulletin"
    root.mkdir()
    run(root, "git", "init", "-q")
    command = f'"{sys.executable}" -m keyproof.linter check'
    published = HOOKS.read_text()
    assert "entry: keyproof check\n" in published
    assert "language: python\n" in published
    hook = published.replace("entry: keyproof check\n", f"entry: '{command}'\n")
    hook = hook.replace("language: python\n", "language: system\n")
    (root / ".pre-commit-config.yaml").write_text(
        "repos:\n- repo: local\n  hooks:\n" + re.sub(r"^", "  ", hook, flags=re.M)
    )
    (root / "good.md").write_text(COLUMN, encoding="utf-8")
    (root / "bad.md").write_text(FAULTY, encoding="utf-8")
    return root


def test_the_manifest_is_valid() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pre_commit", "validate-manifest", str(HOOKS)], capture_output=True, text=True
    )
    assert (done.returncode, done.stdout) == (0, "")


def test_only_what_is_committed_is_checked(repository: Path) -> None:
    run(repository, "git", "add", "good.md", ".pre-commit-config.yaml")
    done = pre_commit(repository, "run")
    assert done.returncode == 0, done.stdout
    assert "Passed" in done.stdout
    run(repository, "git", "add", "bad.md")
    done = pre_commit(repository, "run")
    assert done.returncode == 1
    assert "bad.md:7:" in done.stdout
    assert "check-not-mate" in done.stdout
    assert "good.md:" not in done.stdout


def test_an_installed_hook_refuses_a_commit(repository: Path) -> None:
    assert pre_commit(repository, "install").returncode == 0
    run(repository, "git", "add", "good.md", ".pre-commit-config.yaml")
    assert run(repository, "git", "commit", "-qm", "A column").returncode == 0
    run(repository, "git", "add", "bad.md")
    refused = run(repository, "git", "commit", "-qm", "Another")
    assert refused.returncode == 1
    assert "check-not-mate" in refused.stdout + refused.stderr
    assert run(repository, "git", "log", "--format=%s").stdout == "A column\n"


def test_files_without_puzzles_pass_and_others_are_not_looked_at(repository: Path) -> None:
    (repository / "README.md").write_text("# The Wednesday Bulletin\n")
    (repository / "tool.py").write_text("1.Qxz9\n")
    run(repository, "git", "add", "README.md", "tool.py", ".pre-commit-config.yaml")
    assert pre_commit(repository, "run").returncode == 0


def test_many_files_are_checked_in_parallel(repository: Path) -> None:
    """pre-commit splits a long list over processes; all of them share the folder of proofs."""
    for number in range(60):
        (repository / f"column-{number:02}.md").write_text(COLUMN, encoding="utf-8")
    run(repository, "git", "add", "--all")
    run(repository, "git", "rm", "-q", "--cached", "bad.md")
    done = pre_commit(repository, "run", "--all-files")
    assert done.returncode == 0, done.stdout


def test_doubts_are_shown_where_nothing_is_wrong(repository: Path) -> None:
    """pre-commit hides what a hook prints that passes, unless the hook is verbose."""
    (repository / "doubt.md").write_text(COLUMN + "\nThe engineer prefers Qj9 here.\n", encoding="utf-8")
    run(repository, "git", "add", "doubt.md", ".pre-commit-config.yaml")
    done = pre_commit(repository, "run")
    assert done.returncode == 0
    assert "not understood, so not checked: 'Qj9'" in done.stdout


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """A clone of what was committed last, beside what pre-commit installed of it, once for each commit and Python."""
    root = HOOKS.parent
    if run(root, "git", "rev-parse", "--git-dir").returncode != 0:
        pytest.skip("this copy of the sources is no clone")
    commit = run(root, "git", "rev-parse", "HEAD").stdout.strip()
    kept = root / ".pytest_cache" / "cloned"
    there = kept / f"{commit}-{sys.version_info.major}.{sys.version_info.minor}"
    if not there.exists():
        shutil.rmtree(kept, ignore_errors=True)  # of other commits
        there.mkdir(parents=True)
    with FileLock(there / "lock"):
        if not (there / "clone").exists():
            assert run(tmp_path, "git", "clone", "-q", str(root), str(there / "clone")).returncode == 0
        assert run(there / "clone", "git", "rev-parse", "HEAD").stdout.strip() == commit
    return there / "clone"


@pytest.mark.slow
@pytest.mark.network
def test_what_the_readme_says_works_from_a_clone(clone: Path, tmp_path: Path) -> None:
    column = tmp_path / "bulletin"
    commit = run(clone, "git", "rev-parse", "HEAD").stdout.strip()
    (config,) = re.findall(r"^```yaml\n(repos:.*?)^```$", (HOOKS.parent / "README.md").read_text(), re.M | re.S)
    assert "v0." not in config
    column.mkdir()
    run(column, "git", "init", "-q")
    config = config.replace("PATH-OR-ADDRESS-OF-THIS-REPOSITORY", str(clone)).replace("COMMIT", commit)
    (column / ".pre-commit-config.yaml").write_text(config)
    (column / "bad.md").write_text(FAULTY, encoding="utf-8")
    run(column, "git", "add", "--all")
    done = pre_commit(column, "run", home=clone.parent / "installed")
    if "keyproof" not in done.stdout or "InstallationError" in done.stdout or "CalledProcessError" in done.stderr:
        pytest.skip(f"pre-commit could not install the hook: {(done.stdout + done.stderr)[-300:]}")
    assert done.returncode == 1
    assert "bad.md:7:" in done.stdout
