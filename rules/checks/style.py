"""Signs and letters that depart from the house style, or from the rest of the column."""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import chess
from keyproof.grammar.letters import FIGURINES, LANGUAGES
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn

from ..case import Case
from ..finding import Edit, Fault, Level, rule
from ..house import FIGURES, MEN, House
from ..play import Node
from ..reading import Mention

_ASPECTS = {
    "capture": "captures",
    "check": "checks",
    "mate": "mates",
    "castling": "castling",
    "promotion": "promotions",
    "pieces": "men",
    "knight": "the knight",
}
_LETTER = re.compile("|".join(sorted({re.escape(x) for t in LANGUAGES.values() for x in t}, key=len, reverse=True)))
_YEAR = re.compile(r"(?<!\d)(?:1[4-9]\d\d|20\d\d)(?!\d)")
_SOURCE = re.compile(
    r"\b(?:source|original|composed|published|printed|first\s+prize|version|after|from|by|quelle|urdruck|inédit|inedito)\b",
    re.I,
)


def _is_capture(node: Node) -> bool:
    return node.parent is not None and node.move is not None and node.parent.board.is_capture(node.move)


_HOLDS: dict[str, Callable[[Node], bool]] = {
    "capture": _is_capture,
    "check": lambda node: node.board.is_check() and not node.board.is_checkmate(),
    "mate": lambda node: node.board.is_checkmate(),
}


@dataclass(frozen=True)
class _Sign:
    """One sign as it is printed: which form of which aspect, and where."""

    aspect: str
    form: str
    span: Span
    kind: chess.PieceType | None = None  # of a man or a promotion


def _signs(case: Case) -> list[_Sign]:
    """Return the signs of the printed moves of a puzzle, in text order.

    A format with signs of its own (PGN, EPD) leaves an author no choice, so it has none.
    """
    if case.reading is None or case.puzzle.statements is not None:
        return []
    seen: set[Span] = set()
    found: list[_Sign] = []
    for mention in case.reading.mentions:
        if not mention.phrase.worded and mention.phrase.span not in seen:
            seen.add(mention.phrase.span)
            found.extend(_of_mention(mention))
    return found


def _of_mention(mention: Mention) -> Iterator[_Sign]:
    phrase = mention.phrase
    start = phrase.span.start
    if phrase.castling is not None:
        size = 5 if phrase.castling == "long" else 3
        yield _Sign("castling", "0-0" if phrase.text[0] == "0" else "O-O", Span(start, start + size))
    elif phrase.piece in MEN and (letter := _sign_of_man(phrase.text)):
        span = Span(start, start + len(letter))
        yield _Sign("pieces", FIGURES if letter in FIGURINES else "letters", span, phrase.piece)
        if phrase.piece == chess.KNIGHT and letter in ("N", "S", "Kt"):
            yield _Sign("knight", letter, span, phrase.piece)
    if phrase.capture_span is not None:
        yield _Sign("capture", phrase.text[phrase.capture_span.start - start], phrase.capture_span)
    if phrase.promotion is not None and phrase.promotion_span is not None:
        yield _promotion(mention)
    for effect, span in phrase.effects:
        sign = phrase.text[span.start - start : span.end - start].strip()
        if effect is Effect.check:
            yield _Sign("check", sign, span)
        elif effect is Effect.mate or (effect is Effect.double_plus and _all_mate(mention)):
            yield _Sign("mate", sign, span)


def _all_mate(mention: Mention) -> bool:
    return bool(mention.after) and all(node.board.is_checkmate() for node in mention.after)


def _sign_of_man(text: str) -> str:
    if text[:1] in FIGURINES:
        return text[0]
    letter = _LETTER.match(text)
    return letter[0] if letter else ""


def _promotion(mention: Mention) -> _Sign:
    phrase = mention.phrase
    assert phrase.promotion_span is not None
    span, text, start = phrase.promotion_span, phrase.text, phrase.span.start
    before = text[span.start - start - 1]
    form = {"=": "=Q", "(": "(Q)", "/": "/Q"}.get(before, "Q")
    whole = Span(span.start - (form != "Q"), span.end + (form == "(Q)"))
    return _Sign("promotion", form, whole, phrase.promotion)


def _written(case: Case, sign: _Sign, form: str) -> str | None:
    """Return what to write to give a sign another form; None where that is not for certain."""
    if sign.aspect == "castling":
        return (
            sign.span.of(case.text).replace("O", "0").replace("o", "0")
            if form == "0-0"
            else "-".join("O" * (2 if len(sign.span.of(case.text)) == 3 else 3))
        )
    if sign.aspect == "promotion":
        letter = re.sub(r"[=()/]", "", sign.span.of(case.text))
        return form.replace("Q", letter)
    if sign.aspect == "pieces":
        if form == FIGURES and sign.kind is not None:
            return House(pieces=FIGURES).man(sign.kind)
        return None
    return form


def _shown(form: str) -> str:
    return f'"{form}"' if form not in ("letters", FIGURES) else form


