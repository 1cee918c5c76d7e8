"""Where a stress is largest: the high-order field searched on and between the edges of every
triangle."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import Places, places_at
from ..elements.integrals import TrianglePoints, stations_at, stations_of
from ..mesh.section_mesh import Array
from ..torsion.peak import left_out
from ..torsion.sharp_corner import SharpCorner
from .components import Component
from .unit_stress import UnitArrays, UnitStress


@dataclass(frozen=True, slots=True)
class Extreme:
    """An extreme value of a stress component.

    Attributes
    ----------
    component : str
    side : int
        +1 for the largest, -1 for the smallest value.
    value : float
    at : (x, y)
        In the axes of the input.
    region : int
    change : float
        How far the value moves when the highest-order terms are left out, relative: its
        convergence.
    bounded : bool
        False where corners with unbounded stress were left out of the search: the value holds
        outside them only.
    """

    component: str
    side: int
    value: float
    at: tuple[float, float]
    region: int
    change: float
    bounded: bool


@lru_cache(maxsize=16)
def lattice(n: int) -> tuple[Array, Array]:
    """(xi, eta) of a triangular lattice with n intervals a side, edges and corners included."""
    k = np.array([(i, j) for i in range(n + 1) for j in range(n + 1 - i)])
    return k[:, 0] / n, k[:, 1] / n


@lru_cache(maxsize=16)
def _lattice_basis(order: int, n: int) -> Places:
    return places_at(order, *lattice(n))


@lru_cache(maxsize=256)
def _star_basis(order: int, xi: float, eta: float, step: float) -> Places:
    """Places around one in the unit triangle; those outside are moved onto its border. Kept, since
    the extremes of many load cases lie at the same vertices."""
    offset = step * np.linspace(-1, 1, 5)
    dx, dy = (a.ravel() for a in np.meshgrid(offset, offset))
    px, py = np.clip(xi + dx, 0, 1), np.clip(eta + dy, 0, 1)
    over = np.maximum(px + py - 1, 0) / 2  # back onto the hypotenuse
    px, py = np.clip(px - over, 0, 1), np.clip(py - over, 0, 1)
    return places_at(order, px, py)


@dataclass(frozen=True, slots=True, eq=False)
class Search:
    """Unit stresses on a lattice over the section, ready for any number of load cases."""

    units: UnitStress
    corners: tuple[SharpCorner, ...]
    intervals: int
    stations: TrianglePoints
    arrays: UnitArrays
    outside: NDArray[np.bool_] = field(repr=False)

    @classmethod
    def over(cls, units: UnitStress) -> Search:
        """Sample the unit stresses of a section, a few points more than the order needs."""
        order = units.field.order
        intervals = order + 3
        every = np.arange(len(units.field.mesh.triangles))
        stations = stations_of(units.field.mesh, every, *_lattice_basis(order, intervals))
        corners = units.result.corners
        outside = np.logical_not(left_out(stations.points, corners))
        return cls(units, corners, intervals, stations, units.evaluate(stations), outside)

    def extreme(self, actions: Array, component: Component, side: int) -> Extreme:
        """The largest (side = 1) or smallest (side = -1) value of a component under an (8,) action
        vector.

        Corners with unbounded shear are left out where the component and the actions bring shear.
        """
        refused = bool(self.corners) and component.sheared and bool(np.any(actions[3:7]))
        values = side * component.of(*self.arrays.combined(actions))
        if refused:
            values = np.where(self.outside, values, -np.inf)
        best_in = values.max(axis=1)
        candidates = np.argsort(best_in)[::-1][:2]
        scale = abs(best_in[candidates[0]])
        best: tuple[float, float, float, int] | None = None
        xi, eta = lattice(self.intervals)
        for t in candidates:
            if best_in[t] < best_in[candidates[0]] - 0.005 * scale:
                break
            k = int(np.argmax(values[t]))
            found = self._climb(
                actions, component, side, int(t), float(xi[k]), float(eta[k]), refused
            )
            if best is None or found[0] > best[0] * (1 + 1e-12 * np.sign(best[0])):
                best = (*found, int(t))
        assert best is not None
        return self._describe(actions, component, side, best, refused)

    def _climb(
        self,
        actions: Array,
        component: Component,
        side: int,
        triangle: int,
        xi: float,
        eta: float,
        refused: bool,
    ) -> tuple[float, float, float]:
        """Narrow a star of points around the best one, by half a round lest a skew ridge be left:
        ten rounds reach 1e-4 of the triangle."""
        order = self.units.field.order
        step = 1.0 / self.intervals
        value = -np.inf
        one = np.array([triangle])
        for _ in range(10):
            star = _star_basis(order, xi, eta, step)
            px, py = star[:2]
            stations = stations_of(self.units.field.mesh, one, *star)
            values = side * component.of(*self.units.evaluate(stations, one).combined(actions))[0]
            if refused:
                values = np.where(left_out(stations.points, self.corners)[0], -np.inf, values)
            k = int(np.argmax(values))
            if values[k] > value:
                value, xi, eta = float(values[k]), float(px[k]), float(py[k])
            step /= 2
        return value, xi, eta

    def _describe(
        self,
        actions: Array,
        component: Component,
        side: int,
        best: tuple[float, float, float, int],
        refused: bool,
    ) -> Extreme:
        value, xi, eta, t = best
        field, one = self.units.field, np.array([t])
        place = stations_at(field.mesh, field.order, np.array([xi]), np.array([eta]), one)
        around = stations_of(field.mesh, one, *_lattice_basis(field.order, self.intervals))
        coarse = self.units.lower_order.evaluate(around, one).combined(actions)
        fine = UnitArrays(self.arrays.sigma[:, one], self.arrays.tau[:, one]).combined(actions)
        # At one point the highest terms may vanish by chance: the whole triangle tells.
        moved = float(np.abs(component.of(*fine) - component.of(*coarse)).max())
        if component.sheared and actions[5]:
            apart = self.units.torsion_disagreement(around, one)
            moved = max(moved, abs(float(actions[5])) * float(apart.max()))
        x, y = place.points[0, 0]
        return Extreme(
            component.key,
            side,
            side * value,
            (float(x), float(y)),
            int(field.mesh.region[t]),
            moved / abs(value) if value else 0.0,
            not refused,
        )
