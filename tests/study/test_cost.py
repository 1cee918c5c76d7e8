"""The cost that a sizing makes least: of mass, and of the length of every weld."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.joint import JointLine
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.study.choice.objective import Objective

LINE = ((0.0, 0.0), (0.0, 8.0))
WELDED = Section(
    (Region(Contour([(0, 0), (60, 0), (60, 8), (0, 8)])),),
    joints=(
        JointLine("on end", LINE, kind="fillet"),
        JointLine("here and there", LINE, kind="fillet", weld_length=50, pitch=200),
        JointLine("no weld", LINE),
    ),
)


def test_continuous_welds_count_whole_and_others_by_their_pitch() -> None:
    assert Objective("cost", False, 2.0, 3.0).of_sections([WELDED], 10.0) == 2 * 10 + 3 * (1 + 0.25)
    assert Objective("cost", False, 2.0).of_sections([WELDED], 10.0) == 20
    assert Objective("cost", False, 0.0, 4.0).of_sections([WELDED], 10.0) == 5


def test_a_cost_of_nothing_or_below_is_refused() -> None:
    with pytest.raises(InputError, match="the cost of everything is 0"):
        Objective("cost", False, 0.0, 0.0)
    with pytest.raises(InputError, match="per_mass must be 0 or more"):
        Objective("cost", False, -1.0, 0.0)
