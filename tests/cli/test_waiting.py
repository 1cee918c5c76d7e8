"""The line that tells what takes long: on terminals only, after a while, and gone at the end."""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from soapfilm.cli.progress import waiting


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_long_work_is_told_and_wiped(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = _Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with waiting("solving the section", after=0.0):
        while not terminal.getvalue():
            time.sleep(0.01)
    assert terminal.getvalue().startswith("\rsolving the section: 0 s")
    assert terminal.getvalue().endswith("\r\x1b[K")


def test_a_short_work_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = _Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with waiting("solving the section", after=60.0):
        pass
    assert terminal.getvalue() == ""


def test_an_error_ends_the_line(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = _Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with pytest.raises(ZeroDivisionError), waiting("solving the section", after=60.0):
        raise ZeroDivisionError


def test_nothing_is_told_to_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    file = io.StringIO()
    monkeypatch.setattr(sys, "stderr", file)
    with waiting("solving the section", after=0.0):
        time.sleep(0.05)
    assert file.getvalue() == ""


def test_a_comparison_tells_what_it_works_on(monkeypatch: pytest.MonkeyPatch) -> None:
    from soapfilm.cli import compare
    from soapfilm.cli.main import main

    told: list[str] = []

    @contextmanager
    def noted(what: str) -> Iterator[None]:
        told.append(what)
        yield

    monkeypatch.setattr(compare, "waiting", noted)
    assert main(["compare", "W10X49", "W8X31", "--accuracy", "1e-2"]) == 0
    assert told == ["solving 2 sections"]
