"""Why closed sections resist torsion: their stress has a long lever arm.

The mean lever arm is T / int |tau| dA (definition); of open walls less than their thickness, of
tubes about the radius. Thin-wall values derived from it and from Bredt's formulas.
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.profiles.by_name import (
    circle,
    circle_hollow,
    i_shape,
    l_shape,
    rectangle,
    rectangle_hollow,
)
from soapfilm.solver.section import SectionResult, solve_section
from soapfilm.solver.section.elements.integrals import rule_stations
from soapfilm.solver.section.torsion import lever_arm as lever_arm_module
from soapfilm.solver.section.torsion.lever_arm import line_integrals, mean_lever_arm


def lever_arm(profile) -> SectionResult:
    return solve_section(profile.section())


def off(result: SectionResult, expected: float) -> float:
    return abs(result.mean_lever_arm / expected - 1)


def test_line_integrals_of_vanishing_vectors() -> None:
    """int_0^1 |s - c| ds = (c^2 + (1 - c)^2)/2, whatever the direction."""
    x = (np.polynomial.legendre.leggauss(8)[0] + 1) / 2
    c = np.linspace(0, 1, 41)
    line = x[:, None] - c
    values, split = line_integrals(np.stack([0.6 * line, -0.8 * line]))
    np.testing.assert_allclose(values, (c**2 + (1 - c) ** 2) / 2, rtol=1e-12)
    assert split.all()
    values, split = line_integrals(np.stack([line + 3, 0 * line]))
    np.testing.assert_allclose(values, 3.5 - c, rtol=1e-12)
    assert not split.any()


def test_round_bar_and_tube() -> None:
    """3 R/4, and 3 (R^4 - r^4)/(4 (R^3 - r^3)) (derived: tau = G theta r)."""
    assert off(lever_arm(circle(radius=2)), 1.5) < 1e-6
    tube = 3 * (2**4 - 1.6**4) / (4 * (2**3 - 1.6**3))
    assert off(lever_arm(circle_hollow(radius=2, wall_thickness=0.4)), tube) < 1e-7


@pytest.mark.parametrize("a", [1.0, 3.0, 12.0])
def test_rectangle_by_its_series(a: float) -> None:
    """Prandtl's series for 1 x a, its gradient summed over a fine grid of midpoints."""
    n = np.arange(1.0, 200.0, 2.0)[:, None]
    sign = (-1) ** ((n - 1) / 2)
    x = (np.arange(600) + 0.5) / 600 * a - a / 2
    y = (np.arange(601) + 0.5) / 601 - 0.5
    # phi = 8/pi^3 sum sign/n^3 (1 - cosh(n pi x)/cosh(n pi a/2)) cos(n pi y), scaled
    decay = np.exp(-n * np.pi * (a / 2 - np.abs(x)))
    grow = 1 + np.exp(-n * np.pi * a)
    cosh = decay * (1 + np.exp(-2 * n * np.pi * np.abs(x))) / grow
    sinh = np.sign(x) * decay * (1 - np.exp(-2 * n * np.pi * np.abs(x))) / grow
    weight = 8 / np.pi**3 * sign / n**3
    phi_x = -np.einsum("nx,ny->xy", weight * n * np.pi * sinh, np.cos(n * np.pi * y))
    phi_y = -np.einsum("nx,ny->xy", weight * n * np.pi * (1 - cosh), np.sin(n * np.pi * y))
    cell = a / 600 / 601
    result = lever_arm(rectangle(x_dim=a, y_dim=1))
    expected = result.torsion_constant / (np.hypot(phi_x, phi_y).sum() * cell)
    assert off(result, expected) < 1e-4  # of the series' truncation and the grid


