"""3D elasticity of a prismatic member between two held ends, exact along it: sums of sine waves.

Where both ends are held in their plane and free along the axis, loads along lines call for
u = (X sin kz, Y sin kz, Z cos kz), k = n pi / L, and no wave stirs another, in a straight member or
a circular arc. Every wave is one problem of the section, by Gauss-Lobatto elements of any order, so
the grid may be far finer toward corners than that of the chain of slabs, and nothing is left to
resolve along z but the number of waves. With the centre of curvature on the side of -x and
r = 1 + x / R: e_zz = (u_z' + u_x / R) / r, gamma_yz = u_z,y + u_y' / r,
gamma_xz = u_z,x + (u_x' - u_z / R) / r, and dA grows by r.

Run: ``python -m benchmarks.elasticity.waves [name ...]`` (minutes); rewrites those records.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from .__main__ import DATA, recorded, values
from .case import Case, LineLoad
from .cases import COMPOSITE
from .grid import Cell, Grid, grid
from .harder_cases import COMPOSITE_CURVE, TIGHT
from .lobatto import Array, elasticity, lagrange, rule

#: Shares of each wall by which lines part it and what lies beside it, toward its corners.
GRADING = (0.15, 0.02)
#: Waves that are summed; under a load all along every other one is zero.
COUNT = 80
#: Cases whose records these are, the thickness by whose shares their grids are graded, and the
#: order of the elements; they are solved with one order more too.
WAVES = {
    COMPOSITE_CURVE.name: (COMPOSITE_CURVE, 10.0, 4),
    COMPOSITE.name: (COMPOSITE, 10.0, 5),
    TIGHT.name: (TIGHT, 12.0, 6),
}


@dataclass(frozen=True, slots=True)
class Waves:
    """Amplitudes (COUNT, N, 3) of the waves 1, 2, ... at the nodes of the grid."""

    case: Case
    grid: Grid
    amplitudes: Array

    @property
    def unknowns(self) -> int:
        """Of one wave."""
        return 3 * len(self.grid.places)

    def displacement(self, x: float, y: float, z: float) -> Array:
        """u_x, u_y, u_z at a point, along the section's axes there."""
        _, wave = self._at(z)
        cell, shape, _ = self._in(x, y)[0]
        u = np.einsum("a,nad->nd", shape, self.amplitudes[:, cell.nodes.ravel()])
        return np.asarray(np.einsum("nd,nd->d", u, wave[:, [0, 0, 1]]))

    def stress(self, x: float, y: float, z: float) -> Array:
        """xx, yy, zz, yz, xz, xy at a point, the mean of elements that meet there."""
        numbers, wave = self._at(z)
        found = []
        for cell, shape, slope in self._in(x, y):
            material = self.case.materials[self._material(cell)]
            law = elasticity(material.modulus, material.poisson)
            strains = _strains(shape, slope, x, self.case.radius)
            nodal = self.amplitudes[:, cell.nodes.ravel()].reshape(len(numbers), -1)
            k = numbers * np.pi / self.case.length
            size = np.einsum("pia,na,np->ni", strains, nodal, np.stack([k**0, k], axis=1))
            found.append(law @ np.einsum("ni,ni->i", size, wave[:, [0, 0, 0, 1, 1, 0]]))
        return np.asarray(np.mean(found, axis=0))

    def _at(self, z: float) -> tuple[Array, Array]:
        """Numbers of the waves, sine and cosine of each (n, 2) at z."""
        numbers = np.arange(1.0, len(self.amplitudes) + 1)
        angle = numbers * np.pi * z / self.case.length
        return numbers, np.stack([np.sin(angle), np.cos(angle)], axis=1)

    def _material(self, cell: Cell) -> int:
        found = self.grid.material(cell, self.case.plates, self.case.length / 2)
        assert found is not None
        return found

    def _in(self, x: float, y: float) -> list[tuple[Cell, Array, Array]]:
        """Cells that hold a point, their shapes (a,) and slopes (a, 2) there."""
        found = []
        for cell in self.grid.cells:
            (a, b), (c, d) = _sides(self.grid, cell)
            local = (2 * x - a - b) / (b - a), (2 * y - c - d) / (d - c)
            if max(map(abs, local)) < 1 + 1e-9:
                shape, slope = _shapes(self.grid, cell, *(np.array([t]) for t in local))
                found.append((cell, shape[0], slope[0]))
        if not found:
            raise ValueError(f"({x}, {y}) is no material")
        return found


def solve(case: Case, order: int, wall: float, count: int = COUNT) -> Waves:
    """All waves of a case with elements of an order, graded toward the corners of its plates by
    shares of a wall's thickness; on the case's own lines alone where that is 0."""
    lines = _graded(case, wall) if wall else case.lines
    plan = grid(case.plates, lines, order, (), 0.0)
    constant, linear, square = _matrices(case, plan)
    found = np.zeros((count, len(plan.places), 3))
    for n in range(1, count + 1):
        k = n * np.pi / case.length
        load = _load(case, plan, k)
        if load.any():
            matrix = (constant + k * linear + k**2 * square).tocsc()
            factor = splu(
                matrix, "MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
            )
            found[n - 1] = (factor.solve(load) / (case.length / 2)).reshape(-1, 3)
    return Waves(case, plan, found)


