"""The kept 3D references: they are what the cases say, and the method that made them is right."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from benchmarks.elasticity.case import Case, EndTorque, LineLoad, Material, Station
from benchmarks.elasticity.cases import CASES
from benchmarks.elasticity.chain import solve
from benchmarks.elasticity.grid import Plate
from benchmarks.elasticity.harder_cases import HARDER
from benchmarks.elasticity.waves import solve as by_waves

from .references import DATA, names, reference

BAR = Case(
    "bar",
    "square bar, fixed, pulled and bent by line loads at its end",
    (Plate((-10, 10), (-10, 10)),),
    200.0,
    (Station(0.0, "fixed"), Station(200.0, "rigid")),
    (EndTorque(200.0, 1e5),),
    (),
    (),
    materials=(Material("steel", 210_000.0, 0.0),),
    thin=1.0,
    fine=20.0,
    coarse=20.0,
)


KEPT = [c for c in (*CASES, *HARDER) if c.name in names()]


@pytest.mark.parametrize("case", KEPT, ids=lambda c: c.name)
def test_each_record_is_of_its_case(case: Case) -> None:
    """A case changed after its record was made would be compared with another one's values."""
    assert reference(case.name).case == case


#: What the last order changed, at most, where it is more than elsewhere: the corners of the steel
#: under concrete, and large members that 6 GB of memory hold at order 3 or 4 alone. Members are
#: held to half a per cent there too, and meet it; those references show no more than this share.
COARSER = {
    "concrete-on-steel": 4e-3,
    "taper-between-steps": 1.2e-2,
    "three-cell-cantilever": 1.4e-2,
}


@pytest.mark.parametrize("name", names())
def test_displacements_are_converged(name: str) -> None:
    """Half of the half per cent to which members are held."""
    least = COARSER.get(name, 2.5e-3)
    values = reference(name).displacements
    largest = max(abs(c) for v in values for c in v.value[:2])
    for value in values:
        assert max(value.error[:2]) < least * largest, value.at


CROSSCHECK = json.loads((DATA.parent / "crosscheck.json").read_text())


@pytest.mark.parametrize("name", sorted(CROSSCHECK))
def test_a_general_library_says_the_same(name: str) -> None:
    """Quadratic hexahedra of scikit-fem, one through each plate's thickness: a hundredth too stiff
    at most."""
    known = np.array([v.value for v in reference(name).displacements])
    largest = np.abs(known).max()
    off = (np.array(CROSSCHECK[name]["displacements"]) - known)[:, :2] * np.sign(known[:, :2])
    big = np.abs(known[:, :2]) > 0.1 * largest
    assert -0.013 * largest < off[big].min()
    assert off[big].max() < 1e-3 * largest


def test_a_square_bar_twists_as_saint_venant_says() -> None:
    """J = 0.140577 a^4 of a square of side a (Timoshenko and Goodier, Theory of Elasticity, table
    of rectangular bars: 0.1406); the fixed end stiffens a part of the bar's own width."""
    found = solve(BAR, 6)
    twist = [found.displacement(10.0, 0.0, z)[1] / 10 for z in (100.0, 160.0)]
    shear = 210_000.0 / 2
    rate = (twist[1] - twist[0]) / 60
    assert rate == pytest.approx(1e5 / (shear * 0.1405770 * 20**4), rel=1e-4)


@pytest.mark.parametrize("radius", [None, 400.0, -300.0])
def test_waves_along_a_member_and_slabs_say_the_same(radius: float | None) -> None:
    """A tee under a line load on the tip of its flange, by sine waves and by elements along it, on
    one grid: two descriptions of strain in a curve, and of loads that are longer outside."""
    tee = Case(
        "tee",
        "tee on held ends",
        (Plate((-3, 3), (-20, 0)), Plate((-15, 15), (0, 6))),
        200.0,
        (Station(0.0, "in-plane held"), Station(200.0, "in-plane held")),
        (LineLoad(15.0, 6.0, 0.0, 200.0, (2.0, -10.0, 0.0)),),
        (),
        (),
        radius=radius,
        thin=1.0,
        fine=25.0,
        coarse=50.0,
    )
    slabs, waves = solve(tee, 6), by_waves(tee, 6, 0.0, 60)
    size = abs(slabs.displacement(-15.0, 0.0, 100.0)).max()
    for point in ((-15.0, 0.0, 100.0), (3.0, -20.0, 70.0)):
        off = np.abs(slabs.displacement(*point) - waves.displacement(*point))[:2]
        assert off.max() < 2e-5 * size
    one, other = (found.stress(3.0, -10.0, 100.0) for found in (slabs, waves))
    assert np.abs(one - other).max() < 2e-4 * np.abs(one).max()


def test_a_bar_curved_in_plan_carries_its_load_to_the_fixed_end() -> None:
    """Moments of a cantilever curved in plan by statics: bending P R sin a, torque P R (1 - cos a)
    with a the angle from the load, and sigma = M y / I of a slender bar."""
    radius, angle = 500.0, (195.0 - 60.0) / 500
    ring = replace(
        BAR,
        radius=radius,
        stations=(Station(0.0, "fixed"),),
        loads=(LineLoad(0.0, 10.0, 190.0, 200.0, (0.0, -10.0, 0.0)),),
        lines=((0.0,), (0.0,)),
        breaks=(60.0,),
    )
    stress = solve(ring, 6).stress(0.0, 10.0, 60.0)
    assert stress[2] == pytest.approx(100 * radius * np.sin(angle) * 10 / (20**4 / 12), rel=2e-3)
    # Greatest shear of a square in torsion: T / (0.208 a^3) (the same table).
    torque = 100 * radius * (1 - np.cos(angle))
    assert abs(stress[4]) == pytest.approx(torque / (0.208 * 20**3), rel=1e-2)
