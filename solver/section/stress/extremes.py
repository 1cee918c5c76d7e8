"""Where a stress is largest: the high-order field searched on and between the edges of every
triangle."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import Places, places_at, shape_functions
from ..elements.curved import positions
from ..elements.integrals import TrianglePoints, stations_at, stations_of
from ..mesh.section_mesh import Array
from ..torsion.peak import left_out
from ..torsion.sharp_corner import SharpCorner
from .components import Component
from .high_places import beside, high_places
from .unit_stress import UnitArrays, UnitStress

#: Triangles whose best lattice value is this near the best of all are searched on a lattice so many
#: times finer, at most so many of them.
NEAR, FINER, MOST_NEAR = 0.1, 4, 48
#: From the best place of those this near the best the search climbs, at most from so many.
CLOSE, CLIMBS = 2e-3, 3
#: Rounds of a climb, each half as wide: to 1e-4 of a triangle for a value, where it is stationary,
#: to 1e-6 for the place that a derivative is taken at.
ROUNDS, PLACE_ROUNDS = 8, 17
#: A place in the next triangle is better if it is by this share.
ACROSS = 1e-12
#: Peaks are apart by this share of the section's size, and so many are told. Of places that tie,
#: those by this share higher for a section's size from the centroid are taken: ends of an edge.
APART, MOST_PEAKS, OUTER = 0.02, 6, 1e-9


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
        How far it lies from what one order less gives, relative: its convergence.
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


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of a section where a stress is largest nearby: in the unit triangle of one of its
    triangles, and in the axes of the input."""

    value: float
    triangle: int
    xi: float
    eta: float
    at: tuple[float, ...]


@lru_cache(maxsize=16)
def lattice(n: int) -> tuple[Array, Array]:
    """(xi, eta) of a triangular lattice with n intervals a side, edges and corners included."""
    k = np.array([(i, j) for i in range(n + 1) for j in range(n + 1 - i)])
    return k[:, 0] / n, k[:, 1] / n


@lru_cache(maxsize=16)
def _lattice_basis(order: int, n: int) -> Places:
    return places_at(order, *lattice(n))


