"""Tendons: load balancing, statics, friction, curvature in plan, and wind on the projected depth.

Closed forms, derived; the form of friction is that of EN 1992-1-1:2004, 5.10.5.2, from memory.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.equilibrium import applied_sums
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.model.axis import Axis, Kink, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork
from soapfilm.solver.member.model.tendon import Tendon, TendonPoint
from soapfilm.solver.member.model.tendon_path import deviations, tendon_runs
from soapfilm.solver.member.review.eccentricity import load_torques
from soapfilm.solver.member.review.plausibility import doubts

P, F, L = 1000.0, 0.4, 20.0
SECTION = SectionConstants(34e6, 14e6, 1.0, 0.1, 0.2, 0.1, 0.0)


def tendon(*points: tuple[float, float, float, float], **more: object) -> Tendon:
    """From (at, x, y, sag)."""
    return Tendon(tuple(TendonPoint(*p) for p in points), P, **more)  # type: ignore[arg-type]


def forks(count: int) -> list[Support]:
    return [fork(k * L, z="held" if not k else None) for k in range(count)]


def member(axis: Axis | float, supports: list[Support], *tendons: Tendon) -> Member:
    return Member.prismatic(axis, SECTION, supports, tendons=tendons)


# -- statics --------------------------------------------------------------------------------------
def test_a_parabola_in_one_span() -> None:
    """Force and moment of the concrete are those of the tendon's own: -P cos a at its height."""
    solution = solve(member(L, forks(2), tendon((0, 0, 0, 0), (L, 0, 0, F))))
    z = np.linspace(0.03, L - 0.03, 17)
    table = solution.at(z)
    slope = 4 * F * (2 * z - L) / L**2
    cos = 1 / np.sqrt(1 + slope**2)
    eccentricity = 4 * F * z * (L - z) / L**2
    assert table.N[:, 0] == pytest.approx(-P * cos, rel=1e-6)
    # The tendon lies below: it hogs.
    assert table.sagging[:, 0] == pytest.approx(-P * cos * eccentricity, abs=2e-5 * P * F)
    assert table.V_y[:, 0] == pytest.approx(-P * cos * slope, abs=2e-5 * P * F)
    for reaction in solution.reactions[0]:
        assert np.abs([*reaction.force, *reaction.moment]).max() < 1e-9 * P


def test_load_balancing_over_two_spans() -> None:
    """w = 8 P f / L^2 upward within the spans: hogging turned round, w L^2 / 8 at the pier, and
    R = 3 w L / 8 less the anchors' own share, but for slopes squared (2 sag / L)^2."""
    two = tendon((0, 0, 0, 0), (L, 0, 0, F), (2 * L, 0, 0, F))
    ours = solve(member(2 * L, forks(3), two))
    w = 8 * P * F / L**2
    lifted = Member.prismatic(
        2 * L, SECTION, forks(3), loads=(LineLoad(0.0, 2 * L, (0.0, w, 0.0)),)
    )
    theirs = solve(lifted)
    z = [0.3 * L, 0.5 * L, L]
    slopes = (4 * F / L) ** 2
    assert ours.at(z).sagging[:, 0] == pytest.approx(theirs.at(z).sagging[:, 0], rel=slopes)
    assert ours.at(z[:2]).v[:, 0] == pytest.approx(theirs.at(z[:2]).v[:, 0], rel=slopes)
    assert ours.at([L]).sagging[0, 0] == pytest.approx(w * L**2 / 8, rel=slopes)
    # The vertical force of an anchor goes straight into the support below it.
    assert ours.reactions[0][1].force[1] == pytest.approx(-0.25 * w * L, rel=slopes)


def test_a_straight_tendon_is_an_eccentric_force() -> None:
    solution = solve(member(L, forks(2), tendon((2, 0.3, -0.2, 0), (15, 0.3, -0.2, 0))))
    inside, outside = solution.at([5.0, 12.0]), solution.at([1.0, 18.0])
    assert pytest.approx(-P) == inside.N
    assert inside.sagging == pytest.approx(-0.2 * P)
    assert inside.M_y == pytest.approx(0.3 * P)
    assert np.abs(outside.M_x).max() < 1e-9 * P


