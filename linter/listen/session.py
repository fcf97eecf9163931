"""The texts that somebody is writing, each checked in a thread of its own: what every server of ours stands on."""

from collections.abc import Callable

from keyproof.grammar.document import Document
from keyproof.rules.proof.limits import Cancel
from msgspec import Struct

from .. import cache
from ..jobs import own_fault
from ..kinds import Kind
from ..options import Options
from ..sources import Unreadable, document_from_source
from ..style import BadSettings, settings_for
from .background import Background
from .desk import Checked, Desk
from .looks import Cancelled
from .words import word


class Text(Struct, frozen=True):
    """One version of an open text. `name` tells it from others; `path` is its file, None where it has none.

    `shown` is what was read of a file that is no text itself, and so is only shown.
    """

    name: str
    path: str | None
    version: int | None
    kind: Kind
    text: str
    shown: Document | None = None


Outcome = Checked | Unreadable


class Session:
    """Checks open texts as they are written.

    `told` gets each text with what is known of it so far, or why it cannot be read; `say` what is to be
    said once, in words. Both are called in another thread.
    """

    def __init__(self, told: Callable[[Text, Outcome], None], say: Callable[[str], None]) -> None:
        self._told = told
        self._say = say
        self._said: set[str] = set()
        self._desks: dict[str, Desk] = {}
        self._known: dict[str, tuple[Text, Checked]] = {}
        self._background: Background[Text] = Background(self._check)

    def hand_in(self, text: Text) -> None:
        """Take the newest version of a text."""
        self._background.hand_in(text.name, text)

    def again(self, name: str) -> None:
        """Forget what is known of a text that has changed in more than its words: its settings, its file's name."""
        self._desks.pop(name, None)

    def forget(self, name: str) -> None:
        """Drop a text that is open no more."""
        self._background.drop(name)
        self._desks.pop(name, None)
        self._known.pop(name, None)

    def known(self, name: str) -> tuple[Text, Checked] | None:
        """Return what is known of a text, and the version that it is known of; None before the first check."""
        return self._known.get(name)

    def close(self) -> None:
        """End the checks under way."""
        self._background.close()

    def _check(self, text: Text, cancel: Cancel) -> None:
        for warning in cache.begin():
            self.say_once(warning)
        try:
            document = text.shown or document_from_source(text.path or text.name, text.text, text.kind)
            desk = self._desks.get(text.name)
            if desk is None:
                desk = self._desks[text.name] = Desk(self._options(text.path))
            for checked in desk.check(document, cancel):
                if cancel.cancelled:
                    raise Cancelled
                self._known[text.name] = (text, checked)
                self._told(text, checked)
        except Unreadable as fault:
            self._known.pop(text.name, None)
            self._told(text, fault)
        except Cancelled:
            raise
        except Exception as fault:
            self.say_once(word("own_fault", why=own_fault(fault)))

    def _options(self, path: str | None) -> Options:
        try:
            settings = settings_for([path] if path else [])
        except BadSettings as fault:
            self.say_once(str(fault))
            return Options()
        return Options(house=settings.house, levels=settings.levels)

    def say_once(self, message: str) -> None:
        """Say something, if it was not said before."""
        if message not in self._said:
            self._said.add(message)
            self._say(message)
