"""One open page: what it sends, one message at a time, and what it is sent, in order."""

import asyncio
import contextlib
import json
from typing import Any, TypeVar

from starlette.websockets import WebSocket, WebSocketDisconnect

from ..listen.words import word

T = TypeVar("T")


class BadMessage(Exception):
    """A message that is not as our page writes them."""


class Message:
    """A message of the page; each value is asked for with its type."""

    def __init__(self, text: str) -> None:
        try:
            values = json.loads(text)
        except (ValueError, RecursionError) as fault:
            raise BadMessage(word("not_json")) from fault
        if not isinstance(values, dict):
            raise BadMessage(word("not_object"))
        self._values: dict[str, Any] = values

    def get(self, name: str, kind: type[T]) -> T:
        """Return a value. BadMessage where it is missing or of another type."""
        value = self._values.get(name)
        if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            raise BadMessage(word("not_of_kind", name=name, kind=kind.__name__))
        return value

    def chosen(self, name: str, among: tuple[str, ...]) -> str:
        """Return a value that is one of some words."""
        value = self.get(name, str)
        if value not in among:
            raise BadMessage(word("none_of", name=name, among=", ".join(among)))
        return value

    def flag(self, name: str) -> bool:
        """Return a value that is true, or false where it is left out."""
        return self._values.get(name) is True


class Window:
    """The socket of one page."""

    def __init__(self, socket: WebSocket) -> None:
        self._socket = socket
        self._out: asyncio.Queue[dict[str, Any] | None] = asyncio.Queue()

    def send(self, **values: Any) -> None:
        """Send a message once those before it are sent."""
        self._out.put_nowait(values)

    async def receive(self) -> Message | None:
        """Return the next message, None when the page is gone."""
        try:
            return Message(await self._socket.receive_text())
        except (WebSocketDisconnect, RuntimeError, KeyError):  # a frame of bytes has no text
            return None

    async def sending(self) -> None:
        """Send what is handed to `send`, until `end`."""
        with contextlib.suppress(WebSocketDisconnect, RuntimeError):
            while (values := await self._out.get()) is not None:
                await self._socket.send_text(json.dumps(values, ensure_ascii=False, separators=(",", ":")))

    def end(self) -> None:
        """Send nothing more."""
        self._out.put_nowait(None)
