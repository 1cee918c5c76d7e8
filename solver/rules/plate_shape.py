"""Which shape of plates an outline is: what rules for I sections, channels and tubes need to know.

Measured from the outline itself, whatever file it comes from: thicknesses along cuts, the fillets
from the area that the plates leave. An outline whose measures do not add up to its area is of no
such shape.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ...geometry.outline.polygons import region_polygons
from ...geometry.section import Section

Kind = Literal["I", "channel", "rectangular tube", "round tube"]

#: Measures that differ by less than this share are equal.
_SAME = 0.02
#: Chords keep this close to arcs, over the section's size.
_CHORDS = 1e-5
#: Area of a quarter-circle fillet between its tangents, over r^2.
_FILLET = 1 - math.pi / 4


@dataclass(frozen=True, slots=True)
class PlateShape:
    """Dimensions of a recognised outline, in the section's unit.

    Attributes
    ----------
    kind : str
        "I" (equal flanges), "channel" (equal flanges, web upright), "rectangular tube" or "round
        tube".
    depth, width : float
        Overall; of a round tube both are the diameter.
    web, flange : float
        Thicknesses: upright and level walls; the mean one of a sloping flange.
    radius : float
        Of the fillets between web and flanges, or outside a tube's corners; 0 for sharp ones.
    """

    kind: Kind
    depth: float
    width: float
    web: float
    flange: float
    radius: float

    @property
    def web_height(self) -> float:
        """Clear height between flanges."""
        return self.depth - 2 * self.flange

    @property
    def straight_web(self) -> float:
        """Flat part of the web, without fillets or rounded corners."""
        if self.kind == "rectangular tube":
            return self.depth - 2 * max(self.radius, self.flange)
        return self.web_height - 2 * self.radius

    @property
    def straight_flange(self) -> float:
        """Flat part of a flange: its outstand, or of a tube the whole level wall."""
        if self.kind == "rectangular tube":
            return self.width - 2 * max(self.radius, self.web)
        if self.kind == "channel":
            return self.width - self.web - self.radius
        return (self.width - self.web) / 2 - self.radius


def plate_shape(section: Section) -> PlateShape | None:
    """The shape of a section, None where it is none of the four."""
    import shapely

    if section.slits:
        return None  # plates only pressed together are not one shape
    size = max(
        b - a
        for r in section.regions
        for a, b in zip(r.outline.bounds()[:2], r.outline.bounds()[2:], strict=True)
    )
    whole = shapely.union_all(region_polygons(section, _CHORDS * size))
    if whole.geom_type != "Polygon":
        return None
    holes = len(whole.interiors)
    if holes == 0:
        return _open(whole)
    return _tube(whole) if holes == 1 else None


def _cut(whole: object, start: tuple[float, float], end: tuple[float, float]) -> list[float]:
    """Lengths of material along a line, in order."""
    import shapely

    found = shapely.intersection(whole, shapely.LineString([start, end]))
    pieces = [p for p in getattr(found, "geoms", [found]) if p.length > 0]
    pieces.sort(key=lambda p: math.dist(start, p.coords[0]))
    return [float(p.length) for p in pieces]


def _close(a: float, b: float, size: float) -> bool:
    return abs(a - b) <= _SAME * size


def _open(whole: object) -> PlateShape | None:
    x0, y0, x1, y1 = whole.bounds  # type: ignore[attr-defined]
    width, depth, mid = x1 - x0, y1 - y0, (y0 + y1) / 2
    webs = _cut(whole, (x0 - width, mid), (x1 + width, mid))
    if len(webs) != 1 or webs[0] > width / 3:
        return None
    (web,) = webs
    import shapely

    line = shapely.intersection(whole, shapely.LineString([(x0 - width, mid), (x1 + width, mid)]))
    place = line.centroid.x
    if _close(place, (x0 + x1) / 2, width):
        kind: Kind = "I"
        across = [x0 + width / 8, x1 - width / 8, x0 + width / 4, x1 - width / 4]
    elif min(place - x0, x1 - place) <= web * (0.5 + _SAME):
        kind = "channel"
        left = place - x0 < x1 - place
        across = [x0 + width / 2, x0 + width * (0.75 if left else 0.25)]
    else:
        return None
    cuts = [_cut(whole, (x, y0 - depth), (x, y1 + depth)) for x in across]
    if any(len(c) != 2 or not _close(c[0], c[1], c[0]) for c in cuts):
        return None
    flange = sum(sum(c) / 2 for c in cuts) / len(cuts)
    wide = [
        sum(_cut(whole, (x0 - width, y), (x1 + width, y)))
        for y in (y0 + 0.3 * flange, y1 - 0.3 * flange)
    ]
    if not all(_close(w, width, width) for w in wide) or depth < 3 * flange:
        return None
    plates = 2 * width * flange + (depth - 2 * flange) * web
    rest = float(whole.area) - plates  # type: ignore[attr-defined]
    corners = 4 if kind == "I" else 2
    if rest < -_SAME * plates:
        return None
    radius = math.sqrt(max(rest, 0.0) / (corners * _FILLET))
    if radius > min(width, depth) / 4:
        return None
    return PlateShape(kind, depth, width, web, flange, radius if rest > 1e-4 * plates else 0.0)


def _tube(whole: object) -> PlateShape | None:
    import shapely

    outer = shapely.Polygon(whole.exterior)  # type: ignore[attr-defined]
    inner = shapely.Polygon(whole.interiors[0])  # type: ignore[attr-defined]
    (x0, y0, x1, y1), (a0, b0, a1, b1) = outer.bounds, inner.bounds
    width, depth = x1 - x0, y1 - y0
    walls = (a0 - x0, x1 - a1, b0 - y0, y1 - b1)
    if not _close(walls[0], walls[1], walls[0]) or not _close(walls[2], walls[3], walls[2]):
        return None
    web, flange = (walls[0] + walls[1]) / 2, (walls[2] + walls[3]) / 2
    hole = (a1 - a0, b1 - b0)
    round_ = math.pi / 4
    if (
        _close(width, depth, width)
        and abs(outer.area / (round_ * width * depth) - 1) < 1e-3
        and abs(inner.area / (round_ * hole[0] * hole[1]) - 1) < 1e-3
    ):
        return PlateShape("round tube", depth, width, web, web, 0.0)
    radius = _corner(width * depth - outer.area)
    inside = _corner(hole[0] * hole[1] - inner.area)
    if max(radius, inside) > min(width, depth) / 4:
        return None
    rounded = shapely.box(x0 + radius, y0 + radius, x1 - radius, y1 - radius).buffer(radius, 64)
    if outer.symmetric_difference(rounded).area > 1e-3 * outer.area:
        return None
    return PlateShape("rectangular tube", depth, width, web, flange, radius)


def _corner(missing: float) -> float:
    """Radius of four rounded corners that lack this area."""
    return math.sqrt(max(missing, 0.0) / (4 * _FILLET))
