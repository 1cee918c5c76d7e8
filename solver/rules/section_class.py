"""Class of a section by its flat parts' slenderness, EN 1993-1-1:2005 Table 5.2 (from memory)."""

from __future__ import annotations

import math

from .plate_shape import PlateShape

SOURCE = "EN 1993-1-1:2005 Table 5.2"
PROVENANCE = "from memory"

#: Largest c/t over epsilon (over its square for round tubes) of classes 1, 2 and 3.
_OUTSTAND = (9.0, 10.0, 14.0)
_PRESSED = (33.0, 38.0, 42.0)
_BENT = (72.0, 83.0, 124.0)
_ROUND = (50.0, 70.0, 90.0)


def section_class(shape: PlateShape, yield_stress: float, megapascal: float, pressed: bool) -> int:
    """1 to 4; the part that is worst decides.

    Parameters
    ----------
    shape : PlateShape
    yield_stress : float
        f_y, in the section's own unit.
    megapascal : float
        1 MPa in that unit.
    pressed : bool
        Whether the web may be in compression all over; otherwise it is in pure bending. A plate
        that is bent about its weak axis as well is judged as if pressed.
    """
    epsilon = math.sqrt(235 * megapascal / yield_stress)
    if shape.kind == "round tube":
        return _class(shape.depth / shape.web / epsilon**2, _ROUND)
    flange = _PRESSED if shape.kind == "rectangular tube" else _OUTSTAND
    web = _PRESSED if pressed else _BENT
    return max(
        _class(shape.straight_flange / shape.flange / epsilon, flange),
        _class(shape.straight_web / shape.web / epsilon, web),
    )


def _class(slenderness: float, limits: tuple[float, float, float]) -> int:
    return 1 + sum(slenderness > limit for limit in limits)