@pytest.mark.parametrize("radius", [0.0, 5.0])
def test_few_large_triangles_are_summed_along_many_lines(
    radius: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The kink ends inside of triangles; eight lines each were 1.6e-4 off and claimed 3e-5."""
    shape = l_shape(depth=203, width=203, thickness=25.4, fillet_radius=radius)
    result = solve_section(shape.section(), 1e-4)
    assert len(result.field.mesh.triangles) < 150
    monkeypatch.setattr(lever_arm_module, "_MOST_LINES", 48)
    monkeypatch.setattr(lever_arm_module, "_LINES", 10**6)
    fine, _ = mean_lever_arm(result.field)
    assert off(result, fine) < result.mean_lever_arm_change
    assert result.mean_lever_arm_change < 1e-4


def test_strip_tends_to_two_thirds_of_its_thickness() -> None:
    errors = [off(lever_arm(rectangle(x_dim=1, y_dim=t)), 2 * t / 3) for t in (0.1, 0.05, 0.025)]
    # the ends are a part t/b of the strip
    np.testing.assert_allclose(np.divide(errors[1:], errors[:-1]), 0.5, rtol=0.05)


def test_round_tube_tends_to_its_radius() -> None:
    walls = np.array([0.2, 0.1, 0.05])
    errors = [off(lever_arm(circle_hollow(radius=1 + t / 2, wall_thickness=t)), 1.0) for t in walls]
    # (1 + t^2/4)/(1 + t^2/12) to the middle of the wall: exact, 1 + t^2/6 nearly
    np.testing.assert_allclose(errors, (1 + walls**2 / 4) / (1 + walls**2 / 12) - 1, rtol=1e-3)


@pytest.mark.parametrize("flange", [8.0, 12.0, 20.0])
def test_i_shape_has_less_than_its_flanges_thickness(flange: float) -> None:
    shape = i_shape(
        overall_width=150,
        overall_depth=300,
        web_thickness=0.6 * flange,
        flange_thickness=flange,
        fillet_radius=10,
    )
    assert 0.5 * flange < lever_arm(shape).mean_lever_arm < flange


def test_both_components_of_stress_carry_half_of_the_torque() -> None:
    """Even of a thin strip: -int y tau_x = int x tau_y = int phi, by parts, for phi = 0 all around.
    The short ends make up with their arm for what they lack in length."""
    result = solve_section(rectangle(x_dim=20, y_dim=1).section())
    field = result.field
    stations = rule_stations(field.mesh, field.order, field.order + 2)
    tau, r = field.stress_from_phi(stations), stations.points
    moments = [
        float(np.sum(part * stations.weights))
        for part in (-r[..., 1] * tau[..., 0], r[..., 0] * tau[..., 1])
    ]
    np.testing.assert_allclose(moments, result.torsion_constant / 2, rtol=1e-4)


def test_equal_area_and_wall_round_over_square(checks: dict) -> None:
    """J: 16/pi^2; shear flow per torque, so strength: 4/pi, as the wall gets thin (Bredt)."""
    stiffness, strength, plastic = [], [], []
    for t in (0.08, 0.04, 0.02):
        side = np.pi / 2  # same length of the wall's middle line
        one = lever_arm(circle_hollow(radius=1 + t / 2, wall_thickness=t))
        other = lever_arm(rectangle_hollow(x_dim=side + t, y_dim=side + t, wall_thickness=t))
        assert one.area == pytest.approx(other.area, rel=1e-12)
        stiffness.append(one.torsion_constant / other.torsion_constant)
        flows = [r.cells[0].shear_flow_per_torque for r in (one, other)]
        strength.append(flows[1] / flows[0])
        plastic.append(one.plastic_torque.value / other.plastic_torque.value)
    for found, key in ((stiffness, "J"), (strength, "Wt"), (plastic, "Wt")):
        errors = np.abs(np.divide(found, checks[f"bredt_ratio_{key}"]["value"]) - 1)
        assert errors[2] < 0.03
        assert (errors[1:] < 0.7 * errors[:-1]).all()


def test_tube_over_slab_over_i_of_the_same_area() -> None:
    """Common practice in figures: same area, box far stiffer than slab, slab stiffer than I."""
    area = 150 * 10 * 2 + 280 * 10
    tube = lever_arm(rectangle_hollow(x_dim=155, y_dim=155, wall_thickness=10))
    slab = lever_arm(rectangle(x_dim=290, y_dim=20))
    i = lever_arm(
        i_shape(overall_width=150, overall_depth=300, web_thickness=10, flange_thickness=10)
    )
    for result in (tube, slab, i):
        assert result.area == pytest.approx(area, rel=1e-9)
    constants = [r.torsion_constant for r in (tube, slab, i)]
    arms = [r.mean_lever_arm for r in (tube, slab, i)]
    assert constants[0] > 25 * constants[1]
    assert constants[1] > 3 * constants[2]
    assert arms[0] > 5 * arms[1] > 5 * arms[2]
