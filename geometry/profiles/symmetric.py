"""Profiles symmetric about y: I, asymmetric I and T.

Names and meaning of the parameters are those of ISO 16739-1 (IFC4), IfcParameterizedProfileDef and
its subtypes, in snake case; recalled from the standard's text, not copied. Every profile is centred
on its bounding box, y along the depth. Radii and slopes are optional, zero when left out; slopes
are angles of a flange's inner face, in radians (`flange` says where its thickness then holds).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..outline.rounded_corner import RoundedCorner, rounded
from .dimension import DimensionError, check_below, check_positive, check_radii, check_slopes
from .flange import ON_FACE, ON_TIP, ON_WEB, check_depth, check_place, check_web, tip_and_root
from .profile import Profile


class _Flange(NamedTuple):
    """One flange of an I: its dimensions, and what precedes their names ("top_flange_")."""

    width: float
    thickness: float
    fillet: float
    edge: float
    slope: float
    names: tuple[str, str, str, str, str]
    at: float | None = None

    def ends(self, web: float) -> tuple[float, float]:
        """Thickness at the free edge and at the web's face."""
        outstand = (self.width - web) / 2
        check_place(self.at, outstand)
        names = (self.names[1], self.names[4])
        return tip_and_root(self.thickness, outstand, self.slope, names, self.at)


def i_shape(
    *,
    overall_width: float,
    overall_depth: float,
    web_thickness: float,
    flange_thickness: float,
    fillet_radius: float = 0.0,
    flange_edge_radius: float = 0.0,
    flange_slope: float = 0.0,
    thickness_at: float | None = None,
) -> Profile:
    """IfcIShapeProfileDef: a doubly symmetric I, rolled or welded.

    `thickness_at` is no attribute of the standard: the distance from the flange's edge at which
    `flange_thickness` holds when the flange is sloped (default: halfway to the web).
    """
    names = (
        "overall_width",
        "flange_thickness",
        "fillet_radius",
        "flange_edge_radius",
        "flange_slope",
    )
    flange = _Flange(
        overall_width,
        flange_thickness,
        fillet_radius,
        flange_edge_radius,
        flange_slope,
        names,
        thickness_at,
    )
    return _i(overall_depth, web_thickness, flange, flange)


def asymmetric_i_shape(
    *,
    bottom_flange_width: float,
    overall_depth: float,
    web_thickness: float,
    bottom_flange_thickness: float,
    top_flange_width: float,
    bottom_flange_fillet_radius: float = 0.0,
    top_flange_thickness: float | None = None,
    top_flange_fillet_radius: float = 0.0,
    bottom_flange_edge_radius: float = 0.0,
    bottom_flange_slope: float = 0.0,
    top_flange_edge_radius: float = 0.0,
    top_flange_slope: float = 0.0,
) -> Profile:
    """IfcAsymmetricIShapeProfileDef: an I with two different flanges, symmetric about y.

    The top flange is as thick as the bottom one unless `top_flange_thickness` is given.
    """
    parts = ("width", "thickness", "fillet_radius", "edge_radius", "slope")
    bottom = _Flange(
        bottom_flange_width,
        bottom_flange_thickness,
        bottom_flange_fillet_radius,
        bottom_flange_edge_radius,
        bottom_flange_slope,
        tuple(f"bottom_flange_{part}" for part in parts),  # type: ignore[arg-type]
    )
    top = _Flange(
        top_flange_width,
        bottom_flange_thickness if top_flange_thickness is None else top_flange_thickness,
        top_flange_fillet_radius,
        top_flange_edge_radius,
        top_flange_slope,
        tuple(f"top_flange_{part}" for part in parts),  # type: ignore[arg-type]
    )
    return _i(overall_depth, web_thickness, bottom, top)


