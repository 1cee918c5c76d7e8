"""Profiles without flanges: rectangles, circles, their hollow kin, ellipse and trapezium.

Names and meaning of the parameters are those of ISO 16739-1 (IFC4), IfcParameterizedProfileDef and
its subtypes, in snake case; recalled from the standard's text, not copied. Every profile is centred
on its bounding box, x along XDim, y along YDim.
"""

from __future__ import annotations

import math

from ..outline.biarc import ellipse_arcs
from ..outline.contour import Contour
from ..outline.rounded_corner import RoundedCorner, rounded
from .dimension import DimensionError, check_below, check_positive, check_radii
from .profile import Profile


def rectangle(*, x_dim: float, y_dim: float) -> Profile:
    """IfcRectangleProfileDef: a solid rectangle."""
    check_positive(x_dim=x_dim, y_dim=y_dim)
    return Profile(_box(x_dim, y_dim))


def rounded_rectangle(*, x_dim: float, y_dim: float, rounding_radius: float) -> Profile:
    """IfcRoundedRectangleProfileDef: a solid rectangle with four equal corner radii.

    A radius of half a side gives a round end, half of both a circle.
    """
    check_positive(x_dim=x_dim, y_dim=y_dim, rounding_radius=rounding_radius)
    return Profile(_box(x_dim, y_dim, rounding_radius, "rounding_radius", "on a side"))


def circle(*, radius: float) -> Profile:
    """IfcCircleProfileDef: a solid circle."""
    check_positive(radius=radius)
    return Profile(Contour.circle((0.0, 0.0), radius))


def circle_hollow(*, radius: float, wall_thickness: float) -> Profile:
    """IfcCircleHollowProfileDef: a round tube of outer radius `radius`."""
    check_positive(radius=radius, wall_thickness=wall_thickness)
    reason = "must be less than {radius}, {limit}; use a solid circle for no hole"
    check_below("wall_thickness", wall_thickness, radius, reason)
    inner = Contour.circle((0.0, 0.0), radius - wall_thickness)
    return Profile(Contour.circle((0.0, 0.0), radius), (inner,))


def rectangle_hollow(
    *,
    x_dim: float,
    y_dim: float,
    wall_thickness: float,
    inner_fillet_radius: float = 0.0,
    outer_fillet_radius: float = 0.0,
) -> Profile:
    """IfcRectangleHollowProfileDef: a rectangular tube with sharp or rounded corners."""
    t, inner, outer = wall_thickness, inner_fillet_radius, outer_fillet_radius
    check_positive(x_dim=x_dim, y_dim=y_dim, wall_thickness=t)
    check_radii(inner_fillet_radius=inner, outer_fillet_radius=outer)
    side, short = ("x_dim", x_dim) if x_dim <= y_dim else ("y_dim", y_dim)
    check_below("wall_thickness", t, short / 2, f"must be less than half of {{{side}}}, {{limit}}")
    outline = _box(x_dim, y_dim, outer, "outer_fillet_radius", "on an outer side")
    hole = _box(x_dim - 2 * t, y_dim - 2 * t, inner, "inner_fillet_radius", "on an inner side")
    # On the diagonal the arcs are sqrt(2) t - (outer - inner) (sqrt(2) - 1) apart.
    thin = inner + t * math.sqrt(2) / (math.sqrt(2) - 1)
    reason = "cuts through the wall at the corners: less than {limit} keeps it closed"
    check_below("outer_fillet_radius", outer, thin, reason)
    return Profile(outline, (hole,))


def ellipse(*, semi_axis1: float, semi_axis2: float, deviation: float | None = None) -> Profile:
    """IfcEllipseProfileDef: an ellipse, as circular arcs within a stated deviation.

    An ellipse holds no circular arc, so this is the one profile that is approximated: by a smooth
    run of arcs that leaves it by at most `deviation` (default 1e-5 of the smaller half axis). The
    deviation found is the profile's; results say what it can change of J.

    Parameters
    ----------
    semi_axis1, semi_axis2 : float
        Half axes along x and y.
    deviation : float, optional
    """
    check_positive(semi_axis1=semi_axis1, semi_axis2=semi_axis2)
    least = min(semi_axis1, semi_axis2)
    allowed = 1e-5 * least if deviation is None else deviation
    check_positive(deviation=allowed)
    if not 1e-10 * least <= allowed <= 0.1 * least:
        raise DimensionError(
            "deviation",
            allowed,
            "must lie between 1e-10 and a tenth of the smaller half axis",
        )
    outline, found = ellipse_arcs(semi_axis1, semi_axis2, allowed)
    note = f"the ellipse is made of {len(outline)} arcs that leave it by at most {found:.2g}"
    return Profile(outline, notes=(note,), deviation=found)


def trapezium(
    *, bottom_x_dim: float, top_x_dim: float, y_dim: float, top_x_offset: float = 0.0
) -> Profile:
    """IfcTrapeziumProfileDef: bottom and top parallel to x.

    `top_x_offset` is the distance, along x, from the left end of the bottom to that of the top.
    """
    check_positive(bottom_x_dim=bottom_x_dim, top_x_dim=top_x_dim, y_dim=y_dim)
    if not (isinstance(top_x_offset, (int, float)) and math.isfinite(top_x_offset)):
        raise DimensionError("top_x_offset", top_x_offset, "must be a number")
    left, right = min(0.0, top_x_offset), max(bottom_x_dim, top_x_offset + top_x_dim)
    x, y = -(left + right) / 2, y_dim / 2
    top = x + top_x_offset
    return Profile(Contour([(x, -y), (x + bottom_x_dim, -y), (top + top_x_dim, y), (top, y)]))


def _box(
    x_dim: float, y_dim: float, radius: float = 0.0, name: str = "", along: str = ""
) -> Contour:
    x, y = x_dim / 2, y_dim / 2
    corners = ((-x, -y), (x, -y), (x, y), (-x, y))
    return rounded([RoundedCorner(cx, cy, radius, name, along) for cx, cy in corners])
