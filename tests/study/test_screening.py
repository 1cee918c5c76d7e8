"""The bound of the twist: its J and C_w are never below the real ones, and it never exceeds the
real twist."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.catalogue import listing, search
from soapfilm.geometry.material import Material
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.section import solve_section
from soapfilm.solver.study.choice.member_outcome import classical_answer
from soapfilm.solver.study.choice.screening import (
    OPEN,
    TUBES,
    averaged_twist,
    optimistic,
    screens,
    twist_bound,
)
from soapfilm.solver.study.choice.substitution import with_section

from .files import BEAM

STEEL = Material("steel", 210e3, 0.3, density=7.85e-6, strength=355.0)
#: Shapes of every family, evenly through its table, and those whose tables are furthest off.
SAMPLE = [
    *(
        e.designation
        for family in (*OPEN, *TUBES)
        for e in search(family)[:: len(search(family)) // 3]
    ),
    *("M3X2.9", "HP12X63", "W36X802", "W14X873", "PIPE20XS", "HSS8X2X1/2", "S12X40.8"),
]


@pytest.mark.parametrize("designation", SAMPLE)
def test_the_optimistic_constants_are_not_exceeded(designation: str) -> None:
    entry = listing(designation)
    section = entry.section(STEEL)
    solved, hopeful = solve_section(section, 1e-3), optimistic(entry, section)
    # The bound of a round tube is its J, so only rounding parts the two.
    assert solved.torsion_constant_lower <= hopeful.torsion_constant * (1 + 1e-12)
    assert solved.torsion_constant <= hopeful.torsion_constant * (1 + 1e-3)
    assert solved.warping_constant <= hopeful.warping_constant
    assert solved.second_moments.x == pytest.approx(hopeful.second_moment_x, rel=1e-9)
    assert np.allclose(solved.shear_centre, hopeful.shear_centre, atol=1e-4 * section.size())


VARIANTS = {
    "uniform": BEAM,
    "one way and the other": BEAM
    + '[[load]]\ncase = "wall"\nat = "2 m"\nweight = "20 kN"\neccentricity = [-150, 0]\n',
    "two spans": BEAM.replace('length = "6 m"\n', 'length = "6 m"\n[[span]]\nlength = "4 m"\n')
    .replace('["start", "end"]', '["start", "end of span 1", "end"]'),
    "warping held": BEAM.replace('kind = "fork"', 'kind = "fork"\nwarping = "held"'),
}  # fmt: skip


@pytest.mark.parametrize("variant", VARIANTS)
@pytest.mark.parametrize("designation", ["IPE300", "HEM200", "HFRHS200X100X8", "CHS168.3X6.3"])
def test_the_bound_never_exceeds_the_twist(variant: str, designation: str) -> None:
    request = member_from_toml(VARIANTS[variant])
    entry = listing(designation)
    assert screens(request, entry.family.name)
    section = entry.section(STEEL)
    answer = classical_answer(
        with_section(request, solved_section(section, designation)), stressed=False
    )
    found = answer.outcome
    average = averaged_twist(answer.solution)
    largest = np.abs(answer.solution.diagram(count=400).phi).max(axis=0)
    assert np.all(average > 0)
    assert np.all(average <= largest * (1 + 1e-9))
    bound = twist_bound(request, optimistic(entry, section))
    assert bound is not None
    assert 0.15 * found.checks[0].ratio < bound.ratio <= found.checks[0].ratio


def test_the_average_of_a_uniform_torque_in_closed_form() -> None:
    """phi = m (L z - z^2) / (2 G J) between forks without warping: 2/3 of the largest."""
    request = member_from_toml(BEAM)
    section = listing("CHS168.3X6.3").section(STEEL)
    solution = classical_answer(
        with_section(request, solved_section(section, "pipe")), stressed=False
    ).solution
    largest = np.abs(solution.diagram(count=400).phi).max()
    assert averaged_twist(solution)[0] == pytest.approx(2 / 3 * largest, rel=1e-5)


@pytest.mark.parametrize(
    "change",
    [
        ('length = "6 m"', 'length = "6 m"\nradius = "60 m"'),
        ('kind = "fork"', 'kind = "fork"\nclearance = "1 mm"\nclearance_arm = "200 mm"'),
        ('[self_weight]', '[analysis]\norder = "second"\n[self_weight]'),
        ('[self_weight]', '[[spring]]\nat = "middle"\nx = "4 kN/mm"\n[self_weight]'),
    ],
)  # fmt: skip
def test_nothing_is_screened_where_the_bound_does_not_hold(change: tuple[str, str]) -> None:
    assert change[0] in BEAM
    assert not screens(member_from_toml(BEAM.replace(*change)), "IPE")


@pytest.mark.parametrize("family", ["C", "MC", "UPN", "L", "WT"])
def test_unsymmetric_families_are_never_screened(family: str) -> None:
    assert not screens(member_from_toml(BEAM), family)
