"""Closed and open pieces that meet: the classical theory gives bounds, and no more."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.errors import SolveError
from soapfilm.report.member.table import member_table
from soapfilm.report.text.number import number
from soapfilm.solver.member.beam.mismatch import mismatch_of, mismatched_steps
from soapfilm.solver.member.deforming.change import UNSETTLED
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review import assessment as whole
from soapfilm.solver.member.review.assessment import assess

TUBE = """
unit = "mm"
[[span]]
length = "3 m"
[[support]]
at = "start"
kind = "fixed"
[[load]]
at = "end"
T = "1 kN*m"
{analysis}
[section.tube]
unit = "mm"
[section.tube.material.steel]
E = "210 GPa"
nu = 0.3
[[section.tube.shape]]
profile = "RectangleHollow"
XDim = 100
YDim = 100
WallThickness = 5
[section.slotted]
unit = "mm"
[section.slotted.material.steel]
E = "210 GPa"
nu = 0.3
[[section.slotted.outline]]
points = [[50, 50], [-50, 50], [-50, -50], [50, -50], [50, -5], [45, -5], [45, -45],
    [-45, -45], [-45, 45], [45, 45], [45, 5], [50, 5]]
[[segment]]
section = "tube"
from = "0 m"
to = "1 m"
[[segment]]
section = "slotted"
from = "1 m"
to = "2 m"
[[segment]]
section = "tube"
from = "2 m"
to = "3 m"
"""


def test_a_slotted_tube_has_bounds_that_hold_the_truth() -> None:
    """3D elasticity gives 2.42 degrees at the tip of this square tube with a slot of 10 mm."""
    member = member_from_toml(TUBE.format(analysis=""), name="slotted", folder=Path()).member
    found = mismatch_of(member)
    assert found is not None
    assert found.stations == pytest.approx((1000.0, 2000.0))
    assert math.degrees(found.stiff) < 2.42 < math.degrees(found.soft)
    assert "closed and open at 1000, 2000" in found.sentence()


def test_the_classical_theory_alone_is_refused_there() -> None:
    text = TUBE.format(analysis='[analysis]\nsections = "keep their shape"')
    request = member_from_toml(text, name="slotted", folder=Path())
    with pytest.raises(SolveError, match="cannot carry warping over such a step"):
        assess(request, cures=False)


def test_the_table_leaves_out_what_the_classical_theory_cannot_tell(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """3D elasticity: 2.42 degrees, 295 MPa within the slotted metre, some 560 at the slot's ends;
    the classical theory has 41 degrees, and remedies were compared with that."""
    monkeypatch.setattr(whole, "_spacing", lambda *_: None)  # seconds, and another matter
    assessment = assess(member_from_toml(TUBE.format(analysis=""), name="slotted", folder=Path()))
    found = assessment.deformed
    assert found is not None
    assert math.degrees(found.rows[0].twist.deforming) == pytest.approx(2.42, rel=0.02)
    assert found.rows[0].stress is not None
    assert 295 < found.rows[0].stress.deforming < 600
    text = member_table(assessment)
    assert "its values are left out" in text
    assert "41." not in text
    assert "What each restraint does is not told" in " ".join(text.split())
    existing, moved, _ = assessment.cures
    assert existing.twist == pytest.approx(found.rows[0].twist.deforming, rel=1e-9)
    assert moved.twist == pytest.approx(existing.twist, rel=1e-9)  # the load is a torque as such


def test_one_section_has_no_such_step() -> None:
    text = TUBE.format(analysis="").replace('section = "slotted"', 'section = "tube"')
    assert not mismatched_steps(member_from_toml(text, name="tube", folder=Path()).member)


def test_a_stress_that_still_changes_with_the_modes_is_not_printed() -> None:
    """Beside the end of a slot the peak has no bound; what is printed must have settled."""
    assessment = assess(
        member_from_toml(TUBE.format(analysis=""), name="slotted", folder=Path()), cures=False
    )
    found = assessment.deformed
    assert found is not None
    assert found.rows[0].stress is not None
    shown = number(found.rows[0].stress.deforming, 4)
    assert shown in member_table(assessment)
    change = replace(found.change, stress=0.42)
    unsettled = replace(assessment, deformed=replace(found, change=change))
    assert shown not in member_table(unsettled)
    assert "none is stated" in " ".join(member_table(unsettled).split())


def test_a_stress_that_settles_only_away_from_loads_is_stated_there(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """At a force on a tube's side the stress asks for more functions than farther away."""
    text = TUBE.format(analysis="").replace('section = "slotted"', 'section = "tube"')
    force = 'at = "1.5 m"\nF_y = "-10 kN"\nplace = [57.15, 0]'
    text = text.replace('at = "end"\nT = "1 kN*m"', force)
    request = member_from_toml(text, name="tube", folder=Path())
    everywhere = assess(request, cures=False).deformed
    assert everywhere is not None
    change = everywhere.change
    assert change.stress_away < change.stress < UNSETTLED
    strict = (change.stress_away + change.stress) / 2
    monkeypatch.setattr("soapfilm.solver.member.deforming.change.UNSETTLED", strict)
    assessment = assess(request, cures=False)
    found = assessment.deformed
    assert found is not None
    assert found.unsettled_near == pytest.approx(change.stress, rel=1e-6)
    assert found.stress.mises.max() < everywhere.stress.mises.max()
    ends = np.array([0.0, 1500.0, 3000.0])
    assert np.abs(found.stress.z[:, None] - ends).min() > 50.0
    words = " ".join(member_table(assessment).split())
    assert "limits of stress are judged there alone" in words
