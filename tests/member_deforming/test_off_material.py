"""What is said of loads that act off the section's material."""

from __future__ import annotations

import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad, Where
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork
from soapfilm.solver.member.review.off_material import off_material

from .sections import classical, reduced

BOX, LENGTH = ("box", 1200.0, 700.0, 5.0, 5.0), 9000.0


def said(place: Where, *more: PointLoad) -> tuple[str, ...]:
    section = reduced(*BOX)
    member = Member(
        Axis.straight(LENGTH),
        (Segment(0, LENGTH, classical(*BOX).constants),),
        (fork(0.0), fork(LENGTH)),
        loads=(
            PointLoad(LENGTH / 2, (0, -1e3, 0), place=place, name="gate"),
            LineLoad(0, LENGTH, (0, -1.0, 0), place=(0.0, 350.0), name="deck"),
            *more,
        ),
    )
    course = Course((MemberPart(0, LENGTH, section, section),))
    return off_material(solve_deforming(member, course, orders=(5,)), "mm")


@pytest.mark.parametrize("place", [(600.0, 350.0), (597.0, 0.0), Place("shear_centre")])
def test_places_of_the_material_and_resultants_need_no_word(place: Where) -> None:
    assert said(place) == ()


def test_a_place_just_inside_a_wall_is_in_the_void() -> None:
    (words,) = said((590.0, 0.0))
    assert words.startswith(
        "gate: (590, 0) mm lies in the void of a cell, 5 mm from the wall at (595, 0): force"
    )
    assert words.endswith("give a point of the wall")


def test_a_place_beside_the_section_is_a_brackets() -> None:
    (words,) = said((630.0, 350.0))
    assert words.startswith(
        "gate: (630, 350) mm lies 30 mm off the material: the force acts at the nearest point "
        "(600, 350), and the moment of that arm is spread over the whole section"
    )


def test_loads_at_one_place_are_told_of_once() -> None:
    """A row of joists had a sentence for each."""
    place = (630.0, 350.0)
    others = [PointLoad(z, (0, -1e3, 0), place=place, name=f"post {z:g}") for z in (1e3, 2e3)]
    (words,) = said(place, *others)
    assert words.startswith("gate and 2 other loads: (630, 350) mm lies 30 mm off the material")
