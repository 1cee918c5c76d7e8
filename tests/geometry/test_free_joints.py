"""Joints of plates among other parts: kept where both ends are free, told where they are not."""

from __future__ import annotations

import pytest
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file import section_from_toml
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.stress.joint_flow import joint_torsion

TEE = """
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
[material.grout]
E = "30 GPa"
nu = 0.2
[[plate]]
name = "flange"
material = "steel"
points = [[-50, 5], [50, 5]]
thickness = 10
[[plate]]
name = "web"
material = "steel"
points = [[0, 0], [0, -80]]
thickness = 8
[[weld]]
name = "root"
between = ["flange", "web"]
{weld}
"""
FILLET, FULL = "leg = 4", 'kind = "full"'


def tee(weld: str, more: str = "") -> Section:
    return section_from_toml(TEE.format(weld=weld) + more)


def part(points: str, material: str = "steel", combine: str = "add") -> str:
    return f'[[outline]]\nmaterial = "{material}"\ncombine = "{combine}"\npoints = {points}\n'


@pytest.mark.parametrize("material", ["steel", "grout"])
def test_a_covered_throat_is_left_out_and_told(material: str) -> None:
    section = tee(FILLET, part("[[4, -4], [40, -4], [40, 0], [8, 0]]", material))
    assert [j.name for j in section.joints] == ["root 1"]
    assert any("joint 'root 2' is left out" in note for note in section.notes)
    (joint,) = joint_torsion(solve_section(section, 1e-3))
    assert joint.line.name == "root 1"


def test_a_part_elsewhere_changes_nothing() -> None:
    section = tee(FILLET, part("[[-4, -100], [4, -100], [4, -80], [-4, -80]]"))
    assert [j.name for j in section.joints] == ["root 1", "root 2"]
    assert not any("left out" in note for note in section.notes)


def test_a_weld_that_is_cut_away_is_left_out() -> None:
    hole = part("[[-12, -12], [12, -12], [12, 4], [-12, 4]]", combine="cut")
    lip = part("[[40, -80], [50, -80], [50, 0], [40, 0]]")
    foot = part("[[0, -90], [50, -90], [50, -80], [0, -80]]")
    section = tee(FULL, lip + foot + hole)
    assert section.joints == ()
    assert any("cover or cut its throat" in note for note in section.notes)
    solve_section(section, 1e-2)


def test_a_joint_on_the_border_of_two_materials_stays() -> None:
    section = tee(FULL, part("[[50, 0], [60, 0], [60, 10], [50, 10]]", "grout"))
    assert [j.name for j in section.joints] == ["root"]
    solve_section(section, 1e-2)
