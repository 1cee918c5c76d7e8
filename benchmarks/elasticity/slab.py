"""A slab: all elements between two planes of a member, condensed onto those planes.

Nodes between the planes that belong to one element only are eliminated element by element, those
that elements share then in one dense step. What remains joins the two planes. Slabs that are alike
are condensed once.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from .grid import Cell, Grid, Plate
from .lobatto import Array, elasticity, nodes, stiffness


@dataclass(frozen=True, slots=True)
class Axis:
    """The member's axis: its length, its radius in plan (None: straight), between which places
    it tapers (None: from end to end), and its kink: place, angle, and the length on either side
    over which planes lean until they meet in the bisecting one.

    The centre of curvature lies on the side of -x for a positive radius, of +x for a negative one;
    so does the inner side of a kink.
    """

    length: float
    radius: float | None = None
    taper: tuple[float, float] | None = None
    kink: tuple[float, float, float] | None = None

    def share(self, z: Array) -> Array:
        """How far along its taper z is, 0 before it and 1 after it."""
        start, end = self.taper or (0.0, self.length)
        return np.clip((z - start) / (end - start), 0.0, 1.0)

    def place(self, x: Array, y: Array, z: Array) -> Array:
        """Position (..., 3) of section coordinates x, y at z along the axis."""
        if self.radius is None:
            return np.stack(np.broadcast_arrays(x, y, z), axis=-1)
        r, angle = self.radius + x, z / self.radius
        return np.stack(
            np.broadcast_arrays(r * np.cos(angle) - self.radius, y, r * np.sin(angle)), axis=-1
        )

    def lean(self, z: float) -> tuple[float, float]:
        """How far planes lean at z, along the axis per x, and how that changes with z; that of the
        piece after the kink beyond it."""
        if self.kink is None:
            return 0.0, 0.0
        at, angle, reach = self.kink
        way = 1.0 if z < at else -1.0
        slope = np.tan(angle / 2) / reach
        beside = reach - abs(z - at)
        return (way * slope * beside, slope) if beside > 0 else (0.0, 0.0)

    def plane(self, x: float, z: float) -> float:
        """The plane on which a point lies."""
        if self.kink is None or abs(z - self.kink[0]) > self.kink[2] * 1.5:
            return z
        at, angle, reach = self.kink
        way = 1.0 if z < at else -1.0
        slope = np.tan(angle / 2) / reach * x
        # z = s + way slope (reach - way (at - s)).
        found = (z - way * slope * reach + slope * at) / (1 + slope)
        return float(found) if abs(found - at) < reach else z

    def frame(self, z: Array) -> Array:
        """Axes (..., 3, 3) of the section at z: rows are x (outward), y (up) and z (along)."""
        angle = np.zeros_like(z) if self.radius is None else z / self.radius
        c, s, o = np.cos(angle), np.sin(angle), np.zeros_like(angle)
        rows = [[c, o, s], [o, o + 1, o], [-s, o, c]]
        return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


@dataclass(frozen=True, slots=True)
class Part:
    """An element's elimination: which local freedoms go, which stay, and how to recover them."""

    inner: np.ndarray
    outer: np.ndarray
    factor: tuple[Array, bool]
    coupling: Array  # K_ii^-1 K_io
    schur: Array


