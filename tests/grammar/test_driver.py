"""The fast lexer and the fast driver of the parse table do what lark's own do. Source: lark itself, run beside them."""

import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import tables
from keyproof.grammar.beginnings import ASCII, beginnings
from keyproof.grammar.building import build, parser
from keyproof.grammar.compiled import MATCHER, compiled, restored
from keyproof.grammar.lalr import Table
from keyproof.grammar.lexing import Lexer
from keyproof.grammar.spans import Span
from keyproof.grammar.trees import NoPhrase
from lark import Lark, Token
from lark.exceptions import UnexpectedInput
from test_any_text import TEXTS

GRAMMARS = Path(tables.__file__).parent
LEXER, MOVE_LEXER = (Lexer(tables.grammar(name)) for name in ("statements.lark", "moves.lark"))
TABLE, MOVE_TABLE = (Table(tables.grammar(name)) for name in ("statements.lark", "moves.lark"))
TERMINALS = sorted(each.name for each in tables.grammar("statements.lark").terminals if each.name != "BLANK")
PHRASES = st.lists(st.sampled_from([*TERMINALS, "NUMBER", "MOVE", "MAN", "VERB", "SQUARE", "COMMA"]), max_size=8)


@cache
def larks(name: str) -> Lark:
    """Return lark's own parser of a grammar, which takes half a second to make."""
    return parser((GRAMMARS / name).read_text(encoding="utf-8"))


def cut(parser: object, text: str) -> list[tuple[str, str, int | None]]:
    interactive = parser.parse_interactive(text)  # type: ignore[attr-defined]
    found = interactive.lexer_thread.lex(interactive.parser_state)
    return [(token.type, token.value, token.start_pos) for token in found]


@given(TEXTS)
def test_tokens_are_those_that_lark_cuts(text: str) -> None:
    assert [(token.type, token.value, token.start) for token in LEXER.tokens(text)] == cut(
        larks("statements.lark"), text
    )


@given(TEXTS | st.text("KQRBNSa-h12345678x:-+#=!?().e p~any0O", max_size=9))
def test_a_move_is_cut_as_lark_cuts_it_or_not_at_all(text: str) -> None:
    try:
        expected = cut(larks("moves.lark"), text)
    except UnexpectedInput:
        with pytest.raises(NoPhrase):
            MOVE_LEXER.tokens(text)
        return
    assert [(token.type, token.value, token.start) for token in MOVE_LEXER.tokens(text)] == expected


def test_positions_count_from_the_offset() -> None:
    (token,) = LEXER.tokens("Qb6", 40)
    assert (token.span, token.value) == (Span(40, 43), "Qb6")


@pytest.mark.parametrize(
    ("pattern", "signs"),
    [
        (r"(?<!\w)a?(?:b|cd)", "abc"),
        (r"(?i:a)|[^\x00-y]", "aAz{|}~\x7f"),
        (r"(?=q)(?:x{0,3}y)+z?", "xy"),
        (r"\b(?-i:[p-q])", "pq"),
    ],
)
def test_beginnings_of_a_pattern(pattern: str, signs: str) -> None:
    assert {sign for sign in ASCII if beginnings(pattern).fits(sign)} == set(signs)


@pytest.mark.parametrize(
    ("pattern", "next_signs"),
    [
        ("a(?:b|[c-e]f)?g", "bcdeg"),
        ("a{2}|ab+", "ab"),
        ("a{1,2}b", "ab"),
        ("ab?(?=c)", "bc"),
        ("(?=a.)ab(?!c)", "b"),
    ],
)
def test_what_may_stand_behind_the_first_sign(pattern: str, next_signs: str) -> None:
    fitting = {sign for sign in ASCII if beginnings(pattern).fits("a" + sign)}
    assert fitting == set(next_signs)


@pytest.mark.parametrize("pattern", ["a*", "a|bc", "a(?=b|$)", "(?<=b)a"])
def test_what_may_be_one_sign_or_none_may_stand_before_anything(pattern: str) -> None:
    assert all(beginnings(pattern).fits("a" + sign) for sign in ASCII)


def test_what_may_match_nothing_may_begin_with_anything() -> None:
    assert all(beginnings("a*").fits(sign) for sign in ASCII)


def accepted(kinds: list[str]) -> bool:
    """Tell whether lark takes these terminals for a whole phrase."""
    parser = larks("statements.lark").parse_interactive("")
    try:
        for kind in kinds:
            parser.feed_token(Token(kind, "x"))
        parser.feed_eof()
    except UnexpectedInput:
        return False
    return True


@given(PHRASES)
def test_the_longest_phrase_is_the_longest_that_lark_accepts(kinds: list[str]) -> None:
    tokens = [Token(kind, "x") for kind in kinds]
    starts = [[kind for kind in kinds[:end] if kind != "NEWLINE"] for end in range(len(kinds) + 1)]
    ends = [end for end, start in enumerate(starts) if end and kinds[end - 1] != "NEWLINE" and accepted(start)]
    assert TABLE.longest(tokens, 0, "NEWLINE") == max(ends, default=0)


