"""Nobody else gets in: what the server answers to requests that are not of its own page, asked by plain HTTP.

Sources: RFC 9110 15.5.20 (421), RFC 6455 4.1, W3C Fetch Metadata, CSP Level 3, OWASP "DNS rebinding" (from memory).
"""

import base64
import contextlib
import http.client
import json
import os
import signal
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .conftest import COLUMN, Desk, desk_of


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    yield from desk_of(tmp_path_factory, "column.md", COLUMN)


def ask(desk: Desk, path: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
    with contextlib.closing(http.client.HTTPConnection("127.0.0.1", desk.port, timeout=30)) as connection:
        connection.putrequest(method, path, skip_host="host" in headers)
        for name, value in headers.items():
            connection.putheader(name.replace("_", "-"), value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()


def test_its_own_page_is_served(desk: Desk) -> None:
    status, headers, body = ask(desk, f"/{desk.token}/")
    assert status == 200
    assert b"Proof desk" in body
    assert headers["referrer-policy"] == "no-referrer"  # the address holds the token
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"
    policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert "unsafe" not in headers["content-security-policy"]
    assert policy["frame-ancestors"] == policy["base-uri"] == policy["form-action"] == "'none'"
    again = ask(desk, f"/{desk.token}/")[1]["content-security-policy"]
    assert again != headers["content-security-policy"]  # a nonce is used once


@pytest.mark.parametrize("path", ["/", "/desk.js", "/wrong/", "/wrong/socket", "//", "/%00/"])
def test_without_the_token_there_is_nothing(desk: Desk, path: str) -> None:
    status, _, body = ask(desk, path)
    assert status == 404
    assert desk.token.encode() not in body


@pytest.mark.parametrize("host", ["evil.example", "localhost", "127.0.0.1", "127.0.0.1:1", "[::1]", ""])
def test_a_foreign_host_is_refused(desk: Desk, host: str) -> None:
    assert ask(desk, f"/{desk.token}/", host=host)[0] in (400, 421)


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1", ""])
def test_a_foreign_origin_is_refused(desk: Desk, origin: str) -> None:
    assert ask(desk, f"/{desk.token}/", origin=origin)[0] == 403
    assert ask(desk, f"/{desk.token}/diagram?fen=x", origin=origin)[0] == 403


@pytest.mark.parametrize(
    ("site", "status"), [("cross-site", 403), ("same-site", 403), ("same-origin", 200), ("none", 200)]
)
def test_the_browser_says_who_asks(desk: Desk, site: str, status: int) -> None:
    assert ask(desk, f"/{desk.token}/", sec_fetch_site=site)[0] == status


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"])
def test_it_is_only_read(desk: Desk, method: str) -> None:
    assert ask(desk, f"/{desk.token}/", method)[0] == 405


@pytest.mark.parametrize(
    "path",
    ["../room.py", "..%2froom.py", "%2e%2e/room.py", "page.html", "editor.licences.txt/..", "column.md", "x" * 300],
)
def test_only_the_parts_of_the_page_are_served(desk: Desk, path: str) -> None:
    assert ask(desk, f"/{desk.token}/{path}")[0] == 404


def test_a_long_question_is_refused(desk: Desk) -> None:
    assert ask(desk, f"/{desk.token}/diagram?fen={'8' * 5000}")[0] == 414


def shake_hands(desk: Desk, path: str, **headers: str) -> str:
    """Ask for a web socket and return the first line of the answer."""
    fields = {
        "Host": f"127.0.0.1:{desk.port}",
        "Origin": f"http://127.0.0.1:{desk.port}",
        "Upgrade": "websocket",
        "Connection": "Upgrade",
        "Sec-WebSocket-Key": base64.b64encode(os.urandom(16)).decode(),
        "Sec-WebSocket-Version": "13",
    } | {name.replace("_", "-"): value for name, value in headers.items()}
    with socket.create_connection(("127.0.0.1", desk.port), timeout=30) as connection:
        lines = [f"GET {path} HTTP/1.1", *(f"{name}: {value}" for name, value in fields.items() if value), "", ""]
        connection.sendall("\r\n".join(lines).encode())
        return connection.recv(4096).decode(errors="replace").splitlines()[0]


def test_the_socket_is_for_the_page_alone(desk: Desk) -> None:
    path = f"/{desk.token}/socket"
    assert "101" in shake_hands(desk, path)
    for answer in (
        shake_hands(desk, "/wrong/socket"),
        shake_hands(desk, path, Origin="http://evil.example"),
        shake_hands(desk, path, Origin="null"),
        shake_hands(desk, path, Origin=""),
        shake_hands(desk, path, Host="evil.example"),
        shake_hands(desk, path, Sec_Fetch_Site="cross-site"),
    ):
        assert "403" in answer, answer


def test_no_other_address_of_the_machine_answers(desk: Desk) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: nowhere; nothing is sent
        except OSError:
            pytest.skip("this machine has no address but its own")
        address = probe.getsockname()[0]
    if address.startswith("127."):
        pytest.skip("this machine has no address but its own")
    with pytest.raises(OSError), socket.create_connection((address, desk.port), timeout=5):
        pass


class Socket:
    """A socket as the page has one."""

    def __init__(self, desk: Desk) -> None:
        from websockets.sync.client import connect

        origin: Any = f"http://127.0.0.1:{desk.port}"
        address = f"ws://127.0.0.1:{desk.port}/{desk.token}/socket"
        self.open = contextlib.ExitStack()
        self.connection = self.open.enter_context(connect(address, origin=origin, max_size=None))

    def __enter__(self) -> "Socket":
        return self

    def __exit__(self, *_: object) -> None:
        self.open.close()

    def ask(self, **values: Any) -> dict[str, Any]:
        self.connection.send(json.dumps({"id": 1, **values}))
        return self.hear(id=1)

    def hear(self, **wanted: Any) -> dict[str, Any]:
        while True:
            message: dict[str, Any] = json.loads(self.connection.recv(timeout=60))
            if all(message.get(name) == value for name, value in wanted.items()):
                return message


@pytest.mark.parametrize(
    "name",
    [
        "../outside.md", "/etc/passwd", "/etc/hosts.md", "..", "sub/../../outside.md", "link.md", "linked/inside.md",
        ".hidden.md",
        "column.md/", "a\\..\\b.md", "nul\0.md", "column.exe", "", "x" * 300 + ".md", "./column.md", "column.md\n",
    ],
)  # fmt: skip
def test_no_file_outside_the_folder_is_opened(tmp_path: Path, folder: Path, start: Any, name: str) -> None:
    pytest.importorskip("websockets")
    from keyproof.linter.desk.folder import Folder, Refused

    (tmp_path / "outside.md").write_text("outside")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "inside.md").write_text("outside")
    (folder / "link.md").symlink_to(tmp_path / "outside.md")
    (folder / "linked").symlink_to(tmp_path / "elsewhere")
    here = Folder(folder)
    with pytest.raises(Refused):
        here.read(name)
    with pytest.raises(Refused):
        here.write(name, b"written", None, over=True)
    assert (tmp_path / "outside.md").read_text() == "outside"
    assert here.names() == []


def test_the_socket_opens_nothing_outside_and_survives_nonsense(desk: Desk) -> None:
    with Socket(desk) as page:
        assert "no name for a file" in page.ask(do="open", name="../../etc/passwd")["error"]
        assert "not open" in page.ask(do="save", name="column.md")["error"]
        assert page.ask(do="open", name="column.md")["text"] == COLUMN
        assert "no int" in page.ask(do="place", name="column.md", revision="one", at=0)["error"]
        assert "no position was found" in page.ask(do="position", text="/etc/passwd")["error"]
        assert "longer than" in page.ask(do="text", name="column.md", text="x" * 4_000_001)["error"]
        for nonsense in ("{", "[]", '{"id": true}', "9" * 10_000, "[" * 100_000):
            with Socket(desk) as other:
                other.connection.send(nonsense)
                assert "could not be read" in other.hear(do="said")["message"]
        assert page.ask(do="files")["files"] == [{"name": "column.md", "unsaved": False, "shown": False}]


def test_one_file_alone(tmp_path: Path, folder: Path) -> None:
    from keyproof.linter.desk.folder import Folder, Refused

    (folder / "one.md").write_text("one")
    (folder / "two.md").write_text("two")
    here = Folder.of(str(folder / "one.md"))
    assert here.names() == ["one.md"]
    with pytest.raises(Refused, match=r"only one\.md was opened"):
        here.read("two.md")
    with pytest.raises(Refused, match="neither a folder nor a file of a kind"):
        Folder.of(str(folder / "picture.bmp"))
    with pytest.raises(Refused, match="no folder"):
        Folder.of(str(folder / "none" / "one.md"))


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_in_order_when_it_is_told_to(start: Any, ending: signal.Signals) -> None:
    desk = start()
    assert ask(desk, f"/{desk.token}/")[0] == 200  # from then on it is served
    desk.process.send_signal(ending)
    assert "Traceback" not in desk.rest()
    assert desk.process.returncode == 0
