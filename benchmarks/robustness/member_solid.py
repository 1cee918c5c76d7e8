"""A few random members beside 3D elasticity: the tensor elements of `elasticity`, at two orders."""

from __future__ import annotations

import time

import numpy as np

from ..deforming_members import solved_case
from ..elasticity.case import STEEL, Case, LineLoad, Material, Station
from ..elasticity.chain import solve
from ..elasticity.grid import Plate
from .case import between
from .trial import Trial

#: Orders of the elements, and how far movements may part beside three times what the last changed.
ORDERS, WITHIN = (3, 4), 0.005
FAMILY = "beside 3D elasticity"


def case_of(rng: np.random.Generator) -> Case:
    """A box, girder, channel or slab on a girder, straight or curved, on held ends or fixed, under
    a line load on a corner of its top."""
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
    stations = (Station(0.0, "fixed"),)
    if rng.random() < 0.6:
        stations = (Station(0.0, "in-plane held"), Station(length, "in-plane held"))
    asked = [(x, y, z * length) for z in (0.5, 0.75) for x in (-b, b) for y in (-h, h)]
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
        corner=(0.08 * min(width, depth),),
        thin=1.2 * max(t, w),
        fine=depth / 8,
        coarse=depth,
        breaks=(0.5 * length, 0.75 * length),
    )


def run(name: str, rng: np.random.Generator) -> Trial:
    """Displacements of both, of the largest."""
    trial = Trial(name, held=["3D elasticity"])
    case = case_of(rng)
    begin = time.process_time()
    member, _ = solved_case.__wrapped__(case)
    trial.seconds = time.process_time() - begin
    count = 3 if case.stations[0].kind == "fixed" else 2
    ours, coarse, fine = (
        np.array([moved(p) for p in case.displacements])[:, :count]
        for moved in (
            lambda p: member.displacement([p[:2]], [p[2]])[0, 0, :, 0],
            *(_solid(case, order) for order in ORDERS),
        )
    )
    size = float(np.abs(fine).max())
    off = np.abs(ours - fine)
    trial.width = float(off.max()) / size
    if not (off <= WITHIN * size + 3 * np.abs(fine - coarse)).all():
        last = float(np.abs(fine - coarse).max()) / size
        trial.troubles.append(
            f"displacements are off 3D elasticity by {trial.width:.2e} of {size:.3g}, whose last "
            f"order changed {last:.1e}"
        )
    return trial


def _solid(case: Case, order: int):  # type: ignore[no-untyped-def]
    found = solve(case, order)
    return lambda p: found.displacement(*p)
