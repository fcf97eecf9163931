"""From prose to statements: at each place the longest phrase of statements.lark is taken.

The grammar says what a phrase is; the scan only finds where one stands, so that
text around the phrases, in whatever words, is an aside and stops nothing.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache

import chess
from msgspec.structs import replace

from .columns import black_columns
from .descriptive import read_descriptive
from .effects import effects_said
from .initials import pass_over_initials
from .letters import LANGUAGES
from .lexicon.said_squares import leads_to_old_square
from .lexing import Token
from .moves import Effect, MovePhrase, NotAMove, Sort, letters_used, pick_language, read_move
from .phrases import phrases_of
from .promotions import promotions
from .reasons import reasons
from .spans import Span
from .speech import rivals, taken, told_move, topic
from .statements import Aside, Break, Claim, Marker, MoveNumber, NotUnderstood, Outcome, Reason, Statement, Turn
from .trees import Tree
from .words import square_of, terminal_of

_GRAMMAR = "statements.lark"
_BREAKS = {
    "COMMA": "comma",
    "ELLIPSIS": "comma",
    "SEMICOLON": "semicolon",
    "STOP": "stop",
    "NEWLINE": "line",
    "OPEN": "open",
    "CLOSE": "close",
}

_SAYS_SOMETHING = {*_BREAKS, "OUTCOME", "SUSPECT", "NUMBER"}  # alone, without a phrase

_BEGINS_A_LINE = ("MOVE", "SET_OF_MOVES", "DESCRIPTIVE", "ANY_OTHER", "ANY_MOVE", "NUMBER")
_NEEDS_SUBJECT = ("VERB", "PUTS", "TAKES", "RETAKES", "TAKES_BACK")
_POINTS_BACK = re.compile(r"\W*(?:and\s+)?(?:that|this|it|which)(?:['’]s|\s+is|\s+would\s+be)\b", re.I)


def tokens(text: str, span: Span) -> list[Token]:
    """Split `span` of `text` into tokens whose places are offsets in `text`."""
    found = phrases_of(_GRAMMAR).tokens(text, span)
    for token in found:
        if token.type == "WORD":
            token.type = terminal_of(token.value)
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
    pass_over_initials([block for _, block in blocks])
    found: list[Statement] = []
    in_black = black_columns(text, (span for span, _ in blocks))
    for span, block in blocks:
        told = _scan(text, block, LANGUAGES[language])
        found.extend(told if in_black is None else _in_columns(told, in_black))
        found.append(Break("block", Span(span.end, span.end)))
    return found, language


def _in_columns(found: Iterable[Statement], in_black: Callable[[int], bool]) -> Iterator[Statement]:
    """Number the turns of Black's column as Black's: "1." there is "1..."."""
    for statement in found:
        number = statement.number if isinstance(statement, Turn) else None
        if isinstance(statement, Turn) and number is not None and not number.second and in_black(number.span.start):
            yield replace(statement, number=replace(number, second=True))
        else:
            yield statement


def read_span(text: str, span: Span, language: str) -> list[Statement]:
    """Read the statements of one stretch of `text`, with the piece letters of `language` (two-letter code)."""
    block = tokens(text, span)
    pass_over_initials([block])
    return list(_scan(text, block, LANGUAGES[language]))


def _scan(text: str, block: list[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Statement]:
    given = reasons(text, block[0].span.to(block[-1].span), letters) if block else []
    block = _with_reasons(block, given)
    phrases = phrases_of(_GRAMMAR)
    aside: Token | None = None  # the first token of those that no phrase covers
    index = 0
    last: Statement | None = None
    while index < len(block):
        token = block[index]
        tree: Tree[Token] | None = None
        if token.type in phrases.first and not _tells_of(block, index, aside is None and isinstance(last, Turn)):
            length, tree = phrases.longest(block, index)
            if tree is not None and (
                _only_announces(block, index, index + length)
                or leads_to_old_square(text, block[index + length - 1].end)  # else a move to anywhere would be read
            ):
                tree = None
        if tree is not None:
            read = list(_read(tree, letters))
        elif token.type == "REASON":
            read, length = [given.pop(0)], 1
        else:
            single, length = _single(block, index)
            read = [] if single is None else [single]
        if not read:
            aside = aside or token
        else:
            if aside is not None:
                yield _aside(text, aside, block[index - 1])
                aside = None
            yield from read
            last = read[-1]
        index += length
    if aside is not None:
        yield _aside(text, aside, block[-1])


def _aside(text: str, first: Token, last: Token) -> Aside:
    span = Span(first.start, last.end)
    return Aside(span, span.of(text))


def _tells_of(block: list[Token], index: int, after_move: bool) -> bool:
    """Tell whether a verb says what the move before it does, "1.Qa5 takes b5 from the king", or follows "to"."""
    return block[index].type in _NEEDS_SUBJECT and (after_move or (index > 0 and block[index - 1].type == "TO"))


def _with_reasons(block: list[Token], given: list[Reason]) -> list[Token]:
    """Put one token in the place of those that lie in a reason, so that no phrase reaches into it."""
    found: list[Token] = []
    index = 0
    for reason in given:
        start, end = reason.told
        while index < len(block) and block[index].start < end:
            if block[index].start < start and not _blank_before(block[index], start):
                found.append(block[index])
            index += 1
        found.append(Token("REASON", reason.text, start, end))
    return found + block[index:]


def _blank_before(token: Token, start: int) -> bool:
    """Tell whether of a token that reaches beyond `start` only blanks and a comma stand before it."""
    begin, end = token.span
    return start < end and not token.value[: start - begin].strip(" ,\n")


def _only_announces(block: list[Token], start: int, end: int) -> bool:
    """Tell whether a phrase such as "White plays" or "it goes like this" only leads to what is told next."""
    following = block[end].type if end < len(block) else "STOP"
    leads = block[start].type in ("COLOUR", "PRONOUN") and block[end - 1].type in ("VERB", "PUTS")
    return leads and following not in ("COMMA", "STOP", "SEMICOLON", "CLOSE", "NEWLINE")


def _runs_on(block: list[Token], index: int) -> bool:
    """Tell whether prose runs on after a line end: the next line begins with a small letter and with no move."""
    following = block[index + 1] if index + 1 < len(block) else None
    return following is not None and following.value[0].islower() and following.type not in _BEGINS_A_LINE


def _single(block: list[Token], index: int) -> tuple[Statement | None, int]:
    """Read what no phrase begins with: a break, something like a move, or nothing; and how many tokens it takes."""
    token = block[index]
    if token.type not in _SAYS_SOMETHING:
        return None, 1
    span = token.span
    if token.type == "OPEN" and (length := _remark(block, index)):
        return None, length
    if token.type == "NEWLINE" and _runs_on(block, index):
        return None, 1
    if token.type == "OUTCOME" and (_POINTS_BACK.match(token.value) or _stands_alone(block, index)):
        return Outcome(span, tuple(effects_said(token))), 1
    if token.type in _BREAKS:
        kind = "question" if token.value == "?" else _BREAKS[token.type]
        return Break(kind, span), 1  # type: ignore[arg-type]
    if token.type == "SUSPECT":
        return NotUnderstood(span, token.value), 1
    if token.type == "NUMBER" and index + 1 < len(block):
        # "1...Zd5": the number promises a move; "chapter 5. The" does not.
        after = block[index + 1]
        attached = after.start == token.end and after.type in ("WORD", "SUSPECT")
        if attached and re.search(r"\.{2}|…|\.$", token.value) and len(after.value) < 8:
            return NotUnderstood(span.to(after.span), token.value + after.value), 2
    return None, 1


def _stands_alone(block: list[Token], index: int) -> bool:
    """Tell whether a token is a sentence of its own: "Bishop takes it. Mate."."""
    around = [
        token for token in block[max(0, index - 2) : index + 2] if token.type != "NEWLINE" and token is not block[index]
    ]
    return len(around) > 1 and all(token.type == "STOP" for token in around[-2:])


def _remark(block: list[Token], index: int) -> int:
    """Return how many tokens "(best.)" or the letter of a footnote, "(a)", takes: it parts no line of play."""
    inside = "".join(token.value for token in block[index + 1 : index + 4]).lower()
    found = re.match(r"(?:best|[a-z])(\.?)[)\]]", inside)
    return 0 if found is None else 3 + len(found[1])


def _read(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Statement]:
    if tree.data == "line":
        for part in tree.children:
            assert isinstance(part, Tree)
            yield from _turns(part, letters)
        return
    if tree.data == "topic":
        yield topic(tree)
        return
    token = tree.children[0]
    assert isinstance(token, Token)
    kind = token.type.lower()
    if tree.data == "refuting":
        yield Marker(kind, token.span)  # type: ignore[arg-type]
        yield from _pawn_refutes(tree.children[1])
        return
    if tree.data == "marker":
        yield Marker(kind, token.span)  # type: ignore[arg-type]
    else:
        yield Claim(kind, token.span, token.value)  # type: ignore[arg-type]


def _pawn_refutes(square: Token | Tree[Token]) -> Iterator[Turn]:
    """Yield the pawn's move that refutes, where its square is printed: words may tell of any man's ("to d five")."""
    assert isinstance(square, Token)
    if len(square.value) == 2 and square.value.islower():
        yield Turn(square.span, None, (_pawn_to(square),), (), True)


def _turns(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Iterator[Turn]:
    """Yield the turns of one `turn` or `reply`; alternatives with another number are turns of their own."""
    parts = tree.children[0].children if tree.data == "turn" else tree.children  # type: ignore[union-attr]
    number: MoveNumber | None = None
    choices: list[MovePhrase] = []
    effects: list[tuple[Effect, Span]] = []
    bare = False
    spans: list[Span] = []

    def close() -> Turn:
        return Turn(spans[0].to(spans[-1]), number, tuple(choices), tuple(effects), bare)

    for part in parts:
        if isinstance(part, Token):
            if part.type == "NUMBER":
                this = _number(part)
                if choices and number is not None and this.ply != number.ply and this.ply is not None:
                    yield close()
                    choices, effects, spans, bare = [], [], [], False
                if number is None or not choices:
                    number = this
            elif part.type in ("OUTCOME", "EFFECT", "CHECK_ONLY"):
                effects.extend(effects_said(part))
            elif part.type == "DENIED":
                effects.append((Effect.denied, part.span))
            elif part.type == "MATE_BY":
                effects.append((Effect.mate, part.span))
            elif part.type == "COMMA":
                if number is not None and not number.second:  # "2.Qb6#, Kd5": the next is no other choice
                    yield close()
                    number, choices, effects, spans, bare = None, [], [], [], False
                continue
            elif part.type == "SQUARE":
                bare = True
                choices.append(_pawn_to(part))
            else:
                continue
            spans.append(part.span)
        elif part.data == "taken":
            choices.extend(taken(part))
            spans.extend(phrase.span for phrase in choices)
        elif part.data == "choice" and isinstance(part.children[0], Tree) and part.children[0].data == "rival":
            choices.extend(rivals(part.children[0]))
            spans.extend(phrase.span for phrase in choices)
        else:
            phrase = _choice(part, letters)
            told = phrase.worded and phrase.sort in (Sort.move, Sort.any_of_piece)
            if number is not None and choices and told and not choices[-1].worded:
                yield close()  # "1...Kh5, the queen mates on h4"
                number, choices, effects, spans, bare = None, [], [], [], False
            bare = part.data == "square" and (bare or not choices)
            if part.data == "square" and choices and choices[-1].worded and choices[-1].destination is not None:
                # "she goes to e four or f four"
                phrase = replace(choices[-1], span=phrase.span, text=phrase.text, destination=phrase.destination)
            elif part.data == "square" and len(choices) == 1 and choices[0].worded and not choices[0].capture:
                # "the knight moves, to g three or to f six"
                phrase = replace(choices.pop(), destination=phrase.destination, sort=Sort.move)
            if choices and choices[-1].worded and phrase.worded and phrase.piece is None and not phrase.pronoun:
                phrase = _same_man(phrase, choices[-1])  # "the knight takes the rook or goes to c4"
            choices.extend(promotions(part, phrase))
            spans.append(phrase.span)
    yield close()


def _same_man(phrase: MovePhrase, told: MovePhrase) -> MovePhrase:
    """Return a move told without its man as one of the man told of before."""
    sort = Sort.move if told.piece is not None and phrase.destination is not None else phrase.sort
    origin = {"origin_file": told.origin_file, "origin_rank": told.origin_rank, "origin_span": told.origin_span}
    same = {"piece": told.piece, "colour": told.colour, "pronoun": told.pronoun, "feminine": told.feminine}
    return replace(phrase, sort=sort, **origin, **same)


def _number(token: Token) -> MoveNumber:
    return MoveNumber(token.span, *_number_said(token.value))


@lru_cache(maxsize=128)
def _number_said(text: str) -> tuple[int | None, bool]:
    """Return which number "1." or "1..." is, and whether it is Black's."""
    digits = re.match(r"\d+", text)
    rest = text[digits.end() :] if digits else text
    second = rest.count(".") > 1 or "…" in rest or bool(re.search(r"[-–—]", rest))
    return int(digits[0]) if digits else None, second


def _choice(tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> MovePhrase:
    child = tree.children[0]
    if tree.data == "again":
        return told_move(tree)
    if isinstance(child, Tree):
        return told_move(child)
    span = child.span
    if child.type == "SQUARE":
        return _pawn_to(child)
    if child.type == "DESCRIPTIVE":
        return read_descriptive(child.value, offset=span.start)
    if child.type in ("ANY_OTHER", "ANY_MOVE"):
        sort = Sort.any_other if child.type == "ANY_OTHER" else Sort.any_move
        return MovePhrase(span, child.value, sort, worded=True)
    try:
        return read_move(child.value, offset=span.start, letters=letters)
    except NotAMove as fault:  # the token pattern and moves.lark describe one language; a gap between them is a bug
        raise AssertionError(f"statements.lark and moves.lark disagree: {fault}") from fault


def _pawn_to(token: Token) -> MovePhrase:
    """Read a square that stands alone: a pawn's move, if it is a move at all."""
    return MovePhrase(token.span, token.value, piece=chess.PAWN, destination=square_of(token.value))
