"""Joints: what a line through the material needs, and the force of intermittent welds."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.joint import JointLine

ENDS = ((0.0, 0.0), (4.0, 3.0))


def test_a_line_is_straight_unless_it_says_otherwise() -> None:
    assert JointLine("neck", ENDS).bulges == (0.0,)
    with pytest.raises(GeometryError, match="joint 'neck' needs two points at least, got 1"):
        JointLine("neck", ENDS[:1])
    with pytest.raises(GeometryError, match="2 points need 1 bulges, got 2"):
        JointLine("neck", ENDS, (0.0, 0.1))


def test_an_intermittent_weld_carries_flow_times_pitch() -> None:
    weld = JointLine("neck", ENDS, kind="fillet", weld_length=40.0, pitch=120.0)
    assert weld.intermittent
    assert weld.force_per_weld(-25.0) == -3000.0
    with pytest.raises(GeometryError, match="is continuous: it has a flow, not a force per weld"):
        JointLine("neck", ENDS).force_per_weld(1.0)
