"""Triangles between border points alone cover the section once, or there are none."""

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import i_shape
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section.mesh.border_triangles import border_triangles
from soapfilm.solver.section.mesh.breakpoints import break_edges
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.solve import solve_fields


def box(x0, y0, x1, y1):
    return Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


TUBE = Section.single(box(0, 0, 20, 10), [box(1, 1, 19, 9)])
BEAM = i_shape(
    overall_width=150, overall_depth=300, web_thickness=7, flange_thickness=11, fillet_radius=15
).section()
BONDED = Section((Region(box(0, 0, 4, 1)), Region(box(0, 1, 4, 2))))
SLIT = Section(TUBE.regions, slits=(Slit(((0, 5), (1, 5))),))
_TURN = np.arange(40)[:, None] * np.pi / 20
POLYGON = Section.single(Contour(np.hstack([np.cos(_TURN), np.sin(_TURN)])))


def straight_area(mesh):
    d1, d2 = mesh.corners[:, 1] - mesh.corners[:, 0], mesh.corners[:, 2] - mesh.corners[:, 0]
    return np.abs(d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0]).sum() / 2


@pytest.mark.parametrize("section", [TUBE, BEAM, BONDED], ids=["tube", "beam", "bonded"])
@pytest.mark.parametrize("away", [0.0, 1e5])
def test_cover_the_section_with_no_vertex_inside(section, away):
    section = section.placed(Placement.rotate(0.3).then(Placement.move(away, -away)))
    plan = checked_map(section)
    broken = break_edges(plan)
    points, triangles, region = border_triangles(plan, broken)
    assert points is broken.points
    assert len(np.unique(triangles)) == len(points)
    mesh = triangulate(plan, sparing=True)
    assert np.array_equal(np.unique(region), np.arange(len(section.regions)))
    if not mesh.bulges.any():
        whole = sum(part.area() for part in section.regions)
        assert straight_area(mesh) == pytest.approx(whole, rel=1e-8)


@pytest.mark.parametrize("section", [TUBE, BEAM, BONDED], ids=["tube", "beam", "bonded"])
def test_both_meshes_find_the_same_constant(section, monkeypatch):
    spare = solve_fields(section, 1e-6)
    monkeypatch.setattr("soapfilm.solver.section.mesh.border_triangles.FEW_PIECES", 0)
    full = solve_fields(section, 1e-6)
    assert max(spare.relative_width, full.relative_width) <= 1e-6
    assert spare.lower <= full.upper
    assert full.lower <= spare.upper


@pytest.mark.parametrize("section", [SLIT, POLYGON], ids=["slit", "wide inside"])
def test_there_are_none_where_points_are_wanted_inside(section):
    plan = checked_map(section)
    assert border_triangles(plan, break_edges(plan)) is None
