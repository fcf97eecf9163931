"""Reasons in words: "for the bishop on e6 is pinned", "the queen guards d5".

Only the sentences that hold a word worth reading are taken apart, so that other prose costs one
search. The grammar (reasons.lark) says what a reason is; nothing here knows what is true.
"""

import re

from lark import Lark, Token, Tree

from . import tables
from .phrases import choices, longest_phrase
from .spans import Span
from .speech import man_of, span_of
from .statements import Man, Reason, ReasonKind
from .words import FILES, square_of, terminal_of

WORTH = re.compile(r"\b(?:un)?pin(?:s|ned|ning)\b", re.I)
"""The words without which there is no reason."""

_KINDS: dict[str, tuple[ReasonKind, bool]] = {
    "pinned": ("pinned", False),
    "pinned_man": ("pinned", False),
    "pins": ("pinned", True),
    "unpins": ("pinned", True),
}
# Each rule of the grammar with its kind, and whether its subject does it to the object.

_ATTRIBUTES = {"pinned_man": "PINNED"}
_DENIES = {"IS_NOT", "UNPINS"}
_REACH = 120  # characters on either side of a word worth reading in which its reason stands


def reasons(text: str, span: Span) -> list[Reason]:
    """Return the reasons given in a stretch of masked text, in order, none overlapping another."""
    found: list[Reason] = []
    done = span.start
    for word in WORTH.finditer(text, *span):
        if word.start() < done:
            continue
        window = Span(max(done, word.start() - _REACH), min(span.end, word.end() + _REACH))
        reason = _around(text, window, word.start())
        if reason is not None:
            found.append(reason)
            done = reason.span.end
    return found


def _parser() -> Lark:
    return tables.parser("reasons.lark")


def _around(text: str, window: Span, word: int) -> Reason | None:
    """Return the reason of which the word at offset `word` is a part: the one that begins first."""
    tokens = _tokens(text, window)
    starts = choices(_parser().parse_interactive("")) - _ASIDE
    for index, token in enumerate(tokens):
        begin, _ = span_of(token)
        if begin > word:
            return None
        if token.type in starts:
            length, tree = longest_phrase(_parser(), tokens, index)
            if tree is not None and span_of(tokens[index + length - 1]).end > word:
                return _reason(text, tree)
    return None


def _tokens(text: str, window: Span) -> list[Token]:
    start = window.start
    while 0 < start < window.end and text[start - 1].isalnum() and text[start].isalnum():
        start += 1  # begin with a whole word
    state = _parser().parse_interactive(text[start : window.end])
    found = list(state.lexer_thread.lex(state.parser_state))  # type: ignore[no-untyped-call]
    for token in found:
        assert token.start_pos is not None
        if token.type == "WORD":
            told = terminal_of(token.value)
            token.type = told if told in _SINGLE else "WORD"
        token.start_pos += start
        token.end_pos = token.start_pos + len(token)
    return found


_ASIDE = {"WORD", "OTHER", "NEWLINE"}
_SINGLE = {"ADVERB", "MAN", "DETERMINER", "COLOUR", "PRONOUN", "OTHER_MAN", "ON"}


def _reason(text: str, tree: Tree[Token]) -> Reason:
    tokens = list(tree.scan_values(lambda value: isinstance(value, Token)))
    span = span_of(tokens[0]).to(span_of(tokens[-1]))
    kind, active = _KINDS[tree.data]
    if tree.data in _ATTRIBUTES:  # "the pinned knight takes": the man may be that of a move, the word alone is a claim
        span = next(span_of(token) for token in tokens if token.type == _ATTRIBUTES[tree.data])
        return Reason(kind, span, " ".join(tokens), man=_man(text, tree))
    men = {part.data: _man(text, part) for part in tree.children if isinstance(part, Tree)}
    subject, second = men.get("subject"), men.get("object") or men.get("agent")
    return Reason(
        kind,
        span,
        " ".join(span.of(text).split()),
        man=second if active else subject,
        other=subject if active else second,
        target=men.get("target"),
        where=" ".join(token.value for token in tokens if token.type == "LINE"),
        negated=any(token.type in _DENIES for token in tokens),
    )


def _man(text: str, tree: Tree[Token]) -> Man:
    tokens = list(tree.scan_values(lambda value: isinstance(value, Token) and value.type not in ("WHICH", "COMMA")))
    by_type: dict[str, str] = {token.type: token.value.lower() for token in tokens}
    span = span_of(tokens[0]).to(span_of(tokens[-1]))
    owner = by_type.get("COLOUR") or by_type.get("DETERMINER", "")
    shade = by_type.get("SHADE")
    file = re.search(r"[a-z]+", by_type.get("FILE_OF", ""))
    return Man(
        span,
        " ".join(span.of(text).split()),
        kinds=(man_of(by_type["MAN"]),) if "MAN" in by_type else (),
        colour=owner.startswith("white") if owner.startswith(("white", "black")) else None,
        squares=tuple(square_of(token.value) for token in tokens if token.type == "SQUARE"),
        file=FILES[file[0]] if file else None,
        light=shade.startswith(("light", "white")) if shade else None,
        pronoun="PRONOUN" in by_type,
    )
