"""Kinks in plan: against a frame of straight pieces, arcs as their limit, and by statics."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file.reading import member_from_toml
from soapfilm.solver.member.model.axis import Arc, Axis, Kink, Straight
from soapfilm.solver.member.model.hinge import Hinge
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from tests.member.frame import chain
from tests.member.models import skew_section, unit_section

CENTROID = Place("centroid")


def polygon(length: float, radius: float, count: int) -> Axis:
    """Tangents to an arc that touch it at its ends, kinked where they meet."""
    angle = length / radius / count
    side = radius * math.tan(angle / 2)
    pieces = [side, *[2 * side] * (count - 1), side]
    at = np.cumsum(pieces)[:-1]
    return Axis(tuple(Straight(p) for p in pieces), kinks=tuple(Kink(z, angle) for z in at))


def test_plan_turns_at_kinks() -> None:
    axis = Axis(
        (Straight(7.0),), kinks=(Kink(3.0, math.radians(30)), Kink(5.0, -math.radians(90) / 2))
    )
    x, z, heading = axis.plan([3.0, 4.0, 5.0, 7.0])
    # At a kink the frame is the bisecting one.
    assert np.degrees(heading) == pytest.approx([15.0, 30.0, 7.5, -15.0])
    assert x == pytest.approx([0.0, 0.5, 1.0, 1.0 - 2 * math.sin(math.radians(15))])
    assert z[1] == pytest.approx(3.0 + math.cos(math.radians(30)))
    assert axis.breaks == pytest.approx([0.0, 3.0, 5.0, 7.0])


def test_kinked_member_is_a_frame_of_straight_pieces() -> None:
    # An independent 3D frame of Euler beams without warping: the pieces themselves.
    section = unit_section(
        1.0, warping_constant=0.0, second_moment_x=3.0, torsion_constant=0.7, area=50.0
    )
    angles = (0.4, -0.25, 0.9)
    axis = Axis(
        (Straight(2.0), Straight(1.5), Straight(1.0), Straight(2.5)),
        kinks=tuple(Kink(z, a) for z, a in zip((2.0, 3.5, 4.5), angles, strict=True)),
    )
    supports = [fixed(0.0), Support(3.5, y="held", point=(0.0, 0.0)), fixed(7.0)]
    loads = [
        PointLoad(2.0, (0.3, -1.0, 0.2), (0.0, 0.0)),
        PointLoad(5.5, (0.1, -2.0, -0.4), (0.6, 0.0)),
    ]
    stations = [2.0, 3.5, 4.5, 5.5]
    frame = chain(axis, section, loads, supports, 7, stations)
    found = solve(Member.prismatic(axis, section, supports, loads=loads))
    mine = []
    for z in stations:
        node = found.mesh.node_of(z)
        mine.append(found.states.motion[node, :6, 0])
    # The frame holds by springs of 1e6 E: so far do the two agree.
    assert np.array(mine) == pytest.approx(frame, rel=2e-5, abs=2e-5)
    assert float(found.residual.max()) < 1e-13


def answers(axis: Axis) -> np.ndarray:
    loads = [
        LineLoad(0.0, axis.length, (0.0, -5.0, 0.0), place=Place("centroid", 80.0),
                 measured_along="line", case="both"),
        SelfWeight(9810.0, wedge=True, case="both"),
    ]  # fmt: skip
    member = Member.prismatic(axis, skew_section(), [fixed(0.0), fixed(axis.length)], loads=loads)
    found = solve(member)
    assert float(found.residual.max()) < 1e-11
    middle = found.at([axis.length / 2])
    end = found.at([0.0])
    return np.array(
        [middle.phi, middle.v, middle.M_x, middle.M_y, end.M_x, end.T, end.B, end.V_y]
    ).ravel()


def test_many_kinks_tend_to_the_arc_in_second_order() -> None:
    length, radius = 20e3, 30e3
    exact = answers(Axis.arc(length, radius))
    errors = [np.abs(answers(polygon(length, radius, count)) / exact - 1) for count in (8, 16, 32)]
    assert errors[-1].max() < 0.02
    size = [float(np.linalg.norm(e)) for e in errors]
    assert np.log2(size[1] / size[2]) == pytest.approx(2.0, abs=0.2)
    assert (errors[2] < np.maximum(errors[0] / 9, 1e-4)).all()


def test_bending_and_torsion_trade_places_by_the_angle() -> None:
    # A cantilever that turns by 90 degrees nearly: the tip load's moment arrives as a torque.
    angle = math.radians(60.0)
    axis = Axis((Straight(4.0), Straight(3.0)), kinks=(Kink(4.0, angle),))
    member = Member.prismatic(
        axis, unit_section(2.0, length=7.0), [fixed(0.0)],
        loads=[PointLoad(7.0, (0.0, -1.0, 0.0), (0.0, 0.0))],
    )  # fmt: skip
    found = solve(member)
    before, after = found.at([4.0], side="left"), found.at([4.0])
    assert after.M_x[0, 0] == pytest.approx(3.0, rel=1e-12)
    assert after.T[0, 0] == pytest.approx(0.0, abs=1e-12)
    assert before.M_x[0, 0] == pytest.approx(3.0 * math.cos(angle), rel=1e-12)
    # The load stands on the +x side of the first piece: it turns the section from y toward x.
    assert before.T[0, 0] == pytest.approx(-3.0 * math.sin(angle), rel=1e-12)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_mirror_and_reversal(side: float) -> None:
    axis = Axis(
        (Straight(3e3), Arc(2e3, 8e3), Straight(4e3)), kinks=(Kink(3e3, 0.3), Kink(7e3, -0.2))
    )
    loads = [PointLoad(6e3, (1e3, -5e3, 2e3), (60.0, 100.0))]
    one = solve(Member.prismatic(axis, skew_section(), [fixed(0.0), fork(9e3)], loads=loads))
    mirrored = skew_section(
        centroid=(-22.0, 140.0), shear_centre=(31.0, 165.0), product_moment=-17e6,
        monosymmetry_y=30.0,
    )  # fmt: skip
    if side > 0:  # x -> -x
        other_axis = Axis(
            (Straight(3e3), Arc(2e3, -8e3), Straight(4e3)), kinks=(Kink(3e3, -0.3), Kink(7e3, 0.2))
        )
        other = solve(
            Member.prismatic(
                other_axis,
                mirrored,
                [fixed(0.0), fork(9e3)],
                loads=[PointLoad(6e3, (-1e3, -5e3, 2e3), (-60.0, 100.0))],
            )
        )
        assert other.at([1e3, 5e3, 8e3]).phi == pytest.approx(
            -one.at([1e3, 5e3, 8e3]).phi, rel=1e-9
        )
        assert pytest.approx(-one.at([1e3, 5e3, 8e3]).T, rel=1e-8) == other.at([1e3, 5e3, 8e3]).T
    else:  # x -> -x and z -> L - z: a curve keeps its side of space, and so its sign
        other_axis = Axis(
            (Straight(4e3), Arc(2e3, -8e3), Straight(3e3)), kinks=(Kink(2e3, 0.2), Kink(6e3, -0.3))
        )
        other = solve(
            Member.prismatic(
                other_axis,
                mirrored,
                [fork(0.0), fixed(9e3)],
                loads=[PointLoad(3e3, (-1e3, -5e3, -2e3), (-60.0, 100.0))],
            )
        )
        assert other.at([8e3, 4e3, 1e3]).phi == pytest.approx(
            -one.at([1e3, 5e3, 8e3]).phi, rel=1e-9
        )


def twist_of(warping: str, sections: Sequence[float] = (2.0,)) -> tuple[float, np.ndarray]:
    axis = Axis((Straight(1.0), Straight(1.0)), kinks=(Kink(1.0, 0.35, warping),))  # type: ignore[arg-type]
    member = Member.prismatic(
        axis, unit_section(*sections), [fixed(0.0), fixed(2.0)],
        loads=[PointLoad(1.4, moment=(0.0, 0.0, 1.0))],
    )  # fmt: skip
    found = solve(member)
    assert float(found.residual.max()) < 1e-12
    sides = [found.at([1.0], side=side) for side in ("left", "right")]
    return float(found.at([1.4]).phi[0, 0]), np.array([[s.tau[0, 0], s.B[0, 0]] for s in sides])


def test_warping_at_a_kink() -> None:
    through, rows = twist_of("continuous")
    assert rows[0] == pytest.approx(rows[1], rel=1e-9)
    free, rows = twist_of("free")
    assert np.abs(rows[:, 1]).max() < 1e-12
    held, rows = twist_of("held")
    assert np.abs(rows[:, 0]).max() < 1e-12
    assert abs(rows[0, 1] - rows[1, 1]) > 1e-3
    assert held < through < free


def test_polygonal_ring() -> None:
    radius = 5e3

    def ring(count: int) -> float:
        angle = 2 * math.pi / count
        side = 2 * radius * math.tan(angle / 2)
        pieces = (
            Straight(side / 2),
            *(Straight(side) for _ in range(count - 1)),
            Straight(side / 2),
        )
        at = [side / 2 + k * side for k in range(count)]
        axis = Axis(pieces, closed=True, kinks=tuple(Kink(z, angle) for z in at))
        return answer(axis)

    def answer(axis: Axis) -> float:
        at = [axis.length * k / 3 for k in range(3)]
        member = Member(
            axis, Member.prismatic(axis, skew_section(), [fixed(0.0)]).segments,
            [fork(z, z="held" if z == 0 else "free") for z in at],
            loads=[LineLoad(0.0, axis.length, (0.0, -4.0, 0.0), place=CENTROID)],
        )  # fmt: skip
        found = solve(member)
        assert float(found.residual.max()) < 1e-10
        return float(found.at([axis.length / 6]).v[0, 0])

    exact = answer(Axis.ring(radius))
    errors = [abs(ring(n) / exact - 1) for n in (24, 48)]
    assert errors[1] < 0.01
    assert errors[0] / errors[1] > 3.8


# -- bad input -----------------------------------------------------------------------------------
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
length = "4 m"
[[span]]
length = "6 m"
[[support]]
at = ["start", "end"]
kind = "fixed"
[[load]]
weight = "10 kN/m"
place = "shear centre"
[[kink]]
"""


