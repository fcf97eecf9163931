"""Runs the desk: a port of this machine, a token, the browser, and an end when nobody has the page open any more."""

import asyncio
import contextlib
import os
import secrets
import signal
import socket
import webbrowser
from collections.abc import Callable

import uvicorn

from .folder import Folder
from .guard import LOOPBACK
from .keeping import Address, Keeper
from .room import Room
from .server import application

STAY = 60.0  # seconds that the server stays after the page was closed
_FIRST = 300.0  # seconds that it waits for the page to be opened at all
_SOON = 5.0  # seconds after which it says that it will end
_TICK = 0.25
_LARGEST_MESSAGE = 24_000_000  # bytes: the largest text, each character of it escaped


def run(folder: Folder, say: Callable[[str], None], *, stay: float = STAY, browse: bool = True) -> None:
    """Serve the desk for a folder until its page is closed for `stay` seconds. OSError where no port is free."""
    keeper = Keeper(folder.identity)
    listening, token = _listen(keeper.address())
    port = listening.getsockname()[1]
    address = f"http://{LOOPBACK}:{port}/{token}/"
    with contextlib.suppress(OSError):
        keeper.note_address(Address(port, token))
    say(f"keyproof desk: {address}")
    say("Ctrl and C here, or End the desk on the page, ends it; what is not saved is kept")
    for unsaved in keeper.all_unsaved():
        say(f"unsaved text of {unsaved.name} was kept, and is shown when it is opened")
    if browse:
        webbrowser.open(address)
    room = Room(folder, keeper)
    attendance = _Attendance(room, say, stay, address)
    try:
        asyncio.run(_serve(room, listening, port, token, attendance))
    finally:
        room.close()
        if attendance.alone:  # else a page is still open, and goes on with the next server of this folder
            keeper.drop_address()
    for unsaved in keeper.all_unsaved():
        say(f"{unsaved.name} was not saved: its text is kept, and shown when keyproof desk is started again")


def _listen(before: Address | None) -> tuple[socket.socket, str]:
    """Return a socket of the loopback alone, and a token: those of the last server, whose page may still be open.

    While that server runs, its port cannot be bound.
    """
    for port, token in [(before.port, before.token)] if before is not None else []:
        with contextlib.suppress(OSError, OverflowError):
            return _bound(port), token
    return _bound(0), secrets.token_urlsafe(32)


def _bound(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name == "posix":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((LOOPBACK, port))
        listening.listen(64)
    except BaseException:
        listening.close()
        raise
    return listening


async def _serve(room: Room, listening: socket.socket, port: int, token: str, attendance: "_Attendance") -> None:
    config = uvicorn.Config(
        application(room, port, token),
        log_config=None,
        access_log=False,
        lifespan="off",
        ws="websockets-sansio",
        ws_max_size=_LARGEST_MESSAGE,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=2,
    )
    server = uvicorn.Server(config)
    room.ends = lambda: setattr(server, "should_exit", True)

    def end(*_: object) -> None:
        server.should_exit = True

    # What ends uvicorn it raises anew once it has ended: caught here, it ends nothing else and leaves no traceback.
    handlers = {each: signal.signal(each, end) for each in (signal.SIGINT, signal.SIGTERM)}
    watching = [asyncio.create_task(room.watch()), asyncio.create_task(attendance.keep(server))]
    try:
        await server.serve(sockets=[listening])
    finally:
        for task in watching:
            task.cancel()
        for each, handler in handlers.items():
            signal.signal(each, handler)


class _Attendance:
    """Ends the server when no window has been open for a while, and says so before."""

    def __init__(self, room: Room, say: Callable[[str], None], stay: float, address: str) -> None:
        self.room = room
        self.say = say
        self.stay = stay
        self.address = address
        self.alone = False  # no window was open any more when it ended

    async def keep(self, server: uvicorn.Server) -> None:
        """Watch until the server is to end."""
        clock = asyncio.get_running_loop().time
        gone, told, visits = clock(), False, 0
        while True:
            await asyncio.sleep(_TICK)
            if self.room.windows or self.room.visits != visits:  # a window may have come and gone since
                gone, told, visits = clock(), False, self.room.visits
                continue
            opened = visits > 0
            away, stay = clock() - gone, self.stay if opened else max(self.stay, _FIRST)
            if away >= stay:
                self.alone = True
                self.say("the page has been closed for a while: keyproof desk ends")
                server.should_exit = True
                return
            if opened and not told and away >= min(_SOON, stay / 2):
                told = True
                left = max(1, round(stay - away))
                self.say(f"the page is closed: keyproof desk ends in {left} seconds, unless you open {self.address}")
