"""Natural frequencies of boxes in 3D elasticity: ``python -m benchmarks.elasticity.modes``.

The same tensor elements as the static cases, with the stiffness and the consistent mass of all of
them in one sparse pair; the lowest frequencies by shift and invert about zero. Sections at both
ends are held in their own plane, u_z is free: a curved member then slides along its own circle at
0 Hz, which is left out. Lengths in mm, forces in N, so that a density in
tonnes per mm^3 gives Hz. Solved at two orders; `frequencies.json` keeps the higher with its change
from the lower one.
"""

from __future__ import annotations

import json
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import eigsh

from .case import STEEL
from .cases import box
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
class Box:
    """A case: its plates, length, radius (positive with its centre on the side of -x) and slabs."""

    name: str
    words: str
    plates: tuple[Plate, ...]
    length: float
    radius: float | None
    slabs: int


BOXES = (
    Box(
        "curved-box",
        "box 2000 x 1000 x 20, R = 50 m, 20 m, in-plane held at both ends",
        box(2000, 1000, 20, 20), 20_000.0, 50_000.0, 8,
    ),
    Box(
        "sharply-curved-box",
        "box 1500 x 1000 x 16, R = 20 m, 16 m, in-plane held at both ends",
        box(1500, 1000, 16, 16), 16_000.0, 20_000.0, 8,
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


def frequencies(case: Box, order: int) -> Array:
    """The lowest frequencies in Hz."""
    plan = grid(case.plates, ((), ()), order, (), 30.0)
    axis = Axis(case.length, case.radius)
    shop = workshop(plan, case.plates, [(STEEL.modulus, STEEL.poisson)], axis)
    count, step = len(plan.places), case.length / case.slabs
    planes = case.slabs * order + 1
    made = []
    for cell in plan.cells:
        places, frames = shop.element(cell, 0.0, step, order)
        orders = (*cell.orders, order)
        k = stiffness(orders, places, frames, shop.laws[0])
        node = np.arange(order + 1)[:, None] * count + cell.nodes.ravel()
        rows = (node[..., None] * 3 + np.arange(3)).reshape(-1)
        made.append((rows, k, DENSITY * mass(orders, places, frames)))
    size = planes * count * 3
    pair = []
    for which in (1, 2):
        data, row, column = [], [], []
        for slab in range(case.slabs):
            for part in made:
                rows = part[0] + slab * order * count * 3
                data.append(part[which].ravel())
                row.append(np.repeat(rows, len(rows)))
                column.append(np.tile(rows, len(rows)))
        entries = (np.concatenate(data), (np.concatenate(row), np.concatenate(column)))
        pair.append(sp.csc_array(entries, shape=(size, size)))
    free = np.ones((planes, count, 3), bool)
    free[[0, -1], :, :2] = False
    kept = np.flatnonzero(free.ravel())
    k, m = (matrix[kept][:, kept] for matrix in pair)
    values = np.sort(eigsh(k, COUNT + 1, m, sigma=SHIFT, return_eigenvectors=False))
    assert abs(values[0]) < 1.0, "nothing slides"
    return np.sqrt(values[1:]) / (2 * np.pi)


def main() -> None:
    """Solve all cases and keep what came."""
    found = json.loads(FILE.read_text()) if FILE.exists() else {}
    for case in BOXES:
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
    main()
