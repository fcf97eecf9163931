"""The command `keyproof desk`. It imports what it needs when it runs."""

import click

from ..exits import Exit


@click.command()
@click.argument("path", default=".", metavar="[FILE|FOLDER]", type=click.Path())
@click.option("--no-browser", is_flag=True, help="Only print the address; open no browser.")
@click.option(
    "--stay",
    type=click.FloatRange(min=1, max=86_400),
    default=60,
    show_default=True,
    metavar="SECONDS",
    help="How long to stay when the page is closed.",
)
def desk(path: str, no_browser: bool, stay: float) -> int:
    """Write and proofread on a page in the browser, served by this machine to itself alone.

    It works on a FILE, or on the files of a FOLDER, by default the current one. It ends when the page is closed.
    It needs the extra "desk": pip install 'keyproof[desk]'.

    Exit status: 0 ended, 2 not a file or folder to work on.
    """
    try:
        from .folder import Folder, Refused
        from .running import run
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in ("starlette", "uvicorn", "websockets"):
            raise
        raise click.ClickException("the desk is served by the extra: pip install 'keyproof[desk]'") from None
    try:
        folder = Folder.of(path)
    except Refused as fault:
        raise click.ClickException(str(fault)) from None
    run(folder, lambda words: click.echo(words), stay=stay, browse=not no_browser)
    return Exit.clean
