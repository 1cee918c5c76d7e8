"""American rolled shapes: from a row of the table to a profile, in inches.

The table gives depth, widths, thicknesses and, as a distance from a flange's outer face to the end
of the fillet, k; radii and slopes follow from it as each function says.
"""

from __future__ import annotations

import math

from ..profiles.open import l_shape, u_shape
from ..profiles.profile import Profile
from ..profiles.solid import circle_hollow, rectangle_hollow
from ..profiles.symmetric import i_shape, t_shape
from .table import Row

#: Inner flange faces of S and C shapes rise 1 in 6 (16 2/3 %).
STANDARD_SLOPE = math.atan(1 / 6)
#: Rolling rule of S and C shapes (from memory): the fillet is the thinnest web of one set of rolls
#: plus a tenth of an inch, the toe is rounded with 0.6 of that web; C shapes have flanges as thick
#: at their edge. The table's own k is a detailing distance rounded up to a sixteenth; fillets taken
#: from it give areas 1 to 2.6 % and J up to 13 % too large, this rule areas within 0.9 %.
FILLET_ALLOWANCE, TOE_SHARE = 0.1, 0.6
#: Where k - t_f gives an area further than this from the table's, k is a rounded detailing distance
#: (M shapes, the light HP); the W shapes stay within, so it is beyond what the rounding of the
#: dimensions explains.
AREA_DOUBT = 0.0075
#: Area between a quarter circle and its tangents, over r^2.
_CORNER = 1 - math.pi / 4


def root_fillet(row: Row, corners: int) -> tuple[float, bool]:
    """Fillet radius of a shape with parallel flange faces, and whether it comes from k.

    r = k - t_f; where that leaves the tabulated area by more than `AREA_DOUBT`, the radius that
    gives the area: r^2 = (A - plates) / (corners (1 - pi/4)).

    Parameters
    ----------
    row : mapping
        With d, bf, tw, tf, k and area.
    corners : int
        4 for an I, 2 for a T.
    """
    flanges = corners // 2
    plates = flanges * row["bf"] * row["tf"] + (row["d"] - flanges * row["tf"]) * row["tw"]
    radius = row["k"] - row["tf"]
    if abs((plates + corners * _CORNER * radius**2) / row["area"] - 1) <= AREA_DOUBT:
        return radius, True
    return math.sqrt(max(row["area"] - plates, 0.0) / (corners * _CORNER)), False


def wide_flange(row: Row) -> Profile:
    """W, M and HP: parallel flange faces."""
    radius, from_k = root_fillet(row, 4)
    profile = i_shape(
        overall_width=row["bf"],
        overall_depth=row["d"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=radius,
    )
    return _noted(profile, _root_note(radius, from_k))


def structural_tee(row: Row) -> Profile:
    """WT: half a W."""
    radius, from_k = root_fillet(row, 2)
    profile = t_shape(
        depth=row["d"],
        flange_width=row["bf"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=radius,
    )
    return _noted(profile, _root_note(radius, from_k))


def standard_beam(row: Row) -> Profile:
    """S: flanges sloped 1 in 6, their thickness t_f halfway along the outstand."""
    web = row["thinnest"]
    profile = i_shape(
        overall_width=row["bf"],
        overall_depth=row["d"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=web + FILLET_ALLOWANCE,
        flange_edge_radius=TOE_SHARE * web,
        flange_slope=STANDARD_SLOPE,
    )
    return _noted(profile, _rolling_note(web))


def standard_channel(row: Row) -> Profile:
    """C: flanges sloped 1 in 6, their thickness t_f halfway along the outstand."""
    edge = row["tf"] - (row["bf"] - row["tw"]) / 12
    profile = u_shape(
        depth=row["d"],
        flange_width=row["bf"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=edge + FILLET_ALLOWANCE,
        edge_radius=TOE_SHARE * edge,
        flange_slope=STANDARD_SLOPE,
    )
    return _noted(profile, _rolling_note(edge))


def miscellaneous_channel(row: Row) -> Profile:
    """MC: slope and fillet derived from the table's I_y and area, which no other column gives."""
    profile = u_shape(
        depth=row["d"],
        flange_width=row["bf"],
        web_thickness=row["tw"],
        flange_thickness=row["tf"],
        fillet_radius=row["r"],
        flange_slope=math.atan(row["slope"]),
    )
    return _noted(
        profile,
        f"flange slope 1:{1 / row['slope']:.1f} and fillet {row['r']:.3g} in derived from the "
        "tabulated I_y and "
        "area; toes taken as sharp",
    )


def angle(row: Row) -> Profile:
    """L: fillet k - t; toes taken as sharp, since the table gives no radius for them."""
    radius = row["k"] - row["t"]
    profile = l_shape(depth=row["d"], width=row["b"], thickness=row["t"], fillet_radius=radius)
    return _noted(profile, f"root fillet {radius:.3g} in from k - t; toes taken as sharp")


def rectangular_tube(row: Row) -> Profile:
    """HSS, square and rectangular: design wall, corner radii 2 t outside and t inside.

    The tabulated areas and J hold with these radii; rolled tubes may be rounder (up to 3 t
    outside).
    """
    t = row["tdes"]
    profile = rectangle_hollow(
        x_dim=row["B"],
        y_dim=row["Ht"],
        wall_thickness=t,
        outer_fillet_radius=2 * t,
        inner_fillet_radius=t,
    )
    return _noted(
        profile,
        f"design wall {t:g} in; corner radii 2 t outside, t inside, as the table's J assumes",
    )


def round_tube(row: Row) -> Profile:
    """Round HSS and pipe: design wall."""
    t = row["tdes"]
    profile = circle_hollow(radius=row["OD"] / 2, wall_thickness=t)
    return _noted(profile, f"design wall {t:g} in")


def _noted(profile: Profile, note: str) -> Profile:
    return Profile(profile.outline, profile.holes, (*profile.notes, note))


def _root_note(radius: float, from_k: bool) -> str:
    source = "k - t_f" if from_k else "the tabulated area (k is rounded up for detailing here)"
    return f"root fillet {radius:.3g} in from {source}"


def _rolling_note(web: float) -> str:
    return (
        f"flange slope 1:6; fillet {web + FILLET_ALLOWANCE:.3g} in and toe {TOE_SHARE * web:.3g} "
        "in by the "
        "rolling rule of standard shapes (from memory)"
    )
