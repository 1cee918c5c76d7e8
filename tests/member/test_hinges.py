"""Hinges and half-joints between supports: by statics, closed forms, and as limits of springs."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.beam.hinge_force import hinge_forces
from soapfilm.solver.member.file.reading import member_from_toml
from soapfilm.solver.member.influence.asked import AskedResult
from soapfilm.solver.member.influence.beam_adjoint import beam_field
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.hinge import PASSED, Hinge
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork, warping_held

from tests.member.models import skew_section, unit_section

CENTROID = Place("centroid")
MIDDLE = Place("shear_centre")


def drop_in(**more: object) -> Member:
    """Three spans of 8, 10 and 8 m with a drop-in piece of 6 m in the middle one; N and mm."""
    hinges = tuple(Hinge(z, bend_x="free", bend_y="free", **more) for z in (10e3, 16e3))  # type: ignore[arg-type]
    return Member.prismatic(
        26e3, skew_section(), [fork(z) for z in (0.0, 8e3, 18e3, 26e3)],
        loads=[LineLoad(0.0, 26e3, (2.0, -10.0, 0.0), place=(80.0, 100.0))],
        hinges=hinges,
    )  # fmt: skip


def test_drop_in_span_by_statics() -> None:
    # Overhangs of 2 m carry half of the drop-in piece at their tips: V = 10 * 6 / 2 = 30 kN,
    # M = 30 * 2 + 10 * 2^2 / 2 = 80 kN m at the piers, about both axes.
    found = solve(drop_in())
    pier = found.at(8e3)
    assert pier.M_x[0, 0] == pytest.approx(80e6, rel=1e-9)
    assert pier.M_y[0, 0] == pytest.approx(80e6 * 2 / 10, rel=1e-9)
    (first, last) = hinge_forces(found)
    assert first.through[0, 2] == pytest.approx(-30e3, rel=1e-9)  # V_y
    assert last.through[0, 2] == pytest.approx(30e3, rel=1e-9)
    assert np.abs(first.through[0, 3:5]).max() < 1e-6 * 80e6
    assert np.abs(first.bimoment).max() < 1e-6 * np.abs(found.diagram(count=50).B).max()
    assert first.parted[0, 3] == pytest.approx(last.parted[0, 3], rel=1e-9)
    assert float(found.residual.max()) < 1e-12


def test_diagrams_jump_at_hinges_in_rotation_alone() -> None:
    found = solve(drop_in())
    before, after = found.at([10e3], side="left"), found.at([10e3])
    for word in ("u", "v", "w", "phi", "N", "V_x", "V_y", "M_x", "M_y", "T"):
        size = np.abs(getattr(found.diagram(count=50), word)).max()
        gap = abs(getattr(after, word) - getattr(before, word)).max()
        assert gap <= 1e-9 * max(size, 1e-30)
    assert abs(after.theta_x - before.theta_x).max() > 1e-4
    assert abs(after.tau - before.tau).max() > 1e-9


@pytest.mark.parametrize("u", [0.5, 3.0, 40.0])
@pytest.mark.parametrize("section", ["open", "closed"])
def test_warping_at_a_hinge_by_closed_form(u: float, section: str) -> None:
    # Two halves l = L / 2 with warping held at their far ends and a torque T at the hinge between
    # them. Free: phi = T/2 (l - a tanh(l/a)) / GJ; held: phi = T/2 (l - 2 a tanh(l/(2 a))) / GJ
    # (mixed torsion of a cantilever with free and with held warping; derived, e.g. in Trahair,
    # Flexural-Torsional Buckling of Structures, from memory).
    more = {} if section == "open" else {"secondary_torsion_constant": 1.7}
    own = unit_section(u, **more)
    k = 1.7 / 2.7 if section == "closed" else 1.0
    a, half = math.sqrt(1 / (k * u**2)), 0.5  # GJ = 1, EC_w = 1 / u^2
    cases = {
        "free": half - k * a * math.tanh(half / a),
        "held": half - 2 * k * a * math.tanh(half / (2 * a)),
    }
    for warping, expected in cases.items():
        member = Member.prismatic(
            1.0, own, [warping_held(0.0), warping_held(1.0)],
            loads=[PointLoad(0.5, moment=(0.0, 0.0, 2.0))],
            hinges=(Hinge(0.5, warping=warping),),  # type: ignore[arg-type]
        )  # fmt: skip
        found = solve(member)
        assert found.at(0.5).phi[0, 0] == pytest.approx(expected, rel=1e-9)
        if warping == "held":  # each end plate takes what its side leaves, alike by symmetry
            row = hinge_forces(found)[0].bimoment[0]
            assert row[0] == pytest.approx(row[1], rel=1e-9)
            assert abs(row[0]) > 0


@pytest.mark.parametrize("freedom", PASSED)
def test_springs_lead_from_free_to_continuous(freedom: str) -> None:
    supports = [fixed(0.0), fixed(9e3)]
    loads = [LineLoad(0.0, 5e3, (3.0, -10.0, 1.0), place=(80.0, 100.0))]

    def solved(value: object) -> np.ndarray:
        hinge = Hinge(4e3, warping="continuous", **{freedom: value})  # type: ignore[arg-type]
        member = Member.prismatic(9e3, skew_section(), supports, loads=loads, hinges=(hinge,))
        return solve(member).at([1e3, 4e3, 7e3]).actions.ravel()

    whole = solve(Member.prismatic(9e3, skew_section(), supports, loads=loads))
    exact = whole.at([1e3, 4e3, 7e3]).actions.ravel()
    size = np.tile(np.abs(exact.reshape(3, 8)).max(axis=0) + 1e-12, 3)
    assert np.abs((solved(1e18) - exact) / size).max() < 1e-5
    assert np.abs((solved(1e-4) - solved("free")) / size).max() < 1e-5
    assert np.abs((solved("free") - exact) / size).max() > 1e-3


def test_reversal_and_units_change_nothing() -> None:
    one = solve(drop_in())
    # The same member in metres and kN.
    factor = 1e-3
    s = skew_section()
    powers = {
        "elastic_modulus": factor / factor**2, "shear_modulus": factor / factor**2,
        "area": factor**2, "second_moment_x": factor**4, "second_moment_y": factor**4,
        "product_moment": factor**4, "torsion_constant": factor**4, "warping_constant": factor**6,
        "shear_area_x": factor**2, "shear_area_y": factor**2, "monosymmetry_x": factor,
        "monosymmetry_y": factor,
    }  # fmt: skip
    small = replace(
        s, centroid=(0.022, 0.14), shear_centre=(-0.031, 0.165),
        **{key: getattr(s, key) * power for key, power in powers.items()},
    )  # fmt: skip
    other = solve(
        Member.prismatic(
            26.0,
            small,
            [fork(z) for z in (0.0, 8.0, 18.0, 26.0)],
            loads=[LineLoad(0.0, 26.0, (2.0, -10.0, 0.0), place=(0.08, 0.1))],
            hinges=[Hinge(z, bend_x="free", bend_y="free") for z in (10.0, 16.0)],
        )
    )
    z = np.array([3.0, 9.0, 13.0, 20.0])
    assert other.at(z).phi == pytest.approx(one.at(1e3 * z).phi, rel=1e-8)
    assert pytest.approx(one.at(1e3 * z).B, rel=1e-7, abs=1e3) == 1e9 * other.at(z).B
    # Seen from the other end: x' = -x, z' = L - z.
    turned = replace(
        s, centroid=(-22.0, 140.0), shear_centre=(31.0, 165.0), product_moment=-s.product_moment
    )
    back = solve(
        Member.prismatic(
            26e3,
            turned,
            [fork(z) for z in (0.0, 8e3, 18e3, 26e3)],
            loads=[LineLoad(0.0, 26e3, (-2.0, -10.0, 0.0), place=(-80.0, 100.0))],
            hinges=[Hinge(z, bend_x="free", bend_y="free") for z in (10e3, 16e3)],
        )
    )
    assert back.at(26e3 - 1e3 * z).phi == pytest.approx(-one.at(1e3 * z).phi, rel=1e-8)


def test_column_with_a_hinge_buckles_as_its_two_halves() -> None:
    # Both ends fixed and the hinge held across: each half is a fixed-pinned column of l = 1, whose
    # critical load is 20.1907 E I / l^2, the least root of tan x = x (Euler).
    section = unit_section(1.0, length=2.0, second_moment_x=1e4, torsion_constant=1e4, area=1e6)
    member = Member.prismatic(
        2.0, section,
        [fixed(0.0), Support(1.0, x="held"), fixed(2.0, z="free")],
        loads=[PointLoad(2.0, (0.0, 0.0, -1.0), CENTROID)],
        hinges=(Hinge(1.0, bend_y="free", warping="continuous"),),
    )  # fmt: skip
    assert critical_loads(member, parts=32)[0].factor == pytest.approx(20.19073, rel=2e-5)


def test_ring_with_hinges_by_statics() -> None:
    # A quarter of a ring between two forks, cut by three hinges that pass no M_x there.
    radius = 5e3
    ring = Axis.ring(radius)
    at = [ring.length * k / 4 for k in range(4)]
    member = Member(
        ring, Member.prismatic(ring, skew_section(), [fixed(0.0)]).segments,
        [fork(z, z="held" if z == 0 else "free") for z in at],
        loads=[LineLoad(0.0, ring.length, (0.0, -4.0, 0.0), place=CENTROID)],
        hinges=[Hinge(ring.length * (k + 0.5) / 4, bend_x="free") for k in range(3)],
    )  # fmt: skip
    found = solve(member)
    assert float(found.residual.max()) < 1e-11
    for force in hinge_forces(found):
        assert abs(force.through[0, 3]) < 1e-7 * np.abs(found.diagram(count=80).M_x).max()


def test_influence_lines_of_a_member_with_hinges_are_piecewise_linear() -> None:
    # Mueller-Breslau: the pier's moment of the Gerber beam above is -(x - 8 m) on the overhang and
    # falls to zero along the drop-in piece.
    member = drop_in().with_(loads=[PointLoad(1.0, (0.0, -1.0, 0.0), CENTROID)])
    field = beam_field(member, [AskedResult("action", "M_x", "M_x at the pier", 8e3)])
    z = np.array([2e3, 9e3, 10e3, 13e3, 16e3, 17e3, 22e3])
    expected = [0.0, 1e3, 2e3, 1e3, 0.0, 0.0, 0.0]
    assert field.ordinates(z, MIDDLE)[:, 0] == pytest.approx(expected, abs=1e-6)


# -- mechanisms and bad input --------------------------------------------------------------------
@pytest.mark.parametrize(
    ("hinges", "supports", "words"),
    [
        ([Hinge(3.0, bend_x="free")], [fork(0.0), fork(10.0)], ["bend_x", "folding up and down"]),
        ([Hinge(3.0, z="free")], [fork(0.0), fork(10.0, bend_x="held")], ["frees z", "apart"]),
        ([Hinge(6.0, twist="free")], [fixed(0.0), Support(10.0, x="held", y="held")], ["twist"]),
        ([Hinge(6.0, x="free")], [fixed(0.0)], ["sideways", "frees x"]),
        ([Hinge(6.0, y=0.0)], [fixed(0.0)], ["up and down", "frees y"]),
        ([Hinge(2.0, bend_y="free"), Hinge(4.0, bend_y="free")], [fork(0.0), fork(10.0)],
         ["folding sideways"]),
    ],
)  # fmt: skip
def test_mechanism_is_named(hinges: list[Hinge], supports: list[Support], words: list[str]) -> None:
    member = Member.prismatic(
        10.0, unit_section(2.0, length=10.0), supports,
        loads=[PointLoad(5.0, (0.0, -1.0, 0.0), CENTROID)], hinges=hinges,
    )  # fmt: skip
    with pytest.raises(InputError) as error:
        solve(member)
    assert str(error.value).startswith("mechanism: hinge at")
    for word in words:
        assert word in str(error.value)


def test_hinge_is_no_mechanism_where_the_rest_holds_it() -> None:
    member = Member.prismatic(
        10.0, unit_section(2.0, length=10.0), [fork(0.0), fork(6.0), fork(10.0)],
        loads=[PointLoad(8.0, (0.0, -1.0, 0.0), CENTROID)], hinges=[Hinge(7.0, bend_x="free")],
    )  # fmt: skip
    found = solve(member)
    # Statics: the piece from 7 to 10 m is a simple beam with its load at a third of it.
    assert found.at(8.0).sagging[0, 0] == pytest.approx(2 / 3, rel=1e-9)
    assert found.at(6.0).M_x[0, 0] == pytest.approx(2 / 3, rel=1e-9)


FILE = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.beam]
A = "80 cm^2"
I_x = "20000 cm^4"
I_y = "1300 cm^4"
J = "50 cm^4"
C_w = "480000 cm^6"
E = "210 GPa"
G = "81 GPa"
[[span]]
length = "10 m"
[[support]]
at = ["start", "end"]
kind = "fixed"
[[load]]
weight = "10 kN/m"
place = "shear centre"
[[hinge]]
"""


