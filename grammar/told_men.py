"""A position told man by man: "my king sits on a7, my queen beside it on b6; he has his king on c8".

Whoever speaks first has White, unless the colours are named. Such words are taken for a position only
where they run on, name both kings once, and leave no square without its man.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

import chess

from .document import Diagram
from .spans import Span
from .words import MEN, SPOKEN_SQUARE, square_of

_FEWEST_MEN = 4
_PAUSE = 2  # sentences without a man that may stand between others
_SENTENCE = re.compile(r"[^.!?\r\n]*[^.!?\s][^.!?\r\n]*[.!?]*")
_SPEAKER = re.compile(r"^[ \t]*(?P<name>[A-Z][\w .'’-]{0,24}):(?=\s)", re.M)
_PLAYS = re.compile(
    r"\b(?:tak(?:es?|ing)|captur\w+|goes|moves?|mat(?:es?|ing)|checks?|plays?|castl\w+|threat\w*|if|when|after|then|could"
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
_OWN = frozenset(("my", "mine", "our", "ours", "i", "we"))
_PLAYS_BLACK = re.compile(r"\b(?:i|we)\s+(?:have|am|are|play|take)\s+(?:the\s+)?black\b", re.I)


@dataclass
class _Run:
    """The men told so far, over sentences that follow each other."""

    start: int = 0
    end: int = 0
    speaker: str = ""
    owner: chess.Color | None = None  # of the man told last
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


def find_told(text: str) -> Iterator[Diagram]:
    """Yield every position told in words in `text` (masked text of a document), in order. Never raises."""
    speakers = [(said.start(), said["name"]) for said in _SPEAKER.finditer(text)]
    first = _first_speaker(text, speakers)
    starts = [start for start, _ in speakers]
    has_white = _PLAYS_BLACK.search(text) is None
    run = _Run()
    for sentence in _SENTENCE.finditer(text):
        number = bisect_right(starts, sentence.start())
        speaker = speakers[number - 1][1] if number else ""
        own = (speaker == first or not speaker) is has_white
        goes_on = run.speaker == speaker and _GOES_ON.match(sentence[0]) is not None
        told = _men_of(text, Span(*sentence.span()), own, run.owner if goes_on else None)
        if told:
            run.speaker, run.owner = speaker, told[-1].piece.color
            _add(run, told, Span(*sentence.span()))
            continue
        run.idle += 1
        if run.pieces and (told is None or run.idle > _PAUSE):
            if run.whole():
                yield _diagram(run)
            run = _Run()
    if run.whole():
        yield _diagram(run)


def _first_speaker(text: str, speakers: list[tuple[int, str]]) -> str:
    """Return the speaker who tells the first man of his own."""
    mine = re.search(r"\b(?:my|our)\s+(?:king|queen|rook|bishop|knight|pawn)", text, re.I)
    before = [name for start, name in speakers if mine is not None and start <= mine.start()]
    return before[-1] if before else ""


def _add(run: _Run, told: list[_Told], sentence: Span) -> None:
    if not run.pieces:
        run.start = sentence.start
    for each in told:
        run.pieces[each.square] = each.piece
        run.spans[each.square] = each.span
    run.end, run.idle = sentence.end, 0


def _men_of(text: str, sentence: Span, own: chess.Color, owner: chess.Color | None) -> list[_Told] | None:
    """Return the men that a sentence puts on squares; [] if it names no square, None if it does more than that.

    `own` is the side of who speaks, `owner` that of the man he told before.
    """
    found: list[_Told] = []
    kind: chess.PieceType | None = None
    start, several = sentence.start, False
    for word in _WORDS.finditer(text, *sentence):
        if word["owner"]:
            said = word["owner"].lower()
            owner = said == "white" if said in ("white", "black") else own if said in _OWN else not own
        elif word["man"] or word["men"]:
            several = word["men"] is not None
            kind = MEN[(word["man"] or word["men"][:-1]).lower()]
            start = word.start()
        elif owner is None or kind is None:
            return None
        else:
            square = square_of(word["square"])
            if any(square == each.square for each in found):
                continue
            found.append(_Told(square, chess.Piece(kind, owner), Span(start, word.end())))
            start, kind = word.start(), kind if several else None
    return None if found and _PLAYS.search(text, *sentence) else found


def _diagram(run: _Run) -> Diagram:
    return Diagram(kind="list", span=Span(run.start, run.end), pieces=run.pieces, piece_spans=run.spans)
