"""The run of `keyproof check --marked`: one manuscript, and a copy of it with comments."""

import os
from collections.abc import Sequence

import click

from .kinds import Kind
from .manuscripts.marking import NotMarked, check_target, write_marked
from .reports.terminal import escape
from .results import FileResult
from .sources import kind_of


def ready(paths: Sequence[str], target: str, kind: Kind | None, *, repair: bool) -> None:
    """Refuse what cannot be done before anything is checked. Raises click's exceptions."""
    if repair:
        raise click.UsageError("--marked offers the repairs as changes, and takes no --repair")
    if len(paths) != 1 or not os.path.isfile(paths[0]):
        raise click.UsageError("--marked goes with one file")
    try:
        check_target(paths[0], target, kind or kind_of(paths[0]))
    except NotMarked as fault:
        raise click.ClickException(str(fault)) from None


def write_copy(result: FileResult, target: str, kind: Kind | None) -> bool:
    """Write the copy and say so; False if it could not be written, which is said too."""
    try:
        count = write_marked(result, kind or kind_of(result.path) or "", target)
    except NotMarked as fault:
        click.echo(f"keyproof: error: {escape(str(fault))}", err=True)
        return False
    click.echo(f"Wrote {escape(target)} with {count} comment{'' if count == 1 else 's'}.", err=True)
    return True
