"""The server of the desk: the page and its parts, the socket, what can be downloaded."""

import asyncio
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from importlib.resources import files
from string import Template
from urllib.parse import quote

from msgspec.structs import replace
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket

from ..diagrams.files import NoDiagram
from ..diagrams.svg import symbols
from ..listen.words import as_file, word, words
from ..options import Options
from ..pipeline import check_document
from ..positions import NotAPosition
from ..sheet import page as sheet
from . import asking, rehearsing
from .folder import Refused
from .guard import App, Guard, page_policy
from .room import Room
from .window import Window

_TYPES = {".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".json": "application/json"}
_WORDS = "words.json"
_FORMS = {"svg": "image/svg+xml", "png": "image/png"}


def application(room: Room, port: int, token: str) -> App:
    """Return the desk as an application for a server that listens on a port, behind its guard."""
    served = _Served(room, port)
    routes = [
        Route("/", served.page),
        Route("/sheet", served.sheet),
        Route("/diagrams.zip", served.diagrams),
        Route("/diagram", served.diagram),
        WebSocketRoute("/socket", served.socket),
        Route("/{name}", served.part),
    ]
    return Guard(Starlette(routes=routes), port, token)


def _resource(name: str) -> str:
    return files(__package__).joinpath("page", name).read_text(encoding="utf-8")


class _Served:
    def __init__(self, room: Room, port: int) -> None:
        self.room = room
        self.port = port
        folder = files(__package__).joinpath("page")
        self.parts = {each.name for each in folder.iterdir() if each.name.endswith(tuple(_TYPES))}

    async def page(self, _: Request) -> Response:
        nonce = secrets.token_urlsafe(16)
        filled = {name: escape(word) for name, word in words().items()}
        body = Template(_resource("page.html")).substitute(filled, nonce=nonce, symbols=symbols())
        headers = {"content-security-policy": page_policy(self.port, nonce)}
        return Response(body, media_type="text/html", headers=headers)

    async def part(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name == _WORDS:
            return Response(as_file(), media_type=_TYPES[".json"])
        if name not in self.parts:
            return PlainTextResponse(word("nothing_here") + "\n", 404)
        return Response(_resource(name), media_type=_TYPES[name[name.rindex(".") :]])

    async def socket(self, socket: WebSocket) -> None:
        await socket.accept()
        await self.room.serve(Window(socket))

    async def sheet(self, request: Request) -> Response:
        """Return the proof sheet of a text as it stands on the desk."""
        with _told_plainly() as told:
            text, checked, _ = self.room.text_and_check(request.query_params.get("name", ""))
            options = Options(show_moves=True)

            def work() -> str:
                result = check_document(checked.document, options)
                return sheet.page([replace(result, path=text.name)], options)  # printed without where it stands here

            body = await asyncio.to_thread(work)
            headers = {"content-security-policy": f"{sheet.policy()}; frame-ancestors 'none'"}
            return Response(body, media_type="text/html", headers=headers)
        return told[0]

    async def diagrams(self, request: Request) -> Response:
        """Return a diagram for each change of position of a script, numbered, in one packed file."""
        with _told_plainly() as told:
            text, checked, _ = self.room.text_and_check(request.query_params.get("name", ""))
            form, width = _form(request), request.query_params.get("width", "960")

            def work() -> bytes:
                shown = rehearsing.positions(list(rehearsing.script(checked)))
                return asking.sheet_of_diagrams(text.name, shown, form, width)

            name = f"{asking.stem(text.name)}-diagrams.zip"
            return _download(await asyncio.to_thread(work), "application/zip", name)
        return told[0]

    async def diagram(self, request: Request) -> Response:
        """Return one diagram."""
        with _told_plainly() as told:
            form, asked = _form(request), request.query_params
            work = asyncio.to_thread(asking.diagram, asked.get("fen", ""), form, asked.get("width", "480"))
            return _download(await work, _FORMS[form], f"diagram.{form}")
        return told[0]


def _form(request: Request) -> str:
    form = request.query_params.get("form", "svg")
    if form not in _FORMS:
        raise NoDiagram(word("no_form", form=form, forms=", ".join(_FORMS)))
    return form


def _download(data: bytes, kind: str, name: str) -> Response:
    named = f"attachment; filename*=UTF-8''{quote(name)}"  # RFC 6266, 4.3
    return Response(data, media_type=kind, headers={"content-disposition": named})


@contextmanager
def _told_plainly() -> Iterator[list[Response]]:
    """Turn what cannot be answered into a page that says why; it stands in the list when the block has ended."""
    told: list[Response] = []
    try:
        yield told
    except (Refused, NotAPosition, NoDiagram) as fault:
        told.append(PlainTextResponse(f"{fault}\n", 422))
