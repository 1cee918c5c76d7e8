"""The chain of slabs: planes, what holds them, loads; solved plane by plane, read at points."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import scipy.sparse as sp
from scipy.linalg import LinAlgError, cholesky, null_space, solve_triangular

from .case import Case, EndTorque, LineLoad, Station
from .grid import Grid, grid
from .lobatto import Array, gradients, lagrange, physical, rule, strain
from .slab import Axis, Slab, Workshop, workshop


@dataclass(frozen=True, slots=True)
class Solution:
    """Displacements of all nodes, slab after slab."""

    case: Case
    grid: Grid
    workshop: Workshop
    cuts: Array
    slabs: list[Slab]
    fields: list[Array]  # each (order + 1, N, 3)
    unknowns: int

    def displacement(self, x: float, y: float, z: float) -> Array:
        """u_x, u_y, u_z at a point, along the section's axes there."""
        return np.mean([shape @ u for shape, _, u in self._at(x, y, z)], axis=0)

    def stress(self, x: float, y: float, z: float) -> Array:
        """xx, yy, zz, yz, xz, xy at a point, along the section's axes there; the mean of elements
        that meet there."""
        return np.mean([law @ s @ u.ravel() for _, (law, s), u in self._at(x, y, z)], axis=0)

    def _at(self, x: float, y: float, z: float):
        """Shape values, (law, strains) and nodal displacements of each element at a point."""
        found = []
        shop, axis = self.workshop, self.workshop.axis
        share = float(axis.share(np.array(z))) if shop.tapered else 0.0
        z = axis.plane(x, z)
        for (start, end), slab, u in zip(pairwise(self.cuts), self.slabs, self.fields, strict=True):
            if not start - 1e-6 <= z <= end + 1e-6:
                continue
            zeta = np.array([2 * (z - start) / (end - start) - 1])
            for cell, _ in slab.parts:
                local = []
                for lines, k, value in ((self.grid.x, cell.column, x), (self.grid.y, cell.row, y)):
                    a, b = lines[k : k + 2] @ [1 - share, share]
                    local.append(np.array([2 * (value - a) / (b - a) - 1]))
                if any(abs(t[0]) > 1 + 1e-6 for t in local):
                    continue
                orders = (*cell.orders, slab.order)
                sides = [lagrange(p, t)[0] for p, t in zip(orders, (*local, zeta), strict=True)]
                shape = np.einsum("n,m,l->nml", *(s[0] for s in reversed(sides))).ravel()
                places, frames = shop.element(cell, start, end, slab.order)
                nodal = u[:, cell.nodes.ravel()].reshape(-1, 3)
                fixed = np.einsum("nai,na->ni", frames, nodal)
                turned = axis.frame(np.array(z - start))
                slope, _ = physical(gradients(orders, (local[0], local[1], zeta)), places)
                material = self.grid.material(cell, self.case.plates, (start + end) / 2)
                # Gradients and displacements along the axes of the section at the point.
                strains = strain(slope @ turned.T)[0]
                found.append((shape, (shop.laws[material], strains), fixed @ turned.T))
        if not found:
            raise ValueError(f"({x}, {y}, {z}) lies outside the member")
        return found


def cuts(case: Case) -> Array:
    """Places of the planes: supports, ends of loads, breaks; slabs that double from there."""
    marks = {0.0, case.length, *case.breaks, *(s.z for s in case.stations), *(case.taper or ())}
    if case.kink is not None:
        at, _, reach = case.kink
        marks |= {at - reach, at, at + reach}
    for load in case.loads:
        marks |= {load.z} if isinstance(load, EndTorque) else {load.start, load.end}
    for plate in case.plates:
        marks |= set(plate.span or ())
    out = [0.0]
    for a, b in pairwise(sorted(marks)):
        out += list(a + np.cumsum(_graded(b - a, case.fine, case.coarse)))
    return np.array(out)


