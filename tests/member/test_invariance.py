"""What must hold for any member: equilibrium, reciprocity, and indifference to how it is
described."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Stations
from soapfilm.solver.member.model.axis import Arc, Axis, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import Support, bearing_pair, fixed, fork

from .models import skew_section

FEW = settings(max_examples=40, deadline=None)
SHARE = st.floats(0.02, 0.98)
FORCE = st.floats(-50.0, 50.0)
WORDS = ("u", "v", "w", "phi", "tau", "M_x", "M_y", "V_y", "T", "B")


@st.composite
def sections(draw: st.DrawFn) -> SectionConstants:
    """From stocky to thin: L/a from below 1e-2 to above 1e3 for spans of a few metres in mm."""
    return skew_section(
        torsion_constant=10 ** draw(st.floats(2, 9)),
        warping_constant=draw(st.sampled_from([0.0, 1e7, 1e10, 2.4e11, 1e15])),
        product_moment=draw(st.floats(-3e7, 3e7)),
        centroid=(draw(st.floats(-90, 90)), draw(st.floats(-90, 90))),
        shear_centre=(draw(st.floats(-90, 90)), draw(st.floats(-90, 90))),
    )


@st.composite
def members(draw: st.DrawFn) -> Member:
    pieces: list[Straight | Arc] = []
    for _ in range(draw(st.integers(1, 3))):
        length = draw(st.floats(1500, 6000))
        radius = draw(st.one_of(st.none(), st.floats(4000, 1e6), st.floats(-1e6, -4000)))
        pieces.append(Straight(length) if radius is None else Arc(length, radius))
    axis = Axis(tuple(pieces))
    total = axis.length
    cut = draw(SHARE) * total
    first, second = draw(sections()), draw(sections())
    ends: list[Support] = [
        draw(st.sampled_from([fixed(0), fork(0), fork(0, warping="held"), fork(0, z="held")])),
        draw(
            st.sampled_from(
                [fork(total), fixed(total, z="free"), bearing_pair(total, 300.0, holds_down=True)]
            )
        ),
    ]
    if draw(st.booleans()):
        ends.append(Support(draw(st.floats(0.2, 0.8)) * total, y=1e4, twist=1e8, name="soft"))
    loads: list[PointLoad | LineLoad | SelfWeight] = [SelfWeight(9810.0, case="all")]
    for n in range(draw(st.integers(1, 3))):
        force = (draw(FORCE), draw(FORCE), draw(FORCE))
        moment = (draw(FORCE) * 100, draw(FORCE) * 100, draw(FORCE) * 100)
        place = (draw(st.floats(-200, 200)), draw(st.floats(-200, 200)))
        loads.append(
            PointLoad(draw(SHARE) * total, force, place, moment, case="all", name=f"point {n}")
        )
    a, b = sorted((draw(SHARE) * total, draw(SHARE) * total))
    if b - a > 1.0:
        loads.append(
            LineLoad(a, b, (0.1, -2.0, 0.05), (0.0, 1.5, 0.0), (30, -20), 3.0, -9.0, case="all")
        )
    restraints = draw(
        st.sampled_from(
            [
                (),
                (TwistSpring(0.4 * total, 1e7), LateralSpring(0.6 * total, 300.0, 80.0)),
                (Deck(0.3 * total, 0.55 * total, 2e3, 0.02, 120.0),),
            ]
        )
    )
    segments = (Segment(0, cut, first), Segment(cut, total, second))
    return Member(axis, segments, tuple(ends), restraints, tuple(loads))


@FEW
@given(members())
def test_loads_and_reactions_cancel_in_space(member: Member) -> None:
    """The sums are built from loads and contact forces alone; see `equilibrium`."""
    assert solve(member).residual.max() < 1e-10


@FEW
@given(members(), SHARE, SHARE)
def test_maxwell_reciprocity(member: Member, one: float, other: float) -> None:
    """Work of either unit action on the movement by the other is the same: here a force up at one
    station and a torque at the other, at the section's origin."""
    total = member.length
    a, b = one * total, other * total
    origin = (0.0, 0.0)
    force = PointLoad(a, force=(0, 1e3, 0), place=origin, case="force")
    torque = PointLoad(b, moment=(0, 0, 1e3), place=origin, case="torque")
    solution = solve(member.with_(loads=(force, torque)))
    turned = solution.at(b).phi[0, solution.column("force")]
    moved = solution.movement(origin, a)[1][0, solution.column("torque")]
    size = np.abs(solution.at([a, b]).phi).max() + np.abs(solution.at([a, b]).v).max() / 1e3
    assert turned == pytest.approx(moved, abs=1e-9 * size)


