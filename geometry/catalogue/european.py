"""European rolled shapes and hollow sections: from a row of the table to a profile, in
millimetres."""

from __future__ import annotations

import math

from ..profiles.open import u_shape
from ..profiles.profile import Profile
from ..profiles.solid import circle_hollow, rectangle_hollow
from ..profiles.symmetric import i_shape
from .table import Row

_SOURCE = "dimensions from memory; check them against the standard"


def parallel_flange(row: Row) -> Profile:
    """IPE, HEA, HEB, HEM (EN 10365)."""
    profile = i_shape(
        overall_width=row["b"],
        overall_depth=row["h"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=row["r"],
    )
    return Profile(profile.outline, profile.holes, (_SOURCE,))


def tapered_channel(row: Row) -> Profile:
    """UPN (EN 10365): slope 8 % with t_f at half the width up to 300 mm, 5 % halfway along the
    outstand above."""
    profile = u_shape(
        depth=row["h"],
        flange_width=row["b"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=row["r1"],
        edge_radius=row["r2"],
        flange_slope=math.atan(row["slope"]),
        thickness_at=row["at"],
    )
    return Profile(profile.outline, profile.holes, (_SOURCE,))


def hollow(row: Row) -> Profile:
    """Square and rectangular hollow sections with the corner radii their standard calculates with.

    EN 10210-2 (hot finished): 1.5 t outside, t inside. EN 10219-2 (cold formed): outside 2 t up to
    6 mm, 2.5 t up to 10 mm, 3 t above; inside t less.
    """
    profile = rectangle_hollow(
        x_dim=row["b"],
        y_dim=row["h"],
        wall_thickness=row["t"],
        outer_fillet_radius=row["ro"],
        inner_fillet_radius=row["ri"],
    )
    outer, inner = row["ro"], row["ri"]
    radii = f"corner radii {outer:g} mm outside, {inner:g} mm inside, as the standard calculates"
    return Profile(profile.outline, profile.holes, (_SOURCE, radii))


def round_hollow(row: Row) -> Profile:
    """Circular hollow sections (EN 10210-2, EN 10219-2)."""
    profile = circle_hollow(radius=row["d"] / 2, wall_thickness=row["t"])
    return Profile(profile.outline, profile.holes, (_SOURCE,))