def test_file_says_what_a_hinge_passes_on() -> None:
    text = FILE + (
        'at = ["3 m", "7 m"]\nkind = "half-joint"\nbend_y = "5 kN*m/rad"\nwarping = "held"\n'
        'z = "continuous"\nname = "seat"\n'
    )
    first, last = member_from_toml(text).member.hinges
    assert (first.at, last.at) == (3e3, 7e3)
    assert (first.title, last.title) == ("seat 1", "seat 2")
    assert first.free == ("bend_x",)
    assert first.loose == ("bend_x", "bend_y")
    assert first.bend_y == pytest.approx(5e6)
    assert first.warping == "held"


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('at = "start"\nkind = "pin"', "between the member's ends"),
        ('at = "12 m"\nkind = "pin"', "outside the member"),
        ('at = "3 m"', None),
        ('at = "3 m"\nwarping = "continuous"', "everything passes on"),
        ('at = "3 m"\nbend_x = "held"', '"continuous", "free" or a stiffness'),
        ('at = "3 m"\nbend_x = "-4 kN*m/rad"', "must not be negative"),
        ('at = "3 m"\nwarping = "fixed"', "warping"),
        ('at = ["3 m", "3 m"]\nkind = "pin"', "another hinge stands at"),
        ('at = "3 m"\nkind = "ball"', "kind"),
    ],
)  # fmt: skip
def test_bad_hinges_say_so(keys: str, words: str | None) -> None:
    if words is None:  # warping is parted, which is something
        assert member_from_toml(FILE + keys).member.hinges[0].warping == "free"
        return
    with pytest.raises(InputError) as error:
        member_from_toml(FILE + keys)
    assert words in str(error.value)
    assert "\n" not in str(error.value)


