"""The buckling shapes that members take into their basis."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.solver.section.buckling.prepared import prepared
from soapfilm.solver.section.buckling.prestress import stress_of_actions
from soapfilm.solver.section.buckling.shapes import buckling_shapes

STEEL = Material("steel", 210e3, 0.3)


def test_shapes_of_a_square_tube() -> None:
    """Four hinged plates, k = 4 at a half-wavelength of their width, 316.2 MPa (Timoshenko & Gere,
    Theory of Elastic Stability, ch. 9; width between mid-lines); the next by symmetry is a pair."""
    tube = rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL)
    ready = prepared(tube)
    actions = np.array([-1.0, 0, 0, 0, 0, 0, 0, 0])
    stress = stress_of_actions(ready.fields, ready.elastic, ready.chains, actions)
    shapes = buckling_shapes(
        ready.fields, ready.matrices, ready.chains, stress, shortest=100, longest=600, most=3
    )
    area = 200**2 - 192**2
    plate = 4 * np.pi**2 * 210e3 / (12 * (1 - 0.3**2)) * (4 / 196) ** 2
    assert plate == pytest.approx(316.2, abs=0.05)
    assert shapes.factors[0] / area == pytest.approx(plate, rel=2e-3)
    assert shapes.half_wavelengths[0] == pytest.approx(196, rel=5e-3)
    assert shapes.factors[1] == pytest.approx(shapes.factors[2], rel=1e-3)
    assert shapes.in_plane.shape == (ready.matrices.count, 2, 3)
    assert np.abs(shapes.axial).max() < np.abs(shapes.in_plane).max()


def test_tension_buckles_in_no_shape() -> None:
    tube = rectangle_hollow(x_dim=200, y_dim=200, wall_thickness=4).section(material=STEEL)
    ready = prepared(tube)
    pull = np.array([1.0, 0, 0, 0, 0, 0, 0, 0])
    stress = stress_of_actions(ready.fields, ready.elastic, ready.chains, pull)
    shapes = buckling_shapes(
        ready.fields, ready.matrices, ready.chains, stress, shortest=50, longest=1000
    )
    assert shapes.in_plane.shape[2] == len(shapes.factors) == 0
