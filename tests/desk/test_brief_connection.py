"""Connections that say nothing, or half of something, end; the page's socket does not."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from http.client import HTTPConnection
from pathlib import Path

import pytest
import uvicorn
from soapfilm.desk import brief_connection
from soapfilm.desk.app import desk_app
from soapfilm.desk.brief_connection import BriefConnection
from soapfilm.desk.folder import Folder

from .talk import PATIENCE, talking

SHORT, FEW = 0.4, 12


@pytest.fixture
def port(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[int]:
    """Of a desk in a thread, whose connections last less than those of a real one."""
    monkeypatch.setattr(brief_connection, "LONGEST", SHORT)
    monkeypatch.setattr(brief_connection, "MOST", FEW)
    listening = socket.create_server(("127.0.0.1", 0))
    number = int(listening.getsockname()[1])
    config = uvicorn.Config(
        desk_app(Folder.at(tmp_path), {}, "token", number), http=BriefConnection,
        ws="websockets-sansio", log_level="error", lifespan="off", timeout_graceful_shutdown=1,
    )  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    yield number
    server.should_exit = True
    thread.join(PATIENCE)
    listening.close()


def page(port: int) -> int:
    """Status of the page."""
    line = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    line.request("GET", "/token/")
    status = line.getresponse().status
    line.close()
    return status


@pytest.mark.parametrize("said", [b"", b"GET / HTTP/1.1\r\nHost: "])
def test_who_never_ends_a_request_is_cut_off(port: int, said: bytes) -> None:
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as line:
        line.sendall(said)
        assert line.recv(100) == b""  # closed from there


def test_who_trickles_a_head_is_cut_off_too(port: int) -> None:
    """A byte now and then, as slow loris does, keeps a pause from ever being long."""
    line = socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)
    said = 0
    with line, suppress(ConnectionError):
        while said < 1000:
            line.sendall(b"G")
            said += 1
            time.sleep(SHORT / 20)
    assert 5 < said < 1000
    assert page(port) == 200


def test_many_who_say_nothing_leave_room_for_the_page(port: int) -> None:
    with ExitStack() as held:
        lines = [
            held.enter_context(socket.create_connection(("127.0.0.1", port), timeout=PATIENCE))
            for _ in range(3 * FEW)
        ]
        assert page(port) == 200
        assert lines[0].recv(100) == b""


def test_the_pages_socket_stays(port: int) -> None:
    with talking(f"http://127.0.0.1:{port}/token/") as talk:
        time.sleep(3 * SHORT)
        talk.say("list")
        assert talk.hear("files")["files"] == []