@pytest.mark.parametrize("radius", [math.inf, 60.0, -45.0])
def test_a_tendon_is_in_equilibrium_with_itself(radius: float) -> None:
    """Curved in plan, off the axis, with friction from both ends: forces and moments sum to zero,
    and a cantilever's wall holds nothing."""
    axis = Axis.straight(2 * L) if math.isinf(radius) else Axis.arc(2 * L, radius)
    wild = Tendon(
        (
            TendonPoint(1.0, 0.1, 0.0),
            TendonPoint(15.0, 0.2, -0.3, 0.3, 0.1),
            TendonPoint(39.0, 0.0, 0.2, 0.4),
        ),
        P, 0.2, 0.01, "both",
    )  # fmt: skip
    made = Member.prismatic(axis, SECTION, [fixed(0.0)], tendons=(wild,), line=(0.05, -0.1))
    solution = solve(made)
    sums = applied_sums(solution.mesh, solution.loading)
    assert np.abs(sums).max() < 1e-9 * P
    (wall,) = solution.reactions[0]
    assert np.abs([*wall.force, *wall.moment]).max() < 1e-9 * P
    # Where the section cuts it the concrete carries the tendon's own force and moment.
    runs = tendon_runs(wild, made)
    z = np.array([20.0, 31.0])
    place, force, _ = runs[-1].acting(z)
    table = solution.at(z)
    assert table.N[:, 0] == pytest.approx(-force[:, 2], rel=1e-5)
    x, y = (place + np.array([0.05, -0.1])).T
    assert table.M_x[:, 0] == pytest.approx(-y * force[:, 2], abs=2e-5 * P)
    assert table.M_y[:, 0] == pytest.approx(x * force[:, 2], abs=2e-5 * P)
    torque = x * force[:, 1] - y * force[:, 0]
    assert table.T[:, 0] == pytest.approx(-torque, abs=5e-5 * P)


def test_mirrored_in_plan() -> None:
    def of(sign: float) -> object:
        own = Tendon((TendonPoint(0, sign * 0.2, 0), TendonPoint(2 * L, 0, 0, 0.3, sign * 0.2)), P)
        return solve(member(Axis.arc(2 * L, sign * 50.0), forks(3), own)).at([7.0, 25.0])

    one, other = of(1.0), of(-1.0)
    for word, sign in (("M_x", 1), ("M_y", -1), ("T", -1), ("V_y", 1), ("u", -1), ("phi", -1)):
        assert getattr(other, word) == pytest.approx(sign * getattr(one, word), rel=1e-9, abs=1e-9)


def kinked(*angles: float) -> Axis:
    """Straight pieces of 10 m."""
    kinks = (Kink(10.0 * (k + 1), math.radians(a)) for k, a in enumerate(angles))
    return Axis((Straight(10.0 * (len(angles) + 1)),), kinks=tuple(kinks))


def test_over_kinks_a_deviator_takes_what_the_turn_makes() -> None:
    """2 P sin(angle / 2) toward the inner side for a tendon along the axis; off it the line is
    straight in space between the bisecting planes, and in equilibrium with itself."""
    off = tendon((1, 0.5, -0.1, 0), (29, 0.5, -0.4, 0))
    made = Member.prismatic(kinked(12.0, -6.0), SECTION, [fixed(0.0)], tendons=(off,))
    runs = tendon_runs(off, made)
    # The inner side is shorter by x tan(angle / 2) on either side.
    inner = 0.5 * math.tan(math.radians(6))
    assert runs[0].stations[-1] == pytest.approx(10 - inner, rel=1e-12)
    assert runs[1].stations[0] == pytest.approx(10 + inner, rel=1e-12)
    for kink, force in deviations(runs):
        assert force[0] == pytest.approx(2 * P * math.sin(kink.angle / 2), rel=1e-4)
        assert abs(force[1:]).max() < 1e-4 * P
    solution = solve(made)
    assert np.abs(applied_sums(solution.mesh, solution.loading)).max() < 1e-9 * P
    (wall,) = solution.reactions[0]
    assert np.abs([*wall.force, *wall.moment]).max() < 1e-9 * P
    # Cut anywhere, the concrete has the force of the tendon's own straight line.
    ends = []
    for run in runs:
        z = run.stations[[0, -1]]
        across, along, heading = made.axis.plan([10.0 * (runs.index(run)) + 5.0])
        x, y = run.line(z)[0].T
        sin, cos = math.sin(heading[0]), math.cos(heading[0])
        s = z - 10.0 * runs.index(run) - 5.0
        ends.append([[across[0] + x[k] * cos + s[k] * sin, y[k], along[0] - x[k] * sin + s[k] * cos]
                     for k in (0, 1)])  # fmt: skip
    for before, beyond in pairwise(ends):
        assert before[1] == pytest.approx(beyond[0], abs=1e-9)
    table = solution.at([5.0, 15.0, 25.0])
    assert table.M_y[:, 0] == pytest.approx(-0.5 * table.N[:, 0], rel=1e-9)