def _i(depth: float, web: float, bottom: _Flange, top: _Flange) -> Profile:
    check_positive(overall_depth=depth, web_thickness=web)
    for flange in (bottom, top):
        width, thickness, fillet, edge, slope = flange.names
        check_positive(**{width: flange.width, thickness: flange.thickness})
        check_radii(**{fillet: flange.fillet, edge: flange.edge})
        check_slopes(**{slope: flange.slope})
        check_web(width, flange.width, web)
    tip_b, root_b = bottom.ends(web)
    tip_t, root_t = top.ends(web)
    thick = {flange.names[1]: flange.thickness for flange in (bottom, top)}
    check_depth("overall_depth", depth, root_b + root_t, *thick.items())
    w, h = web / 2, depth / 2
    right = [
        RoundedCorner(bottom.width / 2, -h, along=ON_TIP),
        RoundedCorner(bottom.width / 2, tip_b - h, bottom.edge, bottom.names[3], ON_FACE),
        RoundedCorner(w, root_b - h, bottom.fillet, bottom.names[2], ON_WEB),
        RoundedCorner(w, h - root_t, top.fillet, top.names[2], ON_FACE),
        RoundedCorner(top.width / 2, h - tip_t, top.edge, top.names[3], ON_TIP),
        RoundedCorner(top.width / 2, h),
    ]
    return Profile(rounded(right + _mirrored(right)))


def t_shape(
    *,
    depth: float,
    flange_width: float,
    web_thickness: float,
    flange_thickness: float,
    fillet_radius: float = 0.0,
    flange_edge_radius: float = 0.0,
    web_edge_radius: float = 0.0,
    web_slope: float = 0.0,
    flange_slope: float = 0.0,
) -> Profile:
    """IfcTShapeProfileDef: flange on top, web down; both faces of the web slope."""
    check_positive(
        depth=depth,
        flange_width=flange_width,
        web_thickness=web_thickness,
        flange_thickness=flange_thickness,
    )
    check_radii(
        fillet_radius=fillet_radius,
        flange_edge_radius=flange_edge_radius,
        web_edge_radius=web_edge_radius,
    )
    check_slopes(web_slope=web_slope, flange_slope=flange_slope)
    check_web("flange_width", flange_width, web_thickness)
    check_below("flange_thickness", flange_thickness, depth, "must be less than {depth}, {limit}")
    # Nominal places of EN 10055 (from memory): flange a quarter of its width from the edge, web at
    # half the depth.
    outstand, stem = (flange_width - web_thickness) / 2, depth - flange_thickness
    names = ("flange_thickness", "flange_slope")
    tip, _ = tip_and_root(flange_thickness, outstand, flange_slope, names, flange_width / 4)
    names = ("web_thickness", "web_slope")
    foot, _ = tip_and_root(web_thickness / 2, stem, web_slope, names, depth / 2)
    # Faces x = w + kw y and y = yf + kf (x - xm) meet in the root.
    b, h, w = flange_width / 2, depth / 2, web_thickness / 2
    kw, kf = math.tan(web_slope), math.tan(flange_slope)
    xm, yf = b / 2, h - flange_thickness
    x = (w + kw * (yf - kf * xm)) / (1 - kw * kf)
    y = yf + kf * (x - xm)
    if not x < b:
        raise DimensionError("web_slope", web_slope, "makes the web as wide as the flange")
    if not y > -h:
        raise DimensionError("flange_slope", flange_slope, "makes the flange as deep as the web")
    right = [
        RoundedCorner(foot, -h, web_edge_radius, "web_edge_radius", "along the web"),
        RoundedCorner(x, y, fillet_radius, "fillet_radius", ON_FACE),
        RoundedCorner(b, h - tip, flange_edge_radius, "flange_edge_radius", ON_TIP),
        RoundedCorner(b, h),
    ]
    left = _mirrored(right)
    left[-1] = left[-1]._replace(along="on the web's edge")
    return Profile(rounded(right + left))


def _mirrored(right: list[RoundedCorner]) -> list[RoundedCorner]:
    """The left half of an outline from its right half, run on from its end."""
    left = [c._replace(x=-c.x) for c in reversed(right)]
    # an edge's description belongs to its first corner: here, to the other end
    along = [c.along for c in reversed(right[:-1])] + [right[-1].along]
    return [c._replace(along=text) for c, text in zip(left, along, strict=True)]
