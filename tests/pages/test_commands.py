"""The commands that print: their help comes at once, and nothing but what is needed is loaded."""

import subprocess
import sys

import pytest
from click.testing import CliRunner
from keyproof.linter.cli import cli
from keyproof.rules.proof.prover import DEFAULT_EFFORT

PROGRAM = """
import sys
from keyproof.linter.cli import main
sys.argv = ["keyproof", {command!r}, "--help"]
try:
    main()
except SystemExit:
    pass
print(sorted({{"chess", "lark", "rich", "selenium", "resvg_py"}} & {{name.split(".")[0] for name in sys.modules}}))
"""


@pytest.mark.parametrize("command", ["diagram", "draft", "sheet"])
def test_help_is_light(command: str) -> None:
    program = PROGRAM.format(command=command)
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
    assert "Exit status: 0" in done.stdout


@pytest.mark.parametrize("command", ["draft", "sheet"])
def test_the_default_effort_is_that_of_the_prover(command: str) -> None:
    assert f"[default: {DEFAULT_EFFORT:g}]" in CliRunner().invoke(cli, [command, "--help"]).output
