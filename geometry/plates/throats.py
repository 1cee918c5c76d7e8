"""Throats that meet inside the metal: a penetration and the fillets beside it are one joint.

The flow through a part of a joined cross-section says little of a weld, so the lines are put end to
end until both ends of each are free.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..errors import GeometryError
from ..joint import JointLine


def chained(joints: Sequence[JointLine], tolerance: float) -> tuple[JointLine, ...]:
    """Joints between the same two parts put together where they meet.

    Parameters
    ----------
    joints : sequence of JointLine
    tolerance : float
        Length within which two ends are one.

    Raises
    ------
    GeometryError
        When a continuous and an intermittent weld meet, or two of different pitch.
    """
    left = list(joints)
    done: list[JointLine] = []
    while left:
        line = left.pop(0)
        grown = True
        while grown:
            grown = False
            for k, other in enumerate(left):
                if set(other.between) != set(line.between):
                    continue
                whole = _joined(line, _aligned(other, line), tolerance)
                if whole is not None:
                    line, grown = whole, True
                    left.pop(k)
                    break
        done.append(line)
    return tuple(done)


def _aligned(line: JointLine, to: JointLine) -> JointLine:
    """The line with the same part on its left."""
    if line.between == to.between:
        return line
    bulges = tuple(-b for b in line.bulges[::-1])
    return replace(line, points=line.points[::-1], bulges=bulges, between=to.between)


def _joined(one: JointLine, other: JointLine, tolerance: float) -> JointLine | None:
    """Both as one line, None where they do not meet."""
    for first, second in ((one, other), (other, one)):
        if np.hypot(*np.subtract(first.points[-1], second.points[0])) <= tolerance:
            if (one.weld_length, one.pitch) != (other.weld_length, other.pitch):
                x, y = first.points[-1]
                raise GeometryError(
                    f"welds {one.name!r} and {other.name!r} meet at ({x:.7g}, {y:.7g}) and carry "
                    "the shear together; give both the same length and pitch, or none"
                )
            kinds = dict.fromkeys([*one.kind.split(" + "), *other.kind.split(" + ")])
            return replace(
                one,
                name=f"{one.name} + {other.name}",
                points=first.points + second.points[1:],
                bulges=first.bulges + second.bulges,
                kind=" + ".join(kinds),
            )
    return None
