"""How a sketch looks at a member: from the side and above, at which size each thing is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .solid import Drawn

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: The view: turned about the vertical, so that the end comes nearer, and tilted to look down.
_TURN, _TILT = np.radians(14.0), np.radians(34.0)
#: Twist is drawn up to this angle, deflection up to this share of the section's height.
_TWIST, _MOVE = np.radians(16.0), 0.5
#: A section takes up to this share of the member's length, half of it in a ring.
_THICK = 0.16
_NICE = (1.0, 2.0, 3.0, 4.0, 5.0, 8.0)


@dataclass(frozen=True, slots=True)
class View:
    """Space to page, so that the chord of the member runs from left to right."""

    heading: float

    def page(self, space: Array) -> Array:
        """(..., 3) X, Y, Z to page coordinates and nearness (..., 3)."""
        cos, sin = np.cos(self.heading), np.sin(self.heading)
        along = space[..., 2] * cos + space[..., 0] * sin
        away = space[..., 0] * cos - space[..., 2] * sin
        right = along * np.cos(_TURN) + away * np.sin(_TURN)
        back = away * np.cos(_TURN) - along * np.sin(_TURN)
        up = space[..., 1] * np.cos(_TILT) + back * np.sin(_TILT)
        near = space[..., 1] * np.sin(_TILT) - back * np.cos(_TILT)
        return np.stack([right, up, near], axis=-1)


def exaggeration(assessment: Assessment, combination: int) -> Drawn:
    """Round factors that make section, twist and deflection visible."""
    member, table = assessment.solution.mesh.member, assessment.table
    boxes = [section_box(assessment, name) for name in assessment.request.sections]
    width = max(x1 - x0 for x0, _, x1, _ in boxes)
    height = max(y1 - y0 for _, y0, _, y1 in boxes)
    x, z, _ = member.axis.plan(np.linspace(0.0, member.length, 200))
    reach = float(np.hypot(np.ptp(x), np.ptp(z)))
    twist = float(np.abs(table.phi[:, combination]).max())
    moved = float(np.hypot(table.u[:, combination], table.v[:, combination]).max())
    return Drawn(
        nice((_THICK / 2 if member.axis.closed else _THICK) * reach / max(width, height)),
        nice(_TWIST / twist) if twist > 1e-12 else 1.0,
        nice(_MOVE * height / moved) if moved > 1e-12 * height else 1.0,
    )


def nice(value: float) -> float:
    """The largest round number up to the value, 1 at least."""
    if value <= 1:
        return 1.0
    power = 10.0 ** np.floor(np.log10(value))
    return float(max(n * power for n in _NICE if n * power <= value * (1 + 1e-9)))


def section_box(assessment: Assessment, name: str) -> tuple[float, float, float, float]:
    """(xmin, ymin, xmax, ymax) of a section in its own axes; of one known by its constants alone,
    the rectangle of the same radii of gyration."""
    section = assessment.request.sections[name]
    if section.result is not None:
        return section.result.section.bounds()
    s = section.constants
    w, h = (np.sqrt(3 * i / s.area) for i in (s.second_moment_y, s.second_moment_x))
    x, y = s.centroid
    return (x - w, y - h, x + w, y + h)
