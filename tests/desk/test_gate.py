"""Who may speak to the desk: each rule of the gate, against a running one."""

from __future__ import annotations

import json
import socket
from contextlib import suppress
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from soapfilm.desk.gate import MOST_BYTES, new_token
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import ClientConnection, connect

from .talk import PATIENCE, talking


@pytest.fixture
def address(empty_desk: str) -> str:
    """A desk on an empty folder."""
    return empty_desk


def _get(
    address: str, path: str, method: str = "GET", **headers: str
) -> tuple[int, dict[str, str]]:
    parts = urlsplit(address)
    line = HTTPConnection(parts.netloc, timeout=PATIENCE)
    given = {"Host": parts.netloc} | {k.replace("_", "-"): v for k, v in headers.items()}
    line.request(method, path, headers=given)
    answer = line.getresponse()
    answer.read()
    line.close()
    return answer.status, {k.lower(): v for k, v in answer.getheaders()}


def _until_it_ends(line: ClientConnection) -> None:
    while True:
        line.recv(timeout=PATIENCE)


def _own(address: str) -> str:
    return urlsplit(address).path


def test_the_page_comes_under_its_token_only(address: str) -> None:
    assert _get(address, _own(address))[0] == 200
    for path in ("/", "/favicon.ico", f"/{new_token()}/", _own(address)[:-2] + "/", "/socket"):
        assert _get(address, path)[0] == 404


def test_tokens_are_long_and_differ() -> None:
    assert len({new_token() for _ in range(100)}) == 100
    assert len(new_token()) >= 43  # 256 bits in base64


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "0.0.0.0:{port}"]
)
def test_another_host_is_refused(address: str, host: str) -> None:
    """A name of an attacker that has been pointed at the loopback (DNS rebinding)."""
    port = urlsplit(address).port
    assert _get(address, _own(address), Host=host.format(port=port))[0] == 403


def test_another_origin_is_refused(address: str) -> None:
    assert _get(address, _own(address), Origin="http://evil.example")[0] == 403
    assert _get(address, _own(address), Origin="null")[0] == 403
    assert _get(address, _own(address), Origin=f"http://{urlsplit(address).netloc}")[0] == 200


@pytest.mark.parametrize("origin", [None, "null", "http://evil.example", "https://{host}"])
def test_a_socket_of_another_origin_is_refused(address: str, origin: str | None) -> None:
    parts = urlsplit(address)
    given = origin.format(host=parts.netloc) if origin else None
    with pytest.raises(InvalidStatus) as refused:
        connect(f"ws://{parts.netloc}{parts.path}socket", origin=given)  # type: ignore[arg-type]
    assert refused.value.response.status_code == 403


def test_a_socket_without_the_token_is_refused(address: str) -> None:
    parts = urlsplit(address)
    with pytest.raises(InvalidStatus):
        connect(f"ws://{parts.netloc}/socket", origin=f"http://{parts.netloc}")  # type: ignore[arg-type]


def test_nothing_is_posted(address: str) -> None:
    for method in ("POST", "PUT", "DELETE", "OPTIONS"):
        assert _get(address, _own(address), method)[0] == 405


def test_the_page_may_load_its_own_files_only(address: str) -> None:
    """Every answer carries the policy; nothing is stored or sent on to others."""
    _, headers = _get(address, _own(address))
    policy = dict(
        part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";")
    )
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == policy["form-action"] == "'none'"
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "name",
    ["../app.py", "..%2Fapp.py", "%2e%2e%2fgate.py", "page.html", "nothing.js", "/etc/passwd"],
)
def test_no_other_file_is_served(address: str, name: str) -> None:
    assert _get(address, f"{_own(address)}assets/{name}")[0] == 404


def test_scripts_are_served_as_scripts(address: str) -> None:
    status, headers = _get(address, f"{_own(address)}assets/fields.js")
    assert status == 200
    assert headers["content-type"].startswith("text/javascript")


def test_only_the_loopback_listens(address: str) -> None:
    """The machine's other addresses answer nobody."""
    port = urlsplit(address).port
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing: tells which address would be used
        except OSError:
            pytest.skip("this machine has the loopback alone")
        other = probe.getsockname()[0]
    if other.startswith("127."):
        pytest.skip("this machine has the loopback alone")
    with pytest.raises(OSError):  # noqa: PT011  refused or not reached, by system
        socket.create_connection((other, port), timeout=5).close()


def test_a_message_that_is_too_large_ends_the_line(address: str) -> None:
    parts = urlsplit(address)
    with connect(
        f"ws://{parts.netloc}{parts.path}socket",
        origin=f"http://{parts.netloc}",  # type: ignore[arg-type]
        max_size=None,
    ) as line:
        with suppress(ConnectionClosed):  # the frame's head says how long it is
            line.send("x" * (MOST_BYTES + 1))
        with pytest.raises(ConnectionClosed):
            _until_it_ends(line)


@pytest.mark.parametrize(
    "message",
    [
        "", "nonsense", "[]", "7", '{"do": 3}', '{"do": "_take"}', '{"do": "text"}',
        '{"do": "text", "text": 5}', '{"do": "text", "turn": "x", "text": ""}',
        '{"do": "set", "changes": 4}', '{"do": "set", "changes": [{"at": "a.b"}]}',
        '{"do": "push", "at": [1]}', '{"do": "open", "path": {}}', '{"do": "save"}',
        '{"do": "open", "path": "a\\u0000.toml"}', '{"do": "beside", "k": 9}',
        '{"do": "drop", "name": "a.toml", "data": "!"}',
    ],
)  # fmt: skip
def test_what_is_no_message_is_answered_in_words(address: str, message: str) -> None:
    with talking(address) as talk:
        talk._line.send(message)
        refused = talk.hear("refused")
        assert refused["words"]
        assert "Traceback" not in json.dumps(refused)
        talk.say("list")
        assert talk.hear("files")["files"] == []


def test_bytes_end_the_line_and_not_the_desk(address: str) -> None:
    with talking(address) as talk:
        talk._line.send(b"\x00\x01")
        with pytest.raises(ConnectionClosed):
            _until_it_ends(talk._line)
    with talking(address) as talk:
        talk.say("list")
        assert talk.hear("files")


def test_the_folder_is_not_left(address: str, tmp_path: Path) -> None:
    """Neither by a name nor by what a sheet names."""
    (tmp_path / "secret.toml").write_text('unit = "mm"\n[[shape]]\nprofile = "Rectangle"\n')
    with talking(address) as talk:
        for name in (str(tmp_path / "secret.toml"), "../secret.toml", "../../../etc/passwd"):
            talk.say("open", path=name)
            assert "outside the opened folder" in talk.hear("refused")["words"]
        talk.say("text", text=f'unit = "mm"\n[[drawing]]\nfile = "{tmp_path}/secret.svg"\n')
        assert "outside the opened folder" in talk.hear("refused")["words"]
        talk.say(
            "text",
            text=f'unit = "mm"\n[section.a]\nfile = "{tmp_path}/secret.toml"\n'
            '[[span]]\nlength = "3 m"\n',
        )
        assert "outside the opened folder" in talk.hear("refused")["words"]
        talk.say("save", path=str(tmp_path / "mine.toml"))
        assert "outside the opened folder" in talk.hear("refused")["words"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["secret.toml"]