def test_nothing_takes_hold_of_what_a_hinge_parts() -> None:
    def made(**more: object) -> Member:
        given: dict[str, object] = {
            "loads": [PointLoad(5.0, (0.0, -1.0, 0.0), CENTROID)],
            "hinges": [Hinge(5.0, bend_x="free")],
        }
        return Member.prismatic(
            10.0, unit_section(2.0, length=10.0), [fixed(0.0), fixed(10.0)], **(given | more)
        )

    made()
    with pytest.raises(InputError, match="takes hold of bend_x"):
        made(loads=[PointLoad(5.0, moment=(1.0, 0.0, 0.0))])
    with pytest.raises(InputError, match="takes hold of warping"):
        made(loads=[PointLoad(5.0, bimoment=1.0)])


def test_branches_are_refused_with_what_to_do() -> None:
    with pytest.raises(InputError, match="has no branches; write each branch as a member"):
        member_from_toml(FILE.replace("[[hinge]]", "[[branch]]"))


# -- overhangs -----------------------------------------------------------------------------------
def test_overhang_by_closed_forms() -> None:
    # Tip load P on an overhang a beside a span L: R_A = -P a / L, v = P a^2 (L + a) / (3 E I); the
    # torque P e of an eccentric one runs to the near fork alone (any handbook of beams).
    span, a, e = 6.0, 2.5, 0.2
    section = unit_section(1.0, length=8.5, second_moment_x=2.0, warping_constant=0.0)
    member = Member.prismatic(
        span + a, section, [fork(0.0), fork(span)],
        loads=[PointLoad(span + a, (0.0, -1.0, 0.0), (e, 0.0))],
    )  # fmt: skip
    found = solve(member)
    assert found.reactions[0][0].force[1] == pytest.approx(-a / span, rel=1e-12)
    assert found.reactions[0][1].force[1] == pytest.approx(1 + a / span, rel=1e-12)
    tip = found.at([span + a], side="left")
    assert tip.v[0, 0] == pytest.approx(-(a**2) * (span + a) / (3 * 2.0), rel=1e-12)
    assert tip.phi[0, 0] == pytest.approx(-e * a, rel=1e-12)
    assert found.reactions[0][0].torque == pytest.approx(0.0, abs=1e-13)


