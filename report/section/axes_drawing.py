"""A solved section as a drawing: its outline, its principal axes and its shear centre."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.drawings.centre_line import CentreLine

if TYPE_CHECKING:
    from ...solver.section.result import SectionResult

Array = NDArray[np.float64]

#: Axes reach so far beyond the section, and the cross of the shear centre is so large, by its size.
_BEYOND, _CROSS = 0.65, 0.03


def section_dxf(result: SectionResult) -> bytes:
    """A DXF file, whose outline is exact for lines and arcs; axes lie on layers of their own.

    `soapfilm` reads it back as the section alone: axes are centre lines.
    """
    from ...geometry.drawings.dxf_writer import dxf_bytes

    return dxf_bytes(result.section, centre_lines(result))


def centre_lines(result: SectionResult) -> tuple[CentreLine, ...]:
    """Both principal axes through the centroid, and a cross at the shear centre."""
    size = result.section.size()
    angle = np.radians(result.second_moments.angle_deg)
    major = np.array([np.cos(angle), np.sin(angle)])
    minor = np.array([-major[1], major[0]])
    lines = [
        _line("principal axis 1", result.centroid, _BEYOND * size * major),
        _line("principal axis 2", result.centroid, _BEYOND * size * minor),
    ]
    for way in ((1.0, 0.0), (0.0, 1.0)):
        lines.append(_line("shear centre", result.shear_centre, _CROSS * size * np.array(way)))
    return tuple(lines)


def _line(name: str, middle: Array, half: Array) -> CentreLine:
    ends = np.stack([middle - half, middle + half])
    return CentreLine(name, tuple((float(x), float(y)) for x, y in ends))