@dataclass(frozen=True, slots=True)
class Slab:
    """Elements between two planes, condensed.

    Attributes
    ----------
    active : (n,) nodes of the section that exist here.
    order : int
        Polynomial order along z.
    parts : list of (cell, Part)
    joint : (j,) freedoms of the slab that the dense step eliminates, as rows of (plane, node, 3).
    schur : (6 n, 6 n) stiffness between the two planes.
    nodes : int
        N, of the whole section.
    """

    active: np.ndarray
    order: int
    parts: list[tuple[Cell, Part]]
    joint: np.ndarray
    ends: np.ndarray
    factor: tuple[Array, bool] | None
    coupling: Array
    schur: Array
    nodes: int

    def condense(self, load: Array) -> Array:
        """Load on the two planes (6 n,) of nodal loads (planes, N, 3)."""
        flat = load.ravel().copy()
        self._forward(flat)
        return flat[self.ends] - self.coupling.T @ flat[self.joint]

    def _forward(self, flat: Array) -> None:
        for cell, part in self.parts:
            rows = self._rows(cell)
            flat[rows[part.outer]] -= part.coupling.T @ flat[rows[part.inner]]

    def recover(self, ends: Array, load: Array) -> Array:
        """Displacements (planes, N, 3) from those of both planes (6 n,); NaN in voids."""
        flat = load.ravel().copy()
        self._forward(flat)
        out = np.full(flat.shape, np.nan)
        out[self.ends] = ends
        if self.factor is not None:
            out[self.joint] = cho_solve(self.factor, flat[self.joint]) - self.coupling @ ends
        for cell, part in self.parts:
            rows = self._rows(cell)
            inner, outer = rows[part.inner], rows[part.outer]
            out[inner] = cho_solve(part.factor, flat[inner]) - part.coupling @ out[outer]
        return out.reshape(load.shape)

    def _rows(self, cell: Cell) -> np.ndarray:
        return _rows(cell, self.order, self.nodes)


def _rows(cell: Cell, order: int, count: int) -> np.ndarray:
    """Rows of a cell's freedoms in an array (planes, count, 3), in the order of its stiffness."""
    node = np.arange(order + 1)[:, None] * count + cell.nodes.ravel()
    return (node[..., None] * 3 + np.arange(3)).reshape(-1)


def _part(matrix: Array, order: int, own: np.ndarray) -> Part:
    """Eliminates the nodes between the planes that are the element's own."""
    goes = np.zeros((order + 1, len(own)), bool)
    goes[1:order] = own
    inner = np.flatnonzero(np.repeat(goes.ravel(), 3))
    outer = np.flatnonzero(np.repeat(~goes.ravel(), 3))
    factor = cho_factor(matrix[np.ix_(inner, inner)], lower=True)
    coupling = cho_solve(factor, matrix[np.ix_(inner, outer)])
    schur = matrix[np.ix_(outer, outer)] - matrix[np.ix_(outer, inner)] @ coupling
    return Part(inner, outer, factor, coupling, schur)