@lru_cache(maxsize=16)
def _interpolation(n: int, fine: int) -> Array:
    """(k, q) values on a finer lattice from those on the lattice of n intervals, by the polynomials
    of degree n through them."""
    nodes, _ = shape_functions(n, *lattice(n))
    spots, _ = shape_functions(n, *lattice(fine))
    return np.asarray(np.linalg.solve(nodes.T, spots.T).T)


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

    def leaves_out(self, actions: Array, component: Component) -> bool:
        """Whether an (8,) action vector brings shear into a component that sharp corners make
        unbounded, so that their surroundings are left out."""
        return bool(self.corners) and component.sheared and bool(np.any(actions[3:7]))

    def extreme(
        self, actions: Array, component: Component, side: int, weight: Array | None = None
    ) -> Extreme:
        """The largest (side = 1) or smallest (side = -1) value of a component under an (8,) action
        vector; times a (t,) `weight` of the triangles where one is given.

        Corners with unbounded shear are left out where the component and the actions bring shear.
        Every triangle whose lattice comes near the best is looked at on a finer one, and from the
        best of those places the search climbs on the field itself.
        """
        refused = self.leaves_out(actions, component)
        factor = np.full(len(self.stations.points), float(side))
        if weight is not None:
            factor *= weight
        sigma, tau = self.arrays.combined(actions)
        values = factor[:, None] * component.of(sigma, tau)
        if refused:
            values = np.where(self.outside, values, -np.inf)
        best_in = values.max(axis=1)
        near = np.argsort(-best_in, kind="stable")[:MOST_NEAR]
        top = best_in[near[0]]
        near = near[best_in[near] >= top - NEAR * abs(top)]
        fine = FINER * self.intervals
        finer = _interpolation(self.intervals, fine)
        there = component.of(sigma[near] @ finer.T, finer @ tau[near])
        values = factor[near, None] * there
        if refused:
            x, _ = positions(
                self.units.field.mesh.corners[near],
                self.units.field.mesh.corner_bulges[near],
                *lattice(fine),
            )
            values = np.where(left_out(x, self.corners), -np.inf, values)
        peaks = values.max(axis=1)
        first = np.argsort(-peaks, kind="stable")[:CLIMBS]
        first = first[peaks[first] >= peaks[first[0]] - CLOSE * abs(peaks[first[0]])]
        xi, eta = lattice(fine)
        best: tuple[float, float, float, int] | None = None
        for row in first:
            t, k = int(near[row]), int(np.argmax(values[row]))
            start = (float(xi[k]), float(eta[k]))
            found = self._climb(actions, component, float(factor[t]), t, start, refused)
            if best is None or found[0] > best[0] * (1 + 1e-12 * np.sign(best[0])):
                best = (*found, t)
        assert best is not None
        return self._describe(actions, component, side, best, refused, float(factor[best[3]]))

    def peaks(self, actions: Array, component: Component, side: int, within: float) -> list[Spot]:
        """The place of the extreme value under an (8,) action vector, and others of the section
        nearly as high, within a share of it: the highest first, a few at most."""
        refused = self.leaves_out(actions, component)
        values = side * component.of(*self.arrays.combined(actions))
        size = self.units.result.section.size()
        out = np.hypot(*np.moveaxis(self.stations.points - self.units.field.origin, -1, 0)) / size
        values = values + OUTER * out * np.abs(values)
        if refused:
            values = np.where(self.outside, values, -np.inf)
        mesh, top = self.units.field.mesh, float(values.max())
        least = top - 2 * within * abs(top)
        found: list[Spot] = []
        apart = APART * size
        for t, k in high_places(mesh, self.stations.points, values, self.intervals, least).tolist():
            x, y = self.stations.points[t, k]
            if any(np.hypot(x - s.at[0], y - s.at[1]) < apart for s in found):
                continue
            found.append(self._climbed(actions, component, side, t, k, refused))
            if len(found) == MOST_PEAKS:
                break
        found.sort(key=lambda spot: -side * spot.value)
        least = side * found[0].value - within * abs(found[0].value)
        return [spot for spot in found if side * spot.value >= least]

    def _climbed(
        self, actions: Array, component: Component, side: int, triangle: int, k: int, refused: bool
    ) -> Spot:
        """The place climbed to from a sample, across borders between triangles."""
        mesh, order = self.units.field.mesh, self.units.field.order
        xi, eta = (float(a[k]) for a in lattice(self.intervals))
        best, left = Spot(-np.inf, triangle, xi, eta, ()), [(triangle, (xi, eta))]
        for t, start in left:
            value, xi, eta = self._climb(
                actions, component, side, t, start, refused, 1.0, PLACE_ROUNDS
            )
            if value <= best.value + ACROSS * abs(value):
                continue
            place = np.array([xi]), np.array([eta])
            x, y = stations_at(mesh, order, *place, np.array([t])).points[0, 0].tolist()
            best = Spot(value, t, xi, eta, (x, y))
            left += beside(mesh, t, (xi, eta), (x, y))
        return replace(best, value=side * best.value)

    def _climb(
        self,
        actions: Array,
        component: Component,
        factor: float,
        triangle: int,
        start: tuple[float, float],
        refused: bool,
        spacing: float = 1 / FINER,
        rounds: int = ROUNDS,
    ) -> tuple[float, float, float]:
        """Narrow a star of points around the best one of a lattice of this spacing, by half a round
        lest a skew ridge be left."""
        order = self.units.field.order
        xi, eta = start
        step = spacing / self.intervals
        value = -np.inf
        one = np.array([triangle])
        for _ in range(rounds):
            star = _star_basis(order, xi, eta, step)
            px, py = star[:2]
            stations = stations_of(self.units.field.mesh, one, *star)
            values = factor * component.of(*self.units.evaluate(stations, one).combined(actions))[0]
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
        factor: float,
    ) -> Extreme:
        value, xi, eta, t = best
        field, one = self.units.field, np.array([t])
        place = stations_at(field.mesh, field.order, np.array([xi]), np.array([eta]), one)
        # What a lower order gives on the whole triangle tells how far the value has converged: at
        # one place the two may agree by chance.
        lower = self.units.lower_order
        around = stations_of(field.mesh, one, *_lattice_basis(lower.field.order, self.intervals))
        coarse = component.of(*lower.evaluate(around, one).combined(actions))
        unit = UnitArrays(self.arrays.sigma[:, one], self.arrays.tau[:, one])
        apart = np.abs(component.of(*unit.combined(actions)) - coarse)
        if refused:
            apart = np.where(self.outside[one], apart, 0.0)
        moved = abs(factor) * float(apart.max())
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
