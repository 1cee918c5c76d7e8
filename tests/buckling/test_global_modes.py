"""Long half-waves beside the beam theory of columns and beams between forks, with the section's own
constants. Shear and distortion, which beams leave out, lower the factors the more the shorter."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.open import l_shape, u_shape
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.geometry.profiles.symmetric import asymmetric_i_shape, i_shape
from soapfilm.solver.section.buckling.prepared import Prepared, prepared
from soapfilm.solver.section.buckling.solution import buckling_of
from soapfilm.solver.section.result import SectionResult
from soapfilm.solver.section.solve import solve_section
from soapfilm.solver.section.stress.actions import Actions

from benchmarks.checks.section_buckling import cross_in_compression

STEEL = Material("steel", 210e3, 0.3)
SQUEEZE = Actions(axial_force=-1.0)


def factors(ready: Prepared, actions: Actions, length: float, wanted: int = 4) -> np.ndarray:
    return ready.pencil(ready.actions_of(actions)).lowest(np.pi / length, wanted)[0]


def test_euler_about_both_axes() -> None:
    """pi^2 EI / L^2 over 1 + P / (5/6 G A) (Engesser)."""
    ready = prepared(rectangle(x_dim=40, y_dim=60).section(material=STEEL))
    found = buckling_of(ready, SQUEEZE, 500.0, 2000.0)
    assert [m.movement.words for m in found.longest] == ["flexural about y", "flexural about x"]
    assert found.minima == ()
    for mode, inertia in zip(found.longest, (60 * 40**3 / 12, 40 * 60**3 / 12), strict=True):
        euler = np.pi**2 * 210e3 * inertia / 2000**2
        exact = euler / (1 + euler / (5 / 6 * STEEL.shear * 2400))
        assert mode.factor == pytest.approx(exact, rel=1e-3)


def test_a_cruciform_turns() -> None:
    """No bending of the legs on a long member; its stress is a check of the book."""
    assert cross_in_compression().longest[0].movement.kind == "torsional"


def flexural_torsional(r: SectionResult, length: float) -> float:
    """(P - P_x)(P - P_t) = P^2 x_0^2 / i_0^2 of a section symmetric about x (Timoshenko & Gere,
    5.6)."""
    m, e, g = r.second_moments, r.reference.elastic_modulus, r.reference.shear
    x0 = r.shear_centre[0] - r.centroid[0]
    polar = (m.x + m.y) / r.area + x0**2
    p_x = np.pi**2 * e * m.x / length**2
    p_t = (g * r.torsion_constant + np.pi**2 * e * r.warping_constant / length**2) / polar
    share = 1 - x0**2 / polar
    root = np.sqrt((p_x + p_t) ** 2 - 4 * share * p_x * p_t)
    return float((p_x + p_t - root) / (2 * share))


def test_a_channel_twists_and_bends() -> None:
    """Channel 100 x 100 x 2 in aluminium (geometry: Megson, Aircraft Structures, 3rd ed., example
    6.2, whose warping constant is not that of the section): 88.4 kN at 1 m by beam theory, which
    walls of 1/50 do not reach: they bend first. At 5 m beam theory holds."""
    light = Material("aluminium", 70e3, 1 / 6, shear_modulus=30e3)
    channel = u_shape(depth=102, flange_width=101, web_thickness=2, flange_thickness=2)
    section = channel.section(material=light)
    result, ready = solve_section(section, 1e-4), prepared(section)
    assert flexural_torsional(result, 1000) == pytest.approx(88398, rel=3e-3)
    assert factors(ready, SQUEEZE, 1000)[0] < 0.8 * 88398
    found = factors(ready, SQUEEZE, 5000)
    assert found[0] == pytest.approx(flexural_torsional(result, 5000), rel=2e-3)
    stocky = u_shape(depth=104, flange_width=42, web_thickness=4, flange_thickness=4)
    named = buckling_of(prepared(stocky.section(material=STEEL)), SQUEEZE, 1500.0, 3000.0).longest
    assert [m.movement.words for m in named[:2]] == ["flexural about y", "flexural-torsional"]
    weak = np.pi**2 * 70e3 * result.second_moments.y / 5000**2
    assert found[1] == pytest.approx(weak, rel=3e-3)


def critical_moment(r: SectionResult, length: float, sign: int) -> float:
    """pi^2 E I_y / L^2 (b/2 + sqrt((b/2)^2 + C_w / I_y + L^2 G J / (pi^2 E I_y))), b the
    monosymmetry parameter; `sign` of the moment (Timoshenko & Gere, ch. 6; Trahair 1993)."""
    e, g, y = r.reference.elastic_modulus, r.reference.shear, r.second_moments.y
    half = sign * r.monosymmetry[0] / 2
    euler = np.pi**2 * e * y / length**2
    root = np.sqrt(half**2 + r.warping_constant / y + g * r.torsion_constant / euler)
    return float(euler * (half + root))


@pytest.mark.parametrize("sign", [1, -1])
def test_lateral_torsional_buckling(sign: int) -> None:
    """Doubly symmetric (rolled, with fillets) and monosymmetric: M_x > 0 compresses the bottom."""
    rolled = i_shape(
        overall_depth=300, overall_width=150, flange_thickness=10.7, web_thickness=7.1,
        fillet_radius=15,
    )  # fmt: skip
    lopsided = asymmetric_i_shape(
        overall_depth=400, bottom_flange_width=100, bottom_flange_thickness=10,
        top_flange_width=200, top_flange_thickness=12, web_thickness=8,
    )  # fmt: skip
    for profile, length in ((rolled, 10_000.0), (lopsided, 10_000.0)):
        section = profile.section(material=STEEL)
        result, ready = solve_section(section, 1e-4), prepared(section)
        actions = Actions(moment_x=float(sign))
        found = factors(ready, actions, length, 2)[0]
        assert found == pytest.approx(critical_moment(result, length, sign), rel=5e-3)
    found = buckling_of(ready, actions, 2000.0, 10_000.0)
    assert found.longest[0].movement.kind == "lateral-torsional"


def test_an_unsymmetric_column() -> None:
    """(P - P_x)(P - P_y)(P - P_t) i_0^2 - P^2 y_0^2 (P - P_x) - P^2 x_0^2 (P - P_y) = 0 in
    principal axes (Timoshenko & Gere, 5.6): an angle of unequal legs."""
    section = l_shape(depth=120, width=80, thickness=8).section(material=STEEL)
    r, length = solve_section(section, 1e-4), 3000.0
    m = r.second_moments
    c, s = np.cos(m.angle), np.sin(m.angle)
    shift = r.shear_centre - r.centroid
    x0, y0 = np.array([[c, s], [-s, c]]) @ shift
    squared = (m.x + m.y) / r.area + x0**2 + y0**2
    p_x, p_y = (np.pi**2 * 210e3 * i / length**2 for i in (m.major, m.minor))
    p_t = STEEL.shear * r.torsion_constant + np.pi**2 * 210e3 * r.warping_constant / length**2
    p_t /= squared

    def line(root: float) -> np.poly1d:
        return np.poly1d([1.0, -root])

    square = np.poly1d([1.0, 0.0, 0.0])
    cubic = line(p_x) * line(p_y) * line(p_t) * squared
    cubic = cubic - square * line(p_x) * y0**2 - square * line(p_y) * x0**2
    exact = np.sort(cubic.roots.real)
    found = factors(prepared(section), SQUEEZE, length)
    assert found[:2] == pytest.approx(exact[:2], rel=1e-2)  # legs bend and shear a little
