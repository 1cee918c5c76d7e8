"""Buckling coefficients of long plates whose edges are supported along the member.

k sigma_E with sigma_E = pi^2 E / (12 (1 - nu^2)) (t/b)^2, b/t = 100, from 3D elasticity; values of
Kirchhoff are those of thin plates, which shear and free edges lower by some tenths of a per cent
here. A hinged edge is held across the plate and along the member over its thickness (so w = 0 all
along it), a clamped one wholly. Published values (Timoshenko & Gere, Theory of Elastic Stability,
1961, ch. 9; EN 1993-1-5 tables 4.1 and 4.2; Southwell & Skan 1924 for shear) are from memory; those
of more digits are derived, of Kirchhoff's strip.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle
from soapfilm.solver.section.buckling.pencil import WavePencil
from soapfilm.solver.section.buckling.prepared import Prepared, prepared
from soapfilm.solver.section.buckling.prestress import StressAt, prestress
from soapfilm.solver.section.deforming.elasticity.fields import Spots

WIDTH, THICK = 100.0, 1.0
EULER = np.pi**2 * 210e3 / (12 * (1 - 0.3**2)) * (THICK / WIDTH) ** 2
HINGED, CLAMPED, FREE = (1, 2), (0, 1, 2), ()
Edges = tuple[tuple[int, ...], tuple[int, ...]]


@pytest.fixture(scope="module")
def plate() -> Prepared:
    steel = Material("steel", 210e3, 0.3)
    return prepared(rectangle(x_dim=WIDTH, y_dim=THICK).section(material=steel))


def linear(left: float, right: float) -> StressAt:
    """Compression that varies from edge to edge."""
    return lambda spots: (-(left + (right - left) * (spots.points[..., 0] / WIDTH + 0.5)), None)


def shear(spots: Spots) -> tuple[np.ndarray, np.ndarray]:
    tau = np.zeros((*spots.points.shape[:2], 2))
    tau[..., 0] = 1.0
    return np.zeros(spots.points.shape[:2]), tau


def supported(plate: Prepared, stress: StressAt, edges: Edges) -> WavePencil:
    mesh, inner = plate.fields.mesh, plate.fields.order - 1
    held = np.zeros((len(mesh.vertices) + inner * len(mesh.edges), 3), dtype=bool)
    for x, components in zip((-WIDTH / 2, WIDTH / 2), edges, strict=True):
        ends = np.abs(mesh.vertices[:, 0] - x) < 1e-9
        both = np.concatenate([ends, np.repeat(ends[mesh.edges].all(axis=1), inner)])
        held[np.ix_(both, components)] = True
    return WavePencil(plate.matrices, prestress(plate.fields, stress), held)


def coefficient(pencil: WavePencil, length: float, wanted: int = 2) -> np.ndarray:
    """k of the lowest modes at a half-wavelength in widths."""
    return pencil.lowest(np.pi / (length * WIDTH), wanted)[0] / EULER


PLATES = {
    "hinged, uniform": (linear(1, 1), (HINGED, HINGED), 1.0, 4.0),
    "clamped and hinged, uniform": (linear(1, 1), (CLAMPED, HINGED), 0.795, 5.4097),
    "clamped, uniform": (linear(1, 1), (CLAMPED, CLAMPED), 0.661, 6.9709),
    "clamped and free, uniform": (linear(1, 1), (CLAMPED, FREE), 1.638, 1.28035),
    "hinged, bending": (linear(1, -1), (HINGED, HINGED), 0.672, 23.8806),
    "hinged, triangular": (linear(1, 0), (HINGED, HINGED), 0.983, 7.8098),
    "hinged, psi = 0.5": (linear(1, 0.5), (HINGED, HINGED), 0.998, 5.31874),
    "hinged, psi = -0.5": (linear(1, -0.5), (HINGED, HINGED), 0.895, 13.3764),
    "clamped, bending": (linear(1, -1), (CLAMPED, CLAMPED), 0.473, 39.5602),
    "hinged, shear": (shear, (HINGED, HINGED), 1.2518, 5.33632),
    "clamped, shear": (shear, (CLAMPED, CLAMPED), 0.8296, 8.97778),
}


def test_the_reference_stress() -> None:
    """EN 1993-1-5 A.1: 190000 (t/b)^2 N/mm2."""
    assert pytest.approx(18.9800085, rel=3e-9) == EULER
    assert pytest.approx(190_000 / 100**2, rel=2e-3) == EULER


@pytest.mark.parametrize("name", PLATES)
def test_minimum_over_half_wavelengths(plate: Prepared, name: str) -> None:
    stress, edges, length, k = PLATES[name]
    pencil = supported(plate, stress, edges)
    found = minimize_scalar(
        lambda a: coefficient(pencil, a)[0], bracket=(0.85 * length, length, 1.15 * length),
        options={"xtol": 1e-3},
    )  # fmt: skip
    assert found.fun == pytest.approx(k, rel=5e-3)
    assert found.x == pytest.approx(length, rel=1e-2)


def test_a_free_edge_by_length(plate: Prepared) -> None:
    """Hinged and free: k = 1.4016, 0.6681, 0.4642 for lengths of 1, 2 and 5 widths, and the limit
    6 (1 - nu) / pi^2 = 0.4255."""
    pencil = supported(plate, linear(1, 1), (HINGED, FREE))
    for length, k in ((1, 1.40160), (2, 0.668138), (5, 0.464225)):
        assert coefficient(pencil, length)[0] == pytest.approx(k, rel=5e-3)
    # at 300 widths the plate as a whole bends in its plane first
    assert coefficient(pencil, 300, 3)[1] == pytest.approx(6 * (1 - 0.3) / np.pi**2, rel=5e-3)


def test_outstands_under_a_stress_gradient(plate: Prepared) -> None:
    """EN 1993-1-5 table 4.2, psi = 0: 0.57 with the larger stress at the free edge, 1.70 at the
    supported one; exact 8 (1 - nu) / pi^2 and 24 (1 - nu) / pi^2."""
    long = 300
    tip = coefficient(supported(plate, linear(0, 1), (HINGED, FREE)), long, 3)
    root = coefficient(supported(plate, linear(1, 0), (HINGED, FREE)), long, 3)
    assert np.abs(tip / 0.567399 - 1).min() < 5e-3
    assert np.abs(root / 1.70219 - 1).min() < 5e-3


def test_bending_of_short_plates(plate: Prepared) -> None:
    """Pure bending at lengths a/b (table in Timoshenko & Gere, ch. 9): one half-wave or two."""
    pencil = supported(plate, linear(1, -1), (HINGED, HINGED))
    lengths = (0.4, 0.5, 0.6, 2 / 3, 0.75, 0.8, 0.9, 1.0)
    exact = (29.0988, 25.5284, 24.1217, 23.8818, 24.1118, 24.4696, 25.5765, 25.5284)
    for length, k in zip(lengths, exact, strict=True):
        best = min(coefficient(pencil, length / waves)[0] for waves in (1, 2))
        assert best == pytest.approx(k, rel=5e-3)


#: Half-waves along a plate of finite length, and waves across for each of them.
WAVES, ACROSS = 9, 6


def short_in_shear(plate: Prepared, length: float) -> float:
    """k of a plate with four hinged edges in shear, of a length in widths.

    Along it w is a sum of sines, m pi z / a, whose waves across are those of uniform compression.
    K(k) keeps them apart; shear couples m and n by 2 m n / (m^2 - n^2) where m + n is odd.
    """
    pressed, sheared = (
        supported(plate, stress, (HINGED, HINGED)) for stress in (linear(1, 1), shear)
    )
    k = np.pi / (length * WIDTH)
    waves = [pressed.lowest(m * k, ACROSS)[1] for m in range(1, WAVES + 1)]
    m = np.repeat(np.arange(1, WAVES + 1), [w.shape[2] for w in waves])
    both = sheared.products(np.concatenate(waves, axis=2))
    stiff = np.zeros(both.C.shape)
    for number in range(1, WAVES + 1):
        own = np.ix_(m == number, m == number)
        stiff[own] = both.elastic(number * k)[own] * length * WIDTH / 2
    one, other = np.meshgrid(m, m, indexing="ij")
    odd = (one + other) % 2 == 1
    coupling = np.where(odd, 2 * one * other / np.where(odd, one**2 - other**2, 1), 0.0)
    assert both.S is not None
    values = np.linalg.eigvals(np.linalg.solve(stiff, coupling * both.S))
    return float(1 / np.abs(values.real).max() / EULER)


def test_shear_of_short_plates(plate: Prepared) -> None:
    """Lengths of 1, 1.5, 2, 3 and 4 widths (9.34, 7.1, 6.6, 5.9 and 5.7 as printed in Timoshenko &
    Gere, ch. 9, from memory; digits derived of Kirchhoff's plate)."""
    exact = (9.3246727, 7.0701005, 6.54612881, 5.84035155, 5.62501657)
    for length, k in zip((1, 1.5, 2, 3, 4), exact, strict=True):
        assert short_in_shear(plate, length) == pytest.approx(k, rel=5e-3)
