"""A flange: its thickness along the outstand, and what two of them leave of the web.

Rolling standards state the thickness of a sloped flange at one place, and not all at the same one:
halfway along the outstand (American S, C and MC; also the default here, from memory of IFC), a
quarter of the width from the edge (European I of DIN 1025-1), half the width (European channels of
DIN 1026-1 up to 300 mm deep). All from memory; the tests show that each gives its table's area.
"""

from __future__ import annotations

import math

from .dimension import DimensionError

#: Where edges lie, for the messages of radii that do not fit.
ON_FACE = "between web and flange edge"
ON_TIP = "on the flange's edge"
ON_WEB = "along the web, between the flanges"


def tip_and_root(
    thickness: float,
    outstand: float,
    slope: float,
    names: tuple[str, str],
    at: float | None = None,
) -> tuple[float, float]:
    """Thickness at the free edge and at the root of a flange with one sloped face.

    Parameters
    ----------
    thickness : float
        At the distance `at` from the free edge, halfway along the outstand when left out.
    outstand : float
        From the free edge to the root.
    slope : float
        Angle of the inner face in radians.
    names : tuple of str
        Of thickness and slope, for the message.
    """
    at = outstand / 2 if at is None else at
    k = math.tan(slope)
    if not k * at < thickness:
        reason = f"leaves nothing of {{{names[0]}}} at the free edge; less than {{limit}} does"
        raise DimensionError(names[1], slope, reason, math.atan2(thickness, at))
    return thickness - k * at, thickness + k * (outstand - at)


def check_place(at: float | None, outstand: float) -> None:
    """`thickness_at`, where given, lies on the outstand."""
    if at is not None and not (isinstance(at, (int, float)) and 0 <= at <= outstand):
        reason = "must lie between the flange's edge, 0, and the web's face, {limit}"
        raise DimensionError("thickness_at", at, reason, outstand)


def check_web(width_name: str, width: float, web: float) -> None:
    """The web is thinner than the flange is wide."""
    if not web < width:
        reason = f"must be less than {{{width_name}}}, {{limit}}"
        raise DimensionError("web_thickness", web, reason, width)


def check_depth(depth_name: str, depth: float, roots: float, *flanges: tuple[str, float]) -> None:
    """The flanges' roots leave some web between them.

    `flanges` are the names and thicknesses that may differ: one when both flanges share it.
    """
    if roots < depth:
        return
    name, thickness = max(flanges, key=lambda flange: flange[1])
    limit = thickness - (roots - depth) / (2 if len(flanges) == 1 else 1)
    if not limit > 0:
        raise DimensionError(depth_name, depth, "is taken up by the flanges; make it larger")
    reason = f"leaves no web in {{{depth_name}}}; less than {{limit}} does"
    raise DimensionError(name, thickness, reason, limit)
