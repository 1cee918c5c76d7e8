"""Secondary beams with their own span, load and connection, against closed forms and a frame of
beam elements made here."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import Combination, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.restraint import TwistSpring
from soapfilm.solver.member.model.secondary_beam import SecondaryBeam
from soapfilm.solver.member.model.support import fork
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.diagnosis import restraint_effects
from soapfilm.solver.member.review.reactions import reactions_of
from soapfilm.solver.member.review.remedy import secondaries_moment_connected
from soapfilm.solver.member.review.secondary import secondary_states

Array = NDArray[np.float64]

GIRDER = SectionConstants(210e3, 81e3, 9e3, 120e6, 9e6, 1.4e6, shear_centre=(0.0, 0.0))
LENGTH = 9000.0
STATIONS = (1500.0, 4000.0, 7000.0)


def beam(at: float, **changes: object) -> SecondaryBeam:
    """An invented joist on the right, bearing 80 mm off the girder's middle."""
    first = SecondaryBeam(
        at, 210e3, 19.4e6, 4000.0, "right", place=(80.0, 120.0), connection=2.5e9,
        loads={"dead": 4.5}, name=f"joist at {at:g}",
    )  # fmt: skip
    return replace(first, **changes)  # type: ignore[arg-type]


def girder(*beams: SecondaryBeam, **more: object) -> Member:
    loads = more.pop("loads", ())
    supports = [fork(0.0), fork(LENGTH)]
    return Member.prismatic(LENGTH, GIRDER, supports, restraints=beams, loads=loads, **more)


