"""What several commands ask of their arguments, and tell first."""

import click


def limit(context: click.Context, option: click.Parameter, number: float | None) -> float | None:
    """Refuse an effort that limits nothing: no number, none above 0, or more positions than 64 bits count."""
    if number is not None and not 0 < number <= 1e12:
        raise click.BadParameter(f"{number} is not above 0 and at most 1e12", context, option)
    return number


stipulation = click.option(
    "--stipulation", metavar="WORDS", help="What is asked, such as '#2', 'h#2.5' or 'mate in two'."
)
chosen = click.option("--number", type=click.IntRange(min=1), metavar="N", help="Which puzzle of a file, from 1.")
settings_file = click.option(
    "--settings",
    "settings_file",
    metavar="FILE",
    type=click.Path(),
    help="The settings file.  [default: the nearest keyproof.toml or pyproject.toml]",
)
effort_of_proofs = click.option(
    "--effort",
    type=float,
    callback=limit,
    metavar="NUMBER",
    help="Million positions searched for each proof.  [default: 50]",
)
processes = click.option(
    "--jobs", type=click.IntRange(min=1), metavar="NUMBER", help="Processes to use.  [default: by the number of files]"
)
positions = click.option(
    "--positions", metavar="FILE", type=click.Path(), help="The positions of a recording or script that shows none."
)


def tell_if_slow() -> None:
    """Tell a user once where proofs are slow for want of a compiler."""
    from .slowness import note

    told = note()
    if told is not None:
        click.echo(f"keyproof: note: {told}", err=True)
