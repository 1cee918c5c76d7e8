"""Profiles open to one side: channel, angle, Z and lipped channel.

Names and meaning of the parameters are those of ISO 16739-1 (IFC4), IfcParameterizedProfileDef and
its subtypes, in snake case; recalled from the standard's text, not copied. Every profile is centred
on its bounding box, y along the depth. Radii and slopes are optional, zero when left out; slopes
are angles of a flange's inner face, in radians (`flange` says where its thickness then holds).
"""

from __future__ import annotations

import math

from ..outline.rounded_corner import RoundedCorner, rounded
from .dimension import DimensionError, check_below, check_positive, check_radii, check_slopes
from .flange import ON_FACE, ON_TIP, ON_WEB, check_depth, check_place, check_web, tip_and_root
from .profile import Profile


def u_shape(
    *,
    depth: float,
    flange_width: float,
    web_thickness: float,
    flange_thickness: float,
    fillet_radius: float = 0.0,
    edge_radius: float = 0.0,
    flange_slope: float = 0.0,
    thickness_at: float | None = None,
) -> Profile:
    """IfcUShapeProfileDef: a channel, web on the left, flanges to the right.

    `thickness_at` is no attribute of the standard: the distance from the flange's edge at which
    `flange_thickness` holds when the flange is sloped (default: halfway to the web).
    """
    check_positive(
        depth=depth,
        flange_width=flange_width,
        web_thickness=web_thickness,
        flange_thickness=flange_thickness,
    )
    check_radii(fillet_radius=fillet_radius, edge_radius=edge_radius)
    check_slopes(flange_slope=flange_slope)
    check_web("flange_width", flange_width, web_thickness)
    outstand = flange_width - web_thickness
    check_place(thickness_at, outstand)
    names = ("flange_thickness", "flange_slope")
    tip, root = tip_and_root(flange_thickness, outstand, flange_slope, names, thickness_at)
    check_depth("depth", depth, 2 * root, ("flange_thickness", flange_thickness))
    b, h, w = flange_width / 2, depth / 2, web_thickness - flange_width / 2
    corners = [
        RoundedCorner(-b, -h),
        RoundedCorner(b, -h, along=ON_TIP),
        RoundedCorner(b, tip - h, edge_radius, "edge_radius", ON_FACE),
        RoundedCorner(w, root - h, fillet_radius, "fillet_radius", ON_WEB),
        RoundedCorner(w, h - root, fillet_radius, "fillet_radius", ON_FACE),
        RoundedCorner(b, h - tip, edge_radius, "edge_radius", ON_TIP),
        RoundedCorner(b, h),
        RoundedCorner(-b, h),
    ]
    return Profile(rounded(corners))


def l_shape(
    *,
    depth: float,
    thickness: float,
    width: float | None = None,
    fillet_radius: float = 0.0,
    edge_radius: float = 0.0,
    leg_slope: float = 0.0,
) -> Profile:
    """IfcLShapeProfileDef: an angle, heel at the lower left; `depth` along y, `width` along x.

    Legs are equal unless `width` is given. `edge_radius` rounds the inner edge of both toes.
    With a slope, `thickness` holds halfway from each toe to the other leg's nominal face.
    """
    width = depth if width is None else width
    t = thickness
    check_positive(depth=depth, width=width, thickness=t)
    check_radii(fillet_radius=fillet_radius, edge_radius=edge_radius)
    check_slopes(leg_slope=leg_slope)
    short, side = (width, "width") if width < depth else (depth, "depth")
    check_below("thickness", t, short, f"must be less than {{{side}}}, {{limit}}")
    tip_x, _ = tip_and_root(t, width - t, leg_slope, ("thickness", "leg_slope"))
    tip_y, _ = tip_and_root(t, depth - t, leg_slope, ("thickness", "leg_slope"))
    # Inner faces v = t + k (um - u) and u = t + k (vm - v), from the heel; um, vm mid outstand.
    k = math.tan(leg_slope)
    um, vm = (width + t) / 2, (depth + t) / 2
    u = (t * (1 - k) + k * vm - k * k * um) / (1 - k * k)
    v = t + k * (um - u)
    if not (u < width and v < depth):
        raise DimensionError("leg_slope", leg_slope, "makes the heel fill a leg; make it smaller")
    x, y = -width / 2, -depth / 2
    toe, leg = "on a leg's toe", "between heel and toe"
    corners = [
        RoundedCorner(x, y),
        RoundedCorner(-x, y, along=toe),
        RoundedCorner(-x, y + tip_x, edge_radius, "edge_radius", leg),
        RoundedCorner(x + u, y + v, fillet_radius, "fillet_radius", leg),
        RoundedCorner(x + tip_y, -y, edge_radius, "edge_radius", toe),
        RoundedCorner(x, -y),
    ]
    return Profile(rounded(corners))


