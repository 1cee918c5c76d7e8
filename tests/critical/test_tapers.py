"""A taper between two sections, and what turns with it."""

from __future__ import annotations

import pytest
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.critical.member_buckling import member_buckling
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import fixed

from .members import CENTROID, STEEL


def shape(depth: float) -> SolvedSection:
    outline = i_shape(
        overall_depth=depth, overall_width=150, flange_thickness=16, web_thickness=16
    ).section(material=STEEL)
    return solved_section(outline, f"{depth:g}", 1e-4)


def test_a_tapered_cantilever_as_in_the_classical_theory() -> None:
    """400 to 250 deep; rigid motion of one station must not strain the section of another."""
    root, tip = shape(400.0), shape(250.0)
    known = {s.constants.name: s for s in (root, tip)}
    made = Member(
        Axis.straight(6000.0),
        (Segment(0, 6000.0, root.constants, tip.constants),),
        (fixed(0.0),),
        loads=(PointLoad(6000.0, force=(0, -1e3, 0), place=CENTROID),),
    )
    solution = solve_deforming(made, course_of(made, known, 2))
    found = member_buckling(solution, known).factors[0].factor
    assert found == pytest.approx(critical_loads(made)[0].factor, rel=2e-2)
