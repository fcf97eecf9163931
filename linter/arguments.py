"""What several commands ask of their arguments."""

import click


def limit(context: click.Context, option: click.Parameter, number: float | None) -> float | None:
    """Refuse an effort that limits nothing: no number, none above 0, or more positions than 64 bits count."""
    if number is not None and not 0 < number <= 1e12:
        raise click.BadParameter(f"{number} is not above 0 and at most 1e12", context, option)
    return number
