"""Natural frequencies in 3D elasticity: ``python -m benchmarks.elasticity.modes [name ...]``.

The same tensor elements as the static cases, with the stiffness and the consistent mass of all of
them in one sparse pair; the lowest frequencies by shift and invert about zero. Sections at both
ends are held in their own plane, u_z is free: a member then slides along its own line at 0 Hz,
which is left out; or the start is fixed. Lengths in mm, forces in N, so that a density in
tonnes per mm^3 gives Hz. Solved at two orders; `frequencies.json` keeps the higher with its change
from the lower one.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import eigsh

from .case import STEEL
from .cases import box, tapered_i
from .grid import Plate, grid
from .lobatto import Array, gradients, lagrange, physical, rule, stiffness, turn
from .slab import Axis, workshop

FILE = Path(__file__).parent / "frequencies.json"
#: Tonnes per mm^3.
DENSITY = 7.85e-9
ORDERS = (4, 5)
COUNT = 5
#: Below zero, where the member slides along its own circle: (rad/s)^2.
SHIFT = -10.0


@dataclass(frozen=True, slots=True)
class Moving:
    """A case: its plates, length, radius (positive with its centre on the side of -x), planes
    between slabs, largest cell across, and whether its start is fixed and its end free."""

    name: str
    words: str
    plates: tuple[Plate, ...]
    length: float
    planes: tuple[float, ...]
    radius: float | None = None
    thin: float = 30.0
    cantilever: bool = False


def _even(length: float, slabs: int) -> tuple[float, ...]:
    return tuple(length * k / slabs for k in range(slabs + 1))


#: Flanges of 8 mm, inwards 8 mm more in the middle half.
STEPPED_I = (
    Plate((-75, 75), (142, 150)),
    Plate((-75, 75), (-150, -142)),
    Plate((-3, 3), (-142, 142)),
    Plate((-75, 75), (134, 142), span=(1000.0, 3000.0)),
    Plate((-75, 75), (-142, -134), span=(1000.0, 3000.0)),
)
CASES = (
    Moving(
        "curved-box",
        "box 2000 x 1000 x 20, R = 50 m, 20 m, in-plane held at both ends",
        box(2000, 1000, 20, 20), 20_000.0, _even(20_000.0, 8), 50_000.0,
    ),
    Moving(
        "sharply-curved-box",
        "box 1500 x 1000 x 16, R = 20 m, 16 m, in-plane held at both ends",
        box(1500, 1000, 16, 16), 16_000.0, _even(16_000.0, 8), 20_000.0,
    ),
    Moving(
        "tapered-i",
        "I tapered from 500 to 200 deep (flanges 150 x 12, web 8), 3 m, fixed at its deep end",
        tapered_i(150.0), 3000.0, (0.0, 150.0, *_even(3000.0, 8)[1:]), thin=15.0, cantilever=True,
    ),
    Moving(
        "stepped-i",
        "I 300 x 150 x 6, flanges of 8, of 16 in the middle half, 4 m, in-plane held at both ends",
        STEPPED_I, 4000.0,
        (0.0, 450.0, 900.0, 1000.0, 1100.0, 1550.0, 2000.0, 2450.0, 2900.0, 3000.0, 3100.0, 3550.0,
         4000.0), thin=15.0,
    ),
)  # fmt: skip


def mass(orders: tuple[int, int, int], places: Array, frames: Array) -> Array:
    """Consistent mass (3 nodes, 3 nodes) of a hexahedron per unit density."""
    points, weights = zip(*(rule(p) for p in orders), strict=True)
    weight = np.einsum("c,b,a->cba", weights[2], weights[1], weights[0]).ravel()
    _, volume = physical(gradients(orders, tuple(points)), places)
    fx, fy, fz = (lagrange(p, t)[0] for p, t in zip(orders, points, strict=True))
    shape = np.einsum("cn,bm,al->cbanml", fz, fy, fx).reshape(len(weight), -1)
    own = shape.T @ (shape * (weight * volume)[:, None])
    return turn(np.kron(own, np.eye(3)), frames)


def frequencies(case: Moving, order: int) -> Array:
    """The lowest frequencies in Hz."""
    plan = grid(case.plates, ((), ()), order, (), case.thin)
    axis = Axis(case.length, case.radius)
    shop = workshop(plan, case.plates, [(STEEL.modulus, STEEL.poisson)], axis)
    count = len(plan.places)
    planes = (len(case.planes) - 1) * order + 1
    size = planes * count * 3
    made: dict[tuple[int, float], tuple[Array, Array]] = {}
    used = np.zeros((planes, count), bool)
    data: tuple[list[Array], list[Array]] = ([], [])
    row, column = [], []
    for slab, (start, end) in enumerate(pairwise(case.planes)):
        for number, cell in enumerate(plan.cells):
            if plan.material(cell, case.plates, (start + end) / 2) is None:
                continue
            key = (number, round(start if shop.tapered else end - start, 6))
            if key not in made:
                places, frames = shop.element(cell, start, end, order)
                orders = (*cell.orders, order)
                k = stiffness(orders, places, frames, shop.laws[0])
                made[key] = k, DENSITY * mass(orders, places, frames)
            node = (slab * order + np.arange(order + 1)[:, None]) * count + cell.nodes.ravel()
            used.ravel()[node] = True
            rows = (node[..., None] * 3 + np.arange(3)).reshape(-1)
            for matrix, own in zip(made[key], data, strict=True):
                own.append(matrix.ravel())
            row.append(np.repeat(rows, len(rows)))
            column.append(np.tile(rows, len(rows)))
    places = (np.concatenate(row), np.concatenate(column))
    pair = [sp.csc_array((np.concatenate(own), places), shape=(size, size)) for own in data]
    free = np.repeat(used[..., None], 3, axis=2)
    if case.cantilever:
        free[0] = False
    else:
        free[[0, -1], :, :2] = False
    kept = np.flatnonzero(free.ravel())
    k, m = (matrix[kept][:, kept] for matrix in pair)
    loose = 0 if case.cantilever else 1
    values = np.sort(eigsh(k, COUNT + loose, m, sigma=SHIFT, return_eigenvectors=False))
    assert not loose or abs(values[0]) < 1.0, "nothing slides"
    return np.sqrt(values[loose:]) / (2 * np.pi)


def main(names: list[str]) -> None:
    """Solve the cases, or those named, and keep what came."""
    found = json.loads(FILE.read_text()) if FILE.exists() else {}
    for case in CASES:
        if names and case.name not in names:
            continue
        begin = time.perf_counter()
        coarse, fine = (frequencies(case, order) for order in ORDERS)
        print(case.name, fine, np.abs(fine - coarse), round(time.perf_counter() - begin, 1))
        found[case.name] = {
            "words": case.words,
            "length": case.length,
            "radius": case.radius,
            "frequencies": [float(f"{f:.7g}") for f in fine],
            "change": [float(f"{f:.2g}") for f in np.abs(fine - coarse)],
        }
        FILE.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
