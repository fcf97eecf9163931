"""Signs and letters that depart from the house style, or from the rest of the column."""

import re
from collections.abc import Callable, Iterator

import chess
from keyproof.grammar.statements import Turn

from ..case.case import Case
from ..case.house import FIGURES, House
from ..case.printing import Sign
from ..finding import Edit, Fault, Level
from ..play.node import Node
from ..reading.reading import Mention
from .register import rule

_ASPECTS = {
    "capture": "captures",
    "check": "checks",
    "mate": "mates",
    "castling": "castling",
    "promotion": "promotions",
    "pieces": "men",
    "knight": "the knight",
}
_YEAR = re.compile(r"(?<!\d)(?:1[4-9]\d\d|20\d\d)(?!\d)")
_SOURCE = re.compile(
    r"\b(?:source|original|composed|published|printed|first\s+prize|version|after|from|by|quelle|urdruck|inédit|inedito)\b",
    re.I,
)


def _is_capture(node: Node) -> bool:
    return node.parent is not None and node.move is not None and node.parent.board.is_capture(node.move)


_HOLDS: dict[str, Callable[[Node], bool]] = {
    "capture": _is_capture,
    "check": lambda node: node.check and not node.mate,
    "mate": lambda node: node.mate,
}


def _written(case: Case, sign: Sign, form: str) -> str | None:
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
    by_aspect: dict[str, list[Sign]] = {}
    for sign in case.signs:
        by_aspect.setdefault(sign.aspect, []).append(sign)
    for aspect, words in _ASPECTS.items():
        own = by_aspect.get(aspect)
        if not own or (aspect != "knight" and getattr(case.house, aspect) is not None):
            continue  # where the house has its style, `house-style` compares with that
        if aspect == "knight" and case.house.pieces is not None:
            continue
        usual = case.usual.get(aspect, own[0].form)
        others = [sign for sign in own if sign.form != usual]
        if others:
            message = f"{words} printed with {_shown(others[0].form)} here and {_shown(usual)} elsewhere in this file"
            yield Fault(others[0].span, message, None, _repair(case, others, usual))


def _repair(case: Case, signs: list[Sign], form: str) -> tuple[Edit, ...]:
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
    printed = case.signs
    for aspect in ("capture", "check", "mate", "castling", "promotion"):
        form = getattr(case.house, aspect)
        if form is None:
            continue
        others = [sign for sign in printed if sign.aspect == aspect and sign.form != form]
        if others:
            wanted = f"the house prints {_shown(form)}" if form else "the house prints no sign"
            message = f"{_ASPECTS[aspect]} printed with {_shown(others[0].form)}: {wanted}"
            yield Fault(others[0].span, message, None, _repair(case, others, form))
        elif form and aspect in _HOLDS and not any(sign.aspect == aspect for sign in printed):
            bare = _unmarked(case, aspect)
            if bare is not None:
                message = f"no {aspect} is printed with a sign: the house prints {_shown(form)}"
                yield Fault(bare.phrase.span, message)
    if case.house.pieces is not None:
        yield from _other_letters(case, [sign for sign in printed if sign.aspect == "pieces" and sign.kind is not None])


def _unmarked(case: Case, aspect: str) -> Mention | None:
    """Return the first printed move that is a capture, check or mate in a text that marks none and says none."""
    if case.reading is None or case.puzzle.play is not None:
        return None
    for mention in case.reading.mentions:
        plain = mention.phrase.exact and not (mention.phrase.worded or mention.phrase.descriptive or mention.effects)
        if plain and mention.after and all(_HOLDS[aspect](node) for node in mention.after):
            return mention
    return None


def _other_letters(case: Case, signs: list[Sign]) -> Iterator[Fault]:
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