@FEW
@given(members(), st.floats(300, 2000))
def test_cutting_elements_changes_nothing(member: Member, longest: float) -> None:
    """Elements are exact, so their number is of no account."""
    z = np.linspace(0, member.length, 9)[1:-1] + 0.123
    coarse, fine = solve(member).at(z), solve(member, longest=longest).at(z)
    for word in WORDS:
        a, b = getattr(coarse, word), getattr(fine, word)
        assert b == pytest.approx(a, abs=1e-9 * max(np.abs(a).max(), natural(word, coarse)))


def natural(word: str, found: Stations) -> float:
    """Size below which a quantity is small against what the loads could make, in mm and N."""
    shear = float(np.abs(found.V_y).max())
    moved = float(max(np.abs(getattr(found, w)).max() for w in ("u", "v", "w")))
    forces = {"M_x": 1e3, "M_y": 1e3, "T": 1e2, "B": 1e4, "V_y": 1.0}
    movements = {"u": 1.0, "v": 1.0, "w": 1.0, "phi": 1e-3, "tau": 1e-6}
    return forces.get(word, 0.0) * shear + movements.get(word, 0.0) * moved


@FEW
@given(members(), st.floats(-300, 300), st.floats(-300, 300))
def test_where_the_section_is_drawn_is_of_no_account(member: Member, dx: float, dy: float) -> None:
    """Moving the drawing's origin, and with it every point, leaves the member as it is."""

    def moved(p: tuple[float, float]) -> tuple[float, float]:
        return (p[0] + dx, p[1] + dy)

    def section(s: SectionConstants) -> SectionConstants:
        return replace(s, centroid=moved(s.centroid), shear_centre=moved(s.shear_centre))

    segments = tuple(replace(s, section=section(s.section)) for s in member.segments)
    loads = tuple(
        load if isinstance(load, SelfWeight) else replace(load, place=moved(load.place))
        for load in member.loads
    )
    supports = tuple(
        s.with_(bearings=tuple(replace(b, x=b.x + dx) for b in s.bearings)) for s in member.supports
    )
    restraints = tuple(
        replace(r, level=r.level + dy) if isinstance(r, LateralSpring | Deck) else r
        for r in member.restraints
    )
    other = Member(member.axis, segments, supports, restraints, loads, line=(dx, dy), name="moved")
    z = np.linspace(0, member.length, 7)
    here, there = solve(member).at(z), solve(other).at(z)
    for word in WORDS:
        a, b = getattr(here, word), getattr(there, word)
        assert b == pytest.approx(a, abs=1e-8 * max(np.abs(a).max(), natural(word, here)))


