"""What an install adds: the tables of the grammar files. Run by setuptools alone (pyproject.toml)."""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from setuptools.command.build_py import build_py


class WithTables(build_py):
    """Put the tables beside the grammar files, in a checkout too, so that no user waits until they are built."""

    def run(self) -> None:
        """Copy the packages, then build the tables."""
        super().run()
        own = Path("grammar")  # a build runs in the folder of pyproject.toml
        target = own if self.editable_mode else Path(self.build_lib) / "keyproof" / "grammar"
        with tempfile.TemporaryDirectory() as folder:  # where the package has its name
            shutil.copytree(own, Path(folder) / "keyproof" / "grammar", ignore=shutil.ignore_patterns("*.tables"))
            command = [sys.executable, "-B", "-m", "keyproof.grammar.tables", str(target.resolve())]
            subprocess.run(command, cwd=folder, check=True)
