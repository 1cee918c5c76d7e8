"""Fingers on the drawing, and drawings dropped from outside, as the browser itself does both."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from .test_shaping import holds
from .visit import DeskVisit

TEE = "POLYGON((0 0, 200 0, 200 20, 110 20, 110 180, 90 180, 90 20, 0 20, 0 0))"
TUBE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80">'
    '<path fill-rule="evenodd" d="M0 0H120V80H0ZM8 8H112V72H8Z"/></svg>'
)


def touch(desk: DeskVisit, kind: str, *places: tuple[float, float]) -> None:
    points = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(places)]
    event = {"type": kind, "touchPoints": points}
    desk.browser.execute_cdp_cmd("Input.dispatchTouchEvent", event)


def middle(desk: DeskVisit, selector: str) -> tuple[float, float]:
    x, y = desk.run(
        "const b = document.querySelector(arguments[0]).getBoundingClientRect();"
        "return [b.x + b.width / 2, b.y + b.height / 2];",
        selector,
    )
    return x, y


def drop(desk: DeskVisit, path: Path) -> None:
    """A file that is dragged from the desktop and let go over the page."""
    data: dict[str, Any] = {"items": [], "files": [str(path)], "dragOperationsMask": 1}
    for kind in ("dragEnter", "dragOver", "drop"):
        event = {"type": kind, "x": 500, "y": 300, "data": data}
        desk.browser.execute_cdp_cmd("Input.dispatchDragEvent", event)


def test_fingers_zoom_switch_a_weld_and_turn_the_member(desk: DeskVisit) -> None:
    desk.file("welded-box.toml")
    x, y = middle(desk, "#stage")
    touch(desk, "touchStart", (x - 40, y), (x + 40, y))
    for spread in (60, 80, 100):
        touch(desk, "touchMove", (x - spread, y), (x + spread, y))
    touch(desk, "touchEnd")
    assert desk.run("return desk.stage.view.zoom") == pytest.approx(2.5, rel=0.1)
    desk.find("[data-press=all]").click()
    desk.settle()
    before = desk.value("J")["lower"]
    place = middle(desk, ".handle.switch .grip")
    touch(desk, "touchStart", place)
    touch(desk, "touchEnd")
    desk.wait("desk.sheet.text.includes('made = false')")
    desk.settled()
    assert desk.value("J")["upper"] < before / 100
    desk.undo()
    desk.settled()
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    turn = desk.run("return desk.push.solid.turn")
    x, y = middle(desk, ".solid-paper canvas")
    touch(desk, "touchStart", (x, y))
    for step in (20, 40, 60):
        touch(desk, "touchMove", (x + step, y))
    touch(desk, "touchEnd")
    assert desk.run("return desk.push.solid.turn") == pytest.approx(turn + 0.48, abs=0.1)


def test_drawings_are_dropped_over_unsaved_work(desk: DeskVisit, tmp_path: Path) -> None:
    """What is not saved is asked for first, then the unit of a drawing that names none."""
    (tmp_path / "tee.wkt").write_text(TEE)
    (tmp_path / "tube.svg").write_text(TUBE)
    desk.file("platform-girder.toml")
    desk.retype("OverallDepth = 580", "OverallDepth = 640")
    desk.settled()
    drop(desk, tmp_path / "tee.wkt")
    desk.wait("document.querySelector('#leaving').open")
    assert desk.barriers() == []
    desk.find("#leaving button[value=stay]").click()
    assert "OverallDepth = 640" in desk.text
    drop(desk, tmp_path / "tee.wkt")
    desk.wait("document.querySelector('#leaving').open")
    desk.find("#leaving button[value=leave]").click()
    desk.wait("document.querySelector('#units').open")
    assert "names no length unit" in desk.find("#units .words").text
    desk.find("#units button[value=mm]").click()
    desk.wait("desk.sheet.name === 'tee'")
    desk.settled()
    assert desk.value("A")["value"] == pytest.approx(200 * 20 + 20 * 160)
    holds(desk)
    drop(desk, tmp_path / "tube.svg")  # of the drawing no file is kept yet either
    desk.wait("document.querySelector('#leaving').open")
    desk.find("#leaving button[value=leave]").click()
    desk.wait("desk.sheet.name === 'tube'")
    desk.settled()
    assert desk.value("A")["value"] == pytest.approx(120 * 80 - 104 * 64)
    holds(desk)
