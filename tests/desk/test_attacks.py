"""What a hostile file, page or program tries on a running desk: it answers in words and goes on."""

from __future__ import annotations

import asyncio
import base64
import gzip
import io
import json
import socket
from collections.abc import Iterator, MutableMapping
from contextlib import ExitStack
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from soapfilm.desk.app import MOST_PAGES, desk_app
from soapfilm.desk.conversation import Conversation
from soapfilm.desk.folder import Folder
from soapfilm.desk.sheet import MOST_EDITED
from soapfilm.geometry.errors import InputError

from .talk import PATIENCE, Talk, running, talking

_ENTITIES = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 10}">' for k in range(1, 9))
_GROUPS = "".join(f'<g id="g{k}">' + f'<use href="#g{k - 1}"/>' * 10 + "</g>" for k in range(1, 10))
_USES = f'<defs><rect id="g0" width="1" height="1"/>{_GROUPS}</defs><use href="#g9"/>'
_BAR = 'unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = {}\nYDim = 3\n'
_TEXTS = {
    "nested lists": "a = " + "[" * 20_000,
    "nested tables": "a = " + "{b = " * 5000 + "1" + "}" * 5000,
    "a long number": "a = " + "1" * 100_000,
    "a deep key": ".".join("a" * 50_000) + " = 1",
    "many tables": "".join(f"[t{k}]\n" for k in range(10_000)),
    "a tower of powers": _BAR.format('"= 9^9^9^9^9"'),
    "brackets": _BAR.format('"= ' + "(" * 5000 + '"'),
    "no number": _BAR.format("nan"),
    "beyond all numbers": _BAR.format("1e308"),
}  # fmt: skip
_DROPS = {
    "entities.svg": f'<!DOCTYPE l [<!ENTITY a0 "ha">{_ENTITIES}]><svg>&a8;</svg>'.encode(),
    "outside.svg": b'<!DOCTYPE l [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg>&a;</svg>',
    "deep.svg": b"<g>" * 50_000,
    "uses.svg": f'<svg xmlns="http://www.w3.org/2000/svg">{_USES}</svg>'.encode(),
    "nested.wkt": b"GEOMETRYCOLLECTION(" * 50_000,
    "nested.geojson": b'{"type": "Polygon", "coordinates": ' + b"[" * 200_000,
    "nested.ifc": b"ISO-10303-21;DATA;#1=IFCX(" + b"(" * 200_000,
    "packed.ifc": gzip.compress(b"0" * 30_000_000),
    "packed.dxf": gzip.compress(b"0" * 30_000_000),
}


@pytest.fixture(scope="module")
def talk(empty_desk: str) -> Iterator[Talk]:
    """One line for all of them: what one did must not harm the next."""
    with talking(empty_desk) as found:
        yield found


def _answers(address: str) -> bool:
    """Whether the page is served."""
    parts = urlsplit(address)
    line = HTTPConnection(parts.netloc, timeout=PATIENCE)
    line.request("GET", parts.path)
    status = line.getresponse().status
    line.close()
    return status == 200


@pytest.mark.parametrize("name", _TEXTS)
def test_a_text_that_would_never_end_is_refused(talk: Talk, name: str) -> None:
    talk.say("text", text=_TEXTS[name])
    refused = talk.hear("refused", "failed", "drawing")
    assert refused["kind"] == "refused"
    assert len(refused["words"]) < 400


@pytest.mark.parametrize("name", _DROPS)
def test_a_drawing_that_would_never_end_is_refused(talk: Talk, name: str) -> None:
    talk.say("drop", name=name, data=base64.b64encode(_DROPS[name]).decode(), unit="mm")
    refused = talk.hear("refused", "failed", "drawing")
    assert refused["kind"] == "refused"
    assert "root:" not in refused["words"]


def test_blocks_within_blocks_are_not_unfolded_for_ever(talk: Talk) -> None:
    """Ten to the eleventh squares from a file of a few kilobytes."""
    import ezdxf

    drawing = ezdxf.new()
    square = drawing.blocks.new("B0")
    square.add_lwpolyline([(0, 0), (1, 0), (1, 1), (0, 1)], close=True)
    for k in range(1, 12):
        block = drawing.blocks.new(f"B{k}")
        for n in range(10):
            block.add_blockref(f"B{k - 1}", (2 * n, k))
    drawing.modelspace().add_blockref("B11", (0, 0))
    text = io.StringIO()
    drawing.write(text)
    talk.say(
        "drop", name="a.dxf", data=base64.b64encode(text.getvalue().encode()).decode(), unit="mm"
    )
    assert talk.hear("refused", "failed", "drawing")["kind"] == "refused"


