"""Help and version come at once: they load neither the chess library nor the parser nor the terminal library."""

import subprocess
import sys
from pathlib import Path

import pytest

PROGRAM = """
import sys
from pathlib import Path
from keyproof.linter.cli import main
sys.argv = ["keyproof", *{arguments!r}]
try:
    main()
except SystemExit:
    pass
print(sorted({{"chess", "lark", "rich", "markdown_it", "concurrent"}} & {{name.split(".")[0] for name in sys.modules}}))
"""


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["check", "--help"], ["prove", "--help"], []])
def test_help_is_light(arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(arguments=arguments)], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_default_effort_in_the_help_is_that_of_the_prover() -> None:
    from click.testing import CliRunner
    from keyproof.linter.cli import cli
    from keyproof.rules.proof.prover import DEFAULT_EFFORT

    for command in ("check", "prove"):
        assert f"[default: {DEFAULT_EFFORT:g}]" in CliRunner().invoke(cli, [command, "--help"]).output


def test_piped_reports_do_without_the_terminal_library(tmp_path: object) -> None:
    program = PROGRAM.format(arguments=["explain", "check-not-mate"])
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert "rich" not in done.stdout.splitlines()[-1]


def test_a_text_without_settings_does_without_their_reader(tmp_path: Path) -> None:
    text = tmp_path / "column.txt"
    text.write_text("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n1.Kg2!\n")
    program = PROGRAM.replace("concurrent", "tomllib").format(arguments=["check", str(text)])
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert "chess" in done.stdout.splitlines()[-1]
    assert "tomllib" not in done.stdout.splitlines()[-1]
