"""Whether bolts and plates of a joint can stand as they are drawn: one clear line for the first
fault."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from .bolt_size import Bolt

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]


def check_bolts(points: Array, box: Box, bolt: Bolt, hole: float, plate: str) -> None:
    """Bolts (n, 2) of one plate (a0, b0, a1, b1): inside it, apart, and not at its very edge.

    Raises
    ------
    InputError
        The bolt by its number and place, the distance found, and what it must be.
    """
    if not np.isfinite(points).all():
        raise InputError("a bolt's place is not a finite number")
    if hole < bolt.diameter:
        raise InputError(
            f"hole of {hole:g} mm is smaller than the bolt {bolt.size}; make it "
            f"{bolt.diameter:g} mm at least"
        )
    a0, b0, a1, b1 = box
    for n, (a, b) in enumerate(points, 1):
        place = f"bolt {n} at ({a:g}, {b:g}) mm"
        edge = min(a - a0, a1 - a, b - b0, b1 - b)
        if edge < 0:
            raise InputError(
                f"{place} lies outside the {plate}, which runs from ({a0:g}, {b0:g}) to "
                f"({a1:g}, {b1:g}) mm; move it or enlarge the plate"
            )
        if edge < hole / 2:
            raise InputError(
                f"{place} is {edge:g} mm from the edge of the {plate}, less than half its hole of "
                f"{hole:g} mm; move it in, to 1.2 holes or what the code asks"
            )
    for n in range(len(points)):
        for m in range(n):
            apart = float(np.hypot(*(points[n] - points[m])))
            if apart < hole:
                raise InputError(
                    f"holes of bolts {m + 1} and {n + 1} overlap: they are {apart:g} mm apart and "
                    f"{hole:g} mm wide; increase pitch or gauge"
                )


def check_welds(lines: Array, leg: float, name: str) -> None:
    """Weld lines (n, 2, 3) have a length, and their leg a size."""
    if not leg > 0:
        raise InputError(f"weld of the {name} has leg {leg:g} mm; give it a size above zero")
    length = np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1)
    if not (length > 0).all():
        k = int(np.argmin(length)) + 1
        raise InputError(f"weld {k} of the {name} has no length; give the plate a height")