def _graded(length: float, fine: float, coarse: float) -> list[float]:
    """Lengths that double from both ends and stay below `coarse`, with equal ones in the middle."""
    half: list[float] = []
    size = fine
    while size < coarse and 2 * (sum(half) + size) + size <= length:
        half.append(size)
        size *= 2
    rest = length - 2 * sum(half)
    count = max(1, int(np.ceil(rest / min(size, coarse) - 1e-9)))
    return [*half, *[rest / count] * count, *reversed(half)]


def solve(case: Case, order: int) -> Solution:
    """3D elasticity of a case with elements of an order."""
    plan = grid(case.plates, case.lines, order, case.corner, case.thin)
    laws = [(m.modulus, m.poisson) for m in case.materials]
    shop = workshop(plan, case.plates, laws, _axis(case))
    places = cuts(case)
    slabs = [
        shop.slab(a, b, order if b - a > case.thin else order - 1) for a, b in pairwise(places)
    ]
    loads = [
        _loads(case, plan, slab, a, b) for slab, (a, b) in zip(slabs, pairwise(places), strict=True)
    ]
    ties = _ties(case, plan, slabs, places)
    ends = _march(case, plan, slabs, loads, ties, places)
    fields = [
        slab.recover(np.concatenate([_pick(ends[k], slab), _pick(ends[k + 1], slab)]), loads[k])
        for k, slab in enumerate(slabs)
    ]
    unknowns = sum(len(s.active) * 3 * s.order for s in slabs) + len(slabs[-1].active) * 3
    return Solution(case, plan, shop, places, slabs, fields, unknowns)


def _axis(case: Case) -> Axis:
    return Axis(case.length, case.radius, case.taper, case.kink)


def _pick(plane: Array, slab: Slab) -> Array:
    return plane[slab.active].ravel()


def _loads(case: Case, plan: Grid, slab: Slab, start: float, end: float) -> Array:
    """Consistent nodal loads (planes, N, 3) of the line loads on a slab."""
    out = np.zeros((slab.order + 1, len(plan.places), 3))
    points, weights = rule(slab.order)
    along = lagrange(slab.order, points)[0].T @ weights * (end - start) / 2
    for load in case.loads:
        if isinstance(load, LineLoad) and load.start < end - 1e-6 and load.end > start + 1e-6:
            longer = 1.0 if case.radius is None else 1 + load.x / case.radius
            longer += _axis(case).lean((start + end) / 2)[1] * load.x
            out[:, plan.node(load.x, load.y)] += np.outer(along * longer, load.force)
    return out


def _ties(case: Case, plan: Grid, slabs: list[Slab], places: Array) -> list[sp.csr_matrix]:
    """Of each plane, the matrix from its independent unknowns to its 3 N displacements."""
    stations = {int(np.argmin(np.abs(places - s.z))): s for s in case.stations}
    anchored = any(s.kind == "fixed" for s in case.stations)
    ties = []
    for k in range(len(places)):
        near = [slabs[j] for j in (k - 1, k) if 0 <= j < len(slabs)]
        active = np.unique(np.concatenate([s.active for s in near]))
        tie = _tie(plan, active, stations.get(k), float(_axis(case).share(places[k])))
        if k in stations and case.kink is not None and stations[k].z == case.kink[0]:
            raise ValueError("a station at a kink is not described; let a plate stand there")
        if not anchored:
            # Nothing else holds the member along its axis; no force passes here.
            tie = tie[:, np.setdiff1d(np.arange(tie.shape[1]), [tie.shape[1] - 1])]
            anchored = True
        ties.append(tie)
    return ties


def _tie(plan: Grid, active: np.ndarray, station: Station | None, share: float) -> sp.csr_matrix:
    count = 3 * len(plan.places)
    if station is None:
        rows = (active[:, None] * 3 + np.arange(3)).ravel()
        return sp.csr_matrix((np.ones(len(rows)), (rows, np.arange(len(rows)))), (count, len(rows)))
    if station.kind == "fixed":
        return sp.csr_matrix((count, 0))
    rows = active * 3 + 2
    axial = sp.csr_matrix((np.ones(len(rows)), (rows, np.arange(len(rows)))), (count, len(rows)))
    if station.kind == "in-plane held":
        return axial
    x, y = (plan.places[active] @ [1 - share, share]).T
    motion = np.zeros((count, 3))
    motion[active * 3, 0] = motion[active * 3 + 1, 1] = 1
    motion[active * 3, 2], motion[active * 3 + 1, 2] = -y, x
    held = np.array([_motion(*held) for held in station.held]).reshape(-1, 3)
    if len(held):
        motion = motion @ _free(held)
    return sp.hstack([sp.csr_matrix(motion), axial]).tocsr()