@rule("mixed-style", Level.note)
def mixed_style(case: Case) -> Iterator[Fault]:
    """A sign is printed in two forms in one file.

    Looked at are the signs for capture, check, mate and castling, the form of a promotion,
    the letter of the knight, and letters beside figurines. The form that is printed more often
    counts as the column's own. Signs that are left out are no matter of this rule.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5! 1.R:h5? gives up the rook; nor does 1.Rxh5? help.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.R:h5? K:h5!
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    for aspect, words in _ASPECTS.items():
        own = [sign for sign in _signs(case) if sign.aspect == aspect]
        if not own or (aspect != "knight" and getattr(case.house, aspect) is not None):
            continue  # where the house has its style, `house-style` compares with that
        if aspect == "knight" and case.house.pieces is not None:
            continue
        counts = Counter(sign.form for each in case.column for sign in _signs(each) if sign.aspect == aspect)
        usual = max(counts, key=lambda form: counts[form])
        others = [sign for sign in own if sign.form != usual]
        if others:
            message = f"{words} printed with {_shown(others[0].form)} here and {_shown(usual)} elsewhere in this file"
            yield Fault(others[0].span, message, None, _repair(case, others, usual))


def _repair(case: Case, signs: list[_Sign], form: str) -> tuple[Edit, ...]:
    written = [(sign.span, _written(case, sign, form)) for sign in signs]
    if any(text is None for _, text in written):
        return ()
    return tuple(Edit(span, text) for span, text in written if text is not None)


@rule("house-style", Level.note)
def house_style(case: Case) -> Iterator[Fault]:
    """A sign or a letter is not the one the house prints.

    The settings say what the house prints: the letters of the men, and the signs for
    capture, check, mate, castling and promotion. Only what they name is looked at; of captures,
    checks and mates printed without any sign the first is reported. PGN and EPD have signs of
    their own and are left alone.

    Settings:
        capture = ":"

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.Rxh5? Kxh5!
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        Try: 1.R:h5? K:h5!
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    signs = _signs(case)
    for aspect in ("capture", "check", "mate", "castling", "promotion"):
        form = getattr(case.house, aspect)
        others = [sign for sign in signs if sign.aspect == aspect and sign.form != form]
        if form is not None and others:
            wanted = f"the house prints {_shown(form)}" if form else "the house prints no sign"
            message = f"{_ASPECTS[aspect]} printed with {_shown(others[0].form)}: {wanted}"
            yield Fault(others[0].span, message, None, _repair(case, others, form))
        elif form and aspect in _HOLDS and not any(sign.aspect == aspect for sign in signs):
            bare = _unmarked(case, aspect)
            if bare is not None:
                message = f"no {aspect} is printed with a sign: the house prints {_shown(form)}"
                yield Fault(bare.phrase.span, message)
    if case.house.pieces is not None:
        yield from _other_letters(case, [sign for sign in signs if sign.aspect == "pieces" and sign.kind is not None])


def _unmarked(case: Case, aspect: str) -> Mention | None:
    """Return the first printed move that is a capture, check or mate in a text that marks none and says none."""
    if case.reading is None or case.puzzle.statements is not None:
        return None
    for mention in case.reading.mentions:
        plain = not mention.phrase.worded and mention.phrase.exact and not mention.effects
        if plain and mention.after and all(_HOLDS[aspect](node) for node in mention.after):
            return mention
    return None


def _other_letters(case: Case, signs: list[_Sign]) -> Iterator[Fault]:
    wrong = []
    for sign in signs:
        assert sign.kind is not None
        man = case.house.man(sign.kind)
        same = sign.form == FIGURES if case.house.pieces == FIGURES else sign.span.of(case.text) == man
        if not same:
            wrong.append((sign, man))
    if wrong:
        sign, man = wrong[0]
        assert sign.kind is not None
        printed = sign.span.of(case.text)
        message = f'the {chess.piece_name(sign.kind)} is printed as "{printed}": the house prints "{man}"'
        yield Fault(sign.span, message, None, tuple(Edit(each.span, letter) for each, letter in wrong))


@rule("no-source", Level.warning)
def no_source(case: Case) -> Iterator[Fault]:
    """A puzzle does not say where it was first printed, and the house asks for that.

    A year, or a word such as "original", "by" or "first published", in the title or before the
    first move is taken for a source. Without the setting nothing is asked.

    Source: common practice, no source.

    Settings:
        sources = true

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        Original for the Wednesday Bulletin.
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    if not case.house.sources or case.diagram is None:
        return
    first = next((statement.span.start for statement in case.statements if isinstance(statement, Turn)), len(case.text))
    before = [span.of(case.text)[: max(0, first - span.start)] for span in case.puzzle.prose]
    said = " ".join([case.puzzle.title, *(span.of(case.text) for span in case.puzzle.headings), *before])
    if not _YEAR.search(said) and not _SOURCE.search(said):
        yield Fault(case.diagram.span, "nothing says where this puzzle was first printed")
