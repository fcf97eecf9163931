"""The fast lexer and the fast driver of the parse table do what lark's own do. Source: lark itself, run beside them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar import tables
from keyproof.grammar.lalr import Table
from keyproof.grammar.lexing import Lexer, beginnings
from lark import Token
from lark.exceptions import LarkError, UnexpectedInput
from test_any_text import TEXTS

PROSE = tables.parser("statements.lark")
MOVES = tables.parser("moves.lark")
LEXER, MOVE_LEXER = Lexer(PROSE), Lexer(MOVES)
TABLE, MOVE_TABLE = Table(PROSE), Table(MOVES)
TERMINALS = sorted(terminal.name for terminal in PROSE.terminals if terminal.name != "BLANK")
PHRASES = st.lists(st.sampled_from([*TERMINALS, "NUMBER", "MOVE", "MAN", "VERB", "SQUARE", "COMMA"]), max_size=8)


def cut(parser: object, text: str) -> list[tuple[str, str, int | None]]:
    interactive = parser.parse_interactive(text)  # type: ignore[attr-defined]
    found = interactive.lexer_thread.lex(interactive.parser_state)
    return [(token.type, token.value, token.start_pos) for token in found]


@given(TEXTS)
def test_tokens_are_those_that_lark_cuts(text: str) -> None:
    assert [(token.type, token.value, token.start_pos) for token in LEXER.tokens(text)] == cut(PROSE, text)


@given(TEXTS | st.text("KQRBNSa-h12345678x:-+#=!?().e p~any0O", max_size=9))
def test_a_move_is_cut_as_lark_cuts_it_or_not_at_all(text: str) -> None:
    try:
        expected = cut(MOVES, text)
    except UnexpectedInput:
        with pytest.raises(LarkError):
            list(MOVE_LEXER.tokens(text))
        return
    assert [(token.type, token.value, token.start_pos) for token in MOVE_LEXER.tokens(text)] == expected


def test_positions_count_from_the_offset() -> None:
    (token,) = LEXER.tokens("Qb6", 40)
    assert (token.start_pos, token.end_pos) == (40, 43)


@pytest.mark.parametrize(
    ("pattern", "pairs"),
    [
        (r"(?<!\w)a?(?:b|cd)", "ab ac b cd"),
        (r"(?i:a)|[^\x00-y]", "a A z { | } ~ \x7f"),
        (r"(?=q)(?:x{0,2}y)+z?", "xx xy y yx yy yz"),
        (r"\b(?-i:[p-q])é", ""),
        (r"p?q{1}r", "pq qr"),
        (r"(?:ab|a)c*", "a ab ac"),
    ],
)
def test_beginnings_of_a_pattern(pattern: str, pairs: str) -> None:
    found = beginnings(pattern)
    assert {sign + after for sign, following in found.items() for after in following} == set(pairs.split())


@given(st.from_regex(r"(?:[abc](?:b?|[ab]{2,3}|(?:a|bc)*))+(?:b*c|[^a])?", fullmatch=True))
def test_whatever_matches_begins_as_foretold(text: str) -> None:
    found = beginnings(r"(?:[abc](?:b?|[ab]{2,3}|(?:a|bc)*))+(?:b*c|[^a])?")
    assert text[0] in found
    assert not text[1:2].isascii() or {"", text[1:2]} & found[text[0]]


def test_what_may_match_nothing_may_begin_with_anything() -> None:
    assert len(beginnings("a*")) == 128


def accepted(kinds: list[str]) -> bool:
    """Tell whether lark takes these terminals for a whole phrase."""
    parser = PROSE.parse_interactive("")
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
    end, tree = TABLE.longest(tokens, 0, "NEWLINE")
    assert end == max(ends, default=0)
    assert (tree is None) == (end == 0)


@given(PHRASES)
def test_the_tree_is_the_one_that_lark_builds(kinds: list[str]) -> None:
    tokens = [Token(kind, "x") for kind in kinds]
    if not accepted(kinds):
        with pytest.raises(LarkError):
            TABLE.tree(tokens)
        return
    parser = PROSE.parse_interactive("")
    for token in tokens:
        parser.feed_token(token)
    assert TABLE.tree(tokens) == parser.feed_eof()


@pytest.mark.parametrize("text", ["Kd5", "exd8=S+", "0-0-0", "e8(N)", "R~", "N5:d6", "exf3 e.p.", "Sd3xSf4!?"])
def test_the_tree_of_a_move_is_the_one_that_lark_builds(text: str) -> None:
    assert MOVE_TABLE.tree([*MOVE_LEXER.tokens(text)]) == MOVES.parse(text)
