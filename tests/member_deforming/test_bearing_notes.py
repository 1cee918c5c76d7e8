"""What is said of bearings that lift is what the theory that leads finds."""

from __future__ import annotations

from soapfilm.report.member.table import member_notes
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess

#: A box without diaphragms over its bearings: the classical theory finds none of them lifted.
LANDING = """
unit = "mm"
name = "landing"
[[section.box.shape]]
profile = "RectangleHollow"
XDim = 1200
YDim = 800
WallThickness = 10
material = "S355"
[[span]]
length = "14 m"
radius = "35 m"
[[span]]
length = "18 m"
radius = "35 m"
[[support]]
name = "quay"
at = "start"
kind = "bearing pair"
spacing = "1.1 m"
[[support]]
name = "pier"
at = "14 m"
bearings = [{ x = 0 }]
[[support]]
name = "pontoon"
at = "end"
kind = "bearing pair"
spacing = "1.1 m"
[self_weight]
case = "dead"
[[load]]
case = "crowd"
weight = "4 kN/m"
place = [0, 400]
span = 1
[[combination]]
name = "all"
factors = { dead = 1.0, crowd = 1.0 }
"""


def test_uplift_is_told_by_the_theory_that_leads() -> None:
    """It was told by the classical theory beside a table of the other."""
    found = assess(member_from_toml(LANDING), cures=False, critical=False)
    assert not any("uplift" in note for note in found.solution.notes)
    assert found.deformed is not None
    lifted = {
        f"Bearing {n} of {row.title} is under uplift in combination 'all'."
        for row in reactions(found.deformed.solution, 0)
        for n, bearing in enumerate(row.bearings, 1)
        if bearing.lifted
    }
    assert lifted
    assert {note for note in member_notes(found) if "under uplift" in note} == lifted
