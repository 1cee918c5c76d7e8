"""Moved, turned, scaled and mirrored sections: every property follows by its own law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import l_shape, u_shape, z_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.section import SectionResult, solve_section

EXAMPLES = settings(max_examples=8, deadline=None)
ACCURACY = 1e-6


def box_with_wing() -> Section:
    """No symmetry, one cell, arcs and a free plate."""
    outline = Contour(
        [(0, 0), (3, 0), (3, 1.6), (2.6, 2), (0.2, 2), (0.2, 3.4), (0, 3.4)],
        [0, 0, np.tan(np.pi / 8), 0, 0, 0, 0],
    )
    hole = Contour([(0.25, 0.2), (2.7, 0.25), (2.6, 1.7), (0.3, 1.8)])
    return Section.single(outline, [hole])


SECTIONS = {
    "angle": l_shape(depth=10, width=7, thickness=1, fillet_radius=1.2, edge_radius=0.5).section(),
    "channel": u_shape(
        depth=10, flange_width=4, web_thickness=0.7, flange_thickness=1, fillet_radius=0.6
    ).section(),
    "zed": z_shape(
        depth=10, flange_width=4, web_thickness=0.7, flange_thickness=1, fillet_radius=0.6
    ).section(),
    "box with wing": box_with_wing(),
}
RESULTS = {name: solve_section(section, ACCURACY) for name, section in SECTIONS.items()}

angles = st.floats(0, 2 * np.pi)
shifts = st.floats(-1e3, 1e3)
factors = st.floats(-4, 4).map(lambda e: 10**e)


def inertia(r: SectionResult) -> np.ndarray:
    """Tensor int x x^T dA."""
    m = r.second_moments
    return np.array([[m.y, m.xy], [m.xy, m.x]])


def compare(name: str, placement: Placement) -> None:
    before = RESULTS[name]
    after = solve_section(SECTIONS[name].placed(placement), ACCURACY)
    matrix = placement.matrix
    s = float(np.sqrt(abs(np.linalg.det(matrix))))
    size = s * SECTIONS[name].size()
    # J: two intervals that hold the same value
    assert after.torsion_constant_lower <= s**4 * before.torsion_constant_upper
    assert s**4 * before.torsion_constant_lower <= after.torsion_constant_upper
    # exact integrals
    assert after.area == pytest.approx(s**2 * before.area, rel=1e-9)
    assert after.perimeter == pytest.approx(s * before.perimeter, rel=1e-9)
    turned = matrix @ inertia(before) @ matrix.T * s**2
    np.testing.assert_allclose(inertia(after), turned, atol=1e-8 * np.trace(turned))
    np.testing.assert_allclose(
        after.centroid, placement.apply(before.centroid[None])[0], atol=1e-8 * size
    )
    for one in ("major", "minor"):
        assert getattr(after.second_moments, one) == pytest.approx(
            s**4 * getattr(before.second_moments, one), rel=1e-8
        )
        assert getattr(after.elastic_moduli, one) == pytest.approx(
            s**3 * getattr(before.elastic_moduli, one), rel=1e-8
        )
    # what rests on the warping function
    tolerance = 20 * ACCURACY
    np.testing.assert_allclose(
        after.shear_centre,
        placement.apply(before.shear_centre[None])[0],
        atol=tolerance * size,
    )
    assert after.warping_constant == pytest.approx(s**6 * before.warping_constant, rel=tolerance)
    assert after.polar_radius == pytest.approx(s * before.polar_radius, rel=tolerance)
    # (beta_y, beta_x) is a vector of length
    np.testing.assert_allclose(
        after.monosymmetry[::-1], matrix @ before.monosymmetry[::-1], atol=tolerance * size
    )
    # what rests on |tau| or on facets of arcs
    assert after.mean_lever_arm == pytest.approx(s * before.mean_lever_arm, rel=1e-4)
    assert after.plastic_torque.value == pytest.approx(s**3 * before.plastic_torque.value, rel=1e-4)
    for cell, other in zip(before.cells, after.cells, strict=True):
        assert other.shear_flow_per_torque == pytest.approx(
            cell.shear_flow_per_torque / s**2, rel=tolerance
        )
    if before.torsion_modulus.value is not None:
        assert after.torsion_modulus.value == pytest.approx(
            s**3 * before.torsion_modulus.value, rel=2e-3
        )
    assert len(after.corners) == len(before.corners)


@pytest.mark.parametrize("name", SECTIONS)
@EXAMPLES
@given(turn=angles, dx=shifts, dy=shifts)
def test_moved_and_turned(name: str, turn: float, dx: float, dy: float) -> None:
    compare(name, Placement.rotate(turn).then(Placement.move(dx, dy)))


@pytest.mark.parametrize("name", SECTIONS)
@EXAMPLES
@given(factor=factors, turn=angles)
def test_scaled(name: str, factor: float, turn: float) -> None:
    compare(name, Placement.rotate(turn).then(Placement.scale(factor)))


@pytest.mark.parametrize("name", SECTIONS)
@EXAMPLES
@given(turn=angles, dx=st.floats(-50, 50))
def test_mirrored(name: str, turn: float, dx: float) -> None:
    compare(name, Placement.mirror((dx, 1.0), (np.cos(turn), np.sin(turn))))


def test_the_angle_turns_x_onto_the_major_axis() -> None:
    result = RESULTS["zed"]
    m = result.second_moments
    turned = SECTIONS["zed"].placed(Placement.rotate(-m.angle))
    straight = solve_section(turned).second_moments
    assert straight.x == pytest.approx(m.major, rel=1e-9)
    assert straight.xy == pytest.approx(0, abs=1e-9 * m.major)
    assert -np.pi / 2 < m.angle <= np.pi / 2


def test_signs_of_the_warping() -> None:
    """u_z = theta' omega, positive torque turning x toward y: a channel open to the right warps so
    that the tip of the top flange and the bottom one move apart, and C_w is int omega^2."""
    result = RESULTS["channel"]
    field, mesh = result.field, result.field.mesh
    pole = result.shear_centre - field.origin
    at = mesh.vertices - field.origin
    # vertex values are the first three coefficients of each triangle
    omega = np.zeros(len(at))
    omega[mesh.triangles] = field.omega[:, :3]
    about = omega - pole[1] * at[:, 0] + pole[0] * at[:, 1] + result.warping_properties.constant
    x0, y0, x1, y1 = SECTIONS["channel"].bounds()
    top = np.argmin(np.hypot(*(mesh.vertices - [x1, y1]).T))
    bottom = np.argmin(np.hypot(*(mesh.vertices - [x1, y0]).T))
    web = np.argmin(np.hypot(*(mesh.vertices - [x0, y1]).T))
    assert about[top] == pytest.approx(-about[bottom], rel=1e-3)
    # thin walls: omega = -int r ds with r the arm about the shear centre, which lies to the left of
    # the web; along the top flange (y = h/2) d omega / dx = y
    assert about[top] - about[web] > 0
    assert about[top] > 0