# -- a frame of its own --------------------------------------------------------------------------
def frame(beams: list[SecondaryBeam], parts: int = 36, own: int = 6) -> tuple[Array, Array]:
    """Deflection and twist of the girder at every beam, by Hermite elements of girder and joists,
    linear elements of twist, springs between; it shares nothing with the package.

    Unknowns: v, v', phi at the girder's nodes; y, y' at each joist's, x counted outward.
    """
    z = np.unique([*np.linspace(0.0, LENGTH, parts + 1), *(b.at for b in beams)])
    size = 3 * len(z) + 2 * (own + 1) * len(beams)
    k, f = np.zeros((size, size)), np.zeros(size)

    def hermite(ei: float, h: float) -> Array:
        return ei / h**3 * np.array([
            [12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
            [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h],
        ])  # fmt: skip

    for e, h in enumerate(np.diff(z)):
        bend = [3 * e, 3 * e + 1, 3 * e + 3, 3 * e + 4]
        k[np.ix_(bend, bend)] += hermite(210e3 * 120e6, h)
        turn = [3 * e + 2, 3 * e + 5]
        k[np.ix_(turn, turn)] += 81e3 * 1.4e6 / h * np.array([[1, -1], [-1, 1]])
    stiff = 1e16
    for n in (0, len(z) - 1):
        for freedom in (0, 2):
            k[3 * n + freedom, 3 * n + freedom] += stiff
    for n, one in enumerate(beams):
        start, h = 3 * len(z) + 2 * (own + 1) * n, one.length / own
        w = sum(one.loads.values())
        for e in range(own):
            where = start + 2 * e + np.arange(4)
            k[np.ix_(where, where)] += hermite(one.rigidity, h)
            f[where] -= w * h * np.array([1 / 2, h / 12, 1 / 2, -h / 12])
        node = int(np.argmin(abs(z - one.at)))
        near = np.zeros(size)
        near[[start, 3 * node, 3 * node + 2]] = 1.0, -1.0, -one.place[0]  # type: ignore[index]
        k += 1e9 * np.outer(near, near)
        slope = np.zeros(size)
        slope[[start + 1, 3 * node + 2]] = 1.0, -one.sign
        spring = 1e14 if one.connection is None else one.connection
        k += spring * np.outer(slope, slope)
        last = start + 2 * own
        k[last, last] += stiff
        if one.far_end == "fixed":
            k[last + 1, last + 1] += stiff
    found = np.linalg.solve(k, f)
    nodes = [int(np.argmin(abs(z - b.at))) for b in beams]
    return found[[3 * n for n in nodes]], found[[3 * n + 2 for n in nodes]]


@pytest.mark.parametrize("far_end", ["pinned", "fixed"])
@pytest.mark.parametrize("connection", [2.5e9, 0.0, None])
def test_a_girder_with_joists_against_a_frame(far_end: str, connection: float | None) -> None:
    beams = [
        beam(STATIONS[0], far_end=far_end, connection=connection),
        beam(STATIONS[1], far_end=far_end, connection=connection, side="left", place=(-60.0, 0.0)),
        beam(STATIONS[2], far_end=far_end, connection=connection, loads={"dead": 9.0}),
    ]
    v, phi = frame(beams)
    table = solve(girder(*beams)).at(STATIONS)
    np.testing.assert_allclose(table.v[:, 0], v, rtol=2e-6)
    np.testing.assert_allclose(table.phi[:, 0], phi, rtol=2e-5, atol=1e-8)


def test_the_end_moment_of_a_joist_on_a_girder_that_does_not_sink() -> None:
    """G J phi / (L / 4) = k (theta_0 - phi) with theta_0 = w L^3 / (24 E I), by hand."""
    stiff = replace(GIRDER, second_moment_x=1e15)
    one = beam(LENGTH / 2, place=(0.0, 0.0))
    member = Member.prismatic(LENGTH, stiff, [fork(0.0), fork(LENGTH)], restraints=[one])
    solution = solve(member)
    girder_stiffness = 4 * 81e3 * 1.4e6 / LENGTH
    k = 1 / (4000 / (3 * one.rigidity) + 1 / 2.5e9)
    turn = -4.5 * 4000**3 / 24 / one.rigidity
    phi = k * turn / (girder_stiffness + k)
    assert solution.at(LENGTH / 2).phi[0, 0] == pytest.approx(phi, rel=1e-6)
    (state,) = secondary_states(solution)
    moment = girder_stiffness * phi
    assert state.moment[0] == pytest.approx(moment, rel=1e-6)
    assert state.end_moment[0] == pytest.approx(moment, rel=1e-6)
    # The joist by statics: V_0 = w L / 2 - m_0 / L, largest moment m_0 + V_0^2 / (2 w).
    shear = 4.5 * 4000 / 2 - moment / 4000
    assert -state.force[0] == pytest.approx(shear, rel=1e-6)
    assert state.span_moment[0] == pytest.approx(moment + shear**2 / 9, rel=1e-5)
    assert state.pinned_span_moment[0] == pytest.approx(4.5 * 4000**2 / 8, rel=1e-9)
    assert state.pinned_deflection[0] == pytest.approx(
        -5 * 4.5 * 4000**4 / 384 / one.rigidity, rel=1e-9
    )


def test_a_far_end_that_is_fixed_and_one_that_mirrors() -> None:
    """On a rigid girder: w L^2 / 12 at both ends of a beam built in, and by mirror image."""
    rigid = replace(GIRDER, second_moment_x=1e16, torsion_constant=1e16)
    for far_end in ("fixed", "opposite"):
        one = beam(LENGTH / 2, far_end=far_end, connection=None)
        member = Member.prismatic(LENGTH, rigid, [fork(0.0), fork(LENGTH)], restraints=[one])
        (state,) = secondary_states(solve(member))
        for moment in (state.end_moment[0], state.far_moment[0]):
            assert moment == pytest.approx(-4.5 * 4000**2 / 12, rel=1e-5)
        assert state.span_moment[0] == pytest.approx(4.5 * 4000**2 / 24, rel=1e-4)
        assert -state.force[0] == pytest.approx(4.5 * 4000 / 2, rel=1e-5)
        assert state.far_force[0] == pytest.approx(4.5 * 4000 / 2, rel=1e-5)


def test_loads_come_by_case_and_combination() -> None:
    one = beam(4000.0, loads={"dead": 4.5, "live": 7.0})
    combinations = (Combination("dead", {"dead": 1.0}), Combination("all", {"dead": 1, "live": 2}))
    both = solve(girder(one, combinations=combinations)).at(4000.0).phi[0]
    for column, load in enumerate((4.5, 4.5 + 14.0)):
        alone = solve(girder(beam(4000.0, loads={"a": load}))).at(4000.0).phi[0, 0]
        assert both[column] == pytest.approx(alone, rel=1e-12)


def test_a_clearance_is_taken_up_from_the_turned_end() -> None:
    """Free up to the slip either way of where the joist's own end stands."""
    stiff = replace(GIRDER, second_moment_x=1e15)
    turn = -4.5 * 4000**3 / 24 / (210e3 * 19.4e6)
    for slip in (0.5 * abs(turn), 2 * abs(turn)):
        one = beam(LENGTH / 2, place=(0.0, 0.0), slip=slip)
        member = Member.prismatic(LENGTH, stiff, [fork(0.0), fork(LENGTH)], restraints=[one])
        phi = solve(member).at(LENGTH / 2).phi[0, 0]
        girder_stiffness = 4 * 81e3 * 1.4e6 / LENGTH
        left = min(turn + slip, 0.0)
        assert phi == pytest.approx(
            one.stiffness * left / (girder_stiffness + one.stiffness), rel=1e-6, abs=1e-12
        )


def test_what_holds_balances_with_beams_among_it() -> None:
    beams = [
        beam(STATIONS[0]),
        beam(STATIONS[1], far_end="fixed"),
        beam(STATIONS[2], connection=0.0),
    ]
    (found,) = reactions_of(solve(girder(*beams)))
    assert found.miss.max() < 1e-12
    np.testing.assert_allclose(found.applied, 0.0, atol=1e-9)
    pinned = found.of("joist at 7000")[0]
    assert pinned.force[1] == pytest.approx(-4.5 * 4000 / 2)
    assert pinned.torque == pytest.approx(80 * pinned.force[1])


def test_without_its_moment_a_beam_still_bears_on_the_member() -> None:
    rows = restraint_effects(girder(beam(4000.0)))
    growth = next(r.growth for r in rows if r.title == "joist at 4000")
    held = abs(solve(girder(beam(4000.0))).diagram(count=200).phi).max()
    free = abs(solve(girder(beam(4000.0, connection=0.0))).diagram(count=200).phi).max()
    assert growth == pytest.approx(free / held, rel=1e-9)


def test_the_remedy_brings_the_turn_of_the_beams_too() -> None:
    """Point loads of w L / 2 become beams of w; the same as beams stated outright."""
    loads = tuple(PointLoad(at, (0.0, -9000.0, 0.0), (80.0, 120.0), case="dead") for at in STATIONS)
    cure = secondaries_moment_connected(girder(loads=loads), beam(0.0, loads={}))
    now = solve(cure.member).at(STATIONS)
    direct = solve(girder(*(beam(at) for at in STATIONS))).at(STATIONS)
    np.testing.assert_allclose(now.phi, direct.phi, rtol=1e-12)
    np.testing.assert_allclose(now.v, direct.v, rtol=1e-12)
    pinned = girder(*(beam(at, connection=0.0) for at in STATIONS))
    again = solve(secondaries_moment_connected(pinned, beam(0.0)).member).at(STATIONS)
    np.testing.assert_allclose(again.phi, direct.phi, rtol=1e-12)


def test_bad_figures_are_refused() -> None:
    with pytest.raises(InputError, match="takes no load"):
        beam(0.0, far_end="same way")
    with pytest.raises(InputError, match="I must be positive"):
        beam(0.0, second_moment=0.0)
    with pytest.raises(InputError, match="slip must be"):
        beam(0.0, slip=-1.0)


# -- files ---------------------------------------------------------------------------------------
FILE = """
unit = "mm"
[section.beam]
shape = "IPE500"
material = "S355"
[[span]]
length = "9 m"
[points]
"joist seat" = [80, 290]
[[support]]
at = ["start", "end"]
kind = "fork"
[self_weight]
case = "dead"
[[secondary_beam]]
name = "joist"
at = ["3 m", "6 m"]
E = "210 GPa"
length = "4 m"
far_end = "pinned"
connection = "2500 kN*m/rad"
"""


def test_a_file_states_span_load_and_place() -> None:
    text = FILE + 'shape = "IPE240"\nplace = "joist seat"\nloads = { dead = "4.5 kN/m" }\n'
    request = member_from_toml(text)
    first = request.member.restraints[0]
    assert isinstance(first, SecondaryBeam)
    assert (first.side, first.loads) == ("right", {"dead": 4.5})
    assert first.second_moment == pytest.approx(38.92e6, rel=1e-3)  # EN 10365, IPE 240
    found = assess(request, cures=False)
    leads, other = found.reactions
    assert max(leads.miss.max(), other.miss.max()) < 1e-9
    turned = secondary_states(found.deformed.solution)[0]  # type: ignore[union-attr]
    plain = secondary_states(found.solution)[0]
    # What is left of two turns that nearly cancel: the joist's end and the sinking girder's.
    size = first.stiffness * abs(first.free_turn(4.5))
    assert turned.moment[0] == pytest.approx(plain.moment[0], abs=0.05 * size)


def test_a_beam_without_load_is_a_spring_and_says_what_is_left_out() -> None:
    text = (
        FILE + 'I = "3890 cm^4"\n[[load]]\nat = "middle"\nweight = "9 kN"\nplace = "joist seat"\n'
    )
    request = member_from_toml(text)
    assert isinstance(request.member.restraints[0], TwistSpring)
    notes = " ".join(solve(request.member).notes)
    assert "joist at 3000 mm and 1 more" in notes
    assert "its end rotation brings under its load" in notes


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('I = "3890 cm^4"\nshape = "IPE240"\n', "give either I or shape"),
        ('I = "3890 cm^4"\nloads = { dead = "4 kN/m" }\n', "side is missing"),
        ('I = "3890 cm^4"\nside = "up"\n', "side"),
        ('I = "3890 cm^4"\nloads = 4\n', "loads is a table of load cases"),
        ('shape = "IPE241"\n', "IPE240"),
    ],
)
def test_mistakes_are_named(keys: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        member_from_toml(FILE + keys)
    assert "secondary_beam 1 'joist'" in str(caught.value)


def test_a_pin_needs_a_load_to_mean_anything() -> None:
    text = FILE.replace('"2500 kN*m/rad"', '"pinned"') + 'I = "3890 cm^4"\n'
    with pytest.raises(InputError, match="a pinned connection restrains nothing"):
        member_from_toml(text)


def test_second_order_holds_a_joist_too() -> None:
    member = girder(*(beam(at) for at in STATIONS))
    first, second = (
        solve(member, order=order).at(4000.0).phi[0, 0] for order in ("first", "second")
    )
    assert second == pytest.approx(first, rel=0.2)
    assert not math.isclose(second, first, rel_tol=1e-9)
