"""Temperature, shrinkage and settlement of members whose sections keep their shape.

Values are closed forms, derived and verified by a beam or a frame of a second program unless a line
says otherwise; profiles of EN 1991-1-5 are from memory of it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.free_strain import section_strain
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.faces import Faces, Height
from soapfilm.solver.member.model.imposed import (
    Imposed,
    Settlement,
    Shrinkage,
    Temperature,
    strain_field,
)
from soapfilm.solver.member.model.load import Combination, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

E, ALPHA = 34e6, 1e-5


def rectangle(x0: float, y0: float, x1: float, y1: float, material: Material) -> Region:
    return Region(Contour([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), material=material)


def constants(*regions: Region) -> SectionConstants:
    """Constants by sums over rectangles, with the outline that strains ask for."""
    section = Section(regions, "boxes", "m")
    boxes = [r.outline.bounds() for r in regions]
    e = np.array([r.material.elastic_modulus for r in regions]) / E
    b = np.array([x1 - x0 for x0, _, x1, _ in boxes])
    h = np.array([y1 - y0 for _, y0, _, y1 in boxes])
    x = np.array([(x0 + x1) / 2 for x0, _, x1, _ in boxes])
    y = np.array([(y0 + y1) / 2 for _, y0, _, y1 in boxes])
    area = e * b * h
    c_x, c_y = (area @ x) / area.sum(), (area @ y) / area.sum()
    return SectionConstants(
        E, 14e6, area.sum(), area @ (h**2 / 12 + (y - c_y) ** 2),
        area @ (b**2 / 12 + (x - c_x) ** 2), 1.0, product_moment=area @ ((x - c_x) * (y - c_y)),
        centroid=(c_x, c_y), shear_centre=(c_x, c_y), faces=Faces.of(section), outline=section,
    )  # fmt: skip


def concrete(modulus: float = E, expansion: float | None = ALPHA, name: str = "own") -> Material:
    return Material(name, modulus, 0.2, thermal_expansion=expansion)


def beam(imposed: Imposed, *supports: Support, length: float = 10.0) -> Member:
    section = SectionConstants(210e6, 81e6, 0.02, 4e-4, 2e-4, 1e-5, 1e-7)
    return Member.prismatic(length, section, supports, imposed=(imposed,))


# -- bars and beams -------------------------------------------------------------------------------
def test_a_bar_between_walls_carries_what_it_may_not_lengthen() -> None:
    warm = Temperature(0.0, 10.0, 25.0, expansion=12e-6)
    solution = solve(beam(warm, fixed(0.0), fixed(10.0)))
    assert pytest.approx(-210e6 * 0.02 * 12e-6 * 25, rel=1e-12) == solution.at([0.0, 3.7]).N
    half = Temperature(0.0, 5.0, 25.0, expansion=12e-6)
    solution = solve(beam(half, fixed(0.0), fixed(10.0)))
    assert pytest.approx(-210e6 * 0.02 * 12e-6 * 12.5, rel=1e-12) == solution.at([1.0, 9.0]).N
    assert solution.at([5.0]).w[0, 0] == pytest.approx(12e-6 * 25 * 2.5, rel=1e-12)


def test_a_spring_takes_its_share() -> None:
    warm = Temperature(0.0, 10.0, 25.0, expansion=12e-6)
    spring = 1.3e5
    solution = solve(beam(warm, fixed(0.0), fork(10.0, z=spring)))
    bar = 210e6 * 0.02 / 10
    assert solution.at([4.0]).N[0, 0] == pytest.approx(
        -12e-6 * 25 * 10 * bar * spring / (bar + spring), rel=1e-10
    )


@pytest.mark.parametrize(
    ("spans", "moments"),
    [
        ((10, 10), [1.5]),
        ((30, 20), [1.5]),
        ((8, 8, 8), [1.2, 1.2]),
        ((8, 8, 8, 8), [9 / 7, 6 / 7, 9 / 7]),
        ((8, 8, 8, 8, 8), [24 / 19, 18 / 19, 18 / 19, 24 / 19]),
    ],
)
def test_moments_of_a_warmer_top_by_three_moments(
    spans: tuple[float, ...], moments: list[float]
) -> None:
    """In E I alpha dT / h, sagging; three moments with the free curvature, derived."""
    section = constants(rectangle(-0.2, -0.3, 0.2, 0.5, concrete()))
    at = np.cumsum([0, *spans])
    heights = ((Height("bottom"), 0.0), (Height("top"), 14.0))
    warm = Temperature(0.0, float(at[-1]), heights=heights)
    supports = [fork(float(z)) for z in at]
    solution = solve(Member.prismatic(float(at[-1]), section, supports, imposed=(warm,)))
    scale = E * section.second_moment_x * ALPHA * 14.0 / 0.8
    assert solution.at(at[1:-1]).sagging[:, 0] / scale == pytest.approx(moments, rel=1e-9)


def test_single_spans_of_a_warmer_top() -> None:
    """End rotation k L / 2, rise k L^2 / 8, propped 1.5 E I k, fixed E I k: closed forms."""
    section = constants(rectangle(-0.2, -0.3, 0.2, 0.5, concrete()))
    k, length = ALPHA * 14.0 / 0.8, 12.0
    warm = Temperature(0.0, length, heights=((Height("bottom"), 0.0), (Height("top"), 14.0)))

    def of(*supports: Support):  # type: ignore[no-untyped-def]
        return solve(Member.prismatic(length, section, supports, imposed=(warm,)))

    simple = of(fork(0.0), fork(length)).at([0.0, length / 2])
    assert abs(simple.theta_x[0, 0]) == pytest.approx(k * length / 2, rel=1e-9)
    assert simple.v[1, 0] == pytest.approx(k * length**2 / 8, rel=1e-9)
    stiff = E * section.second_moment_x * k
    assert of(fixed(0.0), fork(length)).at([0.0]).sagging[0, 0] == pytest.approx(1.5 * stiff)
    held = of(fixed(0.0), fixed(length, z="free")).at([3.0])
    assert held.sagging[0, 0] == pytest.approx(stiff, rel=1e-9)


def test_a_determinate_member_has_no_reactions() -> None:
    """1e-9 of what full restraint would bring, with every kind of strain, straight and curved."""
    section = constants(
        rectangle(-0.2, -0.3, 0.2, 0.5, concrete()),
        rectangle(0.2, 0.1, 0.9, 0.3, concrete(20e6, 2e-5, "other")),
    )
    for axis in (Axis.straight(12.0), Axis.arc(12.0, 25.0)):
        strains: tuple[Imposed, ...] = (
            Temperature(0.0, 12.0, 20.0, ((0.1, 3.0), (0.3, 9.0), (0.5, 1.0)), (0.0, 8.0)),
            Shrinkage(2.0, 9.0, 3e-4, ("other",)),
        )
        supports = [fork(0.0, z="held", bend_y="held"), Support(12.0, y="held")]
        solution = solve(Member.prismatic(axis, section, supports, imposed=strains))
        full = E * section.area * ALPHA * 20
        for case in solution.reactions:
            for reaction in case:
                assert np.abs([*reaction.force, *reaction.moment]).max() < 1e-9 * full
        table = solution.diagram(5)
        assert max(np.abs(getattr(table, w)).max() for w in ("N", "M_x", "M_y")) < 1e-9 * full
        assert np.abs(table.v).max() > 1e-4


# -- arcs and rings -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("degrees", "radius", "thrust", "end", "crown"),
    [
        (60, 50.0, 340.256976, 1512.51465, 766.774905),
        (20, 150.0, 2120.51171, 3219.89642, 1612.40422),
    ],
)
def test_an_arc_between_walls(
    degrees: float, radius: float, thrust: float, end: float, crown: float
) -> None:
    """E I 4.2e6 kN m^2, E A 16.8e6 kN, 30 K: by the elastic centre, derived; a frame of 400
    straight elements gave 340.2574, 1512.5074."""
    section = SectionConstants(1.0, 8.4e8, 16.8e6, 4.2e7, 4.2e6, 4.2e6, 0.0)
    length = math.radians(degrees) * radius
    warm = Temperature(0.0, length, 30.0, expansion=1.2e-5)
    for sign in (1, -1):
        member = Member.prismatic(
            Axis.arc(length, sign * radius), section, [fixed(0.0), fixed(length)], imposed=(warm,)
        )
        table = solve(member).at([0.0, length / 2])
        assert math.hypot(table.N[0, 0], table.V_x[0, 0]) == pytest.approx(thrust, rel=1e-8)
        assert -sign * table.M_y[:, 0] == pytest.approx([end, -crown], rel=1e-8)


def test_a_ring_grows_freely() -> None:
    """On three supports that guide it along the axis' radius nothing is restrained but the first
    one's place: u = alpha dT R."""
    radius = 20.0
    section = constants(rectangle(-0.2, -0.3, 0.2, 0.5, concrete()))
    third = 2 * math.pi * radius / 3
    supports = [Support(0.0, x="held", y="held", z="held", bend_y="held")]
    supports += [Support(k * third, y="held", z="free") for k in (1, 2)]
    warm = Temperature(0.0, 3 * third, 30.0)
    member = Member.prismatic(Axis.ring(radius), section, supports, imposed=(warm,))
    solution = solve(member)
    table = solution.diagram(3)
    full = E * section.area * ALPHA * 30
    assert np.abs(table.N).max() < 1e-9 * full
    assert np.abs(table.M_y).max() < 1e-9 * full * radius
    # The opposite point moves away by the diameter's growth.
    far = solution.at([1.5 * third])
    assert abs(far.u[0, 0]) == pytest.approx(2 * radius * ALPHA * 30, rel=1e-9)


