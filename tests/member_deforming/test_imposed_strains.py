"""Temperature and settlement of members whose sections deform, beside closed forms and the
classical theory."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import diaphragm_forces, reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis, Kink
from soapfilm.solver.member.model.diaphragm import Diaphragm, DiaphragmPlate
from soapfilm.solver.member.model.faces import Height
from soapfilm.solver.member.model.imposed import Imposed, Settlement, Temperature
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import Support, bearing_pair, fixed, fork
from soapfilm.solver.member.model.tendon import Tendon, TendonPoint
from soapfilm.solver.member.review.own_stress import own_stresses

ALPHA, E, NU = 12e-6, 210e3, 0.3
STEEL = Material("steel", E, NU, thermal_expansion=ALPHA)
WARM_TOP = ((Height("bottom"), 0.0), (Height("top"), 12.0))


@cache
def tube() -> SolvedSection:
    outline = Contour([(-100, -250), (100, -250), (100, 250), (-100, 250)])
    hole = Contour([(-88, -238), (88, -238), (88, 238), (-88, 238)])
    return solved_section(Section((Region(outline, (hole,), STEEL),), "tube", "mm"), "tube", 1e-4)


def member(
    length: float | Axis,
    supports: list[Support],
    *imposed: Imposed,
    modes: int = 2,
    diaphragms: tuple[Diaphragm, ...] = (),
) -> tuple[Member, DeformingSolution]:
    made = Member.prismatic(
        length, tube().constants, supports, imposed=imposed, diaphragms=diaphragms
    )
    course = course_of(made, {"tube": tube()}, modes)
    return made, solve_deforming(made, course)


def test_a_determinate_member_is_free_of_stress_and_reactions() -> None:
    """Uniform, through the depth and across: 1e-9 of full restraint, straight and curved; the tip
    moves as the closed forms say."""
    length = 9e3
    full = E * tube().constants.area * ALPHA * 20
    for axis in (Axis.straight(length), Axis.arc(length, 30e3)):
        strains = (
            Temperature(0.0, length, 20.0, case="uniform"),
            Temperature(0.0, length, heights=WARM_TOP, case="depth"),
            Temperature(0.0, length, across=(0.0, 6.0), case="width"),
        )
        supports = [
            Support(0.0, x="held", y="held", z="held", bend_y="held", twist="held"),
            Support(length, y="held"),
        ]
        # What holds twist, x and y holds the section's shape as well: not here.
        supports[0] = replace(supports[0], x=1e9)
        _, found = member(axis, supports, *strains)
        for c in range(3):
            for reaction in reactions(found, c):
                assert np.abs([*reaction.force]).max() < 1e-9 * full
        away = found.stress([[95.0, 245.0], [-95.0, -245.0]], [0.3 * length, 0.6 * length])
        level = E * ALPHA * 20
        assert np.abs(away[..., 0]).max() < 1e-6 * level
        if not axis.curved:
            assert np.abs(away).max() < 1e-6 * level
            _, up = found.movement("shear_centre", [length / 2])
            assert up[0, 1] == pytest.approx(ALPHA * 12 / 500 * length**2 / 8, rel=1e-6)


def test_forks_and_diaphragms_warm_with_the_member() -> None:
    """What keeps the shape does not press it back to the one it was built with: no stress, beside a
    fork and beside diaphragms that are rigid or give, and these carry nothing."""
    length = 6e3
    strains = (
        Temperature(0.0, length, 25.0, case="uniform"),
        Temperature(0.0, length, heights=WARM_TOP, case="depth"),
    )
    supports = [replace(fork(0.0), z="held"), fork(length)]
    plate = DiaphragmPlate(10.0, E, NU)
    diaphragms = (Diaphragm(2e3), Diaphragm(4e3, plate))
    _, found = member(length, supports, *strains, diaphragms=diaphragms)
    places = [[95.0, 0.0], [0.0, 245.0], [-95.0, -200.0]]
    stress = found.stress(places, [30.0, 2030.0, 4030.0, length - 30.0])
    assert np.abs(stress).max() < 1e-6 * E * ALPHA * 25
    for force in diaphragm_forces(found):
        assert np.abs(force.hold).max() < 1e-6 * E * ALPHA * 25 * tube().constants.area


def test_walls_hold_a_warm_tube() -> None:
    """Between walls N = -E A alpha dT but for the ends, where the section may not widen; half way
    sigma is E alpha dT and nothing across."""
    length = 8e3
    warm = Temperature(0.0, length, 25.0)
    _, found = member(length, [fixed(0.0), fixed(length)], warm)
    sigma = found.stress([[94.0, 0.0], [0.0, 244.0]], [length / 2])[0, :, :, 0]
    assert sigma[:, 2] == pytest.approx(-E * ALPHA * 25, rel=0.02)
    assert np.abs(sigma[:, [0, 1, 3, 4, 5]]).max() < 0.01 * E * ALPHA * 25
    n = found.resultants([0.2 * length, 0.7 * length]).N[:, 0]
    area = tube().constants.area
    assert n[0] == pytest.approx(n[1], rel=1e-7)
    assert n == pytest.approx(area * sigma[:, 2].mean(), rel=1e-3)


def test_both_theories_share_their_answers() -> None:
    """Two spans, a settled pier, a warm top, a turned end, on bearings: moments, reactions and
    motion within what shear and local widening make."""
    length = 12e3
    supports = [
        fork(0.0, z="held"),
        bearing_pair(length / 2, 188.0, level=-250.0, holds_down=True),
        fork(length),
    ]
    pier = supports[1].title
    imposed = (
        Temperature(0.0, length, heights=WARM_TOP, case="warm"),
        Settlement(pier, (0, -8.0, 0, 0, 0, 0), case="down"),
        Settlement(pier, (0, 0, 0, 0, 0, 0.004), case="turn"),
        Settlement("support at 12000", (0, 3.0, 0, 0, 0, -0.002), case="end"),
    )
    made, found = member(length, supports, *imposed, modes=4, diaphragms=(Diaphragm(length / 2),))
    beam = solve(made)
    at = [0.25 * length, 0.5 * length, 0.8 * length]
    ours, theirs = found.resultants(at), beam.at(at)
    for c in (0, 1, 3):
        assert ours.M_x[:, c] == pytest.approx(theirs.M_x[:, c], rel=0.016)
    for c in (2, 3):
        size = np.abs(theirs.T[:, c]).max()
        assert ours.T[[0, 2], c] == pytest.approx(theirs.T[[0, 2], c], abs=0.03 * size)
    for c in range(4):
        size = max(np.abs(r.force[1]) for r in beam.reactions[c]) + 1.0
        for a, b in zip(reactions(found, c), beam.reactions[c], strict=True):
            assert a.force[1] == pytest.approx(b.force[1], abs=0.016 * size)
    _, down = found.movement((0.0, -250.0), [length / 2])
    assert down[0, 1] == pytest.approx(-8.0, abs=0.01)
    assert found.order_change < 1e-3


def test_a_fixed_end_carries_the_member_with_it() -> None:
    """A rigid motion of the ground stresses nothing."""
    motion = (2.0, -3.0, 4.0, 0.0005, -0.0007, 0.0009)
    length = 4e3
    _, found = member(length, [fixed(0.0)], Settlement("support at 0", motion))
    x, y, z, a, b, c = motion
    point = np.array([94.0, 200.0])
    centre = np.array(tube().constants.shear_centre)
    arm = np.array([*(point - centre), length])
    expected = np.array([x, y, z]) + np.cross([a, b, c], arm)
    assert found.displacement(point, [length])[0, 0, :, 0] == pytest.approx(expected, rel=1e-8)
    level = E * 0.001
    assert np.abs(found.stress(point, [0.1 * length, 0.5 * length])).max() < 1e-7 * level


def test_a_ring_grows_freely() -> None:
    """All of it by alpha dT, its section too: no stress."""
    radius = 6e3
    third = 2 * math.pi * radius / 3
    supports = [Support(0.0, x=1e9, y="held", z="held", bend_y="held")]
    supports += [Support(k * third, y="held", z="free") for k in (1, 2)]
    _, found = member(Axis.ring(radius), supports, Temperature(0.0, 3 * third, 30.0))
    level = E * ALPHA * 30
    stress = found.stress([[94.0, 0.0], [0.0, -244.0]], [0.4 * third, 1.5 * third])
    assert np.abs(stress).max() < 1e-5 * level
    inside = found.displacement([[94.0, 0.0]], [1.5 * third])[0, 0, 0, 0]
    outside = found.displacement([[-94.0, 0.0]], [1.5 * third])[0, 0, 0, 0]
    assert inside - outside == pytest.approx(188.0 * ALPHA * 30, rel=1e-5)


def test_a_profile_stresses_a_thin_plate_as_by_hand() -> None:
    """A plate 500 x 20 upright, 20 K at its top falling to 0 three fifths of the way up: thin, so
    that sigma is E (plane - e); away from ends, and by its thickness from the profile's turn."""
    plate = Contour([(-10, -250), (10, -250), (10, 250), (-10, 250)])
    solved = solved_section(Section((Region(plate, (), STEEL),), "plate", "mm"), "plate", 1e-4)
    warm = Temperature(0.0, 6e3, heights=((-250.0, 0.0), (50.0, 0.0), (250.0, 20.0)))
    supports = [fork(0.0, z="held", bend_y="free"), fork(6e3)]
    made = Member.prismatic(6e3, solved.constants, supports, imposed=(warm,))
    found = solve_deforming(made, course_of(made, {"plate": solved}, 2))
    y = np.array([-249.0, -100.0, 0.0, 100.0, 200.0, 249.0])
    points = np.column_stack([np.full(6, 9.0), y])
    sigma = found.stress(points, [3e3])[0, :, :, 0]
    # By hand: int e dy = 20 x 200 / 2, int e y dy = 20 x 200 (50/2 + 200/3), over h and h^3/12.
    axial = ALPHA * 2000.0 / 500
    turn = ALPHA * 20 * 200 * (50 / 2 + 200 / 3) / (500**3 / 12)
    own = ALPHA * 20 * np.clip(y - 50, 0, None) / 200
    expected = E * (axial + turn * y - own)
    assert sigma[[0, 1, 4, 5], 2] == pytest.approx(expected[[0, 1, 4, 5]], rel=2e-3)
    assert sigma[:, 2] == pytest.approx(expected, abs=0.06 * np.abs(expected).max())
    assert np.abs(sigma[[0, 1, 4, 5]][:, [0, 1, 3, 4, 5]]).max() < 0.01 * np.abs(expected).max()
    table = found.resultants([2e3])
    full = E * ALPHA * 20 * 1e4
    assert max(abs(table.N[0, 0]), abs(table.M_x[0, 0]) / 500) < 1e-6 * full
    rows, own_factors = own_stresses(made, solved, np.array([3e3]))
    assert rows is not None
    assert own_factors is not None
    assert np.abs(rows).max() == pytest.approx(np.abs(expected).max(), rel=0.01)


