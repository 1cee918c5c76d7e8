"""Where the weight of a section of several materials acts: by densities, not by moduli."""

from __future__ import annotations

import numpy as np

from ....geometry.outline.moments import contour_moments
from ....geometry.section import Section


def weight_place(section: Section) -> tuple[float, float, float] | None:
    """x and y of the centre of mass and int rho (x - x_m)^2 dA / m, length^2; None where a density
    is missing, and where there is but one, which leaves the weight to the centroid."""
    densities = [r.material.density for r in section.regions]
    known = [d for d in densities if d is not None]
    if len(known) < len(densities) or len(set(known)) < 2:
        return None
    total = np.zeros((3, 3))
    for density, region in zip(known, section.regions, strict=True):
        total += density * contour_moments(region.contours, (0.0, 0.0), 2)
    x, y = total[1, 0] / total[0, 0], total[0, 1] / total[0, 0]
    return float(x), float(y), float(total[2, 0] / total[0, 0] - x * x)