def test_a_ring_warmer_at_its_top_twists_against_its_supports() -> None:
    """Free curvature k about x in a ring held against twist all around is a torsion that the ring
    itself frees: a rotation phi = k R of every section, no force at all (derived: chi_x = kappa
    phi)."""
    radius, rise = 20.0, 14.0
    section = constants(rectangle(-0.2, -0.3, 0.2, 0.5, concrete()))
    third = 2 * math.pi * radius / 3
    supports = [Support(0.0, x="held", y="held", z="held", bend_y="held")]
    supports += [Support(k * third, y="held", z="free") for k in (1, 2)]
    heights = ((Height("bottom"), 0.0), (Height("top"), rise))
    warm = Temperature(0.0, 3 * third, -rise * 0.5, heights)
    solution = solve(Member.prismatic(Axis.ring(radius), section, supports, imposed=(warm,)))
    table = solution.diagram(3)
    assert table.phi == pytest.approx(ALPHA * rise / 0.8 * radius, rel=1e-6)
    assert np.abs(table.M_x).max() < 1e-8 * E * section.second_moment_x * ALPHA * rise


# -- settlement -----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("spans", "which", "moments"),
    [(2, 1, [3.0]), (2, 0, [-1.5]), (3, 1, [3.6, -2.4]), (3, 0, [-1.6, 0.4])],
)
def test_settlement_by_three_moments(spans: int, which: int, moments: list[float]) -> None:
    """M L^2 / (E I d), sagging; three moments, derived."""
    length, down = 7.0, 0.012
    at = [length * k for k in range(spans + 1)]
    moved = Settlement(f"support at {at[which]:g}", (0, -down, 0, 0, 0, 0))
    solution = solve(beam(moved, *(fork(z) for z in at), length=at[-1]))
    found = solution.at(at[1:-1]).sagging[:, 0] * length**2 / (210e6 * 4e-4 * down)
    assert found == pytest.approx(moments, rel=1e-9)
    assert solution.at([at[which]]).v[0, 0] == pytest.approx(-down, rel=1e-12)


