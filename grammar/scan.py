"""From prose to statements: at each place the longest phrase of statements.lark is taken.

The grammar says what a phrase is; the scan only finds where one stands, so that
text around the phrases, in whatever words, is an aside and stops nothing.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Set
from functools import cache

import chess
from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput
from lark.parsers.lalr_interactive_parser import InteractiveParser

from . import tables
from .letters import LANGUAGES
from .moves import Effect, MovePhrase, NotAMove, Sort, letters_used, pick_language, read_move
from .spans import Span
from .statements import Aside, Break, Claim, Marker, MoveNumber, NotUnderstood, Statement, Turn

_BREAKS = {
    "COMMA": "comma",
    "SEMICOLON": "semicolon",
    "STOP": "stop",
    "NEWLINE": "line",
    "OPEN": "open",
    "CLOSE": "close",
}
_MEN = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name}


def _parser() -> Lark:
    return tables.parser("statements.lark")


def tokens(text: str, span: Span) -> list[Token]:
    """Split `span` of `text` into tokens whose `start_pos` and `end_pos` are offsets in `text`."""
    parser = _parser().parse_interactive(span.of(text))  # Lark.lex would build its lexer anew each time
    found = list(parser.lexer_thread.lex(parser.parser_state))  # type: ignore[no-untyped-call]
    for token in found:
        assert token.start_pos is not None
        token.start_pos += span.start
        token.end_pos = token.start_pos + len(token)
    return found


def language_of(blocks: Iterable[list[Token]]) -> str:
    """Return the language of the piece letters printed in these blocks ("en" unless other letters are used)."""
    letters: set[str] = set()
    for block in blocks:
        for token in block:
            if token.type in ("MOVE", "SET_OF_MOVES"):
                letters |= letters_used(token.value)
    return pick_language(letters)


def statements(text: str, prose: Iterable[Span]) -> tuple[list[Statement], str]:
    """Read the statements of several blocks of `text`, and the language of their piece letters.

    `text` is the masked text of a document, `prose` the blocks of one puzzle. Never raises for any text.
    """
    blocks = [(span, tokens(text, span)) for span in prose]
    language = language_of(block for _, block in blocks)
    found: list[Statement] = []
    for span, block in blocks:
        found.extend(_scan(text, block, LANGUAGES[language]))
        found.append(Break("block", Span(span.end, span.end)))
    return found, language


def read_span(text: str, span: Span, language: str) -> list[Statement]:
    """Read the statements of one stretch of `text`, with the piece letters of `language` (two-letter code)."""
    return list(_scan(text, tokens(text, span), LANGUAGES[language]))


def _scan(text: str, block: list[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Statement]:
    starts = _first_terminals()
    aside: Span | None = None
    index = 0
    while index < len(block):
        token = block[index]
        length, tree = _longest_phrase(block, index) if token.type in starts else (0, None)
        if tree is not None:
            read = list(_read(tree, letters))
        else:
            single, length = _single(block, index)
            read = [] if single is None else [single]
        if not read:
            here = _span(token)
            aside = here if aside is None else aside.to(here)
        else:
            if aside is not None:
                yield Aside(aside, aside.of(text))
                aside = None
            yield from read
        index += length
    if aside is not None:
        yield Aside(aside, aside.of(text))


def _single(block: list[Token], index: int) -> tuple[Statement | None, int]:
    """Read what no phrase begins with: a break, something like a move, or nothing; and how many tokens it takes."""
    token = block[index]
    span = _span(token)
    if token.type in _BREAKS:
        kind = "question" if token.value == "?" else _BREAKS[token.type]
        return Break(kind, span), 1  # type: ignore[arg-type]
    if token.type == "SUSPECT":
        return NotUnderstood(span, token.value), 1
    if token.type == "NUMBER" and index + 1 < len(block):
        # "1...Zd5": the number promises a move; "chapter 5. The" does not.
        after = block[index + 1]
        attached = after.start_pos == token.end_pos and after.type in ("WORD", "SUSPECT")
        if attached and re.search(r"\.{2}|…|\.$", token.value) and len(after.value) < 8:
            return NotUnderstood(span.to(_span(after)), token.value + after.value), 2
    return None, 1


def _choices(parser: InteractiveParser) -> Set[str]:
    """Return the terminals the parse table allows next; some may yet fail, since LALR merges lookaheads."""
    return parser.choices().keys()  # type: ignore[no-untyped-call,no-any-return]


@cache
def _first_terminals() -> Set[str]:
    return _choices(_parser().parse_interactive("")) - {"$END"} - _aside_terminals()


@cache
def _aside_terminals() -> frozenset[str]:
    return frozenset(
        symbol.name for rule in _parser().rules if rule.origin.name == "aside" for symbol in rule.expansion
    )


def _longest_phrase(block: list[Token], index: int) -> tuple[int, Tree[Token] | None]:
    """Return how many tokens the longest phrase from `index` takes, and its tree; 0 and None where there is none.

    Line ends inside a phrase are passed over, since prose is wrapped anywhere.
    """
    parser = _parser().parse_interactive("")
    ends: list[int] = []
    for end in range(index, len(block)):
        token = block[end]
        if token.type == "NEWLINE":
            continue
        if token.type not in _choices(parser):
            break
        try:
            parser.feed_token(token)
        except UnexpectedInput:
            break
        if "$END" in _choices(parser):
            ends.append(end + 1)
    for end in reversed(ends):
        # "$END" among the choices may be the end of a part that the whole phrase does not allow.
        parser = _parser().parse_interactive("")
        try:
            for token in block[index:end]:
                if token.type != "NEWLINE":
                    parser.feed_token(token)
            tree: Tree[Token] = parser.feed_eof()  # type: ignore[no-untyped-call]
        except UnexpectedInput:
            continue
        child = tree.children[0]
        assert isinstance(child, Tree)
        return end - index, child
    return 0, None


def _span(token: Token) -> Span:
    assert token.start_pos is not None
    assert token.end_pos is not None
    return Span(token.start_pos, token.end_pos)


def _read(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Statement]:
    if tree.data == "line":
        for part in tree.children:
            assert isinstance(part, Tree)
            yield from _turns(part, letters)
        return
    token = tree.children[0]
    assert isinstance(token, Token)
    kind = token.type.lower()
    if tree.data == "marker":
        yield Marker(kind, _span(token))  # type: ignore[arg-type]
    else:
        yield Claim(kind, _span(token), token.value)  # type: ignore[arg-type]


def _turns(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Turn]:
    """Yield the turns of one `turn` or `reply`; alternatives with another number are turns of their own."""
    parts = tree.children[0].children if tree.data == "turn" else tree.children  # type: ignore[union-attr]
    number: MoveNumber | None = None
    choices: list[MovePhrase] = []
    effects: list[tuple[Effect, Span]] = []
    bare = False
    spans: list[Span] = []

    def close() -> Turn:
        return Turn(spans[0].to(spans[-1]), number, tuple(choices), tuple(effects), bare and len(choices) == 1)

    for part in parts:
        if isinstance(part, Token):
            if part.type == "NUMBER":
                this = _number(part)
                if choices and number is not None and this.ply != number.ply and this.ply is not None:
                    yield close()
                    choices, effects, spans, bare = [], [], [], False
                if number is None or not choices:
                    number = this
            elif part.type == "OUTCOME":
                effects.extend(_effects(part))
            elif part.type == "DENIED":
                effects.append((Effect.denied, _span(part)))
            elif part.type == "MATE_BY":
                effects.append((Effect.mate, _span(part)))
            elif part.type == "COMMA":
                if number is not None and not number.second:  # "2.Qb6#, Kd5": the next is no other choice
                    yield close()
                    number, choices, effects, spans, bare = None, [], [], [], False
                continue
            elif part.type == "SQUARE":
                bare = True
                choices.append(read_move(part.value, offset=_span(part).start, letters=letters))
            else:
                continue
            spans.append(_span(part))
        else:
            phrase = _choice(part, letters)
            bare = bare or part.data == "square"
            choices.append(phrase)
            spans.append(phrase.span)
    yield close()


def _number(token: Token) -> MoveNumber:
    digits = re.match(r"\d+", token.value)
    rest = token.value[digits.end() :] if digits else token.value
    second = rest.count(".") > 1 or "…" in rest or bool(re.search(r"[-–—]", rest))
    return MoveNumber(_span(token), int(digits[0]) if digits else None, second)


def _effects(token: Token) -> Iterator[tuple[Effect, Span]]:
    words = token.value.lower()
    denied = re.search(r"\b(?:not|no)\s", words)
    core = re.search(r"double\s+check|dbl|dis|stalemate|mate|check", words)
    assert core is not None
    span = Span(_span(token).start + core.start(), _span(token).end)
    while span.end > span.start and token.value[span.end - _span(token).start - 1] in ")":
        span = Span(span.start, span.end - 1)
    if core[0] == "check" and re.search(r"check-?mate", words):
        effect = Effect.mate
    else:
        first = core[0].split()[0]
        effect = {
            "double": Effect.double_check,
            "dbl": Effect.double_check,
            "dis": Effect.discovered_check,
            "stalemate": Effect.stalemate,
            "mate": Effect.mate,
            "check": Effect.check,
        }[first]
    if denied and effect not in (Effect.mate, Effect.check):
        return  # "is no stalemate": no claim that a rule knows
    if denied and effect is Effect.mate:
        effect = Effect.not_mate
    elif denied and effect is Effect.check:
        effect = Effect.not_check
    elif effect is Effect.check and re.search(r"\b(?:only|just)\s", words):
        yield Effect.not_mate, span
    yield effect, span


def _choice(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> MovePhrase:
    child = tree.children[0]
    if isinstance(child, Tree):
        return _worded(child)
    span = _span(child)
    if child.type in ("ANY_OTHER", "ANY_MOVE"):
        sort = Sort.any_other if child.type == "ANY_OTHER" else Sort.any_move
        return MovePhrase(span, child.value, sort, worded=True)
    try:
        return read_move(child.value, offset=span.start, letters=letters)
    except NotAMove as fault:  # the token pattern and moves.lark describe one language; a gap between them is a bug
        raise AssertionError(f"statements.lark and moves.lark disagree: {fault}") from fault


def _man(token: Token) -> chess.PieceType:
    return _MEN[token.value.lower().removesuffix("s")]


def _worded(tree: Tree[Token]) -> MovePhrase:
    """Read a move in words. Its span runs from the first to the last word."""
    found: dict[str, object] = {}
    whole: list[Span] = []
    words_said: list[str] = []
    for part in tree.children:
        for token in [part] if isinstance(part, Token) else part.scan_values(lambda t: isinstance(t, Token)):
            whole.append(_span(token))
            words_said.append(token.value)
        if isinstance(part, Tree):
            _worded_part(part, found)
            continue
        words = part.value.lower()
        if part.type == "DETERMINER":
            if words.startswith(("black", "white")):
                found["colour"] = words.startswith("white")
        elif part.type == "COLOUR":
            found["colour"] = words == "white"
        elif part.type == "SHADE":
            found["square_shade"] = words.startswith(("light", "white"))
        elif part.type == "WING":
            found["wing"] = words[: 4 if words.startswith("king") else 5]
        elif part.type == "FILE_OF":
            found["origin_file"] = "abcdefgh".index(words[0])
        elif part.type == "MAN":
            found["piece"] = _man(part)
        elif part.type == "SQUARE":
            found["destination"] = chess.parse_square(part.value)
        elif part.type == "CAPTURE_VERB":
            found.update(capture=True, capture_span=_span(part))
        elif part.type == "CASTLES":
            side = re.search(r"short|long|king|queen", words)
            sides = {"short": "short", "king": "short", "long": "long", "queen": "long"}
            found.update(castling=sides[side[0]] if side else "either", piece=chess.KING)
    span = whole[0].to(whole[-1])
    exact = "destination" in found or found.get("castling") in ("short", "long")
    sort = Sort.move if exact else Sort.any_of_piece
    return MovePhrase(span=span, text=" ".join(words_said), sort=sort, worded=True, **found)  # type: ignore[arg-type]


def _worded_part(part: Tree[Token], found: dict[str, object]) -> None:
    tokens_by_type = {t.type: t for t in part.scan_values(lambda t: isinstance(t, Token))}
    square = tokens_by_type.get("SQUARE")
    if part.data == "place" and square is not None:
        found["origin_file"] = chess.square_file(chess.parse_square(square.value))
        found["origin_rank"] = chess.square_rank(chess.parse_square(square.value))
        found["origin_span"] = _span(square)
    elif part.data == "destination" and square is not None:
        found["destination"] = chess.parse_square(square.value)
    elif part.data == "destination":  # "the king to g2!"
        signed = tokens_by_type["SIGNED_SQUARE"]
        move = read_move(signed.value, offset=_span(signed).start)
        found.update(destination=move.destination, effects=move.effects, annotation=move.annotation)
    elif part.data == "object":
        found["captured"] = _man(tokens_by_type["MAN"])
        if square is not None:
            found["destination"] = chess.parse_square(square.value)
    elif part.data == "promoted":
        found["promotion"] = _man(tokens_by_type["MAN"])
        found["promotion_span"] = _span(tokens_by_type["MAN"])