def test_a_long_sheet_is_not_edited_by_value(talk: Talk) -> None:
    """It would be read with its layout on the way to every other answer."""
    talk.say("text", text='unit = "mm"\n' + "# long\n" * (MOST_EDITED // 6))
    talk.say("set", changes=[{"at": "unit", "to": "cm"}])
    while "changed in its text alone" not in (refused := talk.hear("refused"))["words"]:
        assert refused["turn"] < talk.turn
    talk.say("open", example="desk-i")
    talk.say("set", changes=[{"at": "shape.1.WebThickness", "to": 5}] * 2000)
    assert "at most" in talk.hear("refused")["words"]
    talk.say("set", changes=[{"at": "a." * 100_000, "to": 5}])
    assert len(talk.hear("refused")["words"]) < 1000


def test_who_asks_and_never_listens_is_not_listened_to(tmp_path: Path) -> None:
    """The desk keeps about a hundred answers; further questions wait until the page takes some."""

    async def run() -> None:
        listens = asyncio.Event()

        async def send(_: str) -> None:
            await listens.wait()

        talk = Conversation(send, Folder.at(tmp_path), {})
        posting = asyncio.create_task(talk._post())
        for _ in range(200):
            await talk.hear('{"do": "nothing"}')
        with pytest.raises(TimeoutError):
            await asyncio.wait_for(talk.room(), 0.2)
        listens.set()
        await asyncio.wait_for(talk.room(), PATIENCE)
        posting.cancel()

    asyncio.run(run())


def test_half_requests_keep_nobody_out(empty_desk: str) -> None:
    """Connections that begin a request and never end it (slow loris)."""
    parts = urlsplit(empty_desk)
    with ExitStack() as held:
        for _ in range(100):
            line = held.enter_context(socket.create_connection((parts.hostname, parts.port)))
            line.sendall(b"GET / HTTP/1.1\r\nHost: ")
        assert _answers(empty_desk)


@pytest.mark.parametrize(
    "request_line",
    [
        "GET http://evil.example/{token}/ HTTP/1.1", "GET //evil.example/{token}/ HTTP/1.1",
        "GET /{token}/assets/../../gate.py HTTP/1.1", "GET /{token}/assets/%2e%2e/gate.py HTTP/1.1",
        "GET /{token}/assets/..%5cgate.py HTTP/1.1", "GET /{token}/assets/desk.js%00.css HTTP/1.1",
        "CONNECT 127.0.0.1:80 HTTP/1.1", "TRACE /{token}/ HTTP/1.1", "GET * HTTP/1.1", "nonsense",
    ],
)  # fmt: skip
def test_a_request_that_is_none_gets_nothing(empty_desk: str, request_line: str) -> None:
    """Written as no browser would."""
    parts = urlsplit(empty_desk)
    line = request_line.format(token=parts.path.strip("/"))
    head = f"{line}\r\nHost: {parts.netloc}\r\nConnection: close\r\n\r\n"
    with socket.create_connection((parts.hostname, parts.port), timeout=PATIENCE) as raw:
        raw.sendall(head.encode())
        answer = b""
        while chunk := raw.recv(65536):
            answer += chunk
    assert answer.split(b" ")[1][:1] == b"4"
    assert b"import" not in answer
    assert _answers(empty_desk)


def test_two_hosts_are_refused(empty_desk: str) -> None:
    parts = urlsplit(empty_desk)
    head = f"GET {parts.path} HTTP/1.1\r\nHost: {parts.netloc}\r\nHost: evil.example\r\n\r\n"
    with socket.create_connection((parts.hostname, parts.port), timeout=PATIENCE) as raw:
        raw.sendall(head.encode())
        assert raw.recv(100).split(b" ")[1][:1] == b"4"


def test_links_out_of_the_folder_are_not_followed(tmp_path: Path) -> None:
    """Nor by lessons, nor where a file was taken away and a link put there."""
    (tmp_path / "in").mkdir()
    (tmp_path / "secret.md").write_text("+++\nview = 'nothing of yours'\n+++\n")
    (tmp_path / "in" / "lesson.md").symlink_to(tmp_path / "secret.md")
    with running(tmp_path / "in") as address, talking(address) as talk:
        talk.say("lessons")
        told = json.dumps(talk.hear("lessons", "refused"))
        assert "outside the opened folder" in told
        assert "nothing of yours" not in told
    folder = Folder.at(tmp_path / "in")
    (tmp_path / "in" / "a.toml").write_text("")
    place = folder.place("a.toml")
    (tmp_path / "in" / "a.toml").unlink()
    (tmp_path / "in" / "a.toml").symlink_to(tmp_path / "secret.toml")
    with pytest.raises(InputError, match="outside"):
        folder.place("a.toml")
    assert place.parent == folder.root


def test_pages_beyond_a_dozen_are_refused(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Each has a solving process; one that leaves makes room for another."""

    class Idle:
        def __init__(self, *_: object) -> None: ...

        async def begin(self) -> None: ...

        async def room(self) -> None: ...

        async def end(self) -> None: ...

    monkeypatch.setattr("soapfilm.desk.app.Conversation", Idle)
    app = desk_app(Folder.at(tmp_path), {}, "token", 80)
    headers = [(b"host", b"localhost:80"), (b"origin", b"http://localhost:80")]
    scope = {"type": "websocket", "path": "/token/socket", "headers": headers, "query_string": b"",
             "scheme": "ws", "subprotocols": [], "client": ("127.0.0.1", 1)}  # fmt: skip

    async def run() -> list[str]:
        told: list[str] = []

        async def page(leave: asyncio.Event) -> None:
            begun = False

            async def receive() -> dict[str, object]:
                nonlocal begun
                if begun:
                    await leave.wait()
                    return {"type": "websocket.disconnect", "code": 1000}
                begun = True
                return {"type": "websocket.connect"}

            async def send(message: MutableMapping[str, object]) -> None:
                told.append(str(message["type"]))

            await app(dict(scope), receive, send)

        leave = asyncio.Event()
        pages = [asyncio.create_task(page(leave)) for _ in range(MOST_PAGES + 1)]
        await asyncio.wait(pages, return_when=asyncio.FIRST_COMPLETED)
        leave.set()
        await asyncio.gather(*pages)
        await page(leave)
        return told

    told = asyncio.run(run())
    assert told == ["websocket.accept"] * MOST_PAGES + ["websocket.close", "websocket.accept"]