@pytest.mark.parametrize("radius", [math.inf, 40e3, None])
def test_tendons_load_both_theories_alike(radius: float | None) -> None:
    """In the wall of a tube, with friction, straight, curved in plan and over a kink with a
    diaphragm: resultants, and nothing for the supports to hold."""
    length = 12e3
    axis = Axis.straight(length)
    if radius is None:
        axis = Axis(axis.pieces, kinks=(Kink(6e3, math.radians(9.0)),))
    elif math.isfinite(radius):
        axis = Axis.arc(length, radius)
    points = (
        TendonPoint(500.0, 0.0, 245.0),
        TendonPoint(6e3, 94.0, 100.0, 60.0),
        TendonPoint(11e3, 94.0, -245.0, 50.0),
    )
    tendon = Tendon(points, 1e5, 0.2, 1e-5, "both")
    supports = [
        Support(0.0, x="held", y="held", z="held", bend_y="held", twist="held"),
        Support(length, y="held"),
    ]
    made = Member.prismatic(
        axis, tube().constants, supports, tendons=(tendon,), diaphragms=(Diaphragm(6e3),)
    )
    found = solve_deforming(made, course_of(made, {"tube": tube()}, 2))
    beam = solve(made)
    z = [2e3, 5e3, 7e3, 9e3]
    ours, theirs = found.resultants(z), beam.at(z)
    for word, scale in (("N", 1.0), ("V_y", 0.1), ("M_x", 250.0), ("M_y", 100.0), ("T", 100.0)):
        close = 1e-4 * scale * 1e5
        assert getattr(ours, word) == pytest.approx(getattr(theirs, word), abs=close), word
    for reaction in reactions(found, 0):
        assert np.abs(reaction.force).max() < 1e-9 * 1e5
        assert np.abs(reaction.moment).max() < 1e-9 * 1e5 * length
    _, up = found.movement("shear_centre", z)
    assert up[:, 0] == pytest.approx(theirs.v[:, 0], abs=0.02)
