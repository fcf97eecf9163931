"""The README's way to set up an editor, done by editors themselves: they show the finding of a faulty column."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from .texts import FAULTY

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
PATIENCE = 60  # seconds

pytestmark = pytest.mark.slow


def settings(language: str) -> str:
    """Return the settings that the README gives in a language."""
    (body,) = re.findall(rf"^```{language}\n(.*?)^```$", README, re.M | re.S)
    assert "keyproof" in body
    assert "listen" in body
    return body.replace('"keyproof"', f'"{Path(sys.executable).with_name("keyproof")}"')


def run(folder: Path, *command: str) -> str:
    environment = os.environ | {"HOME": str(folder), "XDG_CONFIG_HOME": str(folder / "none")}
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, encoding="utf-8", timeout=2 * PATIENCE
    )
    return done.stdout + done.stderr


def test_an_editor_that_is_set_up_in_lua(tmp_path: Path) -> None:
    if shutil.which("nvim") is None:
        pytest.skip("no such editor here: apt-get install neovim")
    (tmp_path / "column.md").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "init.lua").write_text(settings("lua"), encoding="utf-8")
    wait = (
        f"lua vim.wait({PATIENCE * 1000}, function() return #vim.diagnostic.get(0) > 0 end); "
        "for _, found in ipairs(vim.diagnostic.get(0)) do print(found.lnum + 1, found.code, found.message) end"
    )
    shown = run(tmp_path, "nvim", "--headless", "-u", "init.lua", "column.md", "-c", wait, "-c", "qa!")
    assert re.search(r"7\s+check-not-mate\s+2\.Re4\+ is check but not mate", shown), shown


def test_an_editor_that_is_set_up_in_lisp(tmp_path: Path) -> None:
    if shutil.which("emacs") is None:
        pytest.skip("no such editor here: apt-get install emacs-nox elpa-eglot")
    (tmp_path / "column.txt").write_text(FAULTY.replace("# No", "No"), encoding="utf-8")
    (tmp_path / ".git").mkdir()
    (tmp_path / "init.el").write_text(
        f"""(package-initialize)
(unless (require 'eglot nil t) (message "no client") (kill-emacs))
{settings("lisp")}
(setq eglot-sync-connect {PATIENCE})
(find-file "column.txt")
(apply #'eglot--connect (eglot--guess-contact))
(defun found () (or (bound-and-true-p eglot--diagnostics) (bound-and-true-p eglot--unreported-diagnostics)))
(dotimes (_ {PATIENCE * 5}) (unless (found) (accept-process-output nil 0.2)))
(message "%S" (found))
""",
        encoding="utf-8",
    )
    shown = run(tmp_path, "emacs", "--batch", "-l", "init.el")
    if "no client" in shown:
        pytest.skip("the editor has no client: apt-get install elpa-eglot")
    assert "2.Re4+ is check but not mate" in shown, shown
