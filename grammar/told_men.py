"""A position told man by man: "my king sits on a7, my queen beside it on b6; he has his king on c8".

Whoever speaks first has White, unless the colours are named. A side holds until another one is named:
"White first. The king is on a7. His queen stands on b6. And Black?" Between the sentences of a telling others
may stand that put no man anywhere; play ends it. A telling is a position where it names both kings once, and it
is read whole or not at all: a man that got no square is a fault.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .document import Diagram, TextFault
from .in_lines import InLines
from .spans import Span
from .telling_men import Sentence
from .told_again import Again
from .told_so_far import Man, Owners, Told
from .told_words import PUT_NOTHING, Said, sentences_told

_FEWEST_MEN = 4
_FEWEST_BY_COLOUR = 3  # men, where the sides are named by their colours
_PAUSE = 3  # sentences without a man that may stand between others
_PAUSE_WHEN_WHOLE = 2
_FEW_WORDS = 6  # of a sentence that only names a side
_KINGS = re.compile(r"\bkings?\b", re.I)
_STOP = re.compile(r"[.!?](?<=(?i:[a-z)\]]).)(?=\s|$)")
_NO_NAME = r"(?![^:\n]*\b(?i:white|black|kings?|queens?|rooks?|bishops?|knights?|pawns?|men|pieces|you|he|she|i)\b)"
_NAME = r"[A-Z][\w .'’-]{0,24}"
_SPEAKER = re.compile(rf"^[ \t]*(?={_NAME}:\s){_NO_NAME}(?P<name>{_NAME}):(?=\s)", re.M)
_SPEAKERS = InLines(lambda: _SPEAKER)
_MINE = re.compile(r"\b(?:my|our)\s+(?:king|queen|rook|bishop|knight|pawn)", re.I)
_OURS = InLines(lambda: re.compile(r"\b(?=(?:my|our)\s)", re.I), lambda: _MINE)
_PLAYS_BLACK = re.compile(r"\b(?:i|we)\s+(?:have|am|are|play|take)\s+(?:the\s+)?black\b", re.I)
_WE = InLines(lambda: re.compile(r"\b(?=(?:i|we)\s)", re.I), lambda: _PLAYS_BLACK)
_TO_HEARER = re.compile(r"\W*you\b", re.I)
_AFTERWARDS = re.compile(
    r"\b(?:final|(?<!look )(?<!looks )(?<!looking )after|afterwards|once(?!\s+(?:more|again))|instead|when"
    r"|end\s+position|mating\s+picture)\b",
    re.I,
)
# A sentence of no other words than these tells men and does nothing else.
_PURE = frozenset(("man", "square", "join", "at", "number", "word", "own", "other", "hearer", "yes"))
_BEFORE_A_MAN = frozenset(("side", "own", "other", "hearer", "word", "is", "at", "number", "join"))


class _Run(Struct):
    """A telling so far, over sentences that follow each other."""

    told: Told = field(default_factory=Told)
    start: int = 0
    end: int = 0
    idle: int = 0  # sentences without a man since the last one
    to_hearer: bool = False  # "You: king on a2": the hearer has White
    asked: tuple[Told, list[Span]] | None = None  # what a question would add, and where it does
    before: list[Told] = field(default_factory=list)  # the positions that were whole before more was added
    closed: bool = False  # what is asked of it has been told

    def whole(self) -> bool:
        """Tell whether this is a position: both kings once, and men enough."""
        fewest = _FEWEST_BY_COLOUR if self.told.by_colour else _FEWEST_MEN
        return len(self.told.pieces) >= fewest and self.told.whole()


@lru_cache(maxsize=2)  # the reader of a file, and whoever parts it into puzzles, ask for the same
def find_told(text: str) -> tuple[Diagram, ...]:
    """Return every position told in words in `text` (masked text of a document), in order. Never raises."""
    if _KINGS.search(text) is None:
        return ()
    return _READ.read(text, _Telling(text))


class _Telling:
    def __init__(self, text: str) -> None:
        said = list(_SPEAKERS.finditer(text))
        self.text = _SPEAKER.sub(lambda said: " " * len(said[0]), text) if said else text
        self.starts = [each.start() for each in said]
        self.names = [each["name"] for each in said]
        self.mine = _OURS.search(self.text)
        self.first = self._first_speaker()
        self.has_white = _WE.search(text) is None
        self.one_speaker = len(set(self.names)) == len(self.names)
        stops, lines = len(_STOP.findall(self.text)), sum(bool(line.strip()) for line in self.text.splitlines())
        self.by_line = 2 * stops < lines
        self.run = _Run()

    @property
    def nothing_yet(self) -> bool:
        """True where nothing of what was read before bears on what comes next."""
        return not self.run.told.pieces and self.run == _Run()

    def depends_on(self) -> tuple[object, ...]:
        """Return what the whole text says about how each of its sentences is read."""
        return self.by_line, self.has_white, self.first, tuple(self.names)

    @property
    def mark(self) -> int | None:
        """A place in the text: how sentences are read depends on whether they stand before it. None: there is none."""
        return self.mine.start() if self.mine is not None and self.one_speaker else None

    def positions(self, start: int = 0, ends_at: Callable[[int], bool] = lambda place: False) -> Iterator[Diagram]:
        """Yield the positions told from `start` on, in order; `ends_at` as `sentences_told` asks it."""
        rest = Span(start, len(self.text))
        for words in sentences_told(self.text, rest, by_line=self.by_line, ends_at=ends_at):
            ended = self._take(words)
            if ended is not None:
                yield ended
        if (last := self._end()) is not None:
            yield last

    def _take(self, words: Sequence[Said]) -> Diagram | None:
        """Take one sentence; return the position that ends before it."""
        self._answer(words)
        if all(word.does in PUT_NOTHING for word in words):
            return self._take_other(words, plays=False)
        run = self.run
        whole = run.whole()
        dictated = _dictated(words, whole=whole)
        if not run.told.pieces:
            run.to_hearer = self._to_hearer(words[0].span.start)
        reader = Sentence(dictated, run.told, self._owners(words[0].span.start))
        told = reader.read()
        if not reader.placed and told.pieces == run.told.pieces:
            run.told = replace(run.told, waits=told.waits)
            return self._take_other(words, plays=len(dictated) < len(words))
        if words[-1].does == "asked" and not _only_makes_sure(words):
            run.asked = told, reader.spans
            return None
        span = words[0].span.to(words[-1].span)
        if _AFTERWARDS.search(self.text, *span):
            return self._end()
        if told.second:
            ended = self._end()
            self._take_afresh(words)
            return ended
        if whole and not _goes_on(words, closed=run.closed):
            return self._end()
        self._add(told, reader.spans, words)
        return self._end() if len(dictated) < len(words) else None

    def _take_other(self, words: Sequence[Said], *, plays: bool) -> Diagram | None:
        """Take a sentence that puts no man anywhere."""
        run = self.run
        run.closed |= any(word.does == "play" for word in words) and run.whole()
        run.idle += not self._announces(words)
        return self._end() if plays or run.idle > (_PAUSE_WHEN_WHOLE if run.whole() else _PAUSE) else None

    def _end(self) -> Diagram | None:
        ended = self._ended()
        self.run = _Run()
        return ended

    def _take_afresh(self, words: Sequence[Said]) -> None:
        """Take a sentence that contradicts what was told before it as the first of another telling."""
        reader = Sentence(_dictated(words, whole=False), Told(), self._owners(words[0].span.start))
        told = reader.read()
        if reader.placed and not told.second:
            self._add(told, reader.spans, words)

    def _add(self, told: Told, spans: Sequence[Span], words: Sequence[Said] = ()) -> None:
        run = self.run
        if not run.told.pieces and not any(square in told.pieces for _, square, _ in run.told.unowned):
            run.start = _beginning(words, spans)
        if run.whole():
            run.before.append(run.told)
        run.told, run.idle = told, 0
        run.end = max([run.end, *(span.end for span in spans)])

    def _answer(self, words: Sequence[Said]) -> None:
        """Take what was asked, "and a rook on a1?", for told where the answer is yes."""
        if self.run.asked is not None:
            told, spans = self.run.asked
            if words[0].does == "yes":
                self._add(told, spans)
            self.run.asked = None

    def _announces(self, words: Sequence[Said]) -> bool:
        """Tell whether a sentence says whose men come next, as "And Black?" does; then they are that side's."""
        sides = {word.value for word in words if word.does == "side"}
        if len(sides) != 1:
            return False
        few = sum(word.does != "join" for word in words) <= _FEW_WORDS or any(
            word.does == "side" and {each.does for each in words[place + 1 : place + 3]} & {"is"}
            for place, word in enumerate(words)
        )
        plays = any(word.does == "play" for word in words)
        if not few or plays:
            return False
        self.run.told = Sentence(words, self.run.told, self._owners(words[0].span.start)).announce()
        return True

    def _ended(self) -> Diagram | None:
        run = self.run
        if not run.whole():
            return None
        faults = [*run.told.faults, *_unplaced(run.told), *_unowned(run.told)]
        others = [] if run.told.by_colour else [_other_colours(run.told.pieces)]
        others += [told.pieces for told in reversed(run.before)]
        return Diagram(
            kind="list",
            span=Span(run.start, run.end),
            pieces=run.told.pieces,
            piece_spans=run.told.spans,
            faults=tuple(sorted(faults, key=lambda fault: fault.span)),
            others=tuple(others),
            told=True,
        )

    # -- who speaks

    def _owners(self, place: int) -> Owners:
        if self.run.to_hearer:
            return Owners(chess.BLACK, chess.WHITE, chess.BLACK)
        number = bisect_right(self.starts, place)
        speaker = self.names[number - 1] if number else ""
        own = (speaker == self.first or not speaker) is self.has_white
        return Owners(own, not own, not own)

    def _to_hearer(self, place: int) -> bool:
        """Tell whether the sentence at `place` tells the men of the hearer first, who has White then."""
        return (
            self.one_speaker
            and _TO_HEARER.match(self.text, place) is not None
            and (self.mine is None or self.mine.start() > place)
        )

    def _first_speaker(self) -> str:
        """Return the speaker who tells the first man of his own."""
        mine = self.mine
        before = [name for start, name in zip(self.starts, self.names, strict=True) if mine and start <= mine.start()]
        return before[-1] if before else ""