@FEW
@given(members())
def test_units_are_of_no_account(member: Member) -> None:
    """mm and N against m and kN."""
    length, force = 1e-3, 1e-3

    def section(s: SectionConstants) -> SectionConstants:
        return replace(
            s,
            elastic_modulus=s.elastic_modulus * force / length**2,
            shear_modulus=s.shear_modulus * force / length**2,
            area=s.area * length**2,
            second_moment_x=s.second_moment_x * length**4,
            second_moment_y=s.second_moment_y * length**4,
            product_moment=s.product_moment * length**4,
            torsion_constant=s.torsion_constant * length**4,
            warping_constant=s.warping_constant * length**6,
            centroid=(s.centroid[0] * length, s.centroid[1] * length),
            shear_centre=(s.shear_centre[0] * length, s.shear_centre[1] * length),
            shear_area_x=s.shear_area_x * length**2,
            shear_area_y=s.shear_area_y * length**2,
            mass_per_length=s.mass_per_length * force / length,
        )

    def vector(v: tuple[float, ...], factor: float) -> tuple[float, ...]:
        return tuple(c * factor for c in v)

    pieces = tuple(
        Straight(p.length * length)
        if isinstance(p, Straight)
        else Arc(p.length * length, p.radius * length)
        for p in member.axis.pieces
    )
    loads: list[PointLoad | LineLoad | SelfWeight] = []
    for load in member.loads:
        if isinstance(load, SelfWeight):
            loads.append(load)
        elif isinstance(load, PointLoad):
            loads.append(
                replace(
                    load,
                    at=load.at * length,
                    force=vector(load.force, force),
                    moment=vector(load.moment, force * length),
                    place=vector(load.place, length),
                )
            )
        else:
            loads.append(
                replace(
                    load,
                    start=load.start * length,
                    end=load.end * length,
                    force=vector(load.force, force / length),
                    force_end=vector(load.force_end, force / length),
                    torque=load.torque * force,
                    torque_end=load.torque_end * force,
                    place=vector(load.place, length),
                )
            )
    supports = []
    for s in member.supports:
        soft = s.name == "soft"
        supports.append(
            s.with_(
                at=s.at * length,
                y=s.y * force / length if soft else s.y,
                twist=s.twist * force * length if soft else s.twist,
                bearings=tuple(replace(b, x=b.x * length) for b in s.bearings),
            )
        )
    plain = member.with_(restraints=())
    other = Member(
        Axis(pieces),
        tuple(
            Segment(s.start * length, s.end * length, section(s.section)) for s in member.segments
        ),
        tuple(supports),
        loads=tuple(loads),
    )
    z = np.linspace(0, member.length, 5)
    here, there = solve(plain).at(z), solve(other).at(z * length)
    for word, size in (("phi", 1.0), ("v", length), ("u", length)):
        a, b = getattr(here, word), getattr(there, word) / size
        assert b == pytest.approx(a, abs=1e-8 * max(np.abs(a).max(), natural(word, here)))


def test_a_mirrored_member_twists_the_other_way() -> None:
    s = skew_section()
    mirrored = skew_section(
        product_moment=-s.product_moment,
        centroid=(-s.centroid[0], s.centroid[1]),
        shear_centre=(-s.shear_centre[0], s.shear_centre[1]),
    )
    found = []
    for section, side in ((s, 1.0), (mirrored, -1.0)):
        axis = Axis.arc(6000.0, 9000.0 * side)
        load = LineLoad(500, 4000, force=(0.5 * side, -3.0, 0), place=(80.0 * side, 10.0))
        member = Member.prismatic(axis, section, [fork(0), fork(6000.0)], loads=(load,))
        found.append(solve(member).at([1000.0, 3000.0]))
    for word, sign in (
        ("v", 1),
        ("u", -1),
        ("phi", -1),
        ("T", -1),
        ("B", -1),
        ("M_x", 1),
        ("M_y", -1),
    ):
        a, b = (getattr(f, word) for f in found)
        assert b == pytest.approx(sign * a, rel=1e-9)


def test_ten_thousand_elements_lose_no_digits() -> None:
    """Stiffness methods lose the fourth power of the number of elements here."""
    s = skew_section()
    load = LineLoad(0, 12000.0, force=(0, -3.0, 0), place=(60.0, 0))
    member = Member.prismatic(
        Axis.arc(12000.0, 30000.0), s, [fork(0), fork(5000.0), fork(12000.0)], loads=(load,)
    )
    z = [1000.0, 2500.0, 9000.0]
    few, many = solve(member), solve(member, longest=1.2)
    assert len(many.mesh.length) >= 10000
    assert many.residual.max() < 1e-12
    for word in WORDS:
        a, b = getattr(few.at(z), word), getattr(many.at(z), word)
        assert b == pytest.approx(a, rel=1e-9, abs=1e-10 * np.abs(a).max())
