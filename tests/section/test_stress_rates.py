"""Derivatives of all fields of a section: largest stresses under any actions, shear areas, and what
is said to be in doubt."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.derivative.difference import STEPS, derivative
from soapfilm.solver.section.derivative.section_motion import section_motion
from soapfilm.solver.section.derivative.section_rate import (
    FollowedSection,
    SectionRate,
    section_rate,
)
from soapfilm.solver.section.derivative.stress_rate import spot_refused, stress_at
from soapfilm.solver.section.solve import solve_on
from soapfilm.solver.section.stress.components import COMPONENTS
from soapfilm.solver.section.stress.extremes import Search
from soapfilm.solver.section.stress.unit_stress import unit_stress


def _angle(thickness: float) -> Section:
    return section_from_toml(
        'unit = "mm"\n[[shape]]\nprofile = "L"\nDepth = 120\nWidth = 80\n'
        f"Thickness = {thickness!r}\nFilletRadius = 11\nEdgeRadius = 5.5\n"
    )


def _rate(made: Callable[[float], Section], value: float, accuracy: float) -> SectionRate:
    result = solve_section(made(value), accuracy)
    step = 1e-4 * abs(value)
    moving = FollowedSection.of(result)
    return section_rate(moving, moving.moved([made(value + k * step) for k in STEPS], step))


def test_largest_stress_under_combined_actions_and_constants_of_members() -> None:
    """An angle with N, M_x, V_y, T and bimoment: beside the sections solved on the mesh that
    follows, whose largest stress is sought anew; shear areas and J_s with it."""
    made, value, step = _angle, 10.0, 2e-3
    result = solve_section(made(value), 1e-7)
    units, moving = unit_stress(result), FollowedSection.of(result)
    sections = [made(value + k * step) for k in STEPS]
    motion = section_motion(moving, units, moving.moved(sections, step))
    solved = []
    for section in sections:
        plan = checked_map(section)
        mesh = moving.following.onto(plan)
        assert mesh is not None
        solved.append(unit_stress(solve_on(section, plan, mesh, result.field.order)))
    moved = [motion.at(k * step, one) for k, one in zip(STEPS, sections, strict=True)]
    for pick in (
        lambda u: u.shear_flexibility()[[0, 0, 1], [0, 1, 1]],
        lambda u: u.secondary_torsion_constant(),
    ):
        scale = float(np.abs(pick(units)).max()) / value
        near, far = (derivative([pick(one) for one in some], step) for some in (moved, solved))
        assert near == pytest.approx(far, abs=1e-7 * scale)
    actions = np.array([2e4, 3e6, -1e6, 0, 2e4, 2e5, 0, 1e7])
    mises = COMPONENTS["von Mises"]
    search = Search.over(units)
    spots = search.peaks(actions, mises, 1, 0.05)
    assert spots[0].value == pytest.approx(search.extreme(actions, mises, 1).value, rel=1e-6)
    assert not spot_refused(search, spots[0].at, actions, mises)
    at_spot = [float(stress_at(one, spots[0], actions, mises)) for one in moved]
    rate = float(derivative(at_spot, step))
    largest = [Search.over(one).extreme(actions, mises, 1).value for one in solved]
    found = float(derivative(largest, step))
    assert rate == pytest.approx(found, abs=3e-4 * spots[0].value / value)


@pytest.mark.parametrize("seed", [119, 146, 179])
def test_doubts_of_the_derivatives_hold_the_error(seed: int) -> None:
    """Stars whose derivatives were off by more than the fields or orders lie apart: 179's shear
    centre by 1.8 times it, 119's J by five times."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(5, 12))
    angle = 2 * np.pi * (np.arange(n) + rng.uniform(-0.3, 0.3, n)) / n
    radius = rng.uniform(0.3, 1, n)
    which = int(rng.integers(n))

    def made(v: float) -> Section:
        own = np.where(np.arange(n) == which, v, radius)
        points = own[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        return Section.single(Contour(points))

    value = float(radius[which])
    rate, fine = (_rate(made, value, a) for a in (1e-5, 1e-8))
    for name in ("torsion_constant", "warping_constant", "shear_centre_x", "shear_centre_y"):
        error = abs(rate.rates[name] - fine.rates[name])
        assert error <= rate.doubts[name] + fine.doubts[name], name
    assert rate.doubts["warping_constant"] < 1e-3 * abs(rate.rates["warping_constant"])
