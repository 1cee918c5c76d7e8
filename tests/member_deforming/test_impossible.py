"""Members that cannot be built as described are refused by every theory."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.geometry.errors import ArrangementError, InputError
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import Place, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import fork
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.deformed import Deformed, deformed

from .sections import STEEL, rectangle

STEP = """
unit = "mm"
[material.steel]
grade = "S355"
[section.left]
unit = "mm"
[[section.left.shape]]
profile = "Rectangle"
XDim = 100
YDim = 100
material = "steel"
[section.right]
unit = "mm"
[[section.right.outline]]
points = [[200, 0], [300, 0], [300, 100], [200, 100]]
material = "steel"
[[span]]
length = "4 m"
[[segment]]
section = "left"
to = "2 m"
[[segment]]
section = "right"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
at = "1 m"
weight = "1 kN"
place = [0, 50]
"""

BOX = """
unit = "mm"
[section.box]
unit = "mm"
[section.box.material.steel]
grade = "S355"
[[section.box.shape]]
profile = "RectangleHollow"
XDim = 1200
YDim = 700
WallThickness = 10
[[span]]
length = "18 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "9 kN/m"
place = [590, 350]
[[diaphragm]]
"""


def test_a_step_between_sections_that_share_no_material_is_refused() -> None:
    request = member_from_toml(STEP, name="step", folder=Path())
    with pytest.raises(ArrangementError, match="'left' and 'right' share no material"):
        assess(request, cures=False)


@pytest.mark.parametrize(
    ("diaphragm", "words"),
    [
        ('at = "9 m"\nthickness = "8 mm"\nopening = ["1300 mm", "200 mm"]', "does not fit"),
        (
            'at = "9 m"\nthickness = "200 mm"',
            r"thickness of 200 is no plate in a cell of 1180 x 680",
        ),
        ('at = "9 m"\n[[diaphragm]]\nevery = "3 m"', "two rigid ones stand at 9000 mm"),
        ('at = "19 m"', "lies outside the member"),
        ('at = "9 m"\nthickness = "0 mm"', "thickness must be positive"),
        (
            'at = "9 m"\nbars = [{ from = [-900, 0], to = [590, 0], area = "20 cm^2" }]',
            r"bar 1 begins at \(-900, 0\), 300 off the section's material",
        ),
    ],
)
def test_diaphragms_that_cannot_be_are_refused(diaphragm: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        assess(member_from_toml(BOX + diaphragm, name="box", folder=Path()), cures=False)


def test_a_member_that_is_disturbed_all_along_states_no_stress() -> None:
    """A slip of unit, 6 mm for 6 m: its peak was searched among no stations at all."""
    bar = solved_section(rectangle(100.0, 150.0), "bar", 1e-4)
    load = PointLoad(3.0, (0.0, -1e3, 0.0), place=Place("centroid"))
    segments = (Segment(0.0, 6.0, bar.constants),)
    member = Member(Axis.straight(6.0), segments, (fork(0.0), fork(6.0)), loads=(load,))
    words = deformed(solve(member), None, {"bar": bar})
    assert isinstance(words, str)
    assert "where no stress is stated; check the member's length" in words


def test_a_twist_of_roundings_size_is_none() -> None:
    """A bar loaded in its plane of symmetry: such twists once made the theories part."""
    bar = STEP[: STEP.index("[section.right]")].replace("section.left", "section.bar")
    rest = STEP[STEP.index("[[span]]") : STEP.index("[[segment]]")]
    held = STEP[STEP.index("[[support]]") :]
    found = assess(member_from_toml(bar + rest + held, name="bar", folder=Path()), cures=False)
    assert found.deformed is not None
    assert found.deformed.rows[0].twist.ratio == 1.0


def test_a_mesh_less_symmetric_than_its_section_twists_nothing() -> None:
    """A twist of 1e-10 rad beside a deflection of 0.3 mm once was told, and its ratio."""
    part = i_shape(overall_depth=300, overall_width=150, flange_thickness=12, web_thickness=8)
    girder = solved_section(part.section(material=STEEL, unit="mm", name="I"), "I", 1e-4)
    load = PointLoad(2000.0, (0.0, -10e3, 0.0), place=Place("shear_centre"))
    member = Member(
        Axis.straight(3000.0),
        (Segment(0.0, 3000.0, girder.constants),),
        (fork(0.0), fork(3000.0)),
        loads=(load,),
    )
    found = deformed(solve(member), None, {"I": girder})
    assert isinstance(found, Deformed)
    assert found.rows[0].twist.deforming == 0
    assert found.parting.twist == 1
