"""Which files a walk passes over: what git ignores, and what the settings leave out.

Patterns mean what they mean in .gitignore (gitignore manual page). Git's own patterns hold for what a walk
comes upon, never for a path that is named; those of the settings hold for both.
"""

import os
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .style import Settings

_FILE = ".gitignore"


class Patterns:
    """One list of patterns, for paths below `folder`."""

    def __init__(self, folder: Path, lines: list[str]) -> None:
        from pathspec import GitIgnoreSpec

        self.folder = folder
        self._spec = GitIgnoreSpec.from_lines(lines)

    def ignores(self, path: Path, *, is_folder: bool) -> bool | None:
        """Return whether the last pattern that fits ignores the path; None if none fits."""
        try:
            below = path.relative_to(self.folder).as_posix()
        except ValueError:
            return None
        return self._spec.check_file(below + "/" * is_folder).include


class Git:
    """What git ignores below a folder that is walked, if it lies in a repository."""

    def __init__(self, folder: Path) -> None:
        self._lists: dict[Path, Patterns | None] = {}
        root = next((place for place in (folder, *folder.parents) if (place / ".git").exists()), None)
        self._root = root
        if root is not None:
            exclude = root / ".git" / "info" / "exclude"
            self._shared = _patterns(exclude, root)
        else:
            self._shared = None

    def ignores(self, path: Path, *, is_folder: bool) -> bool:
        """Tell whether git ignores a path in the folder. Of several lists the deepest that knows it decides."""
        if self._root is None:
            return False
        if is_folder and path.name == ".git":
            return True
        for folder in path.parents:
            found = self._of(folder)
            if found is not None and (ignored := found.ignores(path, is_folder=is_folder)) is not None:
                return ignored
            if folder == self._root:
                break
        return self._shared is not None and bool(self._shared.ignores(path, is_folder=is_folder))

    def _of(self, folder: Path) -> Patterns | None:
        if folder not in self._lists:
            self._lists[folder] = _patterns(folder / _FILE, folder)
        return self._lists[folder]


def _patterns(file: Path, folder: Path) -> Patterns | None:
    try:
        lines = file.read_text(encoding="utf-8", errors="surrogateescape").splitlines()
    except OSError:
        return None
    return Patterns(folder, lines)


class LeftOut:
    """What the settings leave out."""

    def __init__(self, settings: "Settings | None") -> None:
        told = settings is not None and settings.folder is not None and settings.left_out
        self._patterns = (
            Patterns(settings.folder, list(settings.left_out)) if told and settings and settings.folder else None
        )

    def leaves_out(self, path: str, *, is_folder: bool) -> bool:
        """Tell whether a path, or a folder it lies in, is left out."""
        if self._patterns is None:
            return False
        whole = Path(os.path.abspath(path))
        if self._patterns.ignores(whole, is_folder=is_folder):
            return True
        above = (folder for folder in whole.parents if self._patterns.folder in folder.parents)
        return any(self._patterns.ignores(folder, is_folder=True) for folder in above)
