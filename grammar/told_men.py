"""A position told man by man: "my king sits on a7, my queen beside it on b6; he has his king on c8".

Whoever speaks first has White, unless the colours are named. A colour holds until another side is named:
"White first. The king is on a7. His queen stands on b6. And Black?" Such words are taken for a position only
where they run on, name both kings once, and leave no square without its man.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import chess

from .document import Diagram
from .spans import Span
from .words import MEN, SPOKEN_SQUARE, square_of

_FEWEST_MEN = 4
_PAUSE = 2  # sentences without a man that may stand between others
_SENTENCE = re.compile(r"[^.!?\r\n]*[^.!?\s][^.!?\r\n]*[.!?]*")
_SPEAKER = re.compile(r"^[ \t]*(?P<name>[A-Z][\w .'’-]{0,24}):(?=\s)", re.M)
_PLAYS = re.compile(
    r"\b(?:tak(?:es?|ing)|captur\w+|goes(?!\s*:)|moves?|mat(?:es?|ing)|checks?|plays?|castl\w+|threat\w*|if|when|after|then|could"
    r"|would|can|guards?|pinned|covers?|attacks?)\b",
    re.I,
)
_PLURAL = "|".join(f"{name}s" for name in MEN)
_WORDS = re.compile(
    rf"\b(?P<owner>my|mine|our|ours|i|we|his|her|hers|he|she|your|yours|you|their|theirs|they|white|black)(?:['’]\w+)?\b"
    rf"|\b(?P<men>{_PLURAL})\b|\b(?P<man>{'|'.join(MEN)})\b|(?P<square>(?i:{SPOKEN_SQUARE.pattern}))",
    re.I,
)
_GOES_ON = re.compile(r"(?:[^:]{1,25}:)?\W*(?:oh|and|plus|also|another|an?|two|three|with|finally|then)\b", re.I)
_MAY_CASTLE = re.compile(r"\b(?:can|may|might|could)(?:\s+(?:not|still|yet|no\s+longer|\w+ly))?\s+castle\b", re.I)
_OWN = frozenset(("my", "mine", "our", "ours", "i", "we"))
_HEARER = frozenset(("you", "your"))
_COLOURS = frozenset(("white", "black"))
_FEW_WORDS = 4  # of a sentence that only names a side
_TO_HEARER = re.compile(r"\W*you\b", re.I)
_MINE = re.compile(r"\b(?:my|our)\s+(?:king|queen|rook|bishop|knight|pawn)", re.I)
_PLAYS_BLACK = re.compile(r"\b(?:i|we)\s+(?:have|am|are|play|take)\s+(?:the\s+)?black\b", re.I)


@dataclass
class _Run:
    """The men told so far, over sentences that follow each other."""

    start: int = 0
    end: int = 0
    speaker: str = ""
    owner: chess.Color | None = None  # of the man told last
    named: bool = False  # by its colour
    to_hearer: bool = False  # "You: king on a2": the hearer has White
    idle: int = 0  # sentences without a man since the last one
    pieces: dict[chess.Square, chess.Piece] = field(default_factory=dict)
    spans: dict[chess.Square, Span] = field(default_factory=dict)

    def whole(self) -> bool:
        """Tell whether this is a position: both kings once, and men enough."""
        kings = sorted(piece.color for piece in self.pieces.values() if piece.piece_type == chess.KING)
        return len(self.pieces) >= _FEWEST_MEN and kings == [chess.BLACK, chess.WHITE]


@dataclass(frozen=True)
class _Told:
    square: chess.Square
    piece: chess.Piece
    span: Span


@dataclass(frozen=True)
class _Owners:
    """Whom the words for a side mean where a sentence stands.

    `own` is the side of who speaks, `hearer` that of whom he speaks to, `other` "his". `named`: the side told last
    was named by its colour, so that "his" and "her" are said of it.
    """

    own: chess.Color
    hearer: chess.Color
    other: chess.Color
    last: chess.Color | None = None
    named: bool = False

    def after(self, word: str) -> "_Owners":
        """Return them where one more such word has been said."""
        said = word.lower()
        if said in _COLOURS:
            return replace(self, last=said == "white", named=True)
        if said in _OWN:
            return replace(self, last=self.own, named=False)
        if said in _HEARER:
            return replace(self, last=self.hearer, named=False)
        return self if self.named else replace(self, last=self.other)


@lru_cache(maxsize=2)  # the reader of a file, and whoever parts it into puzzles, ask for the same
def find_told(text: str) -> tuple[Diagram, ...]:
    """Return every position told in words in `text` (masked text of a document), in order. Never raises."""
    return tuple(_told(text))


def _told(text: str) -> Iterator[Diagram]:
    speakers = [(said.start(), said["name"]) for said in _SPEAKER.finditer(text)]
    first = _first_speaker(text, speakers)
    starts = [start for start, _ in speakers]
    has_white = _PLAYS_BLACK.search(text) is None
    hearer_first = len(set(names := [name for _, name in speakers])) == len(names) and _MINE.search(text) is None
    run = _Run()
    announced: chess.Color | None = None  # by the sentence before, which puts no man on a square
    for sentence in _SENTENCE.finditer(text):
        number = bisect_right(starts, sentence.start())
        speaker = speakers[number - 1][1] if number else ""
        own = (speaker == first or not speaker) is has_white
        goes_on = run.speaker == speaker and _GOES_ON.match(sentence[0]) is not None
        if not run.pieces:
            run.to_hearer = hearer_first and _TO_HEARER.match(sentence[0]) is not None
        owners = _Owners(chess.BLACK, chess.WHITE, chess.BLACK) if run.to_hearer else _Owners(own, not own, not own)
        if announced is not None:
            owners = replace(owners, last=announced, named=True)
        elif goes_on or (run.named and not run.whole()):
            owners = replace(owners, last=run.owner, named=run.named)
        told, named = _men_of(text, Span(*sentence.span()), owners)
        announced = None if told else _announced(sentence[0])
        if told and not _contradicts(run, told):
            run.speaker, run.owner, run.named = speaker, told[-1].piece.color, named
            _add(run, told, Span(*sentence.span()))
            continue
        told = None if told else told
        run.idle += announced is None
        if run.pieces and (told is None or run.idle > _PAUSE):
            if run.whole():
                yield _diagram(run)
            run = _Run()
    if run.whole():
        yield _diagram(run)


def _announced(sentence: str) -> chess.Color | None:
    """Return the side whose men a sentence says will be told next, as "And Black?" does."""
    words = re.findall(r"\w+", sentence)
    sides = {word.lower() for word in words} & _COLOURS
    few = len(sides) == 1 and len(words) <= _FEW_WORDS and not _PLAYS.search(sentence)
    return sides == {"white"} if few else None


def _contradicts(run: _Run, told: list[_Told]) -> bool:
    """Tell whether another man stands where one is put: a speaker goes on to something else."""
    return any(run.pieces.get(each.square, each.piece) != each.piece for each in told)


def _first_speaker(text: str, speakers: list[tuple[int, str]]) -> str:
    """Return the speaker who tells the first man of his own."""
    mine = _MINE.search(text)
    before = [name for start, name in speakers if mine is not None and start <= mine.start()]
    return before[-1] if before else ""


def _add(run: _Run, told: list[_Told], sentence: Span) -> None:
    if not run.pieces:
        run.start = sentence.start
    for each in told:
        run.pieces[each.square] = each.piece
        run.spans[each.square] = each.span
    run.end, run.idle = sentence.end, 0


def _men_of(text: str, sentence: Span, owners: _Owners) -> tuple[list[_Told] | None, bool]:
    """Return the men that a sentence puts on squares, and whether their side was named by its colour.

    The men are [] if it names no square, None if it does more than that.
    """
    found: list[_Told] = []
    kind: chess.PieceType | None = None
    start, several = sentence.start, False
    for word in _WORDS.finditer(text, *sentence):
        if word["owner"]:
            owners = owners.after(word["owner"])
        elif word["man"] or word["men"]:
            several = word["men"] is not None
            kind = MEN[(word["man"] or word["men"][:-1]).lower()]
            start = word.start()
        elif owners.last is None or kind is None:
            return None, False
        else:
            square = square_of(word["square"])
            if any(square == each.square for each in found):
                continue
            found.append(_Told(square, chess.Piece(kind, owners.last), Span(start, word.end())))
            start, kind = word.start(), kind if several else None
    plays = _PLAYS.search(_MAY_CASTLE.sub("", sentence.of(text))) is not None
    return (None if found and plays else found), owners.named


def _diagram(run: _Run) -> Diagram:
    return Diagram(kind="list", span=Span(run.start, run.end), pieces=run.pieces, piece_spans=run.spans)
