"""A pushed cantilever against the project's beam, closed forms and balance."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from soapfilm.desk.dials import SolvedTorsion
from soapfilm.desk.kept import KeptSection
from soapfilm.desk.own_joint import detail_of, joint_rows, joint_under
from soapfilm.desk.pushing import Cantilever, check_stiffness, pushed, quick_constants
from soapfilm.geometry.catalogue import shape
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.grades import with_material
from soapfilm.geometry.section import Section
from soapfilm.geometry.section_file.section_file import section_from_toml
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess

from .talk import EXAMPLES

CHANNEL = """\
unit = "mm"
[[shape]]
profile = "U"
material = "S355"
Depth = 300
FlangeWidth = 100
WebThickness = 10
FlangeThickness = 16
"""
ANGLE = """\
unit = "mm"
[[shape]]
profile = "L"
material = "S355"
Depth = 120
Width = 80
Thickness = 10
"""
MEMBER = """\
unit = "mm"
[[section.s.shape]]
{shape}
[[span]]
length = "{length} mm"
[[support]]
at = "start"
kind = "fixed"
[[load]]
at = "end"
case = "push"
F_x = "{fx} N"
F_y = "{fy} N"
place = [{x}, {y}]
[analysis]
sections = "keep their shape"
"""


def _kept(text: str | Section) -> KeptSection:
    section = text if isinstance(text, Section) else section_from_toml(text)
    found = KeptSection(section)
    found.full()
    return found


def _pushed(
    text: str | Section, force: tuple[float, float], at: tuple[float, float], length: float
) -> dict[str, Any]:
    found = _kept(text)
    check_stiffness(found.section)
    return pushed(found.section, found.beam(length)[0], force, at)


@pytest.mark.parametrize("text", [CHANNEL, ANGLE], ids=["channel", "angle"])
@pytest.mark.parametrize("length", [400.0, 4000.0])
def test_it_is_the_member_that_the_files_describe(text: str, length: float) -> None:
    """Twist, movement of the axis and actions of the end, against the classical member."""
    force, at = (300.0, -800.0), (40.0, 25.0)
    found = _pushed(text, force, at, length)
    body = text.split("[[shape]]\n")[1]
    member = member_from_toml(
        MEMBER.format(shape=body, length=length, fx=force[0], fy=force[1], x=at[0], y=at[1])
    )
    table = assess(member, cures=False).table
    assert found["twist"][-1] == pytest.approx(float(table.phi[-1, 0]), rel=1e-6)
    for key in ("u", "v"):
        assert found[key][-1] == pytest.approx(float(getattr(table, key)[-1, 0]), rel=1e-6)
    to_moment, to_bimoment = 1e-6, 1e-9  # N mm to kN m, N mm^2 to kN m^2
    assert found["actions"][1] == pytest.approx(float(table.M_x[0, 0]) * to_moment, rel=1e-6)
    assert found["actions"][2] == pytest.approx(float(table.M_y[0, 0]) * to_moment, rel=1e-6)
    assert found["actions"][7] == pytest.approx(float(table.B[0, 0]) * to_bimoment, rel=1e-6)
    assert found["torque"] == pytest.approx(float(table.T[0, 0]) * to_moment, rel=1e-6)


def test_at_the_shear_centre_it_only_bends() -> None:
    mine = _kept(CHANNEL)
    x, y = (float(c) for c in mine.full().shear_centre)
    found = pushed(mine.section, mine.beam(3000.0)[0], (0.0, -8000.0), (x, y))
    aside = pushed(mine.section, mine.beam(3000.0)[0], (0.0, -8000.0), (0.0, 0.0))
    assert not np.any(found["twist"])
    assert np.all(np.abs(aside["twist"][1:]) > 0)
    assert found["v"] == pytest.approx(aside["v"])


def test_without_shear_it_is_the_textbooks_cantilever() -> None:
    """While the hand moves: phi = T/(GJ) (L - tanh(kL)/k), B = -T tanh(kL)/k with
    k^2 = G J / (E C_w) (Vlasov, Thin-walled elastic beams, 2nd ed. 1959; derived here from
    T = G J phi_z - E C_w phi_zzz, phi(0) = phi_z(0) = phi_zz(L) = 0), v = F L^3 / (3 E I)."""
    solved = SolvedTorsion.coarse(section_from_toml(CHANNEL))
    constants = quick_constants(solved)
    length, force = 2500.0, -8000.0
    found = pushed(solved.section, Cantilever.of(constants, length), (0.0, force), (50.0, 0.0))
    e, gj = constants.elastic_modulus, constants.shear_modulus * constants.torsion_constant
    k = np.sqrt(gj / (e * constants.warping_constant))
    torque = (50.0 - constants.shear_centre[0]) * force
    twist = torque / gj * (length - np.tanh(k * length) / k)
    assert found["twist"][-1] == pytest.approx(twist, rel=1e-9)
    assert found["actions"][7] == pytest.approx(-torque * np.tanh(k * length) / k * 1e-9)
    assert found["v"][-1] == pytest.approx(force * length**3 / (3 * e * constants.second_moment_x))


def test_a_round_tube_has_no_bimoment() -> None:
    text = (
        'unit = "mm"\n[[shape]]\nprofile = "CircleHollow"\nmaterial = "S355"\nRadius = 100\n'
        "WallThickness = 8\n"
    )
    found = _pushed(text, (0.0, -5000.0), (100.0, 0.0), 2000.0)
    assert found["actions"][5] == pytest.approx(-0.5)  # kN m, all of it Saint-Venant's
    assert found["actions"][6:] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_bolt_rows_balance_what_acts() -> None:
    """Rows' pulls balance the moment, their shears the force."""
    found = _pushed(CHANNEL, (2000.0, -8000.0), (60.0, 80.0), 3000.0)
    rows = found["rows"]
    shear = sum(r["force"] * np.array(r["direction"]) for r in rows)
    assert shear == pytest.approx([2.0, -8.0])
    moment = sum(r["pull"] * r["at"][1] for r in rows) / 1000  # kN mm
    assert moment == pytest.approx(found["actions"][1])
    assert sum(r["pull"] for r in rows) == pytest.approx(0.0, abs=1e-9)


