"""The benchmark sections and the hard ones beside a general-purpose library's converged values.

NGSolve's hp elements with two settings each (derived; `python -m benchmarks.references` computes
them again, `make validation` does so with a second library beside it).
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from soapfilm.solver.section import solve_section

from benchmarks.eccentric_tube import exact_tube
from benchmarks.hard_sections import HARD_SECTIONS, near_hole_with_vertices
from benchmarks.sections import SECTIONS

DATA = Path(__file__).parent.parent / "data"
REFERENCES = {
    key: value
    for name in ("reference_sections.json", "reference_hard_sections.json")
    for key, value in json.loads((DATA / name).read_text())["sections"].items()
}
BUILDERS = {**SECTIONS, **HARD_SECTIONS}


def test_every_section_has_its_reference() -> None:
    assert set(REFERENCES) == set(BUILDERS)
    assert len(HARD_SECTIONS) >= 12


@pytest.mark.parametrize("accuracy", [1e-4, 1e-5, 1e-8])
@pytest.mark.parametrize("name", REFERENCES)
def test_independent_solutions(name: str, accuracy: float) -> None:
    reference = REFERENCES[name]
    result = solve_section(BUILDERS[name](), accuracy)
    assert result.solver.met
    torsion = reference["torsion_constant"]
    assert result.torsion_constant_lower <= torsion["upper"]
    assert result.torsion_constant_upper >= torsion["lower"]
    assert sum(r.area() for r in result.section.regions) == pytest.approx(
        reference["area"], rel=1e-9
    )
    # warping is an integral of the field: as good as J, or better by the width's square root
    warping, centre = reference["warping_constant"], reference["shear_centre"]
    tolerance = max(2 * accuracy, 1e-8)
    assert result.warping_constant == pytest.approx(warping["value"], rel=tolerance)
    size = result.section.size()
    np.testing.assert_allclose(result.shear_centre, centre["value"], atol=accuracy * size)


@pytest.mark.parametrize("name", REFERENCES)
def test_agreement_to_the_reference_s_own_convergence(name: str) -> None:
    """J's intervals overlap; C_w and the shear centre within both statements of doubt."""
    reference = REFERENCES[name]
    result = solve_section(BUILDERS[name](), 1e-10)
    torsion, warping = reference["torsion_constant"], reference["warping_constant"]
    assert result.torsion_constant_lower <= torsion["upper"]
    assert result.torsion_constant_upper >= torsion["lower"]
    assert torsion["upper"] - torsion["lower"] < 2e-9 * torsion["value"]
    own = result.warping_properties
    error = abs(result.warping_constant - warping["value"])
    assert error <= 2 * own.warping_constant_change + warping["uncertainty"]
    assert error <= 1e-9 * warping["value"]
    shift = np.hypot(*(result.shear_centre - reference["shear_centre"]["value"]))
    assert shift <= 2 * own.shear_centre_change + reference["shear_centre"]["uncertainty"]
    assert shift <= 1e-9 * result.section.size()


@pytest.mark.parametrize("accuracy", [1e-3, 1e-5, 1e-7])
@pytest.mark.parametrize("name", REFERENCES)
def test_stated_changes_cover_the_error(name: str, accuracy: float) -> None:
    """What the result says of its own convergence, beside the independent solution."""
    reference = REFERENCES[name]
    found = solve_section(BUILDERS[name](), accuracy).warping_properties
    warping, centre = reference["warping_constant"], reference["shear_centre"]
    error = abs(found.warping_constant - warping["value"])
    assert error <= 2 * found.warping_constant_change + warping["uncertainty"]
    shift = np.hypot(*(found.shear_centre - centre["value"]))
    assert shift <= 2 * found.shear_centre_change + centre["uncertainty"]


def test_the_library_s_drawing_of_the_ligament_is_the_same_shape() -> None:
    """Vertices added along its edges change nothing."""
    shapes = HARD_SECTIONS["near_hole"](), near_hole_with_vertices()
    areas = [s.regions[0].area() for s in shapes]
    assert areas[0] == pytest.approx(areas[1], rel=1e-14)
    lengths = [sum(c.length() for c in s.contours()) for s in shapes]
    assert lengths[0] == pytest.approx(lengths[1], rel=1e-14)


def test_eccentric_tube_in_bipolar_coordinates() -> None:
    """Exact J, C_w and shear centre; the limit of concentric circles is elementary."""
    exact = exact_tube(100, 60, 38)
    reference = REFERENCES["eccentric_tube"]
    torsion = reference["torsion_constant"]
    assert torsion["lower"] <= exact.torsion_constant <= torsion["upper"]
    assert exact.warping_constant == pytest.approx(
        reference["warping_constant"]["value"], rel=1e-12
    )
    assert -exact.shear_offset == pytest.approx(reference["shear_centre"]["value"][0], rel=1e-12)
    near = exact_tube(1, 0.5, 1e-4).torsion_constant
    assert near == pytest.approx(np.pi / 2 * (1 - 0.5**4), rel=1e-7)