def z_shape(
    *,
    depth: float,
    flange_width: float,
    web_thickness: float,
    flange_thickness: float,
    fillet_radius: float = 0.0,
    edge_radius: float = 0.0,
) -> Profile:
    """IfcZShapeProfileDef: bottom flange to the right, top flange to the left.

    `flange_width` is from the web's far face to the flange's edge, so that the whole is
    2 flange_width - web_thickness wide (from memory of the standard's figure).
    """
    check_positive(
        depth=depth,
        flange_width=flange_width,
        web_thickness=web_thickness,
        flange_thickness=flange_thickness,
    )
    check_radii(fillet_radius=fillet_radius, edge_radius=edge_radius)
    check_web("flange_width", flange_width, web_thickness)
    check_depth("depth", depth, 2 * flange_thickness, ("flange_thickness", flange_thickness))
    w, h, t = web_thickness / 2, depth / 2, flange_thickness
    b = flange_width - w
    half = [
        RoundedCorner(-w, -h),
        RoundedCorner(b, -h, along=ON_TIP),
        RoundedCorner(b, t - h, edge_radius, "edge_radius", ON_FACE),
        RoundedCorner(w, t - h, fillet_radius, "fillet_radius", "along the web"),
    ]
    return Profile(rounded(half + [c._replace(x=-c.x, y=-c.y) for c in half]))


def c_shape(
    *,
    depth: float,
    width: float,
    wall_thickness: float,
    girth: float,
    internal_fillet_radius: float = 0.0,
) -> Profile:
    """IfcCShapeProfileDef: a lipped channel of constant wall, open to the right.

    `girth` is the length of a lip. Bends have the inner radius given and keep the wall's thickness;
    without a radius inner and outer corners are sharp.
    """
    t, r = wall_thickness, internal_fillet_radius
    check_positive(depth=depth, width=width, wall_thickness=t, girth=girth)
    check_radii(internal_fillet_radius=r)
    side, short = ("width", width) if width <= depth else ("depth", depth)
    check_below("wall_thickness", t, short / 2, f"must be less than half of {{{side}}}, {{limit}}")
    check_below("girth", girth, depth / 2, "must be less than half of {depth}, {limit}")
    check_below("wall_thickness", t, girth, "must be less than {girth}, {limit}")
    x, y, outer = width / 2, depth / 2, r + t if r else 0.0
    name, lip, wall = "internal_fillet_radius", "inside the lip", "inside the walls"
    lower = [  # from the middle of the web, outside, to the lip and back inside
        RoundedCorner(-x, -y, outer, name),
        RoundedCorner(x, -y, outer, name),
        RoundedCorner(x, girth - y),
        RoundedCorner(x - t, girth - y, along=lip),
        RoundedCorner(x - t, t - y, r, name, wall),
        RoundedCorner(t - x, t - y, r, name, wall),
    ]
    # The inner face is the shorter one everywhere, so its limit is the one that counts and is told.
    limit = min(girth - t, width / 2 - t, depth / 2 - t)
    if r > limit:
        raise DimensionError(name, r, "does not fit: at most {limit} inside lips and walls", limit)
    upper = [c._replace(y=-c.y) for c in reversed(lower)]
    return Profile(rounded(lower + upper))
