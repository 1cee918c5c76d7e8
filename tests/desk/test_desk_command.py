"""`soapfilm desk` as it is typed: it says what is wrong in one line, and stops when it is told."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from soapfilm.cli import desk
from soapfilm.cli.main import main

from tests.interrupts import heeded

from .talk import PATIENCE, running


def test_a_port_in_use_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert main(["desk", str(tmp_path), "--no-browser", "--port", str(port)]) == 2
    told = capsys.readouterr().err
    assert f"port {port} is in use" in told
    assert told.count("\n") == 1


@pytest.mark.parametrize("port", ["0", "80", "70000", "x", "-1"])
def test_what_is_no_port(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["desk", f"--port={port}"]) == 2
    assert "1024" in capsys.readouterr().err


def test_a_missing_folder_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["desk", str(tmp_path / "nowhere"), "--no-browser"]) == 2
    assert "nowhere: there is no such file or folder" in capsys.readouterr().err


def test_a_missing_library_is_named_with_its_cure(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(desk, "find_spec", lambda name: None if name == "uvicorn" else object())
    assert main(["desk"]) == 2
    assert "pip install 'soapfilm[desk]'" in capsys.readouterr().err


def test_it_opens_the_file_it_is_given_and_says_where(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('unit = "mm"\n[[shape]]\nshape = "HEB300"\n')
    with running(tmp_path / "a.toml") as address:
        assert address.startswith("http://127.0.0.1:")
        with urllib.request.urlopen(address, timeout=PATIENCE) as page:
            assert b"soapfilm" in page.read()


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_ctrl_c_ends_it_and_its_processes(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "soapfilm.cli", "desk", str(tmp_path), "--no-browser"]
    with heeded():
        process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    process.stdout.readline()
    process.stdout.readline()
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=PATIENCE)
    assert "Traceback" not in told
    assert process.returncode in (0, 130, -signal.SIGINT)
