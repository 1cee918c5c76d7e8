"""Numbers of a section that its outline gives without any field: exact at every outline, so that
their differences are derivatives to rounding."""

from __future__ import annotations

from ....geometry.section import Section
from ..area.properties import AreaProperties, area_properties

#: Names as in tables of studies.
NAMES = (
    "width", "depth", "area", "gross_area", "perimeter", "mass_per_length", "centroid_x",
    "centroid_y", "second_moment_x", "second_moment_y", "product_moment", "second_moment_major",
    "second_moment_minor", "elastic_modulus_top", "elastic_modulus_bottom",
    "elastic_modulus_right", "elastic_modulus_left",
)  # fmt: skip


def outline_numbers(section: Section, perimeter: float) -> tuple[dict[str, float], AreaProperties]:
    """Numbers by the names of `NAMES`, without `mass_per_length` where a density is missing.

    Parameters
    ----------
    section : Section
    perimeter : float
        Length of its whole border.
    """
    p = area_properties(section)
    x0, y0, x1, y1 = section.bounds()
    m, w = p.second_moments, p.elastic_moduli
    values = (
        x1 - x0, y1 - y0, p.area, p.gross_area, perimeter, p.mass_per_length, p.centroid[0],
        p.centroid[1], m.x, m.y, m.xy, m.major, m.minor, w.x_top, w.x_bottom, w.y_right, w.y_left,
    )  # fmt: skip
    known = zip(NAMES, values, strict=True)
    return {name: float(v) for name, v in known if v is not None}, p
