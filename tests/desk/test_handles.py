"""Handles keep their promise: what is dragged follows the hand, and only its own value changes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from soapfilm.desk.handles import handles
from soapfilm.desk.sheet import TomlSheet
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.preview import parts_seen
from soapfilm.geometry.section_file.section_file import section_from_table
from soapfilm.geometry.section_file.text import parsed

from .talk import EXAMPLES

SECTIONS = ("platform-girder", "welded-box", "landing-deck", "sheet-edge", "deck-on-tube",
            "closed-girder", "cladding-tube", "rolled-shape", "sharp-bracket", "desk-cross",
            "desk-round-tube", "hall-edge-boxed")  # fmt: skip
#: A channel turned and mirrored, moved, in inches; a tapered plate by its left face.
TURNED = """\
unit = "in"
[[shape]]
profile = "U"
Depth = "10 in"
FlangeWidth = 3
WebThickness = 0.25
FlangeThickness = 0.5
mirror = "y"
rotate = 30
move = [4, "50 mm"]
[[outline]]
name = "fin"
points = [[0, 0], [1, 0, 0.3], [1, 2], [0, 2]]
rotate = 90
move = [20, 0]
combine = "add"
"""
PLATES = """\
unit = "mm"
[[plate]]
name = "left"
points = [[0, 0], [100, 0]]
thickness = [8, 12]
line = "left"
[[plate]]
name = "right"
points = [[0, 50], [100, 60]]
thickness = 9
line = "right"
"""


def _handles(text: str) -> list[dict[str, Any]]:
    """Of a text that need not make a section: a hand may pass through what is invalid."""
    table = parsed(text)
    try:
        section = section_from_table(table, text, "section", None, EXAMPLES)
    except InputError:
        seen = parts_seen(text, None, EXAMPLES, "section")
        assert seen is not None
        assert seen.section is not None
        section = seen.section
    return handles(table, text, section)


def _texts() -> dict[str, str]:
    found = {name: (EXAMPLES / f"{name}.toml").read_text("utf-8") for name in SECTIONS}
    return found | {"turned": TURNED}


def _handle(text: str, at: object) -> dict[str, Any]:
    return next(h for h in _handles(text) if h["at"] == at)


CASES = [
    pytest.param(text, handle, id=f"{name}: {handle['name']}")
    for name, text in _texts().items()
    for handle in _handles(text)
    if handle["kind"] in ("value", "point")
]


@pytest.mark.parametrize(("text", "handle"), CASES)
def test_the_handle_follows_the_hand(text: str, handle: dict[str, Any]) -> None:
    """Dragged by a small way, the value changes by gain times way, and the handle of the edited
    text stands where the hand is."""
    unit = {"mm": 1.0, "m": 1e-3, "in": 1 / 25.4}[parsed(text)["unit"]]
    size = max(abs(c) for c in (*handle["place"], unit))
    sheet = TomlSheet(text)
    if handle["kind"] == "point":
        drag = np.array([0.05, 0.03]) * unit
        values = np.array(handle["value"]) + np.array(handle.get("map", np.eye(2))) @ drag
        sheet.set([{"at": at, "to": float(v)} for at, v in zip(handle["at"], values, strict=True)])
    else:
        drag = 0.02 * unit * np.array(handle["direction"])
        sheet.set([{"at": handle["at"], "to": handle["value"] + handle["gain"] * 0.02 * unit}])
        assert np.hypot(*handle["direction"]) == pytest.approx(1.0)
    after = _handle(sheet.text, handle["at"])
    # a corner's arc moves along too as it turns about its own centre: the second order of the drag
    assert np.allclose(
        after["place"], handle["place"] + drag, rtol=0, atol=1e-3 * unit + 1e-9 * size
    )


@pytest.mark.parametrize("name", SECTIONS)
def test_every_address_is_one_of_a_study(name: str) -> None:
    """Setting the value that stands there changes nothing but its writing."""
    text = (EXAMPLES / f"{name}.toml").read_text("utf-8")
    before = section_from_table(parsed(text), text, "s", None, EXAMPLES)
    for handle in _handles(text):
        sheet = TomlSheet(text)
        at = handle["at"] if isinstance(handle["at"], list) else [handle["at"]]
        values = handle["value"] if isinstance(handle["value"], list) else [handle["value"]]
        sheet.set([{"at": a, "to": v} for a, v in zip(at, values, strict=True)])
        after = section_from_table(parsed(sheet.text), sheet.text, "s", None, EXAMPLES)
        assert np.allclose(after.bounds(), before.bounds(), rtol=1e-9)


def test_faces_of_plates_by_their_line() -> None:
    """A plate drawn by its left face grows to the right, with its whole thickness."""
    entries = {h["at"]: h for h in _handles(PLATES) if h["kind"] == "value"}
    near, far = entries["plate.1.thickness.1"], entries["plate.1.thickness.2"]
    assert near["direction"] == pytest.approx([0, -1])
    assert near["gain"] == far["gain"] == 1.0
    assert (near["place"][1], far["place"][1]) == (-8, -12)
    assert entries["plate.2.thickness"]["direction"][1] > 0.9


def test_values_that_follow_are_not_dragged() -> None:
    text = (
        'unit = "mm"\n[quantity]\nwall = 12\n[[shape]]\nprofile = "CircleHollow"\nRadius = 100\n'
        'WallThickness = "= wall"\n'
    )
    wall = _handle(text, "shape.1.WallThickness")
    assert (wall["kind"], wall["follows"]) == ("typed", "= wall")
    assert wall["value"] == pytest.approx(12)
    assert _handle(text, "shape.1.Radius")["kind"] == "value"


def test_welds_have_a_switch_where_they_are_and_where_they_would_be() -> None:
    text = (EXAMPLES / "welded-box.toml").read_text("utf-8")
    on = _handle(text, "weld.1.made")
    assert (on["kind"], on["value"]) == ("switch", True)
    assert len(on["places"]) == 2
    sheet = TomlSheet(text)
    sheet.set([{"at": "weld.1.made", "to": False}])
    off = _handle(sheet.text, "weld.1.made")
    assert off["value"] is False
    assert np.hypot(*(np.array(off["place"]) - [-150, 203])) < 10


def test_outlines_of_many_corners_are_for_an_editor() -> None:
    angle = np.linspace(0, 2 * np.pi, 1000, endpoint=False)
    points = ", ".join(f"[{100 * np.cos(a):.6f}, {100 * np.sin(a):.6f}]" for a in angle)
    assert _handles(f'unit = "mm"\n[[outline]]\npoints = [{points}]\n') == []


def test_turns_and_designations_are_typed() -> None:
    """What no drag can change is typed at its place: a turn, and which rolled shape it is."""
    found = {str(h["at"]): h for h in _handles(TURNED)}
    turn = found["shape.1.rotate"]
    assert (turn["kind"], turn["value"], turn["unit"]) == ("typed", pytest.approx(30), "deg")
    rolled = (EXAMPLES / "rolled-shape.toml").read_text("utf-8")
    handle = next(h for h in _handles(rolled) if str(h["at"]).endswith(".shape"))
    sheet = TomlSheet(rolled)
    sheet.set([{"at": handle["at"], "to": "W310X52"}])
    assert parsed(sheet.text)["shape"][0]["shape"] == "W310X52"
    assert sheet.text == rolled.replace(handle["value"], "W310X52", 1)
