"""A section of rectangular plates as a grid of lines; the cells that hold material are elements."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from .lobatto import Array, nodes


@dataclass(frozen=True, slots=True)
class Plate:
    """A rectangle of material of a section, at the start and (tapered) at the end of the member.

    Attributes
    ----------
    x, y : pair of floats
        Its sides at z = 0, mm.
    material : int
        Place in the case's list of materials.
    span : pair of floats or None
        Between which z it exists; None is the whole length.
    x_end, y_end : pair of floats or None
        Its sides at the far end (or the taper's), between which they move linearly; None where
        nothing moves.
    """

    x: tuple[float, float]
    y: tuple[float, float]
    material: int = 0
    span: tuple[float, float] | None = None
    x_end: tuple[float, float] | None = None
    y_end: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """One quadrilateral of the section's grid: its place in it and its nodes (ny, nx)."""

    column: int
    row: int
    orders: tuple[int, int]
    nodes: np.ndarray


@dataclass(frozen=True, slots=True)
class Grid:
    """Lines of a section at z = 0 and at the far end, orders between them, cells, node places."""

    x: Array  # (lines, 2): at the start, at the end
    y: Array
    orders: tuple[tuple[int, ...], tuple[int, ...]]
    cells: tuple[Cell, ...]
    places: Array  # (nodes, 2 (x, y), 2 (start, end))

    def node(self, x: float, y: float) -> int:
        """The node at a place of the section at z = 0."""
        distance = np.hypot(self.places[:, 0, 0] - x, self.places[:, 1, 0] - y)
        best = int(np.argmin(distance))
        if distance[best] > 1e-6:
            raise ValueError(f"no node at ({x}, {y}); the nearest is {distance[best]:.3g} away")
        return best

    def material(self, cell: Cell, plates: tuple[Plate, ...], z: float) -> int | None:
        """Material of the last plate that covers the cell at z, or None where there is a hole."""
        x, y = (
            float(np.mean(lines[k : k + 2, 0]))
            for lines, k in ((self.x, cell.column), (self.y, cell.row))
        )
        found = None
        for plate in plates:
            if _covers(plate, x, y) and (plate.span is None or plate.span[0] < z < plate.span[1]):
                found = plate.material
        return found


def _covers(plate: Plate, x: float, y: float) -> bool:
    return plate.x[0] < x < plate.x[1] and plate.y[0] < y < plate.y[1]


def grid(
    plates: tuple[Plate, ...],
    extra: tuple[tuple[float, ...], tuple[float, ...]],
    order: int,
    corner: tuple[float, ...],
    thin: float,
) -> Grid:
    """Cells on the lines of all plates' sides, of extra lines, and of cuts near the corners.

    Parameters
    ----------
    extra : more lines, in x and in y.
    order : along intervals longer than `thin`; shorter ones have one less.
    corner : distances from an interval's ends at which it is cut, if it is long enough: what a
        corner disturbs is resolved there.
    """
    lines, orders = [], []
    for axis, more in zip(("x", "y"), extra, strict=True):
        pairs: dict[float, float] = {}
        for plate in plates:
            start = getattr(plate, axis)
            end = getattr(plate, f"{axis}_end") or start
            for a, b in zip(start, end, strict=True):
                if pairs.setdefault(float(a), float(b)) != b:
                    raise ValueError(f"two plates move the line {axis} = {a} apart")
        sides = np.array(sorted(pairs.items()))
        cuts = [
            place
            for a, b in pairwise(sides[:, 0])
            if corner and b - a > 2.2 * max(corner)
            for distance in corner
            for place in (a + distance, b - distance)
        ]
        sides = _with(sides, (*more, *cuts))
        lines.append(sides)
        orders.append(tuple(order if side > thin else order - 1 for side in np.diff(sides[:, 0])))
    return _numbered(plates, lines, orders)


def _with(sides: Array, more: tuple[float, ...]) -> Array:
    """Lines added at the start's coordinates, moving as the two around them do."""
    new = [a for a in more if np.min(np.abs(sides[:, 0] - a)) > 1e-9]
    added = np.array([[a, np.interp(a, sides[:, 0], sides[:, 1])] for a in new]).reshape(-1, 2)
    return np.array(sorted([*sides.tolist(), *added.tolist()]))


def _numbered(plates: tuple[Plate, ...], lines: list[Array], orders: list[tuple[int, ...]]) -> Grid:
    along = []
    for sides, order in zip(lines, orders, strict=True):
        pieces = [
            sides[k] + (sides[k + 1] - sides[k]) * (nodes(p)[:, None] + 1) / 2
            for k, p in enumerate(order)
        ]
        along.append(np.vstack([pieces[0][:1], *(piece[1:] for piece in pieces)]))
    starts = [np.concatenate([[0], np.cumsum(order)]) for order in orders]
    number = np.full((len(along[1]), len(along[0])), -1)
    cells = []
    for row, p in enumerate(orders[1]):
        for column, q in enumerate(orders[0]):
            x, y = (
                float(np.mean(s[k : k + 2, 0])) for s, k in zip(lines, (column, row), strict=True)
            )
            if not any(_covers(plate, x, y) for plate in plates):
                continue
            window = np.s_[
                starts[1][row] : starts[1][row] + p + 1,
                starts[0][column] : starts[0][column] + q + 1,
            ]
            number[window] = 0
            cells.append((column, row, (q, p), window))
    used = np.argwhere(number >= 0)
    number[tuple(used.T)] = np.arange(len(used))
    places = np.stack([along[0][used[:, 1]], along[1][used[:, 0]]], axis=1)
    found = tuple(Cell(c, r, o, number[w]) for c, r, o, w in cells)
    return Grid(lines[0], lines[1], (orders[0], orders[1]), found, places)
