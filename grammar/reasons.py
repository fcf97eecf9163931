"""Reasons in words: "for the bishop on e6 is pinned", "the queen guards d5".

Only the sentences that hold a word worth reading are taken apart, so that other prose costs one
search. The grammar (reasons.lark) says what a reason is; nothing here knows what is true.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import takewhile

import chess
from msgspec.structs import replace

from .lexing import Token
from .phrases import phrases_of
from .spans import Span
from .speech import man_of
from .statements import Man, Reason, ReasonKind
from .trees import Tree
from .words import FILES, NUMBERS, SPOKEN_SQUARE, one_of, square_of, terminal_of

_WORDS = r"""
abandons aim(?:s|ing)\s+at all\s+told altogether
an?\s+(?:(?:brand[\s-])?new\s+)?(?:queen|rook|bishop|knight|night)\s+(?:would|wouldn['’]t|gives|is|stalemates|does|doesn['’]t)
attack(?:s|es|ed|ing)? away\s+from back(?:s|ed|ing)(?:\s+up)? backrank[\s-]+\w*mate bar(?:s|ring|red) battery
bear(?:s|ing) because\s+of bishop['’]s\s+got block(?:s|ed|ing) bolt-?holes?
c(?:an|ould)\s+(?:\w+\s+){0,2}(?:go|step|run|move|walk|slip|escape|flee|hop|come|get)
can(?:not|['’]t)\s+(?:even\s+)?(?:move|go) can\s+no\s+longer\s+(?:even\s+)?(?:move|go)
can\s+not\s+(?:even\s+)?(?:move|go) clos(?:es|ed|ing) command(?:s|ed|ing) confined\s+to control(?:s|led|ling)?
cover(?:s|es|ed|ing)? crisscross[\s-]+\w*mate cross(?:ing|ed)\s+bishops cross[\s-]+\w*mate cut(?:s|ting)
defend(?:s|es|ed|ing)? deflected\s+from den(?:ies|ying) denied discover(?:ed|y) diverted\s+from double\s+check
down\s+to dragged\s+from drawn\s+from eight\s+(?:legal\s+)?moves eighteen\s+(?:legal\s+)?moves
eleven\s+(?:legal\s+)?moves en\s+prise epaulettes?[\s-]+\w*mate escape exits? ey(?:e[sd]?|ing)
fifteen\s+(?:legal\s+)?moves five\s+(?:legal\s+)?moves flights? forbidden four\s+(?:legal\s+)?moves
fourteen\s+(?:legal\s+)?moves from\s+\w+\s+(?:\w+\s+)?king frozen g(?:ives|iving|iven)\s+(?:up|away)
guard(?:s|es|ed|ing)? ha[sd]\s+(?:\w+\s+)?\w+\s+moves
ha[sd]\s+(?:got\s+)?(?:\w+\s+){0,3}(?:[a-h]|[bcdg]ee|ee|eff|aitch)[\s-]*(?:[1-8]|one|two|three|four|five|six|seven|eight)
he(?:['’]s|\s+has)\s+got held help\s+of holding holds holes? ideal[\s-]+\w*mate immobili?[sz]?ed? in\s+(?:all|total)
interfer(?:es|ing) interrupt(?:s|ing) is\s+(?:given|granted)
keep(?:s|ing)\s+(?:an\s+)?(?:watch|eye|guard|control|him|the|his|black['’]s|white['’]s) kept\s+safe
king['’]?s?\s+moves? king['’]s\s+got knight['’]s\s+got left\s+with legal\s+moves limited\s+to look(?:s|ed|ing)
lured\s+from m(?:ay|ight)\s+(?:\w+\s+){0,2}(?:go|step|run|move|walk|slip|escape|flee|hop|come|get) mind(?:s|ing)
mirror[\s-]+\w*mate model[\s-]+\w*mate nine\s+(?:legal\s+)?moves nineteen\s+(?:legal\s+)?moves no\s+(?:\w+\s+)?moves?
nowhere observ(?:e[sd]?|ing) off\s+from offer(?:s|ed|ing) on\s+account open(?:s|ed|ing)
over-?(?:loaded|burdened|worked|taxed) paralysed pin(?:s|ned|ning) places?\s+to point(?:s|ing)\s+at propped
protect(?:s|es|ed|ing)? protection\s+of pulled\s+from pure[\s-]+\w*mate queen['’]s\s+got queening quiet rak(?:es|ing)
rank[\s-]+\w*mate replies restricted\s+to rook['’]s\s+got sacrific\w+ see(?:s|n|ing)? seven\s+(?:legal\s+)?moves
seventeen\s+(?:legal\s+)?moves she(?:['’]s|\s+has)\s+got shut(?:s|ting)? six\s+(?:legal\s+)?moves
sixteen\s+(?:legal\s+)?moves smothered[\s-]+\w*mate squares? stand(?:s|ing)\s+(?:guard|sentinel|sentry) stuck
support\s+(?:of|from) supported survey(?:s|ing)? tak(?:es|en)\s+care tak(?:es|ing|en)\s+away taken\s+from
ten\s+(?:legal\s+)?moves thirteen\s+(?:legal\s+)?moves three\s+(?:legal\s+)?moves twelve\s+(?:legal\s+)?moves
twenty\s+(?:legal\s+)?moves two\s+(?:legal\s+)?moves two\s+duties unable\s+to\s+(?:even\s+)?(?:move|go) undefended
under-?promotion unguarded unpin(?:s|ned|ning) unprotected watch(?:s|es|ed|ing)? ways?\s+out whole\s+of
"""
WORTH = re.compile(rf"\b(?:{one_of(_WORDS.split())})\b")
"""The words without which there is no reason."""

_KINDS: dict[str, tuple[ReasonKind, bool]] = {
    "pinned": ("pinned", False),
    "pinned_man": ("pinned", False),
    "pins": ("pinned", True),
    "unpins": ("pinned", True),
    "guards": ("guarded", True),
    "guarded": ("guarded", False),
    "unguarded": ("guarded", False),
    "gives_up_guard": ("guarded", True),
    "immobile": ("immobile", False),
    "replies": ("replies", False),
    "has_flights": ("flights", False),
    "has_squares": ("flights", False),
    "leaves_flights": ("flights", True),
    "flight_given": ("flight_given", True),
    "flight_taken": ("flight_taken", True),
    "blocks": ("blocked", True),
    "blocked": ("blocked", False),
    "closes": ("line_closed", True),
    "opens": ("line_opened", True),
    "sacrifices": ("sacrifice", True),
    "sacrifice": ("sacrifice", False),
    "sacrificed": ("sacrifice", False),
    "quiet": ("quiet", False),
    "underpromotion": ("underpromotion", False),
    "other_promotion": ("other_promotion", False),
    "mate_picture": ("mate_picture", False),
    "discovered_check": ("discovered_check", True),
    "double_check": ("double_check", False),
    "battery": ("battery", False),
    "battery_fired": ("battery_fired", True),
    "drawn_away": ("drawn_away", False),
    "draws_away": ("drawn_away", True),
    "overloaded": ("overloaded", False),
}
# Each rule of the grammar with its kind, and whether its subject does it to the object.

_MAN = r"(?:king|queen|rook|bishop|knight|pawn)s?(?:\s+on\s+[a-h]\s?(?:[1-8]|[a-z]+))?"
_AND_ANOTHER = re.compile(rf"\s*,?\s*(?:and|or|as\s+well\s+as)\s+(?:by\s+)?(?:[\w'’-]+\s+){{0,3}}?{_MAN}\b", re.I)
_ONE_AND = re.compile(rf"\b{_MAN},?\s+(?:and|or)\s+$", re.I)
# Who is named behind a guard may be the subject of what goes on: "guarded by the knight, and the pawn stays".
_VERB = re.compile(
    r"\s+(?:are|is|was|has|have|can(?:not|['’]t)?|may|must|will|would|could|does|do"
    r"|(?!(?:always|besides|across|this|its|his|thus|towards|sometimes)\b)\w*[^s\W]s)\b(?<!\sas)",
    re.I,
)
_ATTRIBUTES = {"pinned_man": "PINNED"}
_NAMES = {"sacrifice", "mate_picture", "double_check", "battery"}  # "a queen sacrifice", "a model mate"
# "A pinned knight cannot move" is said of no position, and "knight" may begin the phrase.
_GENERAL = re.compile(rf"\b(?:an?|any|every|each)\s+(?!(?:{'|'.join(list(NUMBERS)[:8])})\b)(?:[\w-]+\s+){{0,2}}$", re.I)
_DENIES = {
    "IS_NOT",
    "UNPINS",
    "DOES_NOT",
    "NO_LONGER",
    "NOBODY",
    "BY_NOBODY",
    "UNGUARDED",
    "GIVES_UP_GUARD",
    "WOULD_NOT_BE",
}
_WHERE = {"LINE", "THE_LINE", "RIDERS_LINE", "OWN_KING", "FOR_KING"}
_WHERE |= {
    "HAS_REPLIES",
    "MAKES_REPLIES",
    "REPLIES_COUNTED",
    "REPLIES_OPEN",
    "IN_ALL",
    "SACRIFICE",
    "QUIET",
    "WOULD_BE",
    "WOULD_NOT_BE",
    "PICTURE",
    "MEN_BATTERY",
    "DRAWS",
}
_TIMES = {"no": 0, "nowhere": 0, "only": 1, "sole": 1, "single": 1, "lone": 1, "once": 1, "twice": 2}
_REACH = 100  # characters on either side of a word worth reading in which its reason stands
_STOP = re.compile(r"[.!?;](?=\s)|\n\s*\n")


def reasons(text: str, span: Span, letters: Mapping[str, chess.PieceType]) -> list[Reason]:
    """Return the reasons given in a stretch of masked text, in order, none overlapping another.

    `letters` are the piece letters of its language.
    """
    found: list[Reason] = []
    done = span.start
    for word in WORTH.finditer(text, *span):
        if word.start() < done:
            continue
        window = _window(text, Span(done, span.end), Span(*word.span()))
        reason = _around(text, window, word.start(), letters)
        if reason is not None:
            found.append(reason)
            done = reason.span.end
    return found


def _window(text: str, span: Span, word: Span) -> Span:
    """Return the place of the sentence around a word, or what of it lies within reach."""
    start, end = max(span.start, word.start - _REACH), min(span.end, word.end + _REACH)
    for stop in _STOP.finditer(text, start, word.start):
        start = stop.end()
    after = _STOP.search(text, word.end, end)
    return Span(start, end if after is None else after.start())


def _around(text: str, window: Span, word: int, letters: Mapping[str, chess.PieceType]) -> Reason | None:
    """Return the reason of which the word at offset `word` is a part: the one that begins first."""
    phrases = phrases_of("reasons.lark")
    tokens = _tokens(text, window)
    for index, token in enumerate(tokens):
        if token.start > word:
            return None
        if token.type in phrases.first:
            length, tree = phrases.longest(tokens, index)
            if tree is not None and tokens[index + length - 1].end > word:
                return _reason(text, tree, letters)
    return None


def _tokens(text: str, window: Span) -> list[Token]:
    start = window.start
    while 0 < start < window.end and text[start - 1].isalnum() and text[start].isalnum():
        start += 1  # begin with a whole word
    found = list(_parted(phrases_of("reasons.lark").tokens(text, Span(start, window.end))))
    for token in found:
        if token.type == "WORD":
            told = terminal_of(token.value)
            token.type = told if told in _SINGLE else "WORD"
    return found


def _parted(tokens: Sequence[Token]) -> Iterator[Token]:
    """Yield tokens with "the king's got" parted into the man and what he has: squares, with "just" before them."""
    place = 0
    while place < len(tokens):
        token, following = tokens[place], tokens[place + 1 : place + 4]
        place += 1
        his = _HIS.fullmatch(token.value) if following and following[0].value.lower() == "got" else None
        if his is None:
            yield token
            continue
        yield Token("WORD", his[1], token.start, token.start + len(his[1]))
        words = list(takewhile(lambda each: each.value.lower() in ("got", "just", "only", "but"), following))
        squares = len(words) < len(following) and following[len(words)].type == "SQUARE"
        last = words[-1] if squares else words[0]
        said = " ".join(each.value for each in words) if squares else "got"
        yield Token("HAS_JUST" if squares else "HAS", f"has {said}", token.start + len(his[1]), last.end)
        place += len(words) if squares else 1


_HIS = re.compile(r"(king|queen|rook|bishop|knight|pawn)['’]s", re.I)
_SINCE = {"BECAUSE_OF", "WHICH", "COMMA_WHICH"}
_NO_MAN = {"AWAY_FROM", "WHICH", "COMMA_WHICH", "COMMA", "AND_MAN"}
_PLACES = {"SQUARE", "AND_SQUARE", "COMMA_SQUARE", "OR_SQUARE"}
_SINGLE = {"ADVERB", "MAN", "DETERMINER", "COLOUR", "PRONOUN", "OTHER_MAN", "ON"}


def _reason(text: str, tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Reason | None:
    tree = _less_next_subject(text, tree)
    tokens = list(tree.leaves())
    span = tokens[0].span.to(tokens[-1].span)
    first = tokens[0]
    names = tree.data in _NAMES
    bare = first.type == "MAN" and _GENERAL.search(text, max(0, span.start - 30), span.start)
    if not names and (bare or (first.type == "DETERMINER" and _GENERAL.fullmatch(first.value + " "))):
        return None
    kind, active = _KINDS[tree.data]
    if tree.data in _ATTRIBUTES:  # "the pinned knight takes": the man may be that of a move, the word alone is a claim
        span = next(token.span for token in tokens if token.type == _ATTRIBUTES[tree.data])
        return Reason(kind, span, " ".join(token.value for token in tokens), span, man=_man(text, tree, letters))
    men = {part.data: _man(text, part, letters) for part in _parts(tree)}
    if tree.data == "has_squares" and not _of_king(tree, men.get("subject")):
        return None
    if active and "agent" in men:
        return None  # "the king has the rook guarded by the knight"
    if "standpoint" in men and "subject" in men and not men["subject"].squares:
        men["subject"] = replace(men["subject"], squares=men["standpoint"].squares)
    subject = men.get("subject")
    second = next((men[part] for part in ("object", "agent", "doer", "by", "protector") if part in men), None)
    if "by" in men or "doer" in men:  # what stands before may tell a move: "he cannot go to d5 because of the knight"
        link = next(token for token in tokens if token.type in _SINCE)
        span = Span(link.end - len(link.value.lstrip(",").lstrip()), span.end)
    named = men["subject"].span.end if "subject" in men and not names else span.start
    told = Span(next(token.start for token in tokens if token.start >= named), span.end)
    own = [token for part in tree.children for token in _own(part)]
    if tree.data == "has_squares":  # squares without a word for them may be told as moves: "has only e3, and there"
        told = Span(told.start, next(token.start for token in own if token.type in _PLACES))
    if active and subject is None and not any(token.type == "NOBODY" for token in own):
        subject = Man(Span(span.start, span.start), "")  # left out: "1.Qb6 guards d8"
    if any(token.type == "THAT_ONE" for token in own):
        second = Man(own[-1].span, "it", pronoun=True)  # "the knight guards that too"
    if kind == "guarded" and not active and subject is None and not _squares(own):
        subject = Man(
            Span(span.start, span.start), "", pronoun=True, moved=True
        )  # "2.Re5 mates, guarded by the knight"
    several = None if active else _AND_ANOTHER.match(text, span.end)
    if active and own[0].type == "GUARD":  # "the rook and the bishop guard e4"
        several = _ONE_AND.search(text, max(0, span.start - 60), span.start)
    if kind == "guarded" and several and not _VERB.match(text, several.end()):
        subject, second = (None, second) if active else (subject, None)  # who of the two guards what is not said
    return Reason(
        kind,
        span,
        " ".join(span.of(text).split()),
        told,
        man=second if active else subject,
        other=subject if active else second,
        also=men.get("second"),
        target=men.get("target"),
        squares=_squares(own),
        count=len(_squares(own))
        if kind == "flights" and tree.data == "has_squares" and _says_no_more(own)
        else _count(own),
        where=" ".join(token.value for token in own if token.type in _WHERE),
        negated=sum(token.type in _DENIES for token in own) % 2 == 1,
    )


_NO_MORE = re.compile(r"\b(?:only|just|exactly|but)\b", re.I)


def _says_no_more(own: Iterable[Token]) -> bool:
    """Tell whether words say that these squares are all: "only e4", "f6 and f7 and nothing else"."""
    return any(token.type in ("CLOSED", "LEFT_WITH") or _NO_MORE.search(token.value) for token in own)


def _of_king(tree: Tree[Token], subject: Man | None) -> bool:
    """Tell whether squares that are told without a word for them are said to be all that a king has.

    "The king has e4" may tell a guard, "the king may go to e4" a move.
    """
    own = [token for part in tree.children for token in _own(part)]
    his = subject is None or subject.text.lower() == "he" or subject.kinds == (chess.KING,)
    return his and _says_no_more(own)


def _less_next_subject(text: str, tree: Tree[Token]) -> Tree[Token]:
    """Return a tree without the second guard of its agent, where that man is the subject of what follows."""
    last = tree.children[-1]
    if isinstance(last, Token) or last.data != "agent" or not _VERB.match(text, list(last.leaves())[-1].end):
        return tree
    kept = [part for part in last.children if isinstance(part, Tree) or part.type != "AND_MAN"]
    kept = [part for part in kept if isinstance(part, Token) or part.data != "second"]
    return Tree(tree.data, [*tree.children[:-1], Tree(last.data, kept)])


def _parts(tree: Tree[Token]) -> Iterator[Tree[Token]]:
    """Yield the parts that name a man or squares, and the second agent, which is a part of the first."""
    for part in tree.children:
        if isinstance(part, Tree):
            yield part
            yield from part.named("second")


def _own(part: Token | Tree[Token]) -> list[Token]:
    """Return the tokens of a part that names no man."""
    if isinstance(part, Token):
        return [part]
    return [token for token in part.children if isinstance(token, Token)] if part.data == "squares" else []


def _squares(tokens: list[Token]) -> tuple[chess.Square, ...]:
    found = (SPOKEN_SQUARE.search(token.value.removeprefix("and")) for token in tokens if token.type in _PLACES)
    return tuple(square_of(square[0]) for square in found if square is not None)


def _count(tokens: list[Token]) -> int | None:
    """Return how many flights or guards the words tell of; None where they do not count them ("a flight")."""
    for token in tokens:
        if token.type in ("TIMES", "REPLIES_COUNTED", "REPLIES_OPEN", "HOW_MANY_FLIGHTS", "NO_FLIGHT", "ONLY_FLIGHT"):
            if (
                re.match(r"(?:an?(?!\s+(?:single|sole|lone))|the|another)\b|one\s+more", token.value, re.I)
                and token.type != "ONLY_FLIGHT"
            ):
                return None
            for word in token.value.lower().split():
                count = int(word) if word.isdecimal() else _TIMES.get(word, NUMBERS.get(word))
                if count is not None:
                    return count
    return None


def _man(text: str, tree: Tree[Token], letters: Mapping[str, chess.PieceType]) -> Man:
    others = {id(token) for part in tree.named("second") for token in part.leaves()}
    tokens = [each for each in tree.leaves() if each.type not in _NO_MAN and id(each) not in others]
    by_type: dict[str, str] = {token.type: token.value.lower() for token in tokens}
    span = tokens[0].span.to(tokens[-1].span)
    owner = by_type.get("COLOUR") or by_type.get("DETERMINER", "") or by_type.get("PRINTED_MAN", "").replace("the ", "")
    shade = by_type.get("SHADE")
    file = re.search(r"[a-z]+", by_type.get("FILE_OF", ""))
    kinds: tuple[chess.PieceType, ...] = (man_of(by_type["MAN"]),) if "MAN" in by_type else ()
    kinds = (chess.KING,) if "MAJESTY" in by_type else kinds
    squares = _squares(tokens)
    printed = next((token.value.split()[-1] for token in tokens if token.type == "PRINTED_MAN"), None)
    if printed is not None:
        kinds = tuple(kind for kind in [letters.get(printed[:-2])] if kind is not None)
        squares = (square_of(printed[-2:]),)
    return Man(
        span,
        " ".join(span.of(text).split()),
        kinds=kinds,
        colour=owner.startswith("white") if owner.startswith(("white", "black")) else None,
        squares=squares,
        file=FILES[file[0]] if file else None,
        light=shade.startswith(("light", "white")) if shade else None,
        pronoun=bool(by_type.keys() & {"PRONOUN", "THIS_MAN", "NEWCOMER"}),
        moved="NEWCOMER" in by_type,
        corner="IN_CORNER" in by_type,
        plural=by_type.get("MAN", "").endswith("s"),
    )
