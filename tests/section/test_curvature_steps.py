"""Where a line runs on into an arc the fields hold r^2 log r: one layer there, and the width falls
exponentially with the order."""

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.solver.section.area.properties import section_centroid, shear_ratios
from soapfilm.solver.section.mesh.corner_layers import cut_toward
from soapfilm.solver.section.mesh.refinement import smallest_stretch
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.solve import solve_fields
from soapfilm.solver.section.torsion.interval import solve_torsion
from soapfilm.solver.section.torsion.sharp_corner import curvature_steps

from benchmarks.sections import SECTIONS


@pytest.mark.parametrize(("name", "joints"), [("I", 8), ("tube", 16), ("two_cell_box", 0)])
@pytest.mark.parametrize("sparing", [True, False])
def test_are_the_ends_of_arcs_and_layers_there_fold_nothing(name, joints, sparing):
    mesh = triangulate(checked_map(SECTIONS[name]()), sparing=sparing)
    steps = np.flatnonzero(curvature_steps(mesh))
    assert len(steps) == joints
    layered = cut_toward(mesh, steps, 1)
    # triangles behind the fillets were folded to -0.24 by a cut near their arcs
    assert smallest_stretch(layered).min() > 0.1


def test_a_layer_there_makes_the_width_fall_exponentially():
    section = SECTIONS["tube"]()
    mesh = triangulate(checked_map(section), sparing=True)
    layered = cut_toward(mesh, np.flatnonzero(curvature_steps(mesh)), 1)
    origin, shear = section_centroid(section), shear_ratios(section)

    def narrowed(on):
        wide, narrow = (solve_torsion(on, p, origin, shear).relative_width for p in (6, 8))
        return wide / narrow

    assert narrowed(mesh) < 20  # (8/6)^8 = 10
    assert narrowed(layered) > 60


@pytest.mark.parametrize("name", ["I", "tube"])
def test_narrow_intervals_of_fillets_come_at_once(name):
    """The tube took five rounds and 6,600 unknowns to 1e-10, the I four and 8,000."""
    field = solve_fields(SECTIONS[name](), 1e-10)
    assert field.relative_width < 1e-10
    assert field.unknowns < 5500
