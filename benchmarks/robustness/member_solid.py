"""A few random members beside 3D elasticity: sine waves along them, tensor elements of two orders
across (`elasticity.waves`)."""

from __future__ import annotations

import time

import numpy as np

from ..deforming_members import solved_case
from ..elasticity.case import STEEL, Case, LineLoad, Material, Station
from ..elasticity.grid import Plate
from ..elasticity.waves import solve
from .case import between
from .trial import Trial

#: Orders of the elements, and how far movements may part beside three times what the last changed.
ORDERS, WITHIN = (4, 5), 0.005
#: Waves along the member.
COUNT = 24
FAMILY = "beside 3D elasticity"


def case_of(rng: np.random.Generator) -> Case:
    """A box, girder, channel or slab on a girder, straight or curved, on held ends, under a line
    load on a corner of its top."""
    depth = between(rng, 300, 1500)
    width = depth * rng.uniform(0.5, 1.6)
    t, w = depth * rng.uniform(0.015, 0.04), depth * rng.uniform(0.012, 0.03)
    b, h = width / 2, depth / 2
    flanges = (Plate((-b, b), (h - t, h)), Plate((-b, b), (-h, t - h)))
    kind = int(rng.integers(4))
    top, materials = h, (STEEL,)
    if kind == 0:
        plates = (*flanges, Plate((-b, w - b), (-h, h)), Plate((b - w, b), (-h, h)))
    elif kind == 1:
        plates = (*flanges, Plate((-w / 2, w / 2), (-h, h)))
    elif kind == 2:
        plates = (*flanges, Plate((-b, w - b), (-h, h)))
    else:
        top = h + 0.15 * depth
        slab = Plate((-1.5 * b, 1.5 * b), (h, top), material=1)
        plates = (*flanges, Plate((-w / 2, w / 2), (-h, h)), slab)
        materials = (STEEL, Material("concrete", 34_000.0, 0.2))
    side = 1.5 * b if kind == 3 else b
    length = depth * between(rng, 6, 15)
    radius = None
    if rng.random() < 0.5:
        radius = float(rng.choice([-1, 1])) * max(length, 15 * width)
    stations = (Station(0.0, "in-plane held"), Station(length, "in-plane held"))
    corners = [(x, y) for x in (-b, b) for y in (-h, h) if (x, y) != (side, top)]
    asked = [(x, y, z * length) for z in (0.5, 0.75) for x, y in corners]
    return Case(
        "random",
        "random",
        plates,
        length,
        stations,
        (LineLoad(side, top, 0.3 * length, 0.7 * length, (0.0, -20.0, 0.0)),),
        tuple(asked),
        (),
        radius=radius,
        materials=materials,
    )


def run(name: str, rng: np.random.Generator) -> Trial:
    """Displacements of both, of the largest."""
    trial = Trial(name, held=["3D elasticity"])
    case = case_of(rng)
    begin = time.process_time()
    member, _ = solved_case.__wrapped__(case)
    trial.seconds = time.process_time() - begin
    wall = min(float(np.ptp(side)) for p in case.plates for side in (p.x, p.y))
    coarse, fine = (_solid(case, order, wall) for order in ORDERS)
    ours = np.array([member.displacement([p[:2]], [p[2]])[0, 0, :2, 0] for p in case.displacements])
    size = float(np.abs(fine).max())
    off = np.abs(ours - fine)
    trial.width = float(off.max()) / size
    if not (off <= WITHIN * size + 3 * np.abs(fine - coarse)).all():
        last = float(np.abs(fine - coarse).max()) / size
        trial.troubles.append(
            f"displacements are off 3D elasticity by {trial.width:.2e} of {size:.3g}, whose last "
            f"order changed {last:.1e}"
        )
        trial.outcome = "wrong"
    return trial


def _solid(case: Case, order: int, wall: float) -> np.ndarray:
    """(points, 2)"""
    found = solve(case, order, wall, COUNT)
    return np.array([found.displacement(*p)[:2] for p in case.displacements])
