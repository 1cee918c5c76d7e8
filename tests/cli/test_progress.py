"""Progress on standard error: a bar for a person, a line now and then for a log, nothing on
standard output."""

from __future__ import annotations

import io
import sys

import pytest
from soapfilm.cli import study_progress
from soapfilm.cli.progress import shown
from soapfilm.solver.study.run.sweep import Progress


class Terminal(io.StringIO):
    """A standard error in front of a person."""

    def isatty(self) -> bool:
        return True


def sit_down(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """From here on standard error is a terminal (a fixture would be undone before the test)."""
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "120")
    return screen


def test_a_person_sees_rows_rate_failures_and_time_left(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    terminal = sit_down(monkeypatch)
    with study_progress.study_progress() as show:
        show(Progress(total=400, found=100, solved=0, failed=0))
        show(Progress(total=400, found=100, solved=50, failed=3))
    seen = terminal.getvalue()
    assert "150/400" in seen
    assert "/s failed 3" in seen
    assert "left" in seen
    assert capsys.readouterr().out == ""


def test_a_log_gets_a_line_now_and_then(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    clock = iter([0.0, 10.0, 40.0, 50.0, 80.0])
    monkeypatch.setattr(study_progress.time, "monotonic", lambda: next(clock))
    with study_progress.study_progress() as show:
        for solved in (1, 80, 90, 160):  # at 10, 40, 50 and 80 seconds
            show(Progress(total=400, found=100, solved=solved, failed=0))
    assert capsys.readouterr().err.splitlines() == [
        "180 of 400 rows, 2.0 a second, 110 s left",
        "260 of 400 rows, 2.0 a second, 70 s left",
    ]


def test_counted_work_has_a_bar_for_a_person_alone(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    terminal = sit_down(monkeypatch)
    with study_progress.count_progress("candidates") as tell:
        tell(3, 8)
    assert "candidates" in terminal.getvalue()
    log = io.StringIO()
    monkeypatch.setattr(sys, "stderr", log)
    with study_progress.count_progress("candidates") as tell:
        tell(3, 8)
    assert log.getvalue() == ""
    assert capsys.readouterr().out == ""


def test_items_pass_through_with_a_bar_or_without(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = sit_down(monkeypatch)
    few, many = list(range(5)), list(range(40))
    assert list(shown(few, "load cases")) == few
    assert terminal.getvalue() == ""
    assert list(shown(many, "load cases")) == many
    assert "load cases" in terminal.getvalue()
