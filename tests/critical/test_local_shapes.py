"""The shapes in which sections buckle by themselves, that members take into their functions."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.critical.local_shapes import LocalBuckling, LocalShapes, SectionState
from soapfilm.solver.section.deforming.reduction import reduced_section

from .members import TUBE, section
from .test_local_and_distortional import plate


def shapes(sign: float) -> LocalShapes:
    """Of the square tube under a unit force, compression where positive."""
    reduced = reduced_section(TUBE, modes=2)
    rate = -reduced.rigid[:, 2]
    a = -np.linalg.lstsq(reduced.C, reduced.L.T @ rate, rcond=1e-11)[0]
    by, more = reduced.resultant_rows()[:2]
    force = -(by @ a + more @ rate)[0]
    state = SectionState(sign * a / force, sign * rate / force)
    return LocalBuckling(reduced).shapes([state])[0]


def test_shapes_of_a_square_tube() -> None:
    """Four hinged plates, k = 4 at a half-wavelength of their width, 316.2 MPa (Timoshenko & Gere,
    Theory of Elastic Stability, ch. 9; width between mid-lines)."""
    found = shapes(1.0)
    stress = plate(4.0, 196.0) * 4
    assert stress == pytest.approx(316.2, abs=0.05)
    assert found.factor / section(TUBE).constants.area == pytest.approx(stress, rel=2e-3)
    assert found.half_wave == pytest.approx(196, rel=0.05)  # the nearest that is looked at
    assert found.in_plane.shape[2] == found.axial.shape[1] > 0
    assert np.abs(found.axial).max() < np.abs(found.in_plane).max()


def test_tension_buckles_in_no_shape() -> None:
    found = shapes(-1.0)
    assert found.in_plane.shape[2] == 0
    assert found.factor == np.inf