@given(PHRASES)
def test_the_tree_is_the_one_that_lark_builds(kinds: list[str]) -> None:
    tokens = [Token(kind, "x") for kind in kinds]
    if not accepted(kinds):
        with pytest.raises(NoPhrase):
            TABLE.tree(tokens)
        return
    parser = larks("statements.lark").parse_interactive("")
    for token in tokens:
        parser.feed_token(token)
    assert TABLE.tree(tokens) == parser.feed_eof()


@pytest.mark.parametrize("text", ["Kd5", "exd8=S+", "0-0-0", "e8(N)", "R~", "N5:d6", "exf3 e.p.", "Sd3xSf4!?"])
def test_the_tree_of_a_move_is_the_one_that_lark_builds(text: str) -> None:
    tokens = [Token(token.type, token.value) for token in MOVE_LEXER.tokens(text)]
    assert MOVE_TABLE.tree(tokens) == larks("moves.lark").parse(text)


@pytest.mark.parametrize("path", sorted(GRAMMARS.glob("*.lark")), ids=lambda path: path.name)
def test_the_tables_of_a_grammar_are_kept_as_they_are_built(path: Path) -> None:
    assert tables.grammar(path.name) == build(path.read_text(encoding="utf-8"))


def built(folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Read the tables of moves from `folder`, where the grammars stand alone; return what had to be built."""
    made: list[str] = []
    monkeypatch.setattr(tables, "_HOME", folder)
    monkeypatch.setattr("keyproof.grammar.building.build", lambda source: made.append(source) or build(source))
    tables.grammar.cache_clear()
    try:
        assert tables.grammar("moves.lark") == build((folder / "moves.lark").read_text(encoding="utf-8"))
    finally:
        tables.grammar.cache_clear()
    return made


@pytest.fixture
def alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the grammar of moves and what makes its tables, and nothing kept in it yet."""
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    monkeypatch.setattr("sys.pycache_prefix", None)
    for name in ("moves.lark", *tables._MAKERS):
        (tmp_path / name).write_bytes((GRAMMARS / name).read_bytes())
    return tmp_path


def test_tables_are_kept_until_their_grammar_or_their_makers_change(
    alone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert built(alone, monkeypatch)
    assert not built(alone, monkeypatch)
    for name in ("moves.lark", *tables._MAKERS):
        with (alone / name).open("a", encoding="utf-8") as changed:
            changed.write("\n")
        assert built(alone, monkeypatch)
        assert not built(alone, monkeypatch)


@pytest.mark.parametrize("damage", [b"", b"no tables", b"[]", b'{"of": 1}', b"\xff", bytes(100)])
def test_damaged_tables_are_built_anew(alone: Path, monkeypatch: pytest.MonkeyPatch, damage: bytes) -> None:
    assert built(alone, monkeypatch)
    (kept,) = (alone / "__pycache__").iterdir()
    kept.write_bytes(damage)
    assert built(alone, monkeypatch)
    assert not built(alone, monkeypatch)


def test_tables_that_came_with_a_wheel_are_read(alone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "_HOME", alone)
    tables.write_all(alone)
    assert not built(alone, monkeypatch)
    (alone / "moves.lark.tables").unlink()
    assert not built(alone, monkeypatch)  # they are kept where they are read faster


@pytest.mark.parametrize("damage", [b"", b"no tables", b"[]", b'{"of": 1}', b"\xff", bytes(100)])
def test_damaged_tables_of_a_wheel_are_built_anew(alone: Path, monkeypatch: pytest.MonkeyPatch, damage: bytes) -> None:
    (alone / "moves.lark.tables").write_bytes(damage)
    assert built(alone, monkeypatch)
    assert not built(alone, monkeypatch)


def test_where_no_file_can_be_kept_tables_are_built_each_time(alone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (alone / "__pycache__").write_text("a file where the folder should be")
    assert built(alone, monkeypatch)
    assert built(alone, monkeypatch)


def test_tables_are_kept_only_where_compiled_modules_are(alone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    assert built(alone, monkeypatch)
    assert not (alone / "__pycache__").exists()


@pytest.mark.parametrize("path", sorted(GRAMMARS.glob("*.lark")), ids=lambda path: path.name)
def test_a_compiled_form_is_what_python_compiles(path: Path) -> None:
    """Patterns are equal where their flags, their text and their compiled forms are."""
    for terminal in tables.grammar(path.name).terminals:
        assert restored(terminal.pattern, terminal.form) == re.compile(terminal.pattern)


def test_groups_keep_their_names() -> None:
    pattern = r"(a)(?P<second>b)|(?i:c)"
    assert restored(pattern, compiled(pattern)).match("ab")["second"] == "b"  # type: ignore[index]
    assert restored(pattern, compiled(pattern)).groupindex == re.compile(pattern).groupindex


@pytest.mark.parametrize("form", ["", "32 0  AAAA", "32 0  ????", "x y z", "32 0  " + 8 * "/"])
def test_a_damaged_form_is_compiled_as_usual(form: str) -> None:
    terminal = next(each for each in tables.grammar("moves.lark").terminals if each.name == "SQUARE")
    assert terminal._replace(form=form).matcher(MATCHER)("d5", 0)
    assert terminal.matcher("another matcher")("d5", 0)
