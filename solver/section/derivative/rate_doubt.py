"""How far the derivatives of J, C_w and of the shear centre may be off.

As for the values: how far the two fields, or two orders, put them apart, and, since near singular
corners the error is larger than that, what J's interval leaves open while the outline moves by its
own size.
"""

from __future__ import annotations

import numpy as np

from ..result import SectionResult
from .torsion_rate import TorsionRate

#: Factors on how far two orders put a derivative apart, and on the rest: of 160 random sections no
#: error was more than two thirds of what follows (of W_T's in 400, half of it, but where two places
#: have the same largest stress and the other takes over).
ORDERS_APART, AMPLE = 3.0, 2.5


def rate_doubts(
    result: SectionResult, torsion: TorsionRate, lower: TorsionRate, speed: float
) -> dict[str, float]:
    """Doubts of the derivatives, by the names of `Properties`.

    Parameters
    ----------
    torsion, lower : TorsionRate
        As found, and by one order less.
    speed : float
        How fast the outline moves, in its own size.
    """
    warping, width = result.warping_properties, result.field.relative_width
    scale = abs(torsion.warping_constant) + speed * warping.warping_constant
    apart = np.hypot(*(torsion.shear_centre - lower.shear_centre))
    centre = ORDERS_APART * float(apart) + speed * width * warping.polar_radius
    constant = width * (abs(torsion.torsion_constant) + speed * result.torsion_constant)
    by_orders = ORDERS_APART * abs(torsion.warping_constant - lower.warping_constant)
    return {
        "torsion_constant": AMPLE * (torsion.torsion_constant_doubt + constant),
        "warping_constant": AMPLE * (by_orders + warping.open_part * scale),
        "shear_centre_x": AMPLE * centre,
        "shear_centre_y": AMPLE * centre,
        "polar_radius": AMPLE * centre,
        "monosymmetry_x": 2 * AMPLE * centre,
        "monosymmetry_y": 2 * AMPLE * centre,
    }
