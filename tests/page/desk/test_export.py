"""Exported pictures beside the screen: the same force, the same factor, at the same place."""

from __future__ import annotations

import base64
import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from .visit import DeskVisit

FORCE = (179, 71, 0)
HEAD, MARGIN = 34, 12


def exported(desk: DeskVisit, what: str) -> tuple[str, bytes]:
    """Name and content of what the menu gives."""
    desk.run(
        "window.got = null;"
        "(desk.sheet.heard['message exported'] ??= []).push((m) => { window.got = m; });"
    )
    desk.find("#export summary").click()
    desk.find(f"[data-export={what}]").click()
    desk.wait("window.got !== null")
    return str(desk.run("return got.name")), base64.b64decode(desk.run("return got.data"))


def pixels(data: bytes) -> NDArray[np.int_]:
    with Image.open(io.BytesIO(data)) as image:
        return np.asarray(image.convert("RGB")).astype(int)


def box_of(picture: NDArray[np.int_]) -> list[float]:
    """Frame of the force's colour."""
    rows, columns = np.nonzero((np.abs(picture - FORCE) < 12).all(axis=2))
    return [float(v) for v in (columns.min(), rows.min(), columns.max(), rows.max())]


def test_a_push_is_exported_as_it_is_seen(desk: DeskVisit) -> None:
    desk.file("platform-girder.toml")
    desk.go("push")
    desk.wait("desk.push.pushed !== null && desk.push.root.dataset.waiting === 'no'")
    desk.drag(desk.find(".force.foot"), -60, 20)
    desk.run("desk.push.exaggerate(37)")
    desk.settle()
    desk.wait("desk.push.root.dataset.waiting === 'no'")
    desk.settle()
    # what the hand takes hold of is not on paper
    desk.run("document.querySelectorAll('.grip').forEach((grip) => { grip.hidden = true; })")
    screen = pixels(desk.browser.get_screenshot_as_png())
    # before the notice of the export moves everything down
    x, y, left, top, width, height = desk.run(
        "const [p, b] = ['#push', '#push .push-stages'].map("
        "  (s) => document.querySelector(s).getBoundingClientRect());"
        "return [p.x, p.y, b.x - p.x, b.y - p.y, b.width, b.height].map(Math.round);"
    )
    name, data = exported(desk, "png")
    assert name == "platform-girder, push.png"
    file = pixels(data)[::2, ::2]
    seen = screen[y + top :, x + left :][:height, :width]
    kept = file[HEAD + top :, MARGIN + left :][:height, :width]
    # both arrows: that on the section, and that on the member in three dimensions
    for part in (slice(0, width // 2), slice(width // 2, width)):
        assert box_of(kept[:, part]) == pytest.approx(box_of(seen[:, part]), abs=3)
    # what differs is where words and handles stand
    assert np.mean(np.abs(kept - seen).max(axis=2) > 60) < 0.02
    words = desk.browser.execute_async_script(
        "const done = arguments[0]; import('./assets/screen_copy.js').then(({ copied }) =>"
        "done(copied(document.querySelector('#push'), 'girder').marks.map((m) => m.words)));"
    )
    assert "movement × 37" in words
    for what, begins in (("svg", b"<?xml"), ("pdf", b"%PDF")):
        name, data = exported(desk, what)
        assert name == f"platform-girder, push.{what}"
        assert data.startswith(begins)


def test_membranes_side_by_side_are_exported_without_a_file(desk: DeskVisit) -> None:
    desk.theme("dark")
    desk.go("beside")
    for name in ("desk-i", "desk-round-tube"):
        desk.run("desk.beside.add('example', arguments[0])", name)
    desk.wait("document.querySelectorAll('.dial').length === 2")
    desk.settle()
    assert not desk.find("[data-export=report]").is_enabled()
    name, data = exported(desk, "png")
    assert name == "side by side.png"
    file = pixels(data)
    assert file[2, 2].tolist() == [255, 255, 255]  # on paper, also from a dark screen
    films = desk.run("return desk.beside.panes.map((p) => p.view.canvas.toDataURL().length)")
    assert all(size > 5000 for size in films)
    assert len(np.unique(file @ [1, 256, 65536])) > 500
