"""An outline on another layer inside an outline: a hole unless a material fills it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.material import Material

Make = Callable[..., Path]


def _square(space: Any, size: float, layer: str) -> None:
    points = [(-size, -size), (size, -size), (size, size), (-size, size)]
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})


def _box(space: Any) -> None:
    _square(space, 50, "outer")
    _square(space, 40, "inner")


def test_it_is_a_hole_and_the_note_names_both(dxf: Make) -> None:
    section = read_drawing(dxf(_box))
    assert len(section.regions) == 1
    assert section.regions[0].area() == pytest.approx(100**2 - 80**2)
    (note,) = [note for note in section.notes if "hole" in note]
    assert "'inner' inside layer 'outer'" in note
    assert "materials = " in note


@pytest.mark.parametrize("layer", ["inner", "outer"])
def test_a_material_of_either_layer_fills_it(dxf: Make, layer: str) -> None:
    section = read_drawing(dxf(_box), materials={layer: Material(name="steel")})
    assert sum(region.area() for region in section.regions) == pytest.approx(100**2)


def test_what_lies_in_the_hole_begins_anew(dxf: Make) -> None:
    def draw(space: Any) -> None:
        _box(space)
        _square(space, 30, "inner")

    section = read_drawing(dxf(draw))
    areas = sorted(region.area() for region in section.regions)
    assert areas == pytest.approx([100**2 - 80**2, 60**2])