def _dictated(words: Sequence[Said], *, whole: bool) -> Sequence[Said]:
    """Return the words of a sentence before the part of it that plays or supposes something."""
    start = 0
    for place in range(len(words) + 1):
        if place == len(words) or (words[place].does == "join" and words[place].text != "\n"):
            if _plays(words[start:place], whole=whole):
                return words[:start]
            start = place
    return words


def _plays(part: Sequence[Said], *, whole: bool) -> bool:
    """Tell whether a part of a sentence speaks of a move: of what a man does, to whom or where."""
    chess_said = [place for place, word in enumerate(part) if word.does in ("man", "square")]
    if not chess_said:
        return False
    does = [word.does for word in part]
    if any(does[place : place + 3] == ["man", "to", "square"] for place in range(len(does))):
        return True  # "queen to d8"
    for place, word in enumerate(part):
        explained = word.does == "explains" and chess_said[-1] > place and not _for_somebody(part, place)
        if word.does in ("play", "perhaps") or explained:
            return True
        if word.does == "puts":
            squares = [each for each in chess_said if part[each].does == "square"]
            stands = all(part[max(0, each - 1)].does == "at" for each in squares)
            has_gone = place > 0 and part[place - 1].does == "is"
            if squares and (whole or not (stands or has_gone)):
                return True
    return False


