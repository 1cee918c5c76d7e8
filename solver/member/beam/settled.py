"""Supports that move: the ground under each moves as a rigid body, about the support's point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.imposed import Settlement
from ..model.member import Member

Array = NDArray[np.float64]


def ground_motion(member: Member, title: str, point: tuple[float, float]) -> Array:
    """(6, c) motion and rotation of the ground of a support, by combination, seen at the point from
    which its own point lies `point` away."""
    found = np.zeros((6, len(member.combined)))
    for action in member.imposed:
        if not isinstance(action, Settlement) or action.support != title:
            continue
        x, y = point
        u, v, w, turn_x, turn_y, twist = action.motion
        # d + theta x r is the motion of the support's own point.
        own = [u + y * twist, v - x * twist, w - y * turn_x + x * turn_y, turn_x, turn_y, twist]
        factors = [c.factors.get(action.case, 0.0) for c in member.combined]
        found += np.outer(own, factors)
    return found
