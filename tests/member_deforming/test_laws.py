"""Laws that any linear member obeys, whatever its sections do: equilibrium, reciprocity, and no
preference of side, direction or unit; straight, curved in plan, tapered, stepped and both."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import fork

KINDS = ("straight", "curved", "tapered", "stepped", "tapered and stepped")
LENGTH, RADIUS = 1200.0, 1500.0
#: Loads of two cases: station, point, force across and up.
LOADS = {"one": (500.0, (30.0, 40.0), (2e3, -5e3)), "two": (800.0, (-20.0, -30.0), (-1e3, -3e3))}


def bar(height: float, side: float, scale: float) -> Section:
    """An L of which nothing is symmetric, its heel at the origin."""
    points = np.array(
        [
            (-30.0, -40.0),
            (30.0, -40.0),
            (30.0, -15.0),
            (-5.0, -15.0),
            (-5.0, height),
            (-30.0, height),
        ]
    )
    points[:, 0] *= side
    if side < 0:
        points = points[::-1]
    steel = Material("steel", 210_000.0 / scale**2, 0.3)
    return Section((Region(Contour(points * scale), (), steel),), name=f"L {height:g}")


@cache
def solved(
    kind: str, side: float = 1.0, scale: float = 1.0, back: bool = False
) -> DeformingSolution:
    """The member as it is, mirrored (side -1), in another unit, or laid from its other end."""
    first, last, other = (
        solved_section(bar(h, side, scale), f"L {h:g}", 1e-4)
        for h in (40.0, 40.0 if kind in ("straight", "curved") else 90.0, 60.0)
    )
    length = LENGTH * scale
    if back:
        first, last = last, first
    if kind == "tapered":
        segments = (Segment(0.0, length, first.constants, last.constants),)
    elif kind == "tapered and stepped":
        parts = [(first, None), (first, last), (other, None)]
        if back:
            parts = [(other, None), (first, last), (last, None)]
        segments = tuple(
            Segment(k * length / 3, (k + 1) * length / 3, one.constants, two and two.constants)
            for k, (one, two) in enumerate(parts)
        )
    elif kind == "stepped":
        middle = length / 2
        segments = (
            Segment(0.0, middle, first.constants),
            Segment(middle, length, last.constants),
        )
    else:
        segments = (Segment(0.0, length, first.constants),)
    axis = Axis.arc(length, side * RADIUS * scale) if kind == "curved" else Axis.straight(length)
    loads = tuple(
        PointLoad(
            (length - z * scale) if back else z * scale,
            (side * force[0], force[1], 0.0),
            place=(side * point[0] * scale, point[1] * scale),
            case=case,
        )
        for case, (z, point, force) in LOADS.items()
    )
    supports = (fork(0.0, z="held"), fork(length))
    member = Member(axis, segments, supports, loads=loads)
    known = {s.constants.name: s for s in (first, last, other)}
    return solve_deforming(member, course_of(member, known, 1, answers=False), orders=(7,))


def crossed(kind: str, side: float = 1.0, scale: float = 1.0, back: bool = False) -> np.ndarray:
    """(2, 2) movement across and up of the place of each load under the other one."""
    found = solved(kind, side, scale, back)
    rows = []
    for case, other in (("one", "two"), ("two", "one")):
        z, point, _ = LOADS[case]
        at = (LENGTH - z) * scale if back else z * scale
        place = (side * point[0] * scale, point[1] * scale)
        across, up = found.movement(place, [at])
        column = found.column(other)
        rows.append([side * across[0, column] / scale, up[0, column] / scale])
    return np.array(rows)


@pytest.mark.parametrize("kind", KINDS)
def test_reactions_balance_the_loads(kind: str) -> None:
    found = solved(kind)
    turn = 1 / RADIUS if kind == "curved" else 0.0
    for case, (z, point, force) in LOADS.items():
        total, torque = np.zeros(3), point[0] * force[1] - point[1] * force[0]
        for at, (x, y, along) in (
            (z, (*force, 0.0)),
            *((r.at, r.force) for r in reactions(found, found.column(case))),
        ):
            c, s = np.cos(turn * at), np.sin(turn * at)
            total += (c * x + s * along, y, c * along - s * x)
        assert np.abs(total).max() < 1e-9 * np.hypot(*force), total
        for r in reactions(found, found.column(case)):
            torque += r.moment[2] + r.point[0] * r.force[1] - r.point[1] * r.force[0]
        if kind != "curved":
            assert abs(torque) < 1e-9 * np.hypot(*force) * 50.0


@pytest.mark.parametrize("kind", KINDS)
def test_work_of_one_load_on_the_other_is_the_same_both_ways(kind: str) -> None:
    """Maxwell and Betti."""
    at_one, at_two = crossed(kind)
    assert at_one @ LOADS["one"][2] == pytest.approx(at_two @ LOADS["two"][2], rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_a_mirrored_member_moves_mirrored(kind: str) -> None:
    """Its mesh is another one."""
    exact = crossed(kind)
    assert crossed(kind, -1.0) == pytest.approx(exact, abs=5e-4 * np.abs(exact).max())


@pytest.mark.parametrize("kind", KINDS)
def test_seen_from_behind_it_moves_alike(kind: str) -> None:
    """Turned half about the vertical: the other end first, left for right."""
    exact = crossed(kind)
    assert crossed(kind, -1.0, 1.0, True) == pytest.approx(exact, abs=5e-4 * np.abs(exact).max())


@pytest.mark.parametrize("kind", KINDS)
def test_units_do_not_matter(kind: str) -> None:
    exact = crossed(kind)
    assert crossed(kind, 1.0, 1e-3) == pytest.approx(exact, abs=1e-7 * np.abs(exact).max())