def test_every_freedom_of_a_fixed_end_moves() -> None:
    """A cantilever follows its wall as a rigid body, without a force."""
    motion = (0.002, -0.003, 0.004, 0.0005, -0.0007, 0.0009)
    point = (0.11, -0.23)
    wall = fixed(0.0, point=point)
    member = beam(Settlement("support at 0", motion), wall)
    solution = solve(member)
    assert np.abs(solution.diagram(3).M_x).max() < 1e-9
    x, y, z, a, b, c = motion
    table = solution.at([10.0])
    # d + theta x (r - point), at the shear centre (0, 0) ten along.
    expected = np.array([x, y, z]) + np.cross([a, b, c], [-point[0], -point[1], 10.0])
    found = [table.u[0, 0], table.v[0, 0], table.w[0, 0]]
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_what_nothing_hinders_has_no_balance_to_miss(seed: int) -> None:
    """A cantilever under a load, whose wall moves in a case of its own: rounding that does not
    cancel is no imbalance, for which two in three of these were refused."""
    rng = np.random.default_rng(seed)
    motion = tuple(float(v) for v in 1e-3 * rng.standard_normal(6) * (600, 600, 600, 1, 1, 1))
    section = SectionConstants(
        210e3, 81e3, 2e4, 1.2e9, 2e8, 4e6, warping_constant=1e13, shear_centre=(-140.0, 0.0)
    )
    length = float(rng.uniform(4e3, 9e3))
    member = Member.prismatic(
        length,
        section,
        supports=(fixed(0.0),),
        loads=(PointLoad(0.4 * length, (0.0, -1.0, 0.0), (30.0, 10.0)),),
        imposed=(Settlement("support at 0", motion),),
    )
    held = solve(member).reactions[1][0]
    rigidity = section.elastic_modulus * section.area
    assert np.abs(held.force).max() < 1e-15 * rigidity
    assert np.abs(held.moment).max() < 1e-15 * rigidity * length


