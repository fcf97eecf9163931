"""The pages of the rules for people."""

from collections.abc import Iterable, Iterator, Sequence

from keyproof.rules.finding import Level

from ..pages import Page
from .terminal import Line, Part, escape, line


def report(page: Page, messages: Sequence[str] = ()) -> Iterator[Line]:
    """Yield the lines of one page; `messages` are what the bad example is answered with."""
    yield Line((Part(page.name, "strong"), Part(" ("), _level(page.level), Part(")")))
    yield line(page.summary, hang=0)
    for paragraph in page.body:
        yield line()
        yield line(paragraph, hang=0)
    for title, text in (("Settings", page.settings), ("Bad", page.bad), ("Good", page.good)):
        if not text:
            continue
        yield line()
        yield line(f"{title}:", "strong")
        yield from (line(f"    {row}" if row else "", hang=8) for row in text.splitlines())
        if title == "Bad" and messages:
            yield line("It is answered:")
            yield from (line(f"    {escape(message)}", hang=8) for message in messages)
    if page.blind_spots:
        yield line()
        yield line(f"Blind spots: {page.blind_spots}", hang=0)


def index(pages: Iterable[Page]) -> Iterator[Line]:
    """Yield one line for each rule: name, level, summary."""
    listed = list(pages)
    width = max((len(page.name) for page in listed), default=0)
    for page in listed:
        yield Line(
            (
                Part(f"{page.name:<{width}}  ", "strong"),
                _level(page.level),
                Part(" " * (len("warning") - len(page.level.name))),
                Part(f"  {page.summary}"),
            ),
            hang=width + len("warning") + 4,
        )


def _level(level: Level) -> Part:
    return Part(level.name, level.name)  # type: ignore[arg-type]  # looks are named after levels
