"""HTML made of parts, so that no text can become markup: what is not `Markup` is escaped."""

from collections.abc import Iterable
from html import escape


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


Child = str | None | Iterable["Child"]
_EMPTY = frozenset({"meta", "link", "br", "hr", "input"})


def join(*children: Child) -> Markup:
    """Return parts one after the other; None is nothing, plain text is escaped."""
    return Markup("".join(_parts(children)))


def _parts(children: Child) -> Iterable[str]:
    if isinstance(children, Markup):
        yield children
    elif isinstance(children, str):
        yield escape(children, quote=False)
    elif children is not None:
        for child in children:
            yield from _parts(child)


def tag(name: str, /, *children: Child, **attributes: str | bool | None) -> Markup:
    """Return an element. `class_` is "class", "_" is "-"; an attribute that is None or False is left out."""
    written = "".join(
        f" {key.rstrip('_').replace('_', '-')}" + ("" if value is True else f'="{escape(value)}"')
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _EMPTY:
        return Markup(f"<{name}{written}>")
    return Markup(f"<{name}{written}>{join(*children)}</{name}>")