def test_a_pair_of_bearings_turns_with_its_ground() -> None:
    from soapfilm.solver.member.model.support import bearing_pair

    pair = bearing_pair(0.0, 2.0, holds_down=True)
    member = beam(Settlement("support at 0", (0, 0, 0, 0, 0, 0.01)), pair, fork(10.0))
    torque = solve(member).at([5.0]).T[0, 0]
    held = fork(0.0)
    again = beam(Settlement("support at 0", (0, 0, 0, 0, 0, 0.01)), held, fork(10.0))
    assert torque == pytest.approx(solve(again).at([5.0]).T[0, 0], rel=1e-9)
    assert torque == pytest.approx(-81e6 * 1e-5 * 0.01 / 10, rel=1e-6)


def test_combinations_take_their_share() -> None:
    warm = Temperature(0.0, 10.0, 25.0, expansion=12e-6, case="t")
    moved = Settlement("support at 5", (0, -0.01, 0, 0, 0, 0), "s")
    both = (Combination("both", {"t": -0.6, "s": 1.5}),)
    supports = (fork(0.0, z="held"), fork(5.0), fork(10.0, z="held"))
    member = beam(warm, *supports).with_(imposed=(warm, moved), combinations=both)
    table = solve(member).at([5.0])
    assert table.N[0, 0] == pytest.approx(0.6 * 210e6 * 0.02 * 12e-6 * 25, rel=1e-9)
    assert table.sagging[0, 0] == pytest.approx(1.5 * 3 * 210e6 * 4e-4 * 0.01 / 25, rel=1e-9)


# -- within the section ---------------------------------------------------------------------------
def stresses(section: SectionConstants, action: Temperature, depths: list[float]) -> list[float]:
    """E (plane - e) at depths below the top, where the web is."""
    assert section.outline is not None
    top = section.outline.bounds()[3]
    points = np.array([[section.centroid[0], top - d] for d in depths])
    field = strain_field(action, section)
    plane = section_strain(field, section).at(points, section.centroid)
    return list(E * (plane - ALPHA * field.shape(*points.T)))