def _graded(case: Case, wall: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Lines beside every side of a plate, at shares of the wall's thickness within it and without,
    and at multiples of it farther out."""
    lines = []
    for axis in ("x", "y"):
        sides = np.unique([side for plate in case.plates for side in getattr(plate, axis)])
        ends = (sides[0], sides[-1])
        own = []
        for side in sides:
            for step in (*(wall * share for share in GRADING), wall, 5 * wall):
                for place in (side - step, side + step):
                    apart = np.abs(sides - place)
                    inside = ends[0] < place < ends[1]
                    if inside and apart.min() > 0.999 * min(step, 0.4 * wall):
                        own.append(float(place))
        own = sorted(set(np.round(own, 6)))
        kept: list[float] = []
        for place in own:  # Lines of two sides that all but meet are one.
            if all(abs(place - other) > 0.1 * np.abs(sides - place).min() for other in kept):
                kept.append(place)
        lines.append(tuple(kept))
    return lines[0], lines[1]


def _sides(plan: Grid, cell: Cell) -> tuple[Array, Array]:
    return plan.x[cell.column : cell.column + 2, 0], plan.y[cell.row : cell.row + 2, 0]


def _shapes(plan: Grid, cell: Cell, x: Array, y: Array) -> tuple[Array, Array]:
    """Values (q, a) and slopes (q, a, 2) of a cell's functions at the tensor grid of local x, y."""
    (a, b), (c, d) = _sides(plan, cell)
    (fx, gx), (fy, gy) = (lagrange(p, t) for p, t in zip(cell.orders, (x, y), strict=True))
    size = (len(x) * len(y), -1)
    value = np.einsum("jm,in->jimn", fy, fx).reshape(size)
    along_x = np.einsum("jm,in->jimn", fy, gx).reshape(size) * 2 / (b - a)
    along_y = np.einsum("jm,in->jimn", gy, fx).reshape(size) * 2 / (d - c)
    return value, np.stack([along_x, along_y], axis=-1)


def _strains(shape: Array, slope: Array, x: float, radius: float | None) -> Array:
    """(2, 6, 3 a): strains of a node's amplitudes, without k and times k."""
    bend = 0.0 if radius is None else 1 / radius
    r = 1 + bend * x
    out = np.zeros((2, 6, len(shape), 3))
    out[0, 0, :, 0], out[0, 1, :, 1] = slope[:, 0], slope[:, 1]
    out[0, 2, :, 0], out[1, 2, :, 2] = shape * bend / r, -shape / r
    out[0, 3, :, 2], out[1, 3, :, 1] = slope[:, 1], shape / r
    out[0, 4, :, 2], out[1, 4, :, 0] = slope[:, 0] - shape * bend / r, shape / r
    out[0, 5, :, 0], out[0, 5, :, 1] = slope[:, 1], slope[:, 0]
    return out.reshape(2, 6, -1)


def _matrices(case: Case, plan: Grid) -> tuple[sp.csr_matrix, sp.csr_matrix, sp.csr_matrix]:
    """Stiffness without k, times k, and times its square."""
    size = 3 * len(plan.places)
    rows, columns, entries = [], [], [[], [], []]
    for cell in plan.cells:
        number = plan.material(cell, case.plates, case.length / 2)
        assert number is not None
        material = case.materials[number]
        law = elasticity(material.modulus, material.poisson)
        (px, wx), (py, wy) = (rule(p) for p in cell.orders)
        (a, b), (c, d) = _sides(plan, cell)
        shape, slope = _shapes(plan, cell, px, py)
        place = np.tile((a + b) / 2 + (b - a) / 2 * px, len(py))
        weight = np.outer(wy, wx).ravel() * (b - a) * (d - c) / 4
        strains = np.array(
            [_strains(s, g, x, case.radius) for s, g, x in zip(shape, slope, place, strict=True)]
        )
        if case.radius is not None:
            weight = weight * (1 + place / case.radius)
        still, moving = strains[:, 0], strains[:, 1]
        stress = np.einsum("q,ij,qja->qia", weight, law, still)
        stress_along = np.einsum("q,ij,qja->qia", weight, law, moving)
        mixed = np.einsum("qia,qib->ab", still, stress_along, optimize=True)
        own = (
            np.einsum("qia,qib->ab", still, stress, optimize=True),
            mixed + mixed.T,
            np.einsum("qia,qib->ab", moving, stress_along, optimize=True),
        )
        dofs = (3 * cell.nodes.ravel()[:, None] + np.arange(3)).ravel()
        rows.append(np.repeat(dofs, len(dofs)))
        columns.append(np.tile(dofs, len(dofs)))
        for kept, matrix in zip(entries, own, strict=True):
            kept.append(matrix.ravel())
    where = np.concatenate(rows), np.concatenate(columns)
    one, two, three = (
        sp.csr_matrix((np.concatenate(kept), where), (size, size)) for kept in entries
    )
    return one, two, three


def _load(case: Case, plan: Grid, k: float) -> Array:
    """Work of the loads on a wave's unit amplitudes: across and up with its sine."""
    out = np.zeros((len(plan.places), 3))
    for load in case.loads:
        assert isinstance(load, LineLoad)
        assert load.force[2] == 0
        longer = 1.0 if case.radius is None else 1 + load.x / case.radius
        share = (np.cos(k * load.start) - np.cos(k * load.end)) / k
        if abs(share) > 1e-9 / k:
            out[plan.node(load.x, load.y), :2] += longer * share * np.array(load.force[:2])
    return out.ravel()


def main(names: list[str]) -> None:
    for name in names or WAVES:
        case, wall, first = WAVES[name]
        runs, cost = [], []
        for order in (first, first + 1):
            start = time.process_time()
            found = solve(case, order, wall)
            seconds = round(time.process_time() - start, 1)
            runs.append(values(found))
            cost.append({"waves": COUNT, "order": order, "unknowns": found.unknowns})
            print(name, cost[-1], seconds, "s", flush=True)
        text = json.dumps(recorded(case, runs, cost), indent=1)
        (DATA / f"{name}.json").write_text(text + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
