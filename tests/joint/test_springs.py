"""Springs of joints against closed forms and independent series."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.solver.joint import component_stiffness as component
from soapfilm.solver.joint import plate_spring


def test_a_fin_bends_as_a_cantilever() -> None:
    """Tip rotation of a cantilever under an end moment: M a / (E I)."""
    found = plate_spring.in_plane_bending(210e3, 10.0, 220.0, 60.0)
    assert found == pytest.approx(210e3 * (10 * 220**3 / 12) / 60)


def test_a_fin_twists_as_a_strip() -> None:
    """J of a 10 to 1 rectangle is 0.3123 b t^3 (Timoshenko and Goodier, table of rectangles)."""
    found = plate_spring.twisting(1.0, 1.0, 10.0, 1.0)
    assert found == pytest.approx(3.123, rel=1e-3)
    assert plate_spring.twisting(1.0, 10.0, 1.0, 1.0) == found


def test_the_wall_of_a_tube_against_navier() -> None:
    """The same line load on a simply supported plate twelve widths long, by the double series of
    Navier for q = 12 M y / h^3 on the line z = 0."""
    modulus, nu, t, b, h = 210e3, 0.3, 8.0, 200.0, 140.0
    length, terms = 12 * b, 60
    rigidity = modulus * t**3 / (12 * (1 - nu**2))
    n = np.arange(1, terms + 1)[:, None] * math.pi / b
    m = np.arange(1, 40 * terms)[None, :] * math.pi / length
    half = h / 2
    # Projection of the load on sin(n s), s = y + b/2, by quadrature instead of its integral.
    y, w = np.polynomial.legendre.leggauss(400)
    y, w = half * y, half * w
    load = (12 * y / h**3 * w) @ np.sin(n[:, 0][None, :] * (y[:, None] + b / 2))
    middle = np.sin(m * length / 2)
    turn = (4 / (b * length) * (load[:, None] * middle) ** 2 / (n**2 + m**2) ** 2).sum() / rigidity
    assert plate_spring.wall_turning(modulus, nu, t, b, h) == pytest.approx(1 / turn, rel=1e-3)


def test_a_thicker_wall_is_stiffer_by_its_cube() -> None:
    thin, thick = (plate_spring.wall_turning(210e3, 0.3, t, 200, 140) for t in (5.0, 10.0))
    assert thick / thin == pytest.approx(8.0)


def test_a_diaphragm_shears() -> None:
    """Shear angle of a panel: T / (2 A) / (G t) from either side, T / (G t A) between its sides."""
    assert plate_spring.diaphragm_shear(80e3, 6, 200, 300) == pytest.approx(80e3 * 6 * 200 * 300)


def test_springs_in_series() -> None:
    assert component.in_series([2.0, 2.0]) == 1.0
    assert component.in_series([]) == math.inf
    assert component.in_series([3.0, 0.0]) == 0.0


def test_bearing_is_limited() -> None:
    """k_b at most 1.25 and k_t at most 2.5 (EN 1993-1-8 Table 6.11, from memory)."""
    wide = component.bolt_bearing(20, 100, 430, 210e3, 1000, None)
    assert wide == pytest.approx(12 * 1.25 * 2.5 * 20 * 430 / 210e3)
    close = component.bolt_bearing(20, 8, 430, 210e3, 40, 50)
    assert close == pytest.approx(12 * 1.0 * 0.75 * 20 * 430 / 210e3)


def test_the_length_of_a_tee() -> None:
    assert component.tee_length(30, 40, math.inf) == pytest.approx(4 * 30 + 1.25 * 40)
    assert component.tee_length(10, 100, math.inf) == pytest.approx(2 * math.pi * 10)
    assert component.tee_length(30, 40, 70.0) == 70.0
