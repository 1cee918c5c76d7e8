"""Second-order energy of a state of stress: critical loads and invariance."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.solver.section.deforming.initial import initial_stress
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section
from soapfilm.solver.section.solve import solve_section

STEEL = Material("steel", 210e3, 0.3)


def compressed(r: ReducedSection) -> tuple[np.ndarray, np.ndarray]:
    """a and a' of a unit compressive force without lateral restraint."""
    rate = -r.rigid[:, 2]
    a = -np.linalg.lstsq(r.C, r.L.T @ rate, rcond=1e-11)[0]
    force = -(r.resultant_rows()[0] @ a + r.resultant_rows()[1] @ rate)[0]
    return a / force, rate / force


def least_load(r: ReducedSection, length: float) -> float:
    """Least factor of a unit compression at which a half wave of the length is in equilibrium: in-
    plane functions as sine, axial ones as cosine (both ends held in the plane)."""
    g = initial_stress(r, *compressed(r))
    k = np.pi / length
    sine, cosine = np.flatnonzero(r.planar), np.flatnonzero(~r.planar)
    skew = r.L - r.L.T

    def wave(c: np.ndarray, m: np.ndarray, mixed: np.ndarray) -> np.ndarray:
        out = c + k * k * m
        out[np.ix_(sine, cosine)] += k * mixed[np.ix_(sine, cosine)]
        out[np.ix_(cosine, sine)] -= k * mixed[np.ix_(cosine, sine)]
        return out

    stiff, geometric = wave(r.C, r.M, skew), wave(g.C, g.M, g.L - g.L.T)
    largest = eigh(-geometric, stiff, eigvals_only=True)[-1]
    return float(1 / largest)


def test_euler_load_of_a_bar() -> None:
    """P = P_E / (1 + P_E / (kappa G A)) about Engesser's, within the half per cent that shear and
    the definition of strain leave open (Timoshenko & Gere, Theory of Elastic Stability, 2.17)."""
    section = rectangle(x_dim=40, y_dim=60).section(material=STEEL)
    r = reduced_section(section, modes=2)
    length = 1200.0
    euler = np.pi**2 * 210e3 * 60 * 40**3 / 12 / length**2
    shear = 5 / 6 * STEEL.shear * 2400
    assert least_load(r, length) == pytest.approx(euler / (1 + euler / shear), rel=1e-3)


def test_local_buckling_of_a_flange_plate() -> None:
    """An I with a web far stronger than its flanges: half a flange is a plate held along an edge,
    k between 0.425 (hinged) and 1.28 (clamped; Timoshenko & Gere, table 9.3, nu = 0.25 there)."""
    section = i_shape(
        overall_depth=200, overall_width=206, flange_thickness=4, web_thickness=6
    ).section(material=STEEL)
    r = reduced_section(section, modes=16)
    unit = np.pi**2 * 210e3 / (12 * (1 - 0.3**2)) * (4 / 100) ** 2
    area = solve_section(section, 1e-3).area_properties.area
    stress = min(least_load(r, length) for length in (120.0, 160.0, 220.0, 300.0)) / area
    assert 0.425 < stress / unit < 1.28


def test_a_rotated_stress_does_no_work() -> None:
    """Rigid motion of a stressed piece: forces follow, so a rotation by theta about z takes
    1/2 theta^2 times int of the in-plane stresses' trace, zero where the stress is axial alone."""
    r = reduced_section(rectangle(x_dim=40, y_dim=60).section(material=STEEL), modes=2)
    g = initial_stress(r, *compressed(r))
    for motion in (0, 1, 2, 5):
        a = r.rigid[:, motion]
        assert abs(a @ g.C @ a) < 1e-9 * np.abs(g.M).max() * np.abs(a).max() ** 2