def _motion(x: float, y: float, direction: str) -> list[float]:
    """A motion of a point by the section's shifts along x and y and its twist about the origin."""
    return {"x": [1.0, 0.0, -y], "y": [0.0, 1.0, x], "twist": [0.0, 0.0, 1.0]}[direction]


def _free(held: Array) -> Array:
    """Motions (a, b, twist) that the held ones leave; twists scaled to a metre for good digits."""
    scale = np.array([1.0, 1.0, 1e-3])
    return scale[:, None] * null_space(held * scale)


def _march(
    case: Case,
    plan: Grid,
    slabs: list[Slab],
    loads: list[Array],
    ties: list[sp.csr_matrix],
    places: Array,
) -> list[Array]:
    """Block Cholesky along the planes; displacements (N, 3) of each plane."""
    count = len(plan.places)
    right = [np.zeros(t.shape[1]) for t in ties]
    diagonal = [np.zeros((t.shape[1],) * 2) for t in ties]
    beside = []
    for k, slab in enumerate(slabs):
        rows = (slab.active[:, None] * 3 + np.arange(3)).ravel()
        near, far = ties[k][rows], ties[k + 1][rows]
        n = len(rows)
        load = slab.condense(loads[k])
        right[k] += near.T @ load[:n]
        right[k + 1] += far.T @ load[n:]
        diagonal[k] += near.T @ (near.T @ slab.schur[:n, :n]).T
        diagonal[k + 1] += far.T @ (far.T @ slab.schur[n:, n:]).T
        beside.append(near.T @ (far.T @ slab.schur[n:, :n]).T)
    for given in case.loads:
        if isinstance(given, EndTorque):
            k = int(np.argmin(np.abs(places - given.z)))
            right[k] += ties[k].T @ _unit_torque(
                plan, ties[k], given, float(_axis(case).share(places[k]))
            )
    factors = []
    for k in range(len(ties)):
        try:
            factor = cholesky(diagonal[k], lower=True, overwrite_a=True, check_finite=False)
        except LinAlgError as error:
            raise ValueError(f"the member is loose near z = {places[k]:g}") from error
        diagonal[k] = np.empty((0, 0))
        right[k] = solve_triangular(factor, right[k], lower=True) if factor.size else right[k]
        if k < len(slabs):
            carried = (
                solve_triangular(factor, beside[k], lower=True, check_finite=False)
                if factor.size
                else beside[k]
            )
            beside[k] = carried
            diagonal[k + 1] -= carried.T @ carried
            right[k + 1] -= carried.T @ right[k]
        factors.append(factor)
    found: list[Array] = [np.zeros(0)] * len(ties)
    for k in reversed(range(len(ties))):
        value = right[k]
        if k < len(slabs):
            value = value - beside[k] @ found[k + 1]
        found[k] = (
            solve_triangular(factors[k], value, lower=True, trans="T") if value.size else value
        )
    return [(t @ u).reshape(count, 3) for t, u in zip(ties, found, strict=True)]


def _unit_torque(plan: Grid, tie: sp.csr_matrix, load: EndTorque, share: float) -> Array:
    """Nodal forces whose only effect on a section held in shape is the torque."""
    active = np.unique(tie.tocoo().row // 3)
    x, y = (plan.places[active] @ [1 - share, share]).T
    x0, y0 = x - x.mean(), y - y.mean()
    out = np.zeros(3 * len(plan.places))
    scale = load.torque / float(x0 @ x0 + y0 @ y0)
    out[active * 3], out[active * 3 + 1] = -y0 * scale, x0 * scale
    return out
