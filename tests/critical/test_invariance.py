"""A rigid rotation of the whole member: its stress follows from its loads and reactions, so their
second-order work is all there is."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.critical.analysis import Prestressed
from soapfilm.solver.member.critical.operator import StressOperator
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.support import Support

from .members import MONO, buckling, factor, member

LENGTH = 3000.0


def rotated(state: Prestressed, axis: int) -> np.ndarray:
    """Coefficients of a unit rotation about x, y or z through z = 0."""
    nodes, rigid = state.frame.nodes, state.frame.course.parts[0].section.rigid
    n = rigid.shape[0]
    out = np.zeros((len(nodes) - 1, state.order + 1, n))
    for end in (0, 1):
        z = nodes[end : len(nodes) - 1 + end]
        turn = np.tile(rigid[:, 3 + axis], (len(z), 1))
        if axis == 0:
            turn = turn - z[:, None] * rigid[:, 1]
        elif axis == 1:
            turn = turn + z[:, None] * rigid[:, 0]
        out[:, end] = turn
    return out


@pytest.mark.parametrize("height", ["material", "shear centre", "off the material"])
def test_second_order_work_of_a_rigid_rotation(height: str) -> None:
    """x^T G x = sum (F . r - F_a r_a) over loads and reactions, the axis a left out: springs hold
    the member, so that every force has a known place."""
    places = {
        "material": (0.0, 110.0),
        "shear centre": Place("shear_centre"),
        "off the material": (60.0, 0.0),
    }
    place = places[height]
    soft = 1e4
    supports = [
        Support(z, x=soft, y=soft, twist=1e9, z=1e5, point=(0.0, 100.0), name=f"at {z:g}")
        for z in (0.0, LENGTH)
    ]
    loads = [
        LineLoad(500.0, 2500.0, (0.3, -1.0, 0), place=place),
        PointLoad(2000.0, force=(0, -800.0, 0), place=place, moment=(0, 0, 5e4)),
    ]
    made = member(MONO, LENGTH, loads, supports)
    state = buckling(MONO, made).state
    operator: StressOperator = state.operator(0)
    point = made.locate(place, made.section_at(0.0))
    virial = np.zeros((3, 3))
    for force, z in (((600.0, -2000.0, 0.0), 1500.0), ((0.0, -800.0, 0.0), 2000.0)):
        virial += np.outer(force, (*point, z))
    for number, (node, _) in state.frame.holds.rows.items():
        contact = state.frame.contacts[number]
        if contact.freedom in ("x", "y", "z"):
            force = np.eye(3)["xyz".index(contact.freedom)] * state.solution.push[number, 0]
            virial += np.outer(force, (0.0, 100.0, state.frame.nodes[node]))
    for axis in range(3):
        x = rotated(state, axis)
        work = float(np.vdot(x, operator(x)))
        expected = float(np.trace(virial) - virial[axis, axis])
        assert work == pytest.approx(expected, abs=2e-3 * np.abs(virial).max())


def test_the_member_may_lie_anywhere_in_its_axes() -> None:
    """Far off the origin of the section's axes the same member has the same factor."""
    factors = []
    for dx, dy in ((0.0, 0.0), (500.0, 300.0)):

        def there(points: np.ndarray, by: tuple[float, float] = (dx, dy)) -> np.ndarray:
            return np.add(points, by)

        outline = Section(
            tuple(
                Region(Contour(there(r.outline.points), r.outline.bulges), (), r.material)
                for r in MONO.regions
            ),
            unit="mm", name="moved",
        )  # fmt: skip
        loads = [PointLoad(LENGTH / 2, force=(0, -1e3, 0), place=(dx, dy + 110.0))]
        factors.append(factor(outline, LENGTH, loads))
    assert factors[1] == pytest.approx(factors[0], rel=1e-3)
