"""Welded girders, Wagner's constant, formulas for J of T and L."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.profiles.by_name import l_shape, t_shape
from soapfilm.solver.section import solve_section

from benchmarks.checks.girders import WRF, girder


@pytest.mark.parametrize("name", WRF)
def test_welded_girders(name: str, checks: dict, spread) -> None:
    """Signs, and the spreads of what `benchmarks.checks.girders` bounds."""
    result = girder(name)
    found = {
        "J": result.torsion_constant / 1e12,
        "Cw": result.warping_constant / 1e18,
        "Yo": abs(float(result.shear_centre[1] - result.centroid[1])),
        "betax": abs(float(result.monosymmetry[0])),
    }
    for key, value in found.items():
        spread("welded girders", key, value / checks[f"{name}_{key}"]["value"] - 1)
    # the shear centre lies toward the wide flange, at the bottom
    assert result.shear_centre[1] < result.centroid[1]
    assert result.monosymmetry[0] > 0


def test_wagner_constant_of_a_girder_with_its_larger_flange_on_top() -> None:
    """beta_x negative with y up; y_0, C_w, I_x, I_y of the plates' middle lines (derived)."""
    result = girder("betax_example")
    assert result.shear_centre[1] - result.centroid[1] == pytest.approx(133.725, rel=5e-3)
    assert result.warping_constant == pytest.approx(1.152e12, rel=5e-3)
    assert result.second_moments.x == pytest.approx(5.616957e8, rel=1e-6)
    assert result.second_moments.y == pytest.approx(5.0663333e7, rel=1e-6)
    assert result.monosymmetry[0] < 0
    assert result.monosymmetry[1] == pytest.approx(0, abs=1e-3)


def plates(span: float, b: float, stem: float, d: float) -> float:
    """sum a t^3/3 less what free ends lack, 0.105 t^4 each: two of the flange, one of the stem."""
    return span * b**3 / 3 - 0.21 * b**4 + stem * d**3 / 3 - 0.105 * d**4


@pytest.mark.parametrize("r", [4.0, 8.0, 12.0])
@pytest.mark.parametrize("d", [10.0, 8.0, 6.0])
def test_tee_by_a_fitted_formula(d: float, r: float, spread) -> None:
    """El Darwish & Johnston, J. Struct. Div. ASCE 91(ST1) 1965 (from memory): plates + alpha D^4,

    alpha = -0.042 + 0.2204 d/b + 0.1355 r/b - 0.0865 d r/b^2 - 0.0725 d^2/b^2,
    D = ((b + r)^2 + d (r + d/4))/(2r + b) of the inscribed circle; flange b, stem d.
    Handbook alpha = d/b (0.15 + 0.10 r/b) is 10 % high for large fillets and is not used.
    """
    span, depth, b = 160.0, 130.0, 10.0
    tee = t_shape(
        depth=depth, flange_width=span, web_thickness=d, flange_thickness=b, fillet_radius=r
    )
    circle = ((b + r) ** 2 + d * (r + d / 4)) / (2 * r + b)
    alpha = -0.042 + 0.2204 * d / b + 0.1355 * r / b - 0.0865 * d * r / b**2 - 0.0725 * (d / b) ** 2
    fitted = plates(span, b, depth - b, d) + alpha * circle**4
    found = solve_section(tee.section()).torsion_constant
    spread("fitted formula, T", "J", found / fitted - 1)
    assert found == pytest.approx(fitted, rel=0.01)


@pytest.mark.parametrize("r", [0.0, 4.0, 8.0, 12.0])
def test_angle_by_the_handbook(r: float, checks: dict, spread) -> None:
    """Roark's case 24 (checks, "roark_L_J", 5 %) for equal thickness: alpha = 0.07 + 0.076 r/b,
    D = 2 (2b + 3r - sqrt(2) (2r + b))."""
    assert checks["roark_L_J"]["tolerance"] == "5%"
    span, depth, b = 160.0, 130.0, 10.0
    angle = l_shape(depth=depth, width=span, thickness=b, fillet_radius=r)
    circle = 2 * (2 * b + 3 * r - np.sqrt(2) * (2 * r + b))
    # one end of each leg is free
    arms = (span + depth - b) * b**3 / 3 - 0.21 * b**4
    handbook = arms + (0.07 + 0.076 * r / b) * circle**4
    found = solve_section(angle.section()).torsion_constant
    spread("handbook, L", "J", found / handbook - 1)
    assert found == pytest.approx(handbook, rel=0.05)
