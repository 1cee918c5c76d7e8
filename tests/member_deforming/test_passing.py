"""Hinges and kinks of members whose sections deform: by statics, by pieces, as limits, and beside
the classical theory and arcs."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.equilibrium import about_start
from soapfilm.solver.member.beam.hinge_force import hinge_forces
from soapfilm.solver.member.beam.junction import kink_matrix
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.hinge_force import deforming_hinge_forces
from soapfilm.solver.member.deforming.reactions import diaphragm_forces, reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.analysis import influence_of
from soapfilm.solver.member.influence.beam_adjoint import beam_field
from soapfilm.solver.member.influence.words import asked_in_words, line_in_words
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member

#: An invented box 600 x 400 x 20 with a load on one web.
BOX = """
unit = "mm"
[section.box]
[[section.box.shape]]
profile = "IfcRectangleHollowProfileDef"
XDim = 600
YDim = 400
WallThickness = 20
material = "S355"
"""
LOAD = '[[load]]\nweight = "30 kN/m"\nplace = [-290, 200]\n'
SPANS = '[[span]]\nlength = "6 m"\n[[span]]\nlength = "7 m"\n'
FORKS = '[[support]]\nname = "pier"\nat = ["start", "end of span 1", "end"]\nkind = "fork"\n'


def request_of(*tables: str) -> MemberRequest:
    return member_from_toml(BOX + "".join(tables))


def solved(request: MemberRequest) -> DeformingSolution:
    return solve_deforming(request.member, course_of(request.member, request.sections, 4))


@cache
def hinged() -> DeformingSolution:
    """A drop-in piece of 4 m in the middle of three spans."""
    spans = '[[span]]\nlength = "5 m"\n[[span]]\nlength = "8 m"\n[[span]]\nlength = "5 m"\n'
    forks = '[[support]]\nname = "pier"\nat = [0, "5 m", "13 m", "18 m"]\nkind = "fork"\n'
    hinge = '[[hinge]]\nname = "seat"\nat = ["7 m", "11 m"]\nkind = "pin"\nbend_y = "free"\n'
    return solved(request_of(spans, forks, LOAD, hinge))


def unbalanced(found: DeformingSolution) -> float:
    """Sum of loads and reactions about the start, relative to their size."""
    member = found.member
    total = found.forces.sums[:, 0].copy()
    size = np.abs(total).max()
    for one in reactions(found, 0):
        x, y = np.subtract(one.point, member.line)
        f = np.array(one.force)
        moment = np.array(one.moment) + np.array([y * f[2], -x * f[2], x * f[1] - y * f[0]])
        acting = np.append(f, moment)[None, :, None]
        total += about_start(member.axis, np.array([one.at]), acting)[0, :, 0]
    return float(np.abs(total).max() / size)


def test_pin_by_statics() -> None:
    found = hinged()
    first, last = deforming_hinge_forces(found)
    # The piece of 4 m between the pins is a simple beam, V = 30 * 4 / 2; the load stands 290 mm
    # beside the shear centre, and each end takes half of its torque.
    assert first.through[0, 2] == pytest.approx(-60e3, rel=1e-9)
    assert last.through[0, 2] == pytest.approx(60e3, rel=1e-9)
    assert first.through[0, 5] == pytest.approx(60e3 * 290, rel=1e-6)
    assert np.abs([first.through[0, 3], last.through[0, 3]]).max() < 1e-7 * 60e6
    bimoment = np.abs(found.resultants([5e3]).B).max()
    assert np.abs([first.bimoment, last.bimoment]).max() < 1e-6 * bimoment
    # M of the pier: 60 * 2 + 30 * 2^2 / 2 = 180 kN m; R of the end: 30 * 5 / 2 - 180 / 5.
    assert reactions(found, 0)[0].force[1] == pytest.approx(39e3, rel=1e-9)
    assert first.parted[0, 3] == pytest.approx(last.parted[0, 3], rel=1e-6)
    assert unbalanced(found) < 1e-9


def test_piece_between_pins_is_a_member_of_its_own() -> None:
    """Between plates that pass x, y and twist on, the piece of 4 m is one on two forks."""
    alone = solved(
        request_of(
            '[[span]]\nlength = "4 m"\n',
            '[[support]]\nat = ["start", "end"]\nkind = "fork"\n',
            LOAD,
        )
    )
    found = hinged()
    z = np.array([500.0, 1500.0, 3000.0])
    points = [(-300.0, 0.0), (-300.0, 150.0), (0.0, -200.0)]
    ours, theirs = found.stress(points, 7e3 + z), alone.stress(points, z)
    assert np.abs(ours - theirs).max() < 2e-3 * np.abs(theirs).max()
    # Distortion too; it is what the classical theory has nothing of.
    assert found.distortion(7e3 + z) == pytest.approx(alone.distortion(z), rel=5e-3)


def test_stiff_springs_make_a_rigid_diaphragm_of_a_hinge() -> None:
    hinge = (
        '[[hinge]]\nat = "9 m"\nbend_x = "1e12 kN*m/rad"\nbend_y = "1e12 kN*m/rad"\n'
        'warping = "continuous"\n'
    )
    one = solved(request_of(SPANS, FORKS, LOAD, hinge))
    other = solved(request_of(SPANS, FORKS, LOAD, '[[diaphragm]]\nat = "9 m"\n'))
    z = [2e3, 8e3, 10e3]
    points = [(-300.0, 0.0), (0.0, -200.0)]
    stress = other.stress(points, z)
    assert np.abs(one.stress(points, z) - stress).max() < 1e-6 * np.abs(stress).max()
    assert deforming_hinge_forces(one)[0].through[0, 3] == pytest.approx(
        other.resultants([9e3]).M_x[0, 0], rel=1e-3
    )


def test_warping_held_by_end_plates() -> None:
    torque = '[[load]]\nat = "8 m"\nT = "100 kN*m"\n'
    rest = '[[support]]\nat = ["start", "end"]\nkind = "fixed"\n'
    found = {
        word: solved(
            request_of(
                SPANS, rest, torque, f'[[hinge]]\nat = "9 m"\nwarping = "{word}"\nkind = "pin"\n'
            )
        )
        for word in ("free", "held")
    }
    free, held = (deforming_hinge_forces(f)[0] for f in found.values())
    assert np.abs(free.bimoment).max() < 1e-6 * np.abs(held.bimoment).max()
    # tau = 0 where warping is held: the classical rate, and the axial motion beyond a plane.
    section = found["held"].course.parts[0].section
    for side in ("left", "right"):
        _, a, _ = found["held"].functions([9e3], side)
        _, other, _ = found["free"].functions([9e3], side)
        size = np.abs(section.axial @ other[0]).max()
        assert np.abs(section.axial @ a[0]).max() < 1e-9 * size


# -- kinks -----------------------------------------------------------------------------------------
KINKS = """
[[kink]]
at = "end of span 1"
angle = "25 deg"
[[kink]]
at = "9 m"
angle = "-10 deg"
warping = "free"
[[diaphragm]]
at = ["6 m", "9 m"]
"""


@cache
def kinked() -> DeformingSolution:
    return solved(request_of(SPANS, FORKS, LOAD, KINKS))


def test_kinks_pass_bending_and_torsion_on_by_the_angle() -> None:
    found = kinked()
    assert unbalanced(found) < 1e-9
    # Beside the kink without a support; 100 mm away the stress is as the resultants ask.
    left, right = found.resultants([8.8e3]), found.resultants([9.2e3])
    turn = np.radians(-10.0)
    middle = [(r.M_x[0, 0] + s * 200 * r.V_y[0, 0], r.T[0, 0]) for r, s in ((left, 1), (right, -1))]
    q = 30.0 * 200
    (m0, t0), (m1, t1) = middle
    t0, t1 = t0 - 290 * q, t1 + 290 * q
    m0, m1 = m0 + q * 100, m1 + q * 100
    assert m1 == pytest.approx(m0 * np.cos(turn) - t0 * np.sin(turn), rel=3e-3)
    assert t1 == pytest.approx(m0 * np.sin(turn) + t0 * np.cos(turn), rel=2e-2)
    carried = diaphragm_forces(found)
    assert all(d.shear_flow is not None for d in carried)


def test_stiffened_kinks_agree_with_the_classical_theory() -> None:
    request = request_of(
        SPANS, FORKS, LOAD, KINKS.replace('["6 m", "9 m"]', '["6 m", "9 m", "3 m", "11 m"]')
    )
    found, beam = solved(request), solve(request.member)
    z = [3e3, 5e3, 7e3, 8.5e3, 11e3]
    theirs = beam.at(z)
    ours = found.resultants(z)
    for word in ("M_x", "T", "V_y"):
        size = np.abs(getattr(theirs, word)).max()
        assert np.abs(getattr(ours, word) - getattr(theirs, word)).max() < 0.02 * size
    for mine, classical in zip(reactions(found, 0), beam.reactions[0], strict=True):
        assert mine.force[1] == pytest.approx(classical.force[1], rel=5e-3)


def test_polygon_with_diaphragms_tends_to_the_arc() -> None:
    length, angle = 8e3, 0.5

    def deflection(count: int) -> float:
        if not count:
            span = f"[[span]]\nlength = {length}\nradius = {length / angle}\n"
            more = ""
        else:
            turn = angle / count
            side = length / angle * np.tan(turn / 2)
            pieces = [side, *[2 * side] * (count - 1), side]
            at = np.cumsum(pieces)[:-1].tolist()
            span = f"[[span]]\nlength = {sum(pieces)}\n"
            more = f'[[kink]]\nat = {at}\nangle = "{turn} rad"\n'
        # The arc has rigid diaphragms where one of the polygons has its kinks.
        places = [length * (k + 0.5) / (count or 8) for k in range(count or 8)]
        more += f"[[diaphragm]]\nat = {at if count else places}\n"
        ends = '[[support]]\nat = ["start", "end"]\nkind = "fixed"\n'
        found = solved(request_of(span, ends, LOAD, more))
        return float(found.movement("centroid", [found.member.length / 2])[1][0, 0])

    assert deflection(8) == pytest.approx(deflection(0), rel=4e-3)


def test_influence_lines_over_a_kink_and_a_hinge_beside_unit_loads() -> None:
    hinge = '[[hinge]]\nat = "10.5 m"\nkind = "pin"\n'
    request = request_of(SPANS, FORKS, LOAD, KINKS, hinge)
    member, units = request.member, request.units
    words = ("reaction of pier 2", "M_x at 6000", "T at 9000", "twist at 9000", "M_x at 10500",
             "stress of [0, -200] at 9500", "V_y at 10500")  # fmt: skip
    asked = [asked_in_words(w, member, units) for w in words]
    line = [line_in_words("[-290, 200]", member, units)]
    found = influence_of(member, request.sections, asked, line)
    assert not found.alone
    stations = [3e3, 7.5e3, 9.6e3, 12e3]
    ours = found.field.ordinates(np.array(stations), (-290.0, 200.0))
    size = np.abs(found.ordinates).max(axis=(0, 1))
    size[4] = size[1]  # M_x of the pin is zero but for rounding
    loads = tuple(
        PointLoad(z, (0.0, -1.0, 0.0), (-290.0, 200.0), case=f"at {z:g}") for z in stations
    )
    many = member.with_(loads=loads, combinations=())
    solution = solve_deforming(many, course_of(many, request.sections))
    at = {k: solution.resultants([z]) for k, z in ((1, 6e3), (2, 9e3))}
    theirs = np.stack(
        [
            [reactions(solution, c)[1].force[1] for c in range(4)],
            at[1].M_x[0], at[2].T[0], solution.twist([9e3])[0],
            deforming_hinge_forces(solution)[0].through[:, 3],
            solution.stress([(0.0, -200.0)], [9.5e3])[0, 0, 2],
            deforming_hinge_forces(solution)[0].through[:, 2],
        ],
        axis=1,
    )  # fmt: skip
    for c, word in enumerate(words):
        if c != 3:  # the twist at a kink is of the bisecting frame; see below
            assert np.abs(ours[:, c] - theirs[:, c]).max() < 0.02 * size[c], word
    beam = beam_field(many, [a for a in asked if a.kind != "stress"])
    classical = beam.ordinates(np.array(stations), (-290.0, 200.0))
    kept = [0, 1, 2, 3, 6]
    assert np.abs(ours[:, kept] - classical[:, [0, 1, 2, 3, 5]]).max(axis=0) == pytest.approx(
        0.0, abs=0.12 * size[kept].max()
    )


def test_settlement_at_a_kink_beside_the_classical_theory() -> None:
    tables = (
        '[[span]]\nlength = "6 m"\n[[span]]\nlength = "7 m"\n',
        '[[support]]\nname = "pier"\nat = ["start", "end of span 1", "end"]\nkind = "fork"\n',
        '[[hinge]]\nat = "9 m"\nkind = "pin"\n',
        '[[kink]]\nat = "end of span 1"\nangle = "20 deg"\n[[diaphragm]]\nat = "6 m"\n',
        '[[settlement]]\nsupport = "pier 2"\ncase = "settled"\ny = "-10 mm"\n',
        '[[load]]\ncase = "dead"\nweight = "1 N/m"\nplace = "shear centre"\n',
    )
    request = request_of(*tables)
    found, beam = solved(request), solve(request.member)
    c = found.column("settled")
    torques = [[one.torque for one in rows] for rows in (reactions(found, c), beam.reactions[c])]
    size = np.abs(torques).max()
    assert size > 1e6
    assert np.abs(np.subtract(*torques)).max() < 0.02 * size


def bare(angle: float) -> DeformingSolution:
    kink = f'[[kink]]\nat = "9 m"\nangle = "{angle} deg"\n' if angle else ""
    return solved(request_of(SPANS, FORKS, LOAD, kink))


def test_bare_walls_pass_forces_on_and_tend_to_the_straight_member() -> None:
    found = bare(8.0)
    assert unbalanced(found) < 1e-9
    # What one piece passes on is what the other takes.
    ((before, after),) = found.passed.values()
    rigid = found.course.parts[0].section.rigid
    turn = np.kron(np.eye(2), kink_matrix(np.radians(8.0)))
    passed, taken = rigid.T @ before[:, 0], rigid.T @ after[:, 0]
    assert np.abs(turn @ passed + taken).max() < 1e-9 * np.abs(passed).max()
    straight, slight = bare(0.0), bare(0.01)
    z = [3e3, 8.5e3, 11e3]
    points = [(-300.0, 0.0), (-300.0, 150.0), (0.0, -200.0)]
    stress = straight.stress(points, z)
    assert np.abs(slight.stress(points, z) - stress).max() < 2e-3 * np.abs(stress).max()


def test_a_stiff_plate_makes_a_rigid_diaphragm_of_a_bare_kink() -> None:
    kink = '[[kink]]\nat = "9 m"\nangle = "3 deg"\n[[diaphragm]]\nat = "9 m"\n'
    plate = 'thickness = "20 mm"\nE = "2e8 GPa"\npoisson = 0.3\n'
    rigid, stiff = (solved(request_of(SPANS, FORKS, LOAD, kink + more)) for more in ("", plate))
    z, points = [8e3, 10e3], [(-300.0, 0.0), (0.0, -200.0)]
    stress = rigid.stress(points, z)
    assert np.abs(stiff.stress(points, z) - stress).max() < 0.02 * np.abs(stress).max()


# -- what is refused -------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("tables", "words"),
    [
        ('[[hinge]]\nat = "9 m"\ntwist = "5 kN*m/rad"\n', "does not pass twist on rigidly"),
        ('[[hinge]]\nat = "9 m"\ny = "5 kN/mm"\n', "does not pass y on rigidly"),
        ('[[kink]]\nat = "9 m"\nangle = "16 deg"\n', "15 degrees"),
        ('[[kink]]\nat = "9 m"\nangle = "31 deg"\n[[diaphragm]]\nat = "9 m"\n', "30 degrees"),
        ('[[kink]]\nat = "9 m"\nangle = "5 deg"\nwarping = "held"\n', "let warping be continuous"),
    ],
)
def test_what_this_theory_does_not_carry_is_told(tables: str, words: str) -> None:
    request = request_of(SPANS, FORKS, LOAD, tables)
    with pytest.raises(InputError) as error:
        course_of(request.member, request.sections)
    assert words in str(error.value)
    assert isinstance(request.member, Member)
    assert isinstance(request.member.axis, Axis)
    solve(request.member)  # the classical theory answers


def test_overhang_of_a_box() -> None:
    """Statics of a tip load on an overhang, and the classical deflection with diaphragms."""
    spans = '[[span]]\nlength = "9 m"\n'
    forks = '[[support]]\nname = "pier"\nat = [0, "6 m"]\nkind = "fork"\n'
    tip = '[[load]]\nat = "end"\nweight = "50 kN"\nplace = "shear centre"\n'
    request = request_of(spans, forks, tip, '[[diaphragm]]\nat = ["3 m", "9 m"]\n')
    found, beam = solved(request), solve(request.member)
    forces = [r.force[1] for r in reactions(found, 0)]
    assert forces == pytest.approx([-25e3, 75e3], rel=1e-9)
    ours = found.movement("centroid", [9e3], "left")[1][0, 0]
    assert ours == pytest.approx(beam.movement("centroid", [9e3])[1][0, 0], rel=0.02)


def test_warming_opens_what_is_free_along_and_strains_nothing() -> None:
    """Both ends fixed, the hinge free along: alpha dT L of movement, in both theories; a kink turns
    a free expansion and strains nothing either."""
    spans = '[[span]]\nlength = "9 m"\n'
    ends = '[[support]]\nat = ["start", "end"]\nkind = "fixed"\n'
    free = '[[support]]\nat = "start"\nkind = "fixed"\n'
    hinge = '[[hinge]]\nat = "5 m"\nz = "free"\nwarping = "continuous"\n'
    kink = '[[kink]]\nat = "5 m"\nangle = "20 deg"\n[[diaphragm]]\nat = "5 m"\n'
    warm = '[[temperature]]\ncase = "summer"\nuniform = "25 K"\n'
    light = '[[load]]\ncase = "dead"\nat = "4 m"\nweight = "1 N"\nplace = "shear centre"\n'
    for tables in ((ends, hinge), (free, kink)):
        request = request_of(spans, *tables, warm, light)
        found, beam = solved(request), solve(request.member)
        c = found.column("summer")
        expansion = 1.2e-5 * 25 * 9e3
        if hinge in tables:
            (force,), (classical,) = deforming_hinge_forces(found), hinge_forces(beam)
            # Four faces hold the section's widening: some hundred millimetres stretch by nu more.
            assert force.parted[c, 2] == pytest.approx(-expansion, rel=0.02)
            assert classical.parted[c, 2] == pytest.approx(-expansion, rel=1e-9)
        restrained = 210e3 * 1.2e-5 * 25
        # Half a metre from the fixed end, and from the plates of the hinge: what they hold of the
        # section's own widening has died out.
        z = [3e3, 7e3]
        assert np.abs(found.stress([(0.0, 200.0)], z)[..., c]).max() < 2e-3 * restrained
        assert np.abs(beam.at(z).N[:, c]).max() < 1e-9 * restrained * 37e3
