"""The room the windows share: texts that are open, what their checks say, and the answers to what pages ask."""

import asyncio
import contextlib
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any, cast

from keyproof.rules.case.choosing import Way
from keyproof.rules.writing.draft import NoDraft

from ..choices import named, path_beside
from ..jobs import own_fault
from ..kinds import SOURCES
from ..listen.desk import Checked
from ..listen.places import place_at, words_at
from ..listen.session import Outcome, Session, Text
from ..listen.words import word
from ..positions import NotAPosition
from ..sources import Unreadable, kind_of
from . import shown
from .answering import Answers
from .folder import ChangedOutside, Folder, Refused, only_shown
from .keeping import Keeper
from .texts import LARGEST, NotWriting, OpenText, Texts
from .units import Spots, Units
from .window import BadMessage, Message, Window

_LAST_WORDS = 0.2  # seconds in which the answer to what ends the desk is sent
LOOK = 1.0  # seconds between two looks at the files of open texts
Values = dict[str, Any]


class Room:
    """Everything the windows share; all of it runs in one event loop, but for the checks."""

    def __init__(self, folder: Folder, keeper: Keeper) -> None:
        self.folder = folder
        self.texts = Texts(folder, keeper)
        self.windows: set[Window] = set()
        self.visits = 0  # windows so far
        self.ends: Callable[[], None] = lambda: None  # what ends the server
        self._loop: asyncio.AbstractEventLoop | None = None
        self.session = Session(self._told, self._say)
        self._shown: dict[str, tuple[int, Values]] = {}
        self._opening = asyncio.Lock()
        self._answers = Answers(self.text_and_check)
        self._tasks: dict[str, Callable[[Window, Message], Awaitable[Values]]] = {
            "files": self._files,
            "open": self._open,
            "text": self._text,
            "take": self._take,
            "save": self._save,
            "reload": self._reload,
            "place": self._place,
            "choose": self._choose,
            "end": self._end,
            **{name: self._answering(answer) for name, answer in self._answers.all.items()},
        }

    # -- one window

    async def serve(self, window: Window) -> None:
        """Answer one window until it is gone."""
        self._loop = asyncio.get_running_loop()
        self.windows.add(window)
        self.visits += 1
        sending = asyncio.create_task(window.sending())
        try:
            while (message := await window.receive()) is not None:
                await self._answer(window, message)
        except BadMessage as fault:
            window.send(do="said", message=word("message_unread", why=fault))
        finally:
            self.windows.discard(window)
            self.texts.leave(window)
            window.end()
            with contextlib.suppress(Exception):
                await asyncio.wait_for(sending, 2)

    async def _answer(self, window: Window, message: Message) -> None:
        number, task = message.get("id", int), self._tasks.get(message.get("do", str))
        if task is None:
            raise BadMessage(word("no_question"))
        if message.get("do", str) in self._answers.all:  # may take long, and others must not wait
            running = asyncio.create_task(self._answered(window, number, task, message))
            self._answers.running.add(running)
            running.add_done_callback(self._answers.running.discard)
        else:
            await self._answered(window, number, task, message)

    async def _answered(
        self, window: Window, number: int, task: Callable[[Window, Message], Awaitable[Values]], message: Message
    ) -> None:
        try:
            values = await task(window, message)
        except NotWriting:
            values = {"error": word("elsewhere"), "elsewhere": True}
        except ChangedOutside as fault:
            values = {"error": str(fault), "outside": True}
        except UnicodeEncodeError as fault:
            sign = fault.object[fault.start : fault.end][:1]
            values = {"error": word("sign_lacks", sign=sign), "encoding": True}
            if kind_of(message.get("name", str)) in SOURCES:  # which names its encoding itself
                values = {"error": word("sign_lacks_named", sign=sign)}
        except (Refused, NotAPosition, NoDraft, BadMessage) as fault:
            values = {"error": str(fault)}
        except Exception as fault:
            values = {"error": word("own_fault", why=own_fault(fault))}
        window.send(id=number, **values)

    @staticmethod
    def _answering(
        answer: Callable[[Message], Awaitable[Values]],
    ) -> Callable[[Window, Message], Awaitable[Values]]:
        async def task(_: Window, message: Message) -> Values:
            return await answer(message)

        return task

    # -- files

    async def _files(self, _: Window, __: Message) -> Values:
        names = await asyncio.to_thread(self.folder.names)
        unsaved = {each.name for each in await asyncio.to_thread(self.texts.keeper.all_unsaved)}
        listed = [
            {"name": name, "unsaved": name in unsaved, "shown": only_shown(kind_of(name))}
            for name in dict.fromkeys([*names, *sorted(unsaved)])
        ]
        return {"files": listed, "folder": str(self.folder.root), "alone": self.folder.only is not None}

    async def _open(self, window: Window, message: Message) -> Values:
        name = message.get("name", str)
        for other in self.texts.opened.values():
            if other.name != name:
                other.readers.discard(window)
                if other.writer is window:
                    other.writer = None
        async with self._opening:  # of two windows one reads the file
            fresh = name not in self.texts.opened
            text = await asyncio.to_thread(self.texts.open, name)
        text.readers.add(window)
        if text.writer is None and text.shown is None:
            text.writer = window
        if fresh:
            self._hand_in(text)
        recovered = text.recovered.seconds if text.recovered is not None else None
        revision, values = self._shown.get(name, (0, {}))
        known = {"name": name, "revision": revision, **values} if revision else None
        where = str(self.folder.root if self.folder.only is None else self.folder.root / name)
        more = {"recovered": recovered, "note": text.decoded.note, "checked": known, "where": where}
        return self._state(text, window) | {"text": text.text} | more

    def _state(self, text: OpenText, window: Window) -> Values:
        return {
            "name": text.name,
            "kind": text.kind,
            "revision": text.revision,
            "saved": text.saved,
            "new": text.upon is None,
            "writing": text.writer is window,
            "shown": text.shown is not None,
        }

    def _of(self, message: Message) -> OpenText:
        text = self.texts.opened.get(message.get("name", str))
        if text is None:
            raise Refused(word("not_open"))
        return text

    async def _text(self, window: Window, message: Message) -> Values:
        text, words = self._of(message), message.get("text", str)
        if len(words) > LARGEST:
            raise Refused(word("too_long", most=f"{LARGEST:,}"))
        revision = self.texts.write(text, window, words)
        self._hand_in(text)
        for reader in text.readers:
            if isinstance(reader, Window) and reader is not window:
                reader.send(do="written", name=text.name, revision=revision, text=words, saved=text.saved)
        try:
            await asyncio.to_thread(self.texts.keep, text)
        except OSError as fault:
            self._say(word("cannot_keep", why=fault.strerror or fault))
        return {"revision": revision, "saved": text.saved}

    async def _take(self, window: Window, message: Message) -> Values:
        text = self._of(message)
        if text.shown is not None:
            raise NotWriting
        before, text.writer = text.writer, window
        if isinstance(before, Window) and before is not window:
            before.send(do="lost", name=text.name)
        return self._state(text, window) | {"text": text.text}

    async def _save(self, window: Window, message: Message) -> Values:
        text = self._of(message)
        if text.writer is not window:
            raise NotWriting
        over, in_utf8 = message.flag("over"), message.flag("utf8")
        await asyncio.to_thread(self.texts.save, text, over=over, in_utf8=in_utf8)
        for reader in text.readers:
            if isinstance(reader, Window) and reader is not window:
                reader.send(do="saved", name=text.name)
        return {"saved": text.saved}

    async def _reload(self, window: Window, message: Message) -> Values:
        text = self._of(message)
        if text.writer is not window and text.shown is None:
            raise NotWriting
        words = await asyncio.to_thread(self.texts.from_file, text)
        if text.shown is not None:
            self._hand_in(text)
        return {"text": words, "revision": text.revision}

    async def watch(self) -> None:
        """Tell the windows when another program has changed a file, for as long as the server runs."""
        stamps: dict[str, object] = {}
        while True:
            await asyncio.sleep(LOOK)
            for text in list(self.texts.opened.values()):
                stamp = self.folder.stamp(text.name)
                if text.name not in stamps or stamps[text.name] != stamp:  # None: there is no file
                    stamps[text.name] = stamp
                    with contextlib.suppress(Refused):
                        if await asyncio.to_thread(self.texts.changed_outside, text):
                            self._to_readers(text.name, do="outside", name=text.name)

    # -- checks

    def _hand_in(self, text: OpenText) -> None:
        path = str(self.folder.root / Path(text.name))
        self.session.hand_in(Text(text.name, path, text.revision, text.kind, text.text, text.shown))

    def _told(self, text: Text, outcome: Outcome) -> None:
        values = (
            shown.unread(outcome, text.text, Units(text.text))
            if isinstance(outcome, Unreadable)
            else shown.checked_text(outcome)
        )
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._publish, text.name, text.version or 0, values)

    def _publish(self, name: str, revision: int, values: Values) -> None:
        self._shown[name] = (revision, values)
        self._to_readers(name, do="checked", name=name, revision=revision, **values)

    def _to_readers(self, of: str, /, **values: Any) -> None:
        text = self.texts.opened.get(of)
        for reader in text.readers if text is not None else ():
            if isinstance(reader, Window):
                reader.send(**values)

    def _say(self, message: str) -> None:
        def say() -> None:
            for window in self.windows:
                window.send(do="said", message=message)

        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(say)

    def text_and_check(self, name: str) -> tuple[OpenText, Checked, Spots]:
        """Return an open text with its newest check and what converts its offsets. Refused where there is none."""
        text, known = self.texts.opened.get(name), self.session.known(name)
        if text is None or known is None:
            raise Refused(word("not_read_yet"))
        return text, known[1], Spots(known[1].filed)

    async def _place(self, _: Window, message: Message) -> Values:
        revision, at = message.get("revision", int), message.get("at", int)
        known = self.session.known(message.get("name", str))
        if known is None or known[0].version != revision:
            return {"place": None, "stale": True}
        checked, spots = known[1], Spots(known[1].filed)
        found = place_at(checked, spots.offset(at))
        return {"place": shown.place(found, spots) if found is not None else None}

    async def _choose(self, window: Window, message: Message) -> Values:
        """Keep, beside the text, which of two readings of a puzzle its author means."""
        text, checked, spots = self.text_and_check(message.get("name", str))
        way = message.chosen("way", ("printed", "told", "")) or None
        at = spots.offset(message.get("at", int))
        entry = checked.at(at)
        words = words_at(entry, at) if entry is not None else None
        if entry is None or words is None:
            raise Refused(word("no_two_ways"))
        sentence = (*named(entry.kept.case), words)
        await asyncio.to_thread(self.folder.choose, text.name, sentence, cast("Way | None", way))
        self._hand_in(text)
        return {"kept": path_beside(text.name)}

    async def _end(self, _: Window, __: Message) -> Values:
        asyncio.get_running_loop().call_later(_LAST_WORDS, self.ends)
        return {}

    def close(self) -> None:
        """End the checks."""
        self.session.close()
