"""A mesh that follows its outline encloses J as truly as one made anew."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.checks.validate import checked_map
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.mesh.following_mesh import FollowingMesh
from soapfilm.solver.section.mesh.section_mesh import border_of
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.torsion.adaptive import refine_torsion
from soapfilm.solver.section.torsion.interval import solve_torsion

ONE = np.ones(1)


def _i(depth: float, web: float, fillet: float = 15) -> Section:
    return section_from_toml(
        f'unit = "mm"\n[[shape]]\nprofile = "I"\nOverallWidth = 150\nOverallDepth = {depth}\n'
        f"WebThickness = {web}\nFlangeThickness = 11\nFilletRadius = {fillet}\n"
    )


def _followed(first: Section) -> tuple[FollowingMesh, int]:
    plan = checked_map(first)
    field = refine_torsion(triangulate(plan), np.zeros(2), ONE, 1e-2)
    following = FollowingMesh.of(plan, field.mesh)
    assert following is not None
    return following, field.order


@pytest.mark.parametrize(("depth", "web"), [(300, 7.0), (310, 7.5), (280, 9.0), (300, 6.0)])
def test_its_interval_holds_the_true_one(depth: float, web: float) -> None:
    following, order = _followed(_i(300, 7))
    section = _i(depth, web)
    mesh = following.onto(checked_map(section))
    assert mesh is not None
    field = solve_torsion(mesh, order, np.zeros(2), ONE)
    true = solve_section(section)
    assert field.lower <= true.torsion_constant_lower
    assert field.upper >= true.torsion_constant_upper
    assert field.relative_width < 1e-2
    # arcs included, it covers the section and nothing else
    assert border_of(mesh).loop_areas.sum() == pytest.approx(true.area, rel=1e-12)


def test_it_does_not_follow_where_edges_come_or_go() -> None:
    following, _ = _followed(_i(300, 7))
    assert following.onto(checked_map(_i(300, 7, fillet=0))) is None


def test_it_does_not_follow_out_of_shape() -> None:
    following, _ = _followed(_i(300, 7))
    assert following.onto(checked_map(_i(300, 60))) is None


def test_holes_and_slits_move_along() -> None:
    def tube(thick: float) -> Section:
        return section_from_toml(
            f'unit = "mm"\n[[shape]]\nprofile = "CircleHollow"\nRadius = 100\n'
            f"WallThickness = {thick}\n"
        )

    following, order = _followed(tube(5))
    mesh = following.onto(checked_map(tube(6)))
    assert mesh is not None
    field = solve_torsion(mesh, order, np.zeros(2), ONE)
    exact = np.pi / 2 * (100**4 - 94**4)
    assert field.lower <= exact <= field.upper
    assert field.relative_width < 1e-2
