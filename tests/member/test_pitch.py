"""Slope and crossfall: by statics, beside turned members, and refused where they do not reach."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.units import Units
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.asked import AskedResult
from soapfilm.solver.member.influence.beam_adjoint import beam_field
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.pitch import Pitch
from soapfilm.solver.member.model.support import Bearing, Support, fixed, fork
from soapfilm.solver.member.vibration.attached import carried_by

from tests.member.models import skew_section, unit_section

CENTROID = Place("centroid")
STEEP = math.radians(35.0)


def flight(*supports: Support, slope: float = STEEP) -> Member:
    return Member.prismatic(
        6.0, unit_section(2.0, length=6.0, mass_per_length=0.3), supports,
        loads=[SelfWeight(10.0)], pitch=Pitch(slope),
    )  # fmt: skip


def test_flight_on_plumb_supports_by_statics() -> None:
    # w = 3 per length along the slope. Both supports push vertically w L / 2 where one of them
    # rolls level; the axial force then runs from -w L sin / 2 to +w L sin / 2.
    found = solve(flight(fork(0.0, z="held", plumb=True), fork(6.0, plumb=True)))
    sin, cos = math.sin(STEEP), math.cos(STEEP)
    assert found.at(0.0).N[0, 0] == pytest.approx(-9 * sin, rel=1e-12)
    assert found.at([6.0], side="left").N[0, 0] == pytest.approx(9 * sin, rel=1e-12)
    assert found.at(3.0).sagging[0, 0] == pytest.approx(3 * cos * 36 / 8, rel=1e-12)
    for reaction in found.reactions[0]:
        up = found.mesh.member.pitch.plumb @ reaction.force
        assert up == pytest.approx([0.0, 9.0, 0.0], abs=1e-12)
    assert float(found.residual.max()) < 1e-14


def test_flight_on_supports_square_to_it() -> None:
    # The lower end takes all that runs along it, each end half of what is square to it.
    found = solve(flight(fork(0.0, z="held"), fork(6.0)))
    assert found.reactions[0][0].force[2] == pytest.approx(18 * math.sin(STEEP), rel=1e-12)
    assert found.reactions[0][1].force[1] == pytest.approx(9 * math.cos(STEEP), rel=1e-12)
    assert found.at([6.0], side="left").N[0, 0] == pytest.approx(0.0, abs=1e-12)


def test_bearings_may_be_plumb() -> None:
    pair = (Bearing(-0.3), Bearing(0.3))
    lower = Support(0.0, x="held", z="held", bearings=pair, plumb=True)
    upper = Support(6.0, x="held", bearings=pair, plumb=True)
    found = solve(flight(lower, upper))
    for reaction in found.reactions[0]:
        assert [b.force for b in reaction.bearings] == pytest.approx([4.5, 4.5], rel=1e-12)


def test_reversal_falls_where_the_other_rises() -> None:
    one = solve(flight(fixed(0.0), fork(6.0, plumb=True)))
    other = solve(flight(fork(0.0, plumb=True), fixed(6.0), slope=-STEEP))
    for word, sign in (("N", 1.0), ("M_x", 1.0), ("V_y", -1.0), ("v", 1.0)):
        mine, theirs = getattr(one.at([2.0]), word), getattr(other.at([4.0]), word)
        assert mine == pytest.approx(sign * theirs, rel=1e-10)


def test_crossfall_is_the_section_turned() -> None:
    """A channel-like section leaning by 12 degrees, beside the same section drawn leaning."""
    lean = math.radians(12.0)
    section = skew_section()
    # x' = x cos + y sin, y' = -x sin + y cos are plumb components of the section's own ones.
    cos, sin = math.cos(lean), math.sin(lean)
    i_x, i_y, i_xy = section.second_moment_x, section.second_moment_y, section.product_moment
    turned = skew_section(
        second_moment_x=i_x * cos**2 + i_y * sin**2 - 2 * i_xy * sin * cos,
        second_moment_y=i_x * sin**2 + i_y * cos**2 + 2 * i_xy * sin * cos,
        product_moment=(i_x - i_y) * sin * cos + i_xy * (cos**2 - sin**2),
        centroid=tuple(_plumb(lean, section.centroid)),
        shear_centre=tuple(_plumb(lean, section.shear_centre)),
        shear_area_x=None, shear_area_y=None,
    )  # fmt: skip
    bare = skew_section(shear_area_x=None, shear_area_y=None)
    place = (90.0, 200.0)
    supports = [fixed(0.0, point=(0.0, 0.0)), fixed(9e3, point=(0.0, 0.0))]
    leaning = Pitch(crossfall=lean)
    one = solve(
        Member.prismatic(
            9e3,
            bare,
            supports,
            pitch=leaning,
            loads=[
                PointLoad(4e3, leaning.weight(2e4), place, case="c"),
                SelfWeight(9810.0, case="c"),
            ],
        )
    )
    two = solve(
        Member.prismatic(
            9e3,
            turned,
            supports,
            loads=[
                PointLoad(4e3, (0.0, -2e4, 0.0), tuple(_plumb(lean, place)), case="c"),
                SelfWeight(9810.0, case="c"),
            ],
        )
    )
    a, b = one.at([3e3, 7e3]), two.at([3e3, 7e3])
    assert a.phi == pytest.approx(b.phi, rel=1e-9)
    assert pytest.approx(b.T, rel=1e-9) == a.T
    plumb = leaning.plumb[:2, :2]
    u, v = np.einsum("ij,jmc->imc", plumb, np.array([a.u, a.v]))
    assert u == pytest.approx(b.u, rel=1e-9)
    assert v == pytest.approx(b.v, rel=1e-9)


def _plumb(lean: float, point: tuple[float, float]) -> np.ndarray:
    return Pitch(crossfall=lean).plumb[:2, :2] @ point


def test_influence_of_a_weight_that_acts_plumb() -> None:
    pitch = Pitch(math.radians(20.0), math.radians(6.0))
    place = (90.0, 40.0)
    supports = [fork(0.0, z="held", plumb=True), fork(5e3), fork(9e3, bend_y="held")]

    def member(z: float) -> Member:
        load = PointLoad(z, pitch.down, place)
        return Member.prismatic(9e3, skew_section(), supports, loads=[load], pitch=pitch)

    asked = [AskedResult("action", word, word, 2e3) for word in ("M_x", "M_y", "N", "T")]
    field = beam_field(member(1e3), asked)
    stations = np.array([1e3, 3e3, 7e3])
    ours = field.ordinates(stations, place)
    for z, row in zip(stations, ours, strict=True):
        found = solve(member(float(z))).at([2e3])
        theirs = [getattr(found, one.component)[0, 0] for one in asked]
        assert row == pytest.approx(theirs, rel=1e-9, abs=1e-9)


# -- files, and sections that deform ---------------------------------------------------------------
RAMP = """
unit = "mm"
{pitch}
[section.tray]
[[section.tray.shape]]
profile = "IfcUShapeProfileDef"
Depth = 300
FlangeWidth = 120
WebThickness = 12
FlangeThickness = 14
material = "S355"
[[span]]
length = "5 m"
[[support]]
at = "start"
kind = "fork"
z = "held"
plumb = true
[[support]]
at = "end"
kind = "fork"
plumb = true
[[load]]
case = "all"
weight = "8 kN/m"
measured_along = "{along}"
place = [-54, 100]
as_mass = 1.0
[[load]]
case = "all"
at = "2 m"
weight = "12 kN"
place = [-54, 0]
[self_weight]
case = "all"
"""


@cache
def ramp(pitch: str = 'slope = "30 deg"\ncrossfall = "4 %"', along: str = "plan") -> MemberRequest:
    return member_from_toml(RAMP.format(pitch=pitch, along=along))


def test_file_counts_weights_in_plan() -> None:
    member = ramp().member
    loads = {type(x).__name__: x for x in member.loads}
    line, point = loads["LineLoad"], loads["PointLoad"]
    assert np.linalg.norm(line.force) == pytest.approx(8.0 * math.cos(math.radians(30)))
    assert np.linalg.norm(point.force) == pytest.approx(12e3)
    lean = math.atan(0.04)
    expected = np.array([math.sin(lean) * math.cos(math.radians(30)), -math.cos(lean) * math.cos(
        math.radians(30)), -0.5])  # fmt: skip
    assert np.array(point.force) / 12e3 == pytest.approx(expected)
    assert member.cases == ("all",)
    along = {type(x).__name__: x for x in ramp(along="axis").member.loads}["LineLoad"]
    assert np.linalg.norm(along.force) == pytest.approx(8.0)
    # What vibrates is the mass, not what of its weight is square to the axis.
    carried = carried_by(ramp(along="axis").member, Units("mm", "N"))
    level = carried_by(ramp("", "axis").member, Units("mm", "N"))
    assert carried.lines[0].first == pytest.approx(level.lines[0].first)


def test_sections_that_deform_on_a_slope_with_crossfall() -> None:
    request = ramp()
    member = request.member
    found = solve_deforming(member, course_of(member, request.sections, 4))
    beam = solve(member)
    held = np.array([r.force for r in reactions(found, 0)])
    assert held.sum(axis=0) == pytest.approx(-found.forces.sums[:3, 0], rel=1e-9)
    up = held @ member.pitch.plumb.T
    mass = member.segments[0].section.mass_per_length or 0.0
    weight = 8 * 5e3 * math.cos(math.radians(30)) + 12e3
    weight += 5e3 * mass * member.loads[0].gravity  # type: ignore[union-attr]
    assert up[:, 1].sum() == pytest.approx(weight, rel=1e-6)
    assert up[1, 2] == pytest.approx(0.0, abs=1e-6 * weight)
    classical = np.array([r.force for r in beam.reactions[0]])
    assert held == pytest.approx(classical, abs=2e-3 * weight)
    z = [1e3, 2.5e3, 4e3]
    for word in ("N", "M_x", "M_y", "V_y"):
        mine, theirs = getattr(found.resultants(z), word), getattr(beam.at(z), word)
        assert np.abs(mine - theirs).max() < 0.01 * np.abs(theirs).max()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ('slope = "70 deg"', "slope must lie within 60 degrees"),
        ('crossfall = "40 deg"', "crossfall must lie within 30 degrees"),
        ('slope = "steep"', "slope"),
        ('slope = "3 m"', "slope"),
    ],
)
def test_bad_pitches_say_so(change: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        member_from_toml(RAMP.format(pitch=change, along="axis"))
    assert words in str(error.value)
    assert "\n" not in str(error.value)


def test_spirals_are_refused() -> None:
    def made(pitch: Pitch) -> Member:
        return Member.prismatic(
            Axis.arc(10.0, 20.0), unit_section(2.0), [fixed(0.0)],
            loads=[LineLoad(0.0, 10.0, (0.0, -1.0, 0.0), place=CENTROID)], pitch=pitch,
        )  # fmt: skip

    made(Pitch(math.atan(1 / 12)))
    with pytest.raises(InputError, match="spiral is not solved beyond 1:8"):
        made(Pitch(math.radians(10.0)))
    with pytest.raises(InputError, match="turn the section's outline"):
        made(Pitch(crossfall=math.radians(5.0)))
