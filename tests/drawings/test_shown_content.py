"""What a drawing program shows is read, and nothing else; what is left out is said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.errors import FileFormatError

DATA = Path(__file__).parents[1] / "data" / "drawings"
Make = Callable[..., Path]


@pytest.mark.parametrize("how", ["invisible", "frozen"])
def test_a_hidden_block_is_not_read(how: str) -> None:
    """A plate of 200 x 120 with rounded corners; the block draws a hole."""
    section = read_drawing(DATA / f"m_insert_{how}.dxf")
    assert section.bounds() == pytest.approx((0, 0, 200, 120), abs=1e-9)
    assert section.regions[0].holes == ()
    assert any("1 hidden INSERT" in note for note in section.notes)


def test_a_hatch_alone_gives_its_outline(dxf: Make) -> None:
    def draw(space: Any) -> None:
        hatch = space.add_hatch()
        hatch.paths.add_polyline_path([(0, 0), (100, 0), (100, 50), (0, 50)], is_closed=True)
        inner = hatch.paths.add_edge_path()
        inner.add_arc((30, 25), 10, 0, 360)

    section = read_drawing(dxf(draw))
    area = section.regions[0].area()
    assert area == pytest.approx(5000 - np.pi * 100)
    assert any("hatches" in note for note in section.notes)


def test_a_hatch_inside_an_outline_is_passed_over(dxf: Make) -> None:
    def draw(space: Any) -> None:
        square = [(0, 0), (100, 0), (100, 50), (0, 50)]
        space.add_lwpolyline(square, close=True)
        space.add_hatch().paths.add_polyline_path(square, is_closed=True)

    section = read_drawing(dxf(draw))
    assert any("1 HATCH" in note for note in section.notes)


@pytest.mark.parametrize(
    ("element", "bounds"),
    [
        ('<rect width="30" height="10" style="transform: translate(5px, 2px)"/>', (5, -12, 35, -2)),
        ('<rect width="30" height="10" style="transform:rotate(90deg)"/>', (-10, -30, 0, 0)),
        ('<rect width="30" height="10" style="transform:scaleX(2)"/>', (0, -10, 60, 0)),
        (
            '<rect width="30" height="10" transform="scale(9)" style="transform:scale(50%)"/>',
            (0, -5, 15, 0),
        ),
        (
            '<rect width="30" height="10" style="transform:rotate(0.5turn);'
            'transform-origin:15px 5px"/>',
            (0, -10, 30, 0),
        ),
    ],
)
def test_a_transform_in_a_style_moves(svg: Make, element: str, bounds: tuple[float, ...]) -> None:
    assert read_drawing(svg(element)).bounds() == pytest.approx(bounds, abs=1e-12)


def test_a_style_sheet_that_moves_is_refused(svg: Make) -> None:
    path = svg('<style>.a{transform:scale(2)}</style><rect class="a" width="3" height="1"/>')
    with pytest.raises(FileFormatError, match="style> sheet sets 'transform'"):
        read_drawing(path)


def test_a_copy_by_reference_is_read(svg: Make) -> None:
    path = svg(
        '<defs><g id="plate"><rect width="30" height="10"/></g></defs>'
        '<use href="#plate" x="5" y="20" transform="scale(2)"/>'
    )
    assert read_drawing(path).bounds() == pytest.approx((10, -60, 70, -40))


def test_copies_of_copies_end(svg: Make) -> None:
    path = svg('<g id="a"><rect width="3" height="1"/><use href="#a"/></g>')
    with pytest.raises(FileFormatError, match="more than 32 nested"):
        read_drawing(path)