BOX_PROFILE = ((0.0, 13.0), (-0.15, 3.0), (-0.4, 0.0), (-1.7, 0.0), (-1.8, 2.5))


def test_a_concrete_box_under_the_heating_profile() -> None:
    """EN 1991-1-5:2003 figure 6.2c for a box 1.8 m deep (profile from memory); force, moment and
    stresses derived, verified by quadrature."""
    c = concrete()
    section = constants(
        rectangle(-5, -0.25, 5, 0, c), rectangle(-0.4, -1.6, 0.4, -0.25, c),
        rectangle(-2.5, -1.8, 2.5, -1.6, c),
    )  # fmt: skip
    assert section.area == pytest.approx(4.58)
    assert section.centroid[1] == pytest.approx(-0.657532751, rel=1e-8)
    action = Temperature(0.0, 1.0, heights=BOX_PROFILE)
    free = section_strain(strain_field(action, section), section)
    assert E * section.area * free.axial == pytest.approx(5145.22, rel=1e-9)
    moment = E * section.second_moment_x * free.about_x
    assert moment == pytest.approx(2594.66799, rel=1e-8)
    assert free.axial / ALPHA == pytest.approx(3.30414847, rel=1e-8)
    assert free.about_x == pytest.approx(3.71653699e-05, rel=1e-8)
    depths = [0, 0.15, 0.25, 0.4, 1.7, 1.6, 1.8]
    expected = [
        -2.46571629, 0.744740323, 1.02637807, 1.44883468, -0.193874671, -0.0675124137, -1.17023693,
    ]  # fmt: skip
    assert np.array(stresses(section, action, depths)) / 1e3 == pytest.approx(expected, rel=1e-7)


def test_a_parabola_over_a_rectangle() -> None:
    """Mean 1/3, curvature 1, stress -1/6, 1/12, -1/6: derived; by 400 chords of the parabola."""
    section = constants(rectangle(0, 0, 0.3, 1, concrete()))
    u = np.linspace(0.0, 1.0, 401)
    action = Temperature(0.0, 1.0, heights=tuple(zip(u.tolist(), (u**2).tolist(), strict=True)))
    free = section_strain(strain_field(action, section), section)
    assert free.axial / ALPHA == pytest.approx(1 / 3, rel=1e-5)
    assert free.about_x / ALPHA == pytest.approx(1.0, rel=1e-5)
    found = np.array(stresses(section, action, [1.0, 0.5, 0.0])) / (E * ALPHA)
    assert found == pytest.approx([-1 / 6, 1 / 12, -1 / 6], abs=1e-5)


def test_two_thin_flanges_and_a_web() -> None:
    """Megson, Introduction to Aircraft Structural Analysis, example 15.16 (read: N_T = 4 E alpha
    T_0 a t; M_T derived), upper flange at 2 T_0, web from 2 T_0 to 0; here with thin rectangles."""
    t = 1e-4
    c = concrete()
    section = constants(
        rectangle(-0.5, 1 - t / 2, 0.5, 1 + t / 2, c),
        rectangle(-0.5, -1 - t / 2, 0.5, t / 2 - 1, c),
        rectangle(-t / 2, -1 + t / 2, t / 2, 1 - t / 2, c),
    )  # fmt: skip
    action = Temperature(0.0, 1.0, heights=((-1.0, 0.0), (1.0, 2.0)))
    free = section_strain(strain_field(action, section), section)
    assert section.area * free.axial / (ALPHA * t) == pytest.approx(4, rel=2e-4)
    assert section.second_moment_x * free.about_x / (ALPHA * t) == pytest.approx(8 / 3, rel=3e-4)