def test_a_parabola_over_a_kink_keeps_its_course() -> None:
    """Along the axis a kink cuts it in two that are the same curve; friction counts both angles."""
    mu = 0.2
    one = tendon((0, 0, 0, 0), (L, 0, 0, F), friction=mu)
    straight = tendon_runs(one, member(L, forks(2), one))[0]
    angle = math.radians(8.0)
    bent = Axis((Straight(L),), kinks=(Kink(7.0, angle),))
    runs = tendon_runs(one, member(bent, forks(2), one))
    z = np.array([3.0, 6.0, 8.0, 17.0])
    ours = [runs[int(s > 7)].line(np.array([s]))[0][0, 1] for s in z]
    assert ours == pytest.approx(straight.line(z)[0][:, 1], rel=1e-12)
    # In space the two turns stand square to each other almost, one at a place, one along.
    fall = straight.force[-1] / P * math.exp(-mu * angle)
    assert runs[1].force[-1] / P == pytest.approx(fall, rel=2e-5)


def test_kinks_tend_to_an_arc() -> None:
    """Thirty kinks of a degree beside an arc of 30 degrees: moments of the two."""
    radius, length = 60.0, math.radians(30) * 60.0
    off = tendon((0, 0.2, -0.2, 0), (length, 0.2, -0.2, F))
    sides = length / 30
    at = [sides * (k + 0.5) for k in range(30)]
    many = Axis((Straight(length),), kinks=tuple(Kink(z, math.radians(1)) for z in at))
    ends = [fork(0.0, z="held"), fork(length)]
    one, other = (
        solve(Member.prismatic(a, SECTION, ends, tendons=(off,)))
        for a in (many, Axis.arc(length, radius))
    )
    z = sides * np.array([5.0, 12.0, 22.0])
    moment = abs(other.at(z).M_x).max()
    for word in ("N", "M_x", "M_y", "T", "v", "phi"):
        exact = getattr(other.at(z), word)
        size = moment if word == "T" else abs(exact).max()  # T is what turning makes of M
        assert getattr(one.at(z), word) == pytest.approx(exact, abs=5e-4 * size)


# -- friction -------------------------------------------------------------------------------------
def test_friction_of_a_parabola() -> None:
    """theta = 2 atan(4 f / L) over the span; jacked at one end or at both."""
    mu, k = 0.19, 0.01
    turned = 2 * math.atan(4 * F / L)
    slope = 4 * F / L
    length = (L / 2) * (math.sqrt(1 + slope**2) + math.asinh(slope) / slope)
    points = ((0.0, 0.0, 0.0, 0.0), (L, 0.0, 0.0, F))

    def ends(jacked: str) -> np.ndarray:
        own = tendon(*points, friction=mu, wobble=k, jacked=jacked)
        (run,) = tendon_runs(own, member(L, forks(2), own))
        return np.asarray(np.interp([0.0, L / 2, L], run.stations, run.force) / P)

    fall = math.exp(-mu * (turned + k * length))
    half = math.exp(-mu * (turned + k * length) / 2)
    assert ends("start") == pytest.approx([1.0, half, fall], rel=1e-6)
    assert ends("end") == pytest.approx([fall, half, 1.0], rel=1e-6)
    assert ends("both") == pytest.approx([1.0, half, 1.0], rel=1e-6)


def test_a_bend_costs_its_angle_and_so_does_the_axis() -> None:
    bent = tendon((0, 0, 0, 0), (L / 2, 0, -1.0, 0), (L, 0, 0, 0), friction=0.2)
    runs = tendon_runs(bent, member(L, forks(2), bent))
    angle = 2 * math.atan(1.0 / (L / 2))
    assert runs[1].force[-1] / P == pytest.approx(math.exp(-0.2 * angle), rel=1e-9)
    arc = tendon((0, 0, 0, 0), (L, 0, 0, 0), friction=0.2)
    (run,) = tendon_runs(arc, member(Axis.arc(L, 40.0), forks(2), arc))
    assert run.force[-1] / P == pytest.approx(math.exp(-0.2 * L / 40.0), rel=1e-9)


# -- member files ---------------------------------------------------------------------------------
BASE = """
unit = "m"
[material.concrete]
E = "34 GPa"
nu = 0.2
[section.beam]
[[section.beam.outline]]
points = [[-0.3, -1.2], [0.3, -1.2], [0.3, 0], [-0.3, 0]]
[[span]]
length = 20
[[support]]
at = ["start", "end"]
kind = "fork"
"""


