"""The own weight of a section of several materials acts by densities: statics by hand."""

from __future__ import annotations

import pytest
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.eccentricity import load_torques

GRAVITY = 9.80665
#: A web of 20 x 600 with a slab of 1000 x 100 on one side of it, in mm.
MEMBER = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.beam]
unit = "mm"
[section.beam.material.steel]
E = "200 GPa"
nu = 0.3
density = "7850 kg/m^3"
[section.beam.material.concrete]
E = "25 GPa"
nu = 0.2
density = "2500 kg/m^3"
[[section.beam.outline]]
name = "web"
material = "steel"
points = [[0, 0], [20, 0], [20, 600], [0, 600]]
[[section.beam.outline]]
name = "slab"
material = "concrete"
points = [[0, 600], [1000, 600], [1000, 700], [0, 700]]
[[span]]
length = "8 m"
RADIUS
[[support]]
name = "end"
at = ["start", "end"]
kind = "fork"
[self_weight]
case = "dead"
wedge = true
"""


def _steel_and_slab() -> tuple[float, float, float]:
    """Mass in kg/mm, its first and second moment about x = 0."""
    steel, slab = 7850e-9 * 20 * 600, 2500e-9 * 1000 * 100
    first = steel * 10 + slab * 500
    second = steel * 20**2 / 3 + slab * 1000**2 / 3
    return steel + slab, first, second


def test_the_weight_acts_at_the_centre_of_mass() -> None:
    """It acted at the centroid of the areas weighted by E, 106 mm nearer to the web."""
    request = member_from_toml(MEMBER.replace("RADIUS", ""))
    mass, first, _ = _steel_and_slab()
    (row,) = load_torques(request.member)
    section = request.member.section_at(0.0)
    assert row.arm[0] == pytest.approx(first / mass - section.shear_centre[0], rel=1e-6)
    assert row.arm[1] == pytest.approx(
        (0.0942 * 300 + 0.25 * 650) / 0.3442 - section.shear_centre[1], rel=1e-6
    )
    assert row.torque == pytest.approx(-mass * GRAVITY * 8000 * row.arm[0], rel=1e-6)


def test_the_longer_outer_fibres_weigh_by_their_densities() -> None:
    """int rho g (1 - x / R) x dA about the shear centre, along 8 m at R = 20 m."""
    request = member_from_toml(MEMBER.replace("RADIUS", 'radius = "20 m"'))
    mass, first, second = _steel_and_slab()
    (row,) = load_torques(request.member)
    s = request.member.section_at(0.0).shear_centre[0]
    line = request.member.line[0]
    # about s, of fibres whose length goes by 1 - (x - line) / R
    longer = first - mass * s - (second - (line + s) * first + line * s * mass) / 20000
    assert row.torque == pytest.approx(-GRAVITY * 8000 * longer, rel=1e-6)
