"""A Markdown text parsed in parts has the tokens of the whole, as the parser itself (markdown-it-py) gives them."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.linter.readers.markdown_parts import parts
from markdown_it import MarkdownIt
from markdown_it.token import Token

CORPUS = sorted((Path(__file__).parents[2] / "corpus").rglob("*.md"))
MARKDOWN = MarkdownIt("commonmark").enable("table")
LINES = st.sampled_from(
    (
        *("", "", "", " ", "\t", "# No. 1", "words", "* item", "- item", "1. Kg2", "2) item", "  inside", "    code"),
        *("```", "~~~", "> said", "<div>", "</div>", "<!--", "-->", "<script>", "</script>", "<?", "---", "===", "<b>"),
        *("| a | b |", "|---|---|", "[link]: /here", "[link]:", "/here", "[link]", "\u00a0", "\\"),
    )
)


def shown(token: Token, first: int) -> tuple[object, ...]:
    lines = None if token.map is None else [line + first for line in token.map]
    return token.type, token.nesting, token.level, lines, token.content, token.markup, token.info


def both(source: str) -> Iterator[tuple[object, object]]:
    whole: list[Token] = []
    env: dict[str, dict[str, dict[str, str]]] = {}
    MARKDOWN.block.parse(source, MARKDOWN, env, whole)
    found = list(parts(source, MARKDOWN))
    yield [shown(token, first) for first, part in found for token in part.tokens], [shown(each, 0) for each in whole]
    references: dict[str, object] = {}
    for _, part in reversed(found):
        references |= {label: link["href"] for label, link in part.references.items()}  # type: ignore[index]
    yield references, {label: link["href"] for label, link in env.get("references", {}).items()}


@given(st.lists(LINES, max_size=24).map("\n".join))
@example("```\n\nno heading\n\nstill code")
@example("<!-- a\n\n# b\n\n-->\n\n# c")
@example("- a\n\n- b\n\nc\n\n1. d\n\n1. e")
@example("[link]:\n\n[link]:\n/here\n\n[link]: /there")
def test_the_parts_have_the_tokens_of_the_whole(source: str) -> None:
    for found, expected in both(source):
        assert found == expected


@pytest.mark.parametrize("path", CORPUS, ids=[path.name for path in CORPUS])
def test_texts_of_the_corpus(path: Path) -> None:
    for found, expected in both(path.read_text(encoding="utf-8").replace("\r\n", "\n")):
        assert found == expected


def test_only_what_changed_is_parsed_again() -> None:
    text = "\n".join(f"# No. {number}\n\nwords of it\n" for number in range(40))
    before = [part for _, part in parts(text, MARKDOWN)]
    after = [part for _, part in parts(text.replace("# No. 7\n\nwords", "# No. 7\n\nother words"), MARKDOWN)]
    assert len(before) == len(after) == 80
    assert [at for at in range(80) if before[at] is not after[at]] == [14, 15]  # the line that ends 14 has changed


def test_a_long_fence_costs_a_few_parses(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not one parse for each line that could begin a part."""
    parse = MARKDOWN.block.parse
    parsed: list[int] = []

    def counted(source: str, *more: object) -> object:
        parsed.append(source.count("\n"))
        return parse(source, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(MARKDOWN.block, "parse", counted)
    text = "```\n" + "line\n\n" * 4000
    assert len(list(parts(text, MARKDOWN))) == 1
    assert sum(parsed) < 4 * text.count("\n")
