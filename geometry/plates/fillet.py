"""Fillet welds: the triangle in the corner between two plates, bonded to both along its legs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..material import Material
from ..outline.contour import Contour
from ..section import Region
from .path import Path, place
from .shared_border import SharedBorder, border_from

Array = NDArray[np.float64]

#: A fillet needs a corner between these angles: beyond, its throat is no longer the triangle's
#: height.
NARROWEST, WIDEST = np.radians(20.0), np.radians(160.0)


def fillet_region(
    contact: SharedBorder,
    at_end: bool,
    pair: tuple[Region, Region],
    legs: tuple[float, float],
    *,
    material: Material,
    name: str,
    tolerance: float,
) -> tuple[Region, Path]:
    """The weld metal beside one end of a contact, and its throat.

    Parameters
    ----------
    contact : SharedBorder
        Run along the first of the pair, which lies on its left.
    at_end : bool
        At the contact's last point, else at its first.
    pair : (Region, Region)
    legs : (float, float)
        Along the face of the first and of the second region. On a curved face the leg follows the
        face.

    Returns
    -------
    Region, and the throat as a Path with the first of the pair on its left: the shortest line from
    the root to the weld's face.

    Raises
    ------
    GeometryError
        When the plates leave no corner there, or a face is shorter than its leg.
    """
    root = contact.path.points[-1 if at_end else 0]
    sides = []
    for region, leg, ahead in zip(pair, legs, (at_end, not at_end), strict=True):
        side = border_from(region, root, leg, ahead=ahead, tolerance=tolerance)
        if side is None or side.length < leg * (1 - 1e-9):
            free = 0.0 if side is None else side.length
            raise GeometryError(
                f"its leg {leg:.6g} on {region.name!r} at {place(root)} has only {free:.6g} of "
                "face; "
                "give a smaller leg, a full or partial penetration, or choose the other side with "
                "near"
            )
        sides.append(side)
    a, b = (side.directions()[0][0] for side in sides)
    opening = np.arctan2(a[0] * b[1] - a[1] * b[0], a @ b)
    # The free corner lies clockwise of the first face at the contact's end, anticlockwise at its
    # start.
    angle = float((-opening if at_end else opening) % (2 * np.pi))
    if not NARROWEST <= angle <= WIDEST:
        raise GeometryError(
            f"the faces of {pair[0].name!r} and {pair[1].name!r} leave no corner for a fillet at "
            f"{place(root)} "
            f"(they open by {np.degrees(angle):.0f} degrees); give a full or partial penetration "
            "there, or "
            "choose the other side with near"
        )
    first, second = sides
    points = np.vstack([first.points, second.points[:0:-1]])
    bulges = np.concatenate([first.bulges, [0.0], -second.bulges[::-1]])
    region = Region(Contour(points, bulges), material=material, name=name)
    face_point = _nearest_on(first.points[-1], second.points[-1], root)
    throat = Path([root, face_point] if at_end else [face_point, root])
    return region, throat


def _nearest_on(p: Array, q: Array, point: Array) -> Array:
    """Point of the segment p q nearest to another point."""
    d = q - p
    nearest: Array = p + d * float(np.clip(d @ (point - p) / (d @ d), 0, 1))
    return nearest
