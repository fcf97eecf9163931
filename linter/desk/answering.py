"""Answers that may take a while: proofs, drafts, scripts to rehearse. Each is worked out in a thread of its own."""

import asyncio
import contextlib
from collections.abc import Awaitable, Callable
from functools import partial
from typing import Any, cast

import chess
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.proof.prover import DEFAULT_EFFORT
from keyproof.rules.writing.draft import NoDraft
from keyproof.rules.writing.voices import VOICES, Voice

from ..diagrams.svg import described
from ..kinds import SOURCES
from ..listen import writing
from ..listen.desk import Checked
from ..listen.places import ways_at, words_at
from ..listen.words import word
from ..manuscripts.model import SourceKind
from ..manuscripts.source import paragraphs
from ..sources import kind_of
from . import asking, rehearsing, shown
from .folder import Refused
from .manner import AS_FEN, manner_at
from .texts import OpenText
from .units import Spots
from .window import BadMessage, Message

Values = dict[str, Any]
Known = Callable[[str], tuple[OpenText, Checked, Spots]]

_MOST_SENTENCES = 20_000


class Answers:
    """Answers by what is asked; `known` returns an open text with its newest check."""

    def __init__(self, known: Known) -> None:
        self._known = known
        self._one = asyncio.Semaphore(1)  # two proofs at once would only slow each other
        self._proof = Cancel()
        self.running: set[asyncio.Task[None]] = set()
        self.all: dict[str, Callable[[Message], Awaitable[Values]]] = {
            "position": self._position,
            "picture": self._picture,
            "prove": self._prove,
            "printed": self._printed,
            "draft": self._draft,
            "script": self._script,
            "ways": self._ways,
            "captions": self._captions,
        }

    async def _position(self, message: Message) -> Values:
        return await asyncio.to_thread(asking.position, message.get("text", str))

    async def _picture(self, message: Message) -> Values:
        return await asyncio.to_thread(asking.picture, message.get("kind", str), message.get("data", str))

    async def _prove(self, message: Message) -> Values:
        self._proof.cancel()  # of a position that has been changed since
        cancel = self._proof = Cancel()
        fen, asked = message.get("fen", str), message.get("asked", str)
        async with self._one:
            found = await asyncio.to_thread(asking.proof, fen, asked, DEFAULT_EFFORT, cancel)
        return {"stale": True} if cancel.cancelled else found

    async def _printed(self, message: Message) -> Values:
        name, manner = message.get("name", str), AS_FEN
        with contextlib.suppress(Refused):  # nothing was read there yet
            _, checked, spots = self._known(name)
            manner = manner_at(checked, spots.offset(message.get("at", int)))
        words = await asyncio.to_thread(asking.printed, message.get("fen", str), message.get("asked", str), manner)
        return {"text": words, "written": _written(name, words)}

    async def _draft(self, message: Message) -> Values:
        voice = cast(Voice, message.chosen("voice", VOICES))
        what = message.chosen("what", ("whole", "solution", "missing"))
        name = message.get("name", str)
        _, checked, spots = self._known(name)
        at = spots.offset(message.get("at", int))
        entry = writing.puzzle_at(checked, at)
        above = checked.document.text[:at].rstrip().rpartition("\n")[2]
        house = entry.kept.case.house

        def work() -> str:
            try:
                facts = writing.facts(entry, DEFAULT_EFFORT)
            except NoDraft:
                raise
            except ValueError as fault:
                raise NoDraft(str(fault)) from None
            if what == "missing":
                return writing.missing(entry, facts, voice, house.printed, above=above)
            return writing.solution(facts, voice, house.printed, position=what == "whole")

        async with self._one:
            words = await asyncio.to_thread(work)
        title = " ".join(f"{entry.puzzle.title} {entry.puzzle.label}".split())
        return {"text": words, "written": _written(name, words), "title": title}

    async def _ways(self, message: Message) -> Values:
        _, checked, spots = self._known(message.get("name", str))
        at = spots.offset(message.get("at", int))
        entry = checked.at(at)
        found = await asyncio.to_thread(ways_at, checked, at)
        words = words_at(entry, at) if entry is not None else None
        if entry is None:
            return shown.ways([], None, str)
        return shown.ways(found, entry.kept.case.chosen.get(words or ""), entry.kept.case.letters)

    async def _script(self, message: Message) -> Values:
        _, checked, spots = self._known(message.get("name", str))
        if not checked.document.blocks:
            raise Refused(word("not_rehearsed"))
        spoken = await asyncio.to_thread(lambda: list(rehearsing.script(checked)))
        return {"sentences": [_spoken(each, spots) for each in spoken]}

    async def _captions(self, message: Message) -> Values:
        form = message.chosen("form", ("vtt", "srt"))
        given = message.get("sentences", list)
        if len(given) > _MOST_SENTENCES:
            raise BadMessage(word("too_many_sentences"))
        timed = [_timed(each) for each in given]
        work = partial(rehearsing.captions, rehearsing.cues(timed), cast(Any, form))
        return {"text": await asyncio.to_thread(work)}


def _written(name: str, words: str) -> str:
    """Return words as they are to stand in a file of this name."""
    kind = kind_of(name)
    return paragraphs(words, cast(SourceKind, kind)) if kind in SOURCES and words else words


def _spoken(each: rehearsing.Spoken, spots: Spots) -> Values:
    boards = [
        {
            "line": shown.line,
            "men": shown.board.board_fen(),
            "to": chess.square_name(shown.to) if shown.to is not None else None,
            "words": described(shown.board),
        }
        for shown in each.boards
    ]
    return {"at": spots.start(each.span), "words": each.words, "boards": boards}


def _timed(each: object) -> tuple[int, int, str]:
    if isinstance(each, list) and len(each) == 3:
        start, end, words = each
        if isinstance(start, int) and isinstance(end, int) and isinstance(words, str) and 0 <= start <= end:
            return start, end, words
    raise BadMessage(word("no_sentence"))
