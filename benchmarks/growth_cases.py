"""Sections of which one thing grows: slenderness of walls, cells, arcs, or the accuracy asked.

Invented dimensions in millimetres.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.profiles.by_name import circle_hollow, rectangle_hollow
from soapfilm.geometry.section import Section

from .sections import rectangle, two_cell_box

#: Accuracy asked of J where it is not what grows.
ACCURACY = 1e-5


@dataclass(frozen=True, slots=True)
class Family:
    """What grows, its steps, and the section and accuracy that belong to a step."""

    title: str
    symbol: str
    steps: tuple[float, ...]
    section: Callable[[float], Section]
    accuracy: Callable[[float], float] = lambda _: ACCURACY
    tail: float = 10.0  # exponents are fitted to the steps within this factor of the last one


def thin_box(slenderness: float) -> Section:
    """Hollow rectangle 200 x 100, sharp corners; width over wall is given."""
    return rectangle_hollow(x_dim=200, y_dim=100, wall_thickness=200 / slenderness).section(
        unit="mm"
    )


def round_tube(slenderness: float) -> Section:
    """Round tube of outer radius 100; radius over wall is given."""
    return circle_hollow(radius=100, wall_thickness=100 / slenderness).section(unit="mm")


def row_of_cells(cells: float) -> Section:
    """Cells of 100 x 100 side by side, walls of 10."""
    return cell_block(int(cells), 1)


def grid_of_cells(cells: float) -> Section:
    """As many rows as columns of cells of 100 x 100, walls of 10."""
    side = round(cells**0.5)
    return cell_block(side, side)


def cell_block(columns: int, rows: int) -> Section:
    """Cells of 100 x 100 between walls of 10."""
    holes = [
        rectangle(110 * i, 110 * j, 110 * i + 100, 110 * j + 100)
        for i in range(columns)
        for j in range(rows)
    ]
    outline = rectangle(-10, -10, 110 * columns, 110 * rows)
    return Section.single(outline, holes, unit="mm")


def fluted_bar(arcs: float) -> Section:
    """Bar of radius 100 whose border is ribs and flutes in turn, arcs of 120 degrees."""
    n = int(arcs)
    angle = 2 * np.pi * np.arange(n) / n
    points = 100 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    bulge = float(np.tan(np.pi / 6))
    return Section.single(Contour(points, [bulge, -bulge] * (n // 2)), unit="mm")


def powers(first: float, last: float, factor: float) -> tuple[float, ...]:
    """first, first factor, ... up to last."""
    count = round(np.log(last / first) / np.log(factor)) + 1
    return tuple(float(f"{first * factor**k:.3g}") for k in range(count))


FAMILIES: dict[str, Family] = {
    "box_wall": Family("hollow rectangle", "width over wall", (10, 30, 100, 300, 1000), thin_box),
    "tube_wall": Family(
        "round tube", "radius over wall", (10, 30, 100, 300, 1000, 3000, 10000), round_tube
    ),
    "row": Family("cells in a row", "cells", powers(1, 64, 2), row_of_cells),
    "grid": Family("cells in a square", "cells", powers(1, 64, 4), grid_of_cells),
    "arcs": Family("fluted bar", "arcs", powers(4, 256, 2), fluted_bar),
    "accuracy": Family(
        "two-cell box",
        "1 over accuracy",
        powers(1e3, 1e10, 10),
        lambda _: two_cell_box(),
        lambda step: 1 / step,
        1e7,
    ),
}
