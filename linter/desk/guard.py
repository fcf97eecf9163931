"""Who gets in: requests of our own page alone, and what the browser may do with what it is given.

Sources: RFC 9110 (Host, 421), RFC 6454 (Origin), W3C Fetch Metadata, Content Security Policy Level 3, RFC 6455 10.2.
"""

import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LOOPBACK = "127.0.0.1"
_LONGEST_QUERY = 4_000
_OWN_SITES = {b"same-origin", b"none"}  # "none": typed, or opened from a terminal

_HEADERS = [
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),  # the address holds the token
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"x-frame-options", b"DENY"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), payment=(), usb=()"),
    (b"cache-control", b"no-store"),
]


def page_policy(port: int, nonce: str) -> str:
    """Return the policy of the page: our scripts and styles, the editor's own style by its nonce, our socket."""
    return (
        f"default-src 'none'; script-src 'self'; style-src 'self' 'nonce-{nonce}'; img-src 'self' data:; "
        f"connect-src 'self' ws://{LOOPBACK}:{port}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
        "require-trusted-types-for 'script'; trusted-types 'none'"
    )


class Guard:
    """Lets through what comes from our own page, by Host, Origin and the token in the path, and nothing else."""

    def __init__(self, app: App, port: int, token: str) -> None:
        self.app = app
        self.token = token
        self.host = f"{LOOPBACK}:{port}".encode()
        self.origin = b"http://" + self.host

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request or socket."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            await _refuse(scope, send, *refused)
            return
        prefix = f"/{self.token}"
        inner = dict(scope, path=scope["path"][len(prefix) :], root_path="", raw_path=None)
        await self.app(inner, receive, _with_headers(send))

    def _refused(self, scope: Scope) -> tuple[int, str] | None:
        """Return the status and the reason for turning a request away, None for one that may pass."""
        headers: dict[bytes, list[bytes]] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name.lower(), []).append(value)
        if headers.get(b"host") != [self.host]:
            return 421, "this server answers to its own address only"
        origins = headers.get(b"origin", [])
        socket = scope["type"] == "websocket"
        if (origins or socket) and origins != [self.origin]:
            return 403, "only the desk's own page may ask"
        if any(site not in _OWN_SITES for site in headers.get(b"sec-fetch-site", [])):
            return 403, "only the desk's own page may ask"
        first, _, _ = scope["path"].removeprefix("/").partition("/")
        if not secrets.compare_digest(first.encode(), self.token.encode()):
            return 404, "nothing here: open the address that keyproof desk has printed"
        if not socket and scope["method"] not in ("GET", "HEAD"):
            return 405, "the desk is only read over HTTP"
        return (414, "too long") if len(scope["query_string"]) > _LONGEST_QUERY else None


def _with_headers(send: Send) -> Send:
    async def sending(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            present = {name.lower() for name, _ in message["headers"]}
            message["headers"] = [*message["headers"], *(each for each in _HEADERS if each[0] not in present)]
            if b"content-security-policy" not in present:
                message["headers"].append((b"content-security-policy", b"default-src 'none'; frame-ancestors 'none'"))
        await send(message)

    return sending


async def _refuse(scope: Scope, send: Send, status: int, why: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008, "reason": why})
        return
    body = f"{why}\n".encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b"" if scope.get("method") == "HEAD" else body})
