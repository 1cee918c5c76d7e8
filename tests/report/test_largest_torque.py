"""Noise of rounding is no torque of a support."""

from __future__ import annotations

from dataclasses import replace

from soapfilm.report.member.lines import _largest_torque
from soapfilm.solver.member.beam.support_reaction import SupportReaction


def test_rounding_beside_the_forces_is_none() -> None:
    """In N and N mm."""
    none = (0.0, 0.0, 0.0)
    held = SupportReaction("a", 0.0, (0.0, 9e4, 0.0), none, (0.0, 0.0), 6.6e-7, 0.0, None, (), "")
    assert _largest_torque([held], 1e-6) == 0.0
    assert _largest_torque([held, replace(held, torque=-2e6)], 1e-6) == 2.0
    assert _largest_torque([], 1e-6) is None