def read(more: str) -> MemberRequest:
    return member_from_toml(BASE + more)


def test_a_tendon_in_words() -> None:
    request = read("""
[[tendon]]
name = "left"
force = "2400 kN"
points = [{ at = "start", y = "centroid" }, { at = "end", x = "100 mm", y = -0.6, sag = "0.4 m" }]
friction = 0.19
wobble = "0.01 rad/m"
jacked = "both"
""")
    (found,) = request.member.tendons
    assert (found.force, found.friction, found.wobble) == (2.4e6, 0.19, pytest.approx(0.01))
    assert (found.points[1].x, found.points[1].sag, found.case) == (0.1, 0.4, "prestress")
    assert doubts(request) == ()


def test_a_tendon_that_leaves_the_material_is_said() -> None:
    request = read("""
[[tendon]]
force = "2400 kN"
points = [{ at = "start", y = -0.6 }, { at = "end", y = -0.6, sag = 0.8 }]
""")
    (found,) = doubts(request)
    assert found.startswith("prestress runs outside the material from 5.5")
    assert "to 14.5 m, at (0, -1.4) halfway" in found


def test_wind_acts_on_the_projected_depth() -> None:
    """1.2 kPa on 1.2 + 1.1 m, 0.05 m below the top; torque about the shear centre at -0.6."""
    request = read('[[wind]]\npressure = "1.2 kPa"\nparapet = "1.1 m"\ntoward = "left"\n')
    solution = solve(request.member)
    across = 1200.0 * 2.3
    assert solution.reactions[0][0].force[0] == pytest.approx(across * 10)
    assert solution.at([0.0]).T[0, 0] == pytest.approx(across * 10 * (-0.05 + 0.6), rel=1e-6)
    # The table of torques has the arm that makes the torque: 0.55 m above the shear centre.
    (torque,) = load_torques(request.member)
    assert torque.arm == pytest.approx((0, 0.55))
    assert torque.torque == pytest.approx(across * 20 * 0.55)
    given = read('[[wind]]\npressure = "1 kPa"\ndepth = 2\nlevel = "1 m above top"\n')
    other = solve(given.member)
    assert other.reactions[0][0].force[0] == pytest.approx(-2000.0 * 10)
    assert other.at([0.0]).T[0, 0] == pytest.approx(-2000.0 * 10 * 1.6, rel=1e-6)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("[[tendon]]", 'force is missing; write force = "2400 kN"'),
        ('[[tendon]]\nforce = "2 kN"\npoints = []', "has two points at least"),
        ('[[tendon]]\nforce = "-2 kN"\npoints = [{at=0,y=0},{at=9,y=0}]', "must be positive"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=9,y=0},{at=2,y=0}]', "follow one another"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=0,y=0},{at=21,y=0}]', "lies outside"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=0,y=0,sag=1},{at=9,y=0}]', "sag and bow"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=0,y=0},{at=9}]', "point 2: y is missing"),
        ('[[tendon]]\nforce = "2 kN"\npoints = "start"', "points is a list"),
        ('[[tendon]]\nforce = "2 kN"\nfriction = -1\npoints = [{at=0,y=0},{at=9,y=0}]',
         "friction must be zero or more"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=0,y=0},{at=9,y=0}]\n[[stage]]\nname = "one"',
         "tendons are not followed in members built in stages"),
        ('[[tendon]]\nforce = "2 kN"\npoints = [{at=7.99,x=5,y=0},{at=8,x=5,y=0},{at=19,y=0}]\n'
         '[[kink]]\nat = 8\nangle = "5 deg"', "set its points farther apart"),
        ("[[wind]]", "pressure is missing"),
        ('[[wind]]\npressure = "-1 kPa"', "pressure must be positive"),
        ('[[wind]]\npressure = "1 kPa"\ndepth = 2', "give level"),
        ('[[wind]]\npressure = "1 kPa"\ntoward = "north"', 'one of "right", "left"'),
    ],
)  # fmt: skip
def test_slips_get_one_clear_line(table: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read(table)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_tendon_through_a_joint_that_passes_no_force_along_is_said() -> None:
    tendon = (
        '[[tendon]]\nforce = "2400 kN"\npoints = [{ at = "start", y = 0 }, { at = 9, y = 0 }]\n'
    )
    for at, kind, said in ((5, "half-joint", True), (5, "pin", False), (9.5, "half-joint", False)):
        joint = f'[[hinge]]\nname = "joint"\nat = {at}\nkind = "{kind}"\n'
        words = [w for w in doubts(read(tendon + joint)) if "runs through joint" in w]
        assert len(words) == said