def test_arcs_are_integrated_too() -> None:
    """A round bar warm above its middle only: int y dA of a half disc is 2 R^3 / 3, and of y^2
    pi R^4 / 8."""
    disc = Region(Contour([[-1, 0], [1, 0]], [1.0, 1.0]), material=concrete())
    section = SectionConstants(
        E, 14e6, math.pi, math.pi / 4, math.pi / 4, math.pi / 2,
        faces=Faces.of(Section((disc,), "disc", "m")), outline=Section((disc,), "disc", "m"),
    )  # fmt: skip
    action = Temperature(0.0, 1.0, heights=((0.0, 0.0), (1.0, 1.0)))
    free = section_strain(strain_field(action, section), section)
    assert free.axial == pytest.approx(ALPHA * (2 / 3) / math.pi, rel=1e-9)
    assert free.about_x == pytest.approx(ALPHA / 2, rel=1e-9)


def test_a_bimetal_strip_curves() -> None:
    """Timoshenko (J. Opt. Soc. Am. 11 (1925) 233), two equal thicknesses and moduli: curvature
    3 (a_2 - a_1) dT / (2 h), from memory."""
    section = constants(
        rectangle(0, 0, 1, 0.5, concrete(E, 1e-5)), rectangle(0, 0.5, 1, 1, concrete(E, 3e-5, "b"))
    )
    free = section_strain(strain_field(Temperature(0.0, 1.0, 10.0), section), section)
    assert free.about_x == pytest.approx(1.5 * 2e-5 * 10, rel=1e-12)
    assert free.axial == pytest.approx(2e-4, rel=1e-12)


def test_shrinkage_of_one_part() -> None:
    """A slab on a beam: force E_s A_s e at the slab's centre on the whole section (derived)."""
    slab, web = concrete(30e6, name="slab"), concrete(name="beam")
    section = constants(rectangle(-1, 0, 1, 0.2, slab), rectangle(-0.2, -0.8, 0.2, 0, web))
    free = section_strain(strain_field(Shrinkage(0.0, 1.0, 3e-4, ("slab",)), section), section)
    force = 30e6 * 0.4 * 3e-4
    assert free.axial == pytest.approx(-force / (E * section.area), rel=1e-12)
    lever = 0.1 - section.centroid[1]
    assert free.about_x == pytest.approx(-force * lever / (E * section.second_moment_x), rel=1e-12)


def test_mirror_and_turned_sections_answer_alike() -> None:
    plain = constants(
        rectangle(-0.2, 0, 0.2, 0.8, concrete()), rectangle(0.2, 0.6, 0.9, 0.8, concrete())
    )
    mirrored = constants(
        rectangle(-0.2, 0, 0.2, 0.8, concrete()), rectangle(-0.9, 0.6, -0.2, 0.8, concrete())
    )
    heights = ((0.0, 0.0), (0.5, 2.0), (0.8, 9.0))
    one = section_strain(
        strain_field(Temperature(0.0, 1.0, 3.0, heights, (1.0, 4.0)), plain), plain
    )
    other = section_strain(
        strain_field(Temperature(0.0, 1.0, 3.0, heights, (4.0, 1.0)), mirrored), mirrored
    )
    assert (other.axial, other.about_x) == pytest.approx((one.axial, one.about_x), rel=1e-12)
    assert other.about_y == pytest.approx(-one.about_y, rel=1e-12)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: Temperature(0.0, 1.0, uniform=1e30), "a difference of 1e+30 K is no temperature"),
        (lambda: Temperature(0.0, 1.0, across=(0.0, -4e3)), "a difference of -4000 K"),
        (lambda: Shrinkage(0.0, 1.0, 300.0), "a strain of 300"),
    ],
)
def test_differences_of_no_structure_are_refused(made: Callable[[], object], said: str) -> None:
    """Of 1e30 kelvin a beam between forks was told to twist by 2e15 degrees: rounding alone."""
    with pytest.raises(InputError, match=re.escape(said)):
        made()