def test_file_says_where_the_axis_turns() -> None:
    axis = member_from_toml(
        FILE + 'at = ["end of span 1", "7 m"]\nangle = "12 deg"\nwarping = "held"\n'
    ).member.axis
    assert [k.at for k in axis.kinks] == [4e3, 7e3]
    assert [k.angle for k in axis.kinks] == pytest.approx([math.radians(12)] * 2)
    assert axis.kinks[0].warping == "held"
    assert axis.kinks[0].title == "kink at 4000 mm"


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('at = "4 m"', "angle is missing"),
        ('at = "4 m"\nangle = "0 deg"', "between 0.001 and 90 degrees"),
        ('at = "4 m"\nangle = "90 deg"', "between 0.001 and 90 degrees"),
        ('at = "4 m"\nangle = "4 mm"', "angle"),
        ('at = "end"\nangle = "4 deg"', "not between the member's ends"),
        ('at = ["4 m", "4 m"]\nangle = "4 deg"', "another kink lies there"),
        ('at = "4 m"\nangle = "4 deg"\nwarping = "fixed"', "warping"),
        ('at = "4 m"\nangle = "4 deg"\ndiaphragm = true', "diaphragm"),
        (
            'at = "4 m"\nangle = "4 deg"\n[[hinge]]\nat = "4 m"\nkind = "pin"',
            "has a kink right there",
        ),
    ],
)  # fmt: skip
def test_bad_kinks_say_so(keys: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        member_from_toml(FILE + keys)
    assert words in str(error.value)
    assert "\n" not in str(error.value)


def test_hinge_beside_a_kink_is_fine() -> None:
    axis = Axis((Straight(4.0), Straight(3.0)), kinks=(Kink(4.0, 0.3),))
    member = Member.prismatic(
        axis, unit_section(2.0, length=7.0), [fixed(0.0), fixed(7.0)],
        loads=[PointLoad(6.0, (0.0, -1.0, 0.0), (0.0, 0.0))],
        hinges=[Hinge(4.5, bend_x="free")],
    )  # fmt: skip
    found = solve(member)
    assert abs(found.at([4.5]).M_x[0, 0]) < 1e-12
    assert float(found.residual.max()) < 1e-13


def test_second_order_over_a_kink_and_a_hinge_tends_to_the_arc() -> None:
    """The moved member keeps its balance over kinks; many of them make the arc."""

    def twist(axis: Axis) -> float:
        member = Member.prismatic(
            axis, skew_section(), [fixed(0.0), fixed(axis.length)],
            loads=[LineLoad(0.0, axis.length, (0.0, -6.0, 0.0), place=(80.0, 300.0))],
            hinges=[Hinge(axis.length / 2, bend_x="free", warping="continuous")],
        )  # fmt: skip
        found = solve(member, order="second")
        assert float(found.residual.max()) < 1e-10
        first = solve(member).at([0.3 * axis.length]).phi[0, 0]
        second = found.at([0.3 * axis.length]).phi[0, 0]
        assert abs(second / first - 1) > 0.01
        return float(second)

    exact = twist(Axis.arc(16e3, 60e3))
    errors = [twist(polygon(16e3, 60e3, count)) / exact - 1 for count in (6, 12)]
    assert abs(errors[1]) < 5e-3
    assert abs(errors[1]) < abs(errors[0]) / 3