def test_units_of_inches() -> None:
    """Newtons on a shape in inches: kips and inches come out."""
    found = _pushed(with_material(shape("W10X49"), "A992"), (0.0, -10_000.0), (0.0, 5.0), 100.0)
    kips = -10_000 / 4448.2216
    assert found["actions"][4] == pytest.approx(kips, rel=1e-6)
    bending = kips * 100.0**3 / (3 * 29_000 * 272)  # I_x = 272 in^4 by the shape's table
    assert 1.0 < found["v"][-1] / bending < 1.1  # shear adds some per cent


def test_stiffness_needs_a_material() -> None:
    bare = CHANNEL.replace('material = "S355"\n', "")
    with pytest.raises(InputError, match="material"):
        _pushed(bare, (0.0, 1.0), (0.0, 0.0), 1e3)


def test_an_own_joint_holds_what_acts() -> None:
    """8 kN down, 60 mm beside the middle, 3 m away: the torque is their product, the moment that of
    the length; the upper rows of an end plate pull, and the bolts' shears add up to the force."""
    text = (EXAMPLES / "landing-joints.toml").read_text("utf-8")
    detail = detail_of(text, "girder end")
    section = section_from_toml(CHANNEL)
    x0, y0, x1, y1 = section.bounds()
    at = ((x0 + x1) / 2 + 60, (y0 + y1) / 2)
    load = np.array([0.0, -8000.0])
    found = joint_under(detail, section, load, at, 3000.0)
    assert found.actions.force == pytest.approx((0.0, -8000.0, 0.0))
    assert found.actions.moment == pytest.approx((-480e3, 0.0, -24e6))  # joint's z is -x
    rows = joint_rows(found, section)
    bolts = [row for row in rows if row["bolts"]]
    assert sum(r["force"] * np.array(r["direction"]) for r in bolts) == pytest.approx([0.0, -8.0])
    assert [row["at"][1] for row in bolts] == sorted((r["at"][1] for r in bolts), reverse=True)
    pulls = [row["pull"] for row in bolts]
    assert pulls == sorted(pulls, reverse=True)
    assert pulls[-1] >= 0  # below, the plate presses
    assert "welds" in rows[-1]["words"]


def test_a_joint_that_cannot_hold_a_push_says_why() -> None:
    text = (EXAMPLES / "landing-joints.toml").read_text("utf-8")
    mine = _kept(CHANNEL)
    found = pushed(mine.section, mine.beam(3000.0)[0], (8000.0, 0.0), (90.0, 90.0),
                   detail_of(text, "joist fin"))  # fmt: skip
    assert found["rows"] == []
    assert "moment" in found["joint_refusal"]
    assert found["twist"][-1] != 0  # what the member does is known all the same
