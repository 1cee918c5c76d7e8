"""Second order with sections that deform: closed forms, and statics on the moved member."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import simpson
from soapfilm.geometry.errors import InputError, SolveError
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.critical.imperfection import Imperfection
from soapfilm.solver.member.critical.second_order import second_order
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support

from .members import LIPPED, STOCKY, E, member, section, squeezed

LENGTH = 8000.0


def solved(
    made: Member, bow: Imperfection | None = None, modes: int | None = None
) -> tuple[DeformingSolution, float]:
    """Second order, and the critical factor."""
    known = {"section": section(STOCKY)}
    first = solve_deforming(made, course_of(made, known, modes))
    found, buckling = second_order(first, known, bow)
    return found, buckling.factors[0].factor


def test_a_beam_column() -> None:
    """Deflection q/(P k^2) (sec u - 1 - u^2/2), moment q/k^2 (sec u - 1), u = k L / 2
    (Timoshenko & Gere, Theory of Elastic Stability, 1.2); shear adds what it adds to Euler's load,
    0.4 %."""
    bending = E * section(STOCKY).constants.second_moment_y
    push, q = 0.4 * math.pi**2 * bending / LENGTH**2, 1.0
    loads = [*squeezed(LENGTH, push), LineLoad(0, LENGTH, (q, 0, 0), place=(0.0, 0.0))]
    found, _ = solved(member(STOCKY, LENGTH, loads))
    k = math.sqrt(push / bending)
    u = k * LENGTH / 2
    deflection = q / (push * k**2) * (1 / math.cos(u) - 1 - u**2 / 2)
    moment = q / k**2 * (1 / math.cos(u) - 1)
    assert found.displacement([(0, 0)], [LENGTH / 2])[0, 0, 0, 0] == pytest.approx(
        deflection, rel=5e-3
    )
    assert abs(found.resultants([LENGTH / 2]).M_y[0, 0]) == pytest.approx(moment, rel=4e-3)


def test_a_column_that_is_not_straight() -> None:
    """e_0 / (alpha - 1) more, and the moment P e_0 / (1 - 1 / alpha)."""
    bending = E * section(STOCKY).constants.second_moment_y
    push, bow = 0.4 * math.pi**2 * bending / LENGTH**2, LENGTH / 250
    found, alpha = solved(
        member(STOCKY, LENGTH, squeezed(LENGTH, push)), Imperfection(1 / 250, 0.0, "L/250")
    )
    more = abs(found.displacement([(0, 0)], [LENGTH / 2])[0, 0, 0, 0])
    assert more == pytest.approx(bow / (alpha - 1), rel=2e-3)
    moment = abs(found.resultants([LENGTH / 2]).M_y[0, 0])
    assert moment == pytest.approx(push * bow / (1 - 1 / alpha), rel=4e-3)


def test_a_column_whose_walls_buckle_first_is_bowed_as_a_whole() -> None:
    """Waves of the walls with an amplitude by the span gave ten times the yield strength. The bow
    grows at least as by the column's own factor: walls that buckle at 0.3 of the load leave it less
    stiff."""
    length, push = 4000.0, 0.3 * 48.6 * section(LIPPED).constants.area
    made = member(LIPPED, length, squeezed(length, push))
    known = {"section": section(LIPPED)}
    first = solve_deforming(made, course_of(made, known))
    found, buckling = second_order(first, known, Imperfection(1 / 250, 0.0, "L/250"))
    walls, whole = buckling.factors[0].factor, critical_loads(made)[0].factor
    assert walls == pytest.approx(1 / 0.3, rel=0.05)
    assert whole > 1.5 * walls
    corners = [(x, y) for x in (-38.0, 38.0) for y in (-150.0, 150.0)]
    moved, before = (s.displacement(corners, [length / 2]) for s in (found, first))
    grown = np.linalg.norm((moved - before)[0, :, :2, 0], axis=1).max()
    bow = length / 250 / (whole - 1)
    assert bow * 0.98 < grown < 1.3 * bow


def test_twist_grows_as_in_the_classical_theory() -> None:
    loads = [LineLoad(0, LENGTH, (0, -16.0, 0), place=(20.0, 100.0))]
    made = member(STOCKY, LENGTH, loads)
    found, _ = solved(made)
    before = float(np.abs(solve(made, order="second").diagram(count=101).phi).max())
    after = float(np.abs(found.twist(np.linspace(0, LENGTH, 101))).max())
    assert after == pytest.approx(before, rel=5e-3)


def test_torques_balance_on_the_moved_member() -> None:
    """Loads act where their points have moved, springs where theirs have.

    As exactly as the initial stress is in balance within the section beside what acts at points: by
    the usual number of modes torques part by 3e-5, by 40 by 2e-6.
    """
    q = np.array([0.5, -8.0])
    supports = [
        Support(z, x=2e3, y="held", twist=3e8, z=hold, point=(0.0, 0.0), name=f"at {z:g}")
        for z, hold in ((0.0, "held"), (LENGTH, "free"))
    ]
    loads = [LineLoad(0, LENGTH, (*q, 0), place=(20.0, 100.0))]
    found, _ = solved(member(STOCKY, LENGTH, loads, supports), modes=40)
    z = np.linspace(0, LENGTH, 801)
    at = found.displacement([(20, 100)], z)[:, 0, :2, 0] + (20, 100)
    torque = simpson(at[:, 0] * q[1] - at[:, 1] * q[0], x=z)
    foot = found.displacement([(0, 0)], [0, LENGTH])[:, 0, :2, 0]
    held = sum(
        r.moment[2] + u[0] * r.force[1] - u[1] * r.force[0]
        for r, u in zip(reactions(found, 0), foot, strict=True)
    )
    assert held == pytest.approx(-torque, rel=1e-5)


def test_near_the_critical_load_it_is_refused() -> None:
    bending = E * section(STOCKY).constants.second_moment_y
    euler = math.pi**2 * bending / LENGTH**2
    with pytest.raises(SolveError, match=r"95 % of its elastic critical load.*is no answer"):
        solved(member(STOCKY, LENGTH, squeezed(LENGTH, 0.95 * euler * 0.9957)))


FILE = """
unit = "mm"
[analysis]
{analysis}
[section.bar]
[section.bar.material.steel]
grade = "S355"
[[section.bar.shape]]
profile = "Rectangle"
XDim = 40
YDim = 80
[[span]]
length = "2 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "1 kN/m"
place = "centroid"
"""


@pytest.mark.parametrize(
    ("stated", "amplitude"), [('"L/250"', 8.0), ('"curve b"', 8.0), ('"12 mm"', 12.0)]
)
def test_the_file_states_an_imperfection(stated: str, amplitude: float) -> None:
    text = FILE.format(analysis=f'order = "second"\nimperfection = {stated}')
    found = member_from_toml(text).imperfection
    assert found is not None
    assert found.amplitude(2000.0) == pytest.approx(amplitude)


@pytest.mark.parametrize(
    ("analysis", "words"),
    [
        ('imperfection = "L/250"', 'order = "second"'),
        ('order = "second"\nimperfection = "curve e"', 'say "L/250", "curve b"'),
        ('order = "second"\nimperfection = "L/2"', "more than L/10"),
        ('order = "second"\nimperfection = "-3 mm"', "must be positive"),
        (
            'order = "second"\nsections = "keep their shape"\nimperfection = "L/250"',
            "needs sections that deform",
        ),
    ],
)
def test_what_is_no_imperfection(analysis: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        member_from_toml(FILE.format(analysis=analysis))


def test_an_imperfection_of_more_than_a_tenth_of_the_span_is_refused() -> None:
    """A bow of 1e9 m in a span of 4 m was told to twist by 333e6 degrees."""
    assert Imperfection(length=0.4, words="0.4 m").amplitude(4.0) == 0.4
    with pytest.raises(InputError, match="'1e9 m' in a longest span of 4; more than L/10"):
        Imperfection(length=1e9, words="1e9 m").amplitude(4.0)