def _for_somebody(part: Sequence[Said], place: int) -> bool:
    """Tell whether a word says what men are there for, before their squares are told.

    As "two pawns to guard him on d3 and e4" and "looking after him pawns on f7 and g7" do.
    """
    before, after = part[max(0, place - 2) : place], part[place + 1 : place + 4]
    does = [word.does for word in after[1:]]
    if not after or after[0].text not in ("him", "her", "it", "them"):
        return False
    return does[:1] == ["man"] or ([word.does for word in before] == ["man", "to"] and does == ["at", "square"])


def _only_makes_sure(words: Sequence[Said]) -> bool:
    """Tell whether a question ends with words that only make sure of what was told: "white king on e1, okay?"."""
    return len(words) > 2 and words[-3].does == "join" and (words[-2].does == "yes" or words[-2].text in ("ok", "okay"))


def _goes_on(words: Sequence[Said], *, closed: bool) -> bool:
    """Tell whether a sentence adds men to a position that is whole, rather than to speak of those that stand there.

    `closed`: what is asked of it has been told, so that the sentence must say that something was left out.
    """
    does = {word.does for word in words}
    if does & {"goes on", "takes back"} or [word.does for word in words[:2]] == ["not", "square"]:
        return True
    return not closed and ("side" in does or does <= _PURE or sum(word.does == "man" for word in words) > 1)


def _beginning(words: Sequence[Said], spans: Sequence[Span]) -> int:
    """Return where the telling begins: at its first man, with the words for his side and others before him."""
    first = min(span.start for span in spans)
    place = next((place for place, word in enumerate(words) if word.span.start >= first), 0)
    while place and words[place - 1].does in _BEFORE_A_MAN and words[place - 1].text != "\n":
        place -= 1
    return min(first, words[place].span.start) if words else first


def _unplaced(told: Told) -> Iterator[TextFault]:
    """Yield the men that have no square, and the numbers of men that are greater than those with squares."""
    for man in told.mentions:
        if told.count(man) < max(man.number, 1):
            yield TextFault(man.span, _message(man, told.count(man)))


def _unowned(told: Told) -> Iterator[TextFault]:
    """Yield the men of which nothing tells the side."""
    for man, _, _ in told.unowned:
        yield TextFault(man.span, "it is not told whose man this is")


def _message(man: Man, count: int) -> str:
    name = chess.piece_name(man.kind)
    if man.number > 1 and count:
        return f"{man.number} {name}s are told here, and {count} of them put on a square"
    return f"it is not understood where this {name} stands"


def _other_colours(pieces: dict[chess.Square, chess.Piece]) -> dict[chess.Square, chess.Piece]:
    return {square: chess.Piece(piece.piece_type, not piece.color) for square, piece in pieces.items()}


_READ = Again()
