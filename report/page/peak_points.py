"""The few points of a section at which stresses of combined actions peak.

A page combines the unit fields of eight actions at whatever values its reader sets. Samples fit for
drawing miss peaks at fillets, so the page carries these points besides: of a dense set along every
border, around every sharp corner that is left out, and inside the elements, those where some
combination of actions has its extreme. Every stress is a convex function of the eight actions at a
point, or the negative of one, so its extreme over the section moves steadily with the actions and
few points hold it. Random combinations find them, until fresh ones find theirs among those there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.section.elements.basis import EDGES
from ...solver.section.elements.curved import positions
from ...solver.section.elements.integrals import stations_at
from ...solver.section.mesh.location import locate
from ...solver.section.stress.components import COMPONENTS
from ...solver.section.stress.extremes import lattice
from ...solver.section.torsion.peak import LEFT_OUT, left_out

if TYPE_CHECKING:
    from ...solver.section.mesh.section_mesh import SectionMesh
    from ...solver.section.stress.unit_stress import UnitStress

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Share by which the extremes of a page may lie below those of the solver's search: measured on
#: random actions by `python -m benchmarks.page_peaks`.
PROMISE = 5e-3
#: Points along an edge of the border for each order of the fields, around all left-out corners and
#: around one at least, and how far outside their circles they lie.
_ALONG, _AROUND, _FEWEST, _OUTSIDE = 4, 2400, 24, 1e-7
#: Points inside the elements, at most about so many.
_INSIDE = 60_000
#: Combinations in a round, rounds at most, and the miss of a fresh round that ends them.
_TRIALS, _ROUNDS, _GOOD = 150, 10, 1e-3
_BATCH = 25
#: Actions that bring shear, which has no bound at sharp corners.
_SHEARING = slice(3, 7)
#: Corners of the unit triangle.
_LOCAL = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])


@dataclass(frozen=True, slots=True, eq=False)
class PeakPoints:
    """Unit stresses at points that hold the extremes of combined actions.

    Attributes
    ----------
    points : (n, 2)
    region : (n,)
    refused : (n,) bool
        In the surroundings of a sharp corner, where no shear is given.
    sigma : (8, n)
    tau : (8, n, 2)
    miss : float
        By how much the extremes of the last, fresh combinations exceeded those at the points that
        were there before: relative to the component's largest magnitude.
    """

    points: Array
    region: Ints
    refused: NDArray[np.bool_]
    sigma: Array
    tau: Array
    miss: float

    @classmethod
    def of(cls, units: UnitStress, seed: int = 1) -> PeakPoints:
        """Choose them from a dense set of points of a section."""
        points, region, sigma, tau = _dense(units)
        refused = left_out(points, units.result.corners)
        choice = _Choice(sigma, tau, refused)
        miss = choice.fill(np.random.default_rng(seed), np.flatnonzero(choice.sizes > 0))
        k = np.array(sorted(choice.chosen), dtype=np.int64)
        return cls(points[k], region[k], refused[k], sigma[:, k], tau[:, k], miss)


def random_actions(rng: np.random.Generator, sizes: Array, count: int) -> Array:
    """(count, 8) sets of one to eight actions, each as large as what its own peak calls for.

    Parameters
    ----------
    rng : numpy Generator
    sizes : (8,)
        Peak von Mises stress of each unit action; 0 for one that the section cannot carry.
    count : int
    """
    usable = np.flatnonzero(sizes > 0)
    actions = np.zeros((count, 8))
    for row in actions:
        some = rng.choice(usable, rng.integers(1, len(usable) + 1), replace=False)
        row[some] = rng.normal(size=len(some)) / sizes[some]
    return actions


class _Choice:
    """Points chosen so far out of a dense set."""

    def __init__(self, sigma: Array, tau: Array, refused: NDArray[np.bool_]) -> None:
        self.refused = refused
        mises = COMPONENTS["von Mises"].of(sigma, tau)
        self.sizes = np.where(refused, 0.0, mises).max(axis=1, initial=0.0)
        self.sizes[self.sizes < 1e-12 * self.sizes.max()] = 0.0
        self._sigma = sigma.astype(np.float32)
        self._tau = tau.astype(np.float32)
        self.chosen: set[int] = set()

    def fill(self, rng: np.random.Generator, usable: Ints) -> float:
        """Add extremes of random combinations until fresh ones are met; the last miss."""
        single = np.diag(np.where(self.sizes > 0, 1.0 / np.maximum(self.sizes, 1e-300), 0.0))
        self._round(single[usable])
        miss = 1.0
        for _ in range(_ROUNDS):
            miss = self._round(random_actions(rng, self.sizes, _TRIALS))
            if miss <= _GOOD:
                break
        return miss

    def _round(self, actions: Array) -> float:
        worst = 0.0
        for some in np.array_split(actions, max(1, len(actions) // _BATCH)):
            before = np.array(sorted(self.chosen), dtype=np.int64)
            found: set[int] = set()
            for sheared in (False, True):
                rows = some[some[:, _SHEARING].any(axis=1) == sheared].astype(np.float32)
                if len(rows):
                    worst = max(worst, self._extremes(rows, sheared, before, found))
            self.chosen |= found
        return worst

    def _extremes(self, rows: Array, sheared: bool, before: Ints, found: set[int]) -> float:
        sigma = rows @ self._sigma
        tau = np.tensordot(rows, self._tau, 1)
        worst = 0.0
        each = np.arange(len(rows))
        for component in COMPONENTS.values():
            values = component.of(sigma, tau)
            hidden = self.refused if component.sheared and sheared else None
            size = np.abs(values if hidden is None else values[:, ~hidden]).max(axis=1)
            for side in component.sides:
                sided = side * values
                if hidden is not None:
                    sided[:, hidden] = -np.inf
                best = sided.argmax(axis=1)
                real = size > 1e-6 * self._scale(rows)
                found.update(int(k) for k in best[real])
                if len(before):
                    short = sided[each, best] - sided[:, before].max(axis=1)
                    ratio = short[real] / size[real]
                    worst = max(worst, float(ratio.max(initial=0.0)))
        return worst

    def _scale(self, rows: Array) -> Array:
        """Size of the von Mises stress of each row: a component far below it is rounding."""
        return np.asarray(np.abs(rows) @ self.sizes)


def _dense(units: UnitStress) -> tuple[Array, Ints, Array, Array]:
    """Points with the region and the eight unit stresses of each."""
    field, mesh = units.field, units.field.mesh
    found: list[tuple[Array, Ints, Array, Array]] = []
    for triangles, xi, eta in _places(mesh, field.order, units):
        stations = stations_at(mesh, field.order, xi, eta, triangles)
        arrays = units.evaluate(stations, triangles)
        found.append(
            (
                stations.points.reshape(-1, 2),
                np.repeat(mesh.region[triangles], len(xi)),
                arrays.sigma.reshape(8, -1),
                arrays.tau.reshape(8, -1, 2),
            )
        )
    points, region, sigma, tau = zip(*found, strict=True)
    return (
        np.concatenate(points),
        np.concatenate(region),
        np.concatenate(sigma, axis=1),
        np.concatenate(tau, axis=1),
    )


def _places(
    mesh: SectionMesh, order: int, units: UnitStress
) -> Iterator[tuple[Ints, Array, Array]]:
    """Triangles, and places (xi, eta) in each of them."""
    every = np.arange(len(mesh.triangles))
    n = order + 3
    while n > 2 and len(every) * (n + 1) * (n + 2) / 2 > _INSIDE:
        n -= 1
    yield every, *lattice(n)
    steps = np.linspace(0.0, 1.0, _ALONG * (order + 2) + 1)[:, None]
    free = _free_edges(mesh)
    for k, (a, b) in enumerate(EDGES):
        some = np.flatnonzero(free[mesh.triangle_edges[:, k]])
        if len(some):
            xi, eta = ((1 - steps) * _LOCAL[a] + steps * _LOCAL[b]).T
            yield some, xi, eta
    corners = units.result.corners
    if corners:
        around = np.linspace(0, 2 * np.pi, max(_FEWEST, _AROUND // len(corners)), endpoint=False)
        circle = np.stack([np.cos(around), np.sin(around)], axis=1)
        radii = [LEFT_OUT * c.clearance * (1 + _OUTSIDE) for c in corners]
        places = [np.array(c.point) + r * circle for c, r in zip(corners, radii, strict=True)]
        triangle, xi, eta = locate(mesh, np.concatenate(places))
        for t in np.unique(triangle[triangle >= 0]):
            here = triangle == t
            yield np.array([t]), xi[here], eta[here]
        for c, radius in zip(corners, radii, strict=True):
            yield from _border_on_circle(mesh, free, np.array(c.point), radius)


def _border_on_circle(
    mesh: SectionMesh, free: NDArray[np.bool_], middle: Array, radius: float
) -> Iterator[tuple[Ints, Array, Array]]:
    """Where borders, slits and interfaces leave a left-out circle: stresses grow toward the corner,
    so these are often the places of the largest that count."""
    spans = np.hypot(*np.moveaxis(mesh.corners - middle, 2, 0))
    near = spans.min(axis=1) < radius + np.ptp(mesh.corners, axis=1).max(axis=1)
    for k, (a, b) in enumerate(EDGES):
        for t in np.flatnonzero(near & free[mesh.triangle_edges[:, k]]):
            steps = np.linspace(0.0, 1.0, 17)
            for _ in range(8):  # each round narrows the crossing sixteen times
                at = _LOCAL[a] * (1 - steps[:, None]) + _LOCAL[b] * steps[:, None]
                x, _jac = positions(
                    mesh.corners[t, None], mesh.corner_bulges[t, None], at[:, 0], at[:, 1]
                )
                outside = np.hypot(*(x[0] - middle).T) >= radius
                turn = np.flatnonzero(outside[1:] != outside[:-1])
                if not turn.size:
                    break
                n = int(turn[0])
                chosen = steps[n + 1] if outside[n + 1] else steps[n]
                steps = np.linspace(steps[n], steps[n + 1], 17)
            else:
                place = _LOCAL[a] * (1 - chosen) + _LOCAL[b] * chosen
                yield np.array([t]), place[:1], place[1:]


def _free_edges(mesh: SectionMesh) -> NDArray[np.bool_]:
    """Edges on a border, a slit or an interface: where stresses of one side end."""
    count = np.bincount(mesh.triangle_edges.ravel(), minlength=len(mesh.edges))
    low = np.full(len(mesh.edges), np.iinfo(np.int64).max)
    high = np.full(len(mesh.edges), -1)
    for k in range(3):
        np.minimum.at(low, mesh.triangle_edges[:, k], mesh.region)
        np.maximum.at(high, mesh.triangle_edges[:, k], mesh.region)
    return np.asarray((count == 1) | (low != high), dtype=np.bool_)