@dataclass(slots=True)
class Workshop:
    """Makes slabs of one member and keeps what is alike."""

    grid: Grid
    plates: tuple[Plate, ...]
    laws: list[Array]
    axis: Axis
    tapered: bool
    _slabs: dict[tuple, Slab] = field(default_factory=dict)
    _parts: dict[tuple, Part] = field(default_factory=dict)
    _matrices: dict[tuple, Array] = field(default_factory=dict)

    def slab(self, start: float, end: float, order: int) -> Slab:
        """The slab between two places along the axis."""
        middle = (start + end) / 2
        materials = tuple(self.grid.material(c, self.plates, middle) for c in self.grid.cells)
        place = round(start, 6) if self.tapered else None
        if self.axis.lean(middle)[1]:
            place = round(start, 6)
        key = (materials, round(end - start, 6), order, place)
        if key not in self._slabs:
            self._slabs[key] = self._make(start, end, order, materials)
        return self._slabs[key]

    def _make(
        self, start: float, end: float, order: int, materials: tuple[int | None, ...]
    ) -> Slab:
        held = [(c, m) for c, m in zip(self.grid.cells, materials, strict=True) if m is not None]
        count = len(self.grid.places)
        uses = np.zeros(count, int)
        for cell, _ in held:
            uses[cell.nodes.ravel()] += 1
        parts = []
        for cell, material in held:
            own = uses[cell.nodes.ravel()] == 1
            parts.append((cell, self._part(cell, material, start, end, order, own)))
        active = np.flatnonzero(uses)
        three = np.arange(3)
        inside = np.arange(1, order)[:, None] * count + np.flatnonzero(uses > 1)
        joint = (inside[..., None] * 3 + three).reshape(-1)
        planes = np.array([0, order])[:, None] * count + active
        ends = (planes[..., None] * 3 + three).reshape(-1)
        local = np.full((order + 1) * count * 3, -1)
        local[joint] = np.arange(len(joint))
        local[ends] = len(joint) + np.arange(len(ends))
        matrix = np.zeros((len(joint) + len(ends),) * 2)
        for cell, part in parts:
            rows = local[_rows(cell, order, count)[part.outer]]
            matrix[np.ix_(rows, rows)] += part.schur
        j = len(joint)
        factor = None
        coupling = np.zeros((j, len(ends)))
        schur = matrix[j:, j:].copy()
        if j:
            factor = cho_factor(matrix[:j, :j], lower=True)
            coupling = cho_solve(factor, matrix[:j, j:])
            schur -= matrix[j:, :j] @ coupling
        if self.tapered:
            parts = [(cell, replace(part, schur=np.empty((0, 0)))) for cell, part in parts]
        return Slab(active, order, parts, joint, ends, factor, coupling, schur, count)

    def _part(
        self, cell: Cell, material: int, start: float, end: float, order: int, own: np.ndarray
    ) -> Part:
        places, frames = self.element(cell, start, end, order)
        key = (cell.orders, order, material, np.round(places, 5).tobytes(), own.tobytes())
        mitred = self.axis.lean((start + end) / 2)[1] != 0
        if self.axis.radius is None and not self.tapered and not mitred:
            key = (
                cell.orders,
                order,
                material,
                np.round(np.ptp(places, axis=0), 6).tobytes(),
                own.tobytes(),
            )
        if key in self._parts:
            return self._parts[key]
        law = self.laws[material]
        matrix = self._matrices.get(key[:-1])
        if matrix is None:
            matrix = stiffness((*cell.orders, order), places, frames, law)
        part = _part(matrix, order, own)
        if not self.tapered:  # There no two elements are alike.
            self._parts[key], self._matrices[key[:-1]] = part, matrix
        return part

    def element(self, cell: Cell, start: float, end: float, order: int) -> tuple[Array, Array]:
        """Positions and frames of an element's nodes, seen from the section at its start."""
        z = start + (end - start) * (nodes(order)[:, None] + 1) / 2
        share = self.axis.share(z) if self.tapered else np.zeros_like(z)
        both = self.grid.places[cell.nodes.ravel()]
        x, y = (both[:, k, 0] * (1 - share) + both[:, k, 1] * share for k in (0, 1))
        along = np.broadcast_to(z - start, x.shape)
        places = self.axis.place(x, y, along).reshape(-1, 3)
        frames = self.axis.frame(along).reshape(-1, 3, 3)
        if self.axis.kink is not None:
            middle = (start + end) / 2
            # Seen from the slab's own piece, planes lean as at its middle, in proportion.
            lean, rate = self.axis.lean(middle)
            way = 1.0 if middle < self.axis.kink[0] else -1.0
            places[:, 2] += (x * (lean + rate * (z - middle))).ravel()
            turned = replace(self.axis, radius=2 * way / self.axis.kink[1]).frame(np.array(1.0))
            at = np.broadcast_to(abs(z - self.axis.kink[0]) < 1e-6, x.shape).ravel()
            frames[at] = turned
        return places, frames


def workshop(
    grid: Grid, plates: tuple[Plate, ...], materials: list[tuple[float, float]], axis: Axis
) -> Workshop:
    """Makes slabs of a member with these materials (E, nu)."""
    tapered = bool(np.any(grid.places[..., 0] != grid.places[..., 1]))
    return Workshop(grid, plates, [elasticity(*m) for m in materials], axis, tapered)
