"""How far the derivatives of J, C_w and of the shear centre may be off.

As for the values: how far the two fields, or two orders, put them apart, and, since near singular
corners the error is larger than that, what J's interval leaves open while the outline moves by its
own size.
"""

from __future__ import annotations

import numpy as np

from ..result import SectionResult
from .torsion_rate import TorsionRate

#: Of 250 random sections none was off by more than a quarter of what follows with this factor on
#: the difference of two orders.
ORDERS_APART = 3.0


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
    return {
        "torsion_constant": torsion.torsion_constant_doubt
        + width * (abs(torsion.torsion_constant) + speed * result.torsion_constant),
        "warping_constant": warping.open_part * scale
        + ORDERS_APART * abs(torsion.warping_constant - lower.warping_constant),
        "shear_centre_x": centre,
        "shear_centre_y": centre,
    }
