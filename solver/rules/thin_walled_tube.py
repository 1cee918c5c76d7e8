"""Concrete in torsion as the equivalent thin-walled tube of its outline, EN 1992-1-1 clause 6.3.2
(from memory).

t_ef = A / u of the outer outline, voids included in A, not below twice the distance from the edge
to the bars, and not above the real wall of a hollow section; A_k and u_k belong to the wall's
centre line.

    T_Rd,max = 2 nu alpha_cw f_cd A_k t_ef sin(theta) cos(theta)        (6.30)
    sum A_sl f_yd / u_k = T cot(theta) / (2 A_k)                        (6.28)
    A_sw f_yd / s = T tan(theta) / (2 A_k)   for each leg
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...geometry.outline.polygons import region_polygons
from ...geometry.section import Section

Array = NDArray[np.float64]

SOURCE = "EN 1992-1-1:2004 clause 6.3.2"
PROVENANCE = "from memory"

_CHORDS = 1e-5
#: Outlines that fill less of their convex hull are to be split into parts, 6.3.1(3).
_HOLLOWED = 0.9


@dataclass(frozen=True, slots=True)
class ThinWalledTube:
    """The tube that stands for an outline.

    Attributes
    ----------
    area, perimeter : float
        A and u of the outer outline.
    wall : float
        t_ef.
    enclosed, centre_line : float
        A_k and u_k.
    web_width : float
        Least width of material over the middle two thirds of the height.
    depth : float
        Overall.
    split : bool
        True for a flanged outline, which the code would divide into parts.
    """

    area: float
    perimeter: float
    wall: float
    enclosed: float
    centre_line: float
    web_width: float
    depth: float
    split: bool

    def torque_of_struts(self, strength: float, cot: float, nu: float) -> float:
        """T_Rd,max for f_cd and cot(theta), with alpha_cw = 1."""
        angle = math.atan(1 / cot)
        return 2 * nu * strength * self.enclosed * self.wall * math.sin(angle) * math.cos(angle)

    def links(self, torque: Array, yield_stress: float, cot: float) -> Array:
        """A_sw / s of each leg."""
        return np.asarray(torque / (2 * self.enclosed * yield_stress * cot))

    def bars(self, torque: Array, yield_stress: float, cot: float) -> Array:
        """Sum of A_sl around the section."""
        return np.asarray(torque * cot * self.centre_line / (2 * self.enclosed * yield_stress))


def thin_walled_tube(section: Section, edge_to_bar: float) -> ThinWalledTube:
    """The tube of a section's outer outline.

    Raises
    ------
    InputError
        Where the outline is too thin for a tube of that wall.
    """
    import shapely

    if not edge_to_bar > 0:
        raise InputError(f"the distance from the edge to the bars must be positive: {edge_to_bar}")
    bounds = [r.outline.bounds() for r in section.regions]
    size = max(max(b[2] - b[0], b[3] - b[1]) for b in bounds)
    whole = shapely.union_all(region_polygons(section, _CHORDS * size))
    if whole.geom_type != "Polygon":
        raise InputError(f"section {section.name!r} is not of one piece")
    outer = shapely.Polygon(whole.exterior)
    wall = max(outer.area / outer.length, 2 * edge_to_bar)
    for hole in whole.interiors:
        wall = min(wall, shapely.LinearRing(hole).distance(whole.exterior))
    inner = outer.buffer(-wall / 2, join_style="mitre")
    if inner.is_empty or inner.geom_type != "Polygon":
        raise InputError(
            f"section {section.name!r} has parts thinner than the wall {wall:.4g} of its tube; "
            "judge its parts one by one, each as a section of its own"
        )
    x0, y0, x1, y1 = outer.bounds
    depth = y1 - y0
    cuts = [y0 + depth * (1 / 6 + 2 / 3 * k / 40) for k in range(41)]
    widths = [
        whole.intersection(shapely.LineString([(x0 - 1, y), (x1 + 1, y)])).length for y in cuts
    ]
    return ThinWalledTube(
        float(outer.area),
        float(outer.length),
        float(wall),
        float(inner.area),
        float(inner.length),
        float(min(widths)),
        float(depth),
        bool(outer.area < _HOLLOWED * outer.convex_hull.area),
    )