def test_overhang_beyond_a_hinge_lifts_what_it_is_seated_on() -> None:
    # A member that ends in an overhang: the piece beyond the hinge rests on its own support and
    # pries the hinge up. Statics of the piece: V = P c / b.
    b, c = 3.0, 1.5
    member = Member.prismatic(
        10.0 + b + c, unit_section(2.0, length=14.5), [fixed(0.0), fork(10.0 + b)],
        loads=[PointLoad(10.0 + b + c, (0.0, -1.0, 0.0), CENTROID)],
        hinges=[Hinge(10.0, bend_x="free")],
    )  # fmt: skip
    (force,) = hinge_forces(solve(member))
    assert force.through[0, 2] == pytest.approx(c / b, rel=1e-12)


def test_two_seats_share_by_statics() -> None:
    """The resultant of both is the force and the torque that the joint passes on."""
    joint = Hinge(2.0, seats=((-0.9, -1.0), (0.9, -1.0)), name="seat")
    first, last = joint.seat_forces(-60.0, 12.0, 18.0, (0.1, -0.4))
    assert first + last == pytest.approx(-60.0)
    # About the shear centre: the forces up at their arms, that across 0.6 below it.
    turned = first * (-0.9 - 0.1) + last * (0.9 - 0.1) - 12.0 * (-1.0 + 0.4)
    assert turned == pytest.approx(18.0)
    with pytest.raises(InputError, match="at different x"):
        Hinge(2.0, seats=((0.0, -1.0),), name="seat")
    with pytest.raises(InputError, match="pass y and twist on"):
        Hinge(2.0, twist="free", seats=((-0.9, -1.0), (0.9, -1.0)))
