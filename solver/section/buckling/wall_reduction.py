"""What a code leaves of a wall in compression: the form of EN 1993-1-5 4.4, from memory.

Each flat wall keeps the part rho of the width that is in compression,

    internal:  rho = (s - 0.055 (3 + psi)) / s^2   from  s > 0.5 + sqrt(0.085 - 0.055 psi),
    outstand:  rho = (s - 0.188) / s^2             from  s > 0.748,

with psi the ratio of the stresses at its ends and s the slenderness of the wall, s^2 = f_y over the
largest compressive stress of the section when the wall buckles. Which is the higher of two: that of
the whole section's local buckling, which knows how walls restrain each other, and that of the wall
by itself between hinged edges (k_sigma of tables 4.1 and 4.2, from memory), which the code always
allows and a wall that restrains others needs. With less compression than elsewhere a wall has less
of both stresses, so that s is that of the reduced stress of 4.4(4), without its added term.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from .plate_elements import PlateElement


@dataclass(frozen=True, slots=True, eq=False)
class EffectiveWall:
    """A wall and what of it counts.

    Attributes
    ----------
    element : PlateElement
    psi : float
        Stress at the less compressed end over that at the more compressed one.
    slenderness : float
    own : bool
        Whether the wall by itself decides its slenderness, not the whole section's buckling.
    reduction : float
        rho; 1 where all counts.
    lost : (float, float) or None
        Part that drops out, as distances from the wall's start.
    compressed : bool
    """

    element: PlateElement
    psi: float
    slenderness: float
    own: bool
    reduction: float
    lost: tuple[float, float] | None
    compressed: bool

    @property
    def internal(self) -> bool:
        """Held at both ends."""
        return all(self.element.held)

    @property
    def effective_width(self) -> float:
        """What of the clear width counts, the part in tension included."""
        return self.element.width - (self.lost[1] - self.lost[0] if self.lost else 0.0)


def reduced(
    element: PlateElement, share: Array, critical: float, strength: float, euler: float
) -> EffectiveWall:
    """Which part of a wall counts.

    Parameters
    ----------
    share : (2,)
        Compressive stress of its ends by the largest of the section.
    critical : float
        Largest stress of the section when it buckles locally.
    euler : float
        pi^2 E / (12 (1 - nu^2)).
    """
    more = 0 if share[0] >= share[1] else 1
    largest, least = float(share[more]), float(share[1 - more])
    if largest <= 0:
        return EffectiveWall(element, 1.0, 0.0, False, 1.0, None, False)
    psi, width = least / largest, element.width
    internal, tip_more = all(element.held), not element.held[more]
    k = internal_coefficient(psi) if internal else outstand_coefficient(psi, tip_more)
    alone = k * euler * (element.thickness / width) ** 2 / largest
    slenderness = float(np.sqrt(strength / max(alone, critical)))
    compressed = width if psi >= 0 else width / (1 - psi)
    if internal:
        rho = internal_reduction(slenderness, psi)
        kept = rho * compressed
        near = 2 / (5 - psi) * kept if psi >= 0 else 0.4 * kept
        hole = (near, compressed - (kept - near))  # from the more compressed end
    else:
        rho = outstand_reduction(slenderness)
        kept = rho * compressed
        # what drops out of an outstand is at its tip, or next to the part in tension there
        hole = (0.0, compressed - kept) if tip_more else (kept, compressed)
    lost = hole if more == 0 else (width - hole[1], width - hole[0])
    return EffectiveWall(
        element, psi, slenderness, alone > critical, rho, None if rho >= 1 else lost, True
    )


def internal_coefficient(psi: float) -> float:
    """k_sigma of a wall held at both ends (EN 1993-1-5 table 4.1, from memory).

    >>> internal_coefficient(1.0), internal_coefficient(-1.0)
    (4.0, 23.88)
    """
    if psi >= 0:
        return 8.2 / (1.05 + psi)
    if psi >= -1:
        return 7.81 - 6.29 * psi + 9.78 * psi**2
    return 5.98 * (1 - max(psi, -3.0)) ** 2


def outstand_coefficient(psi: float, tip: bool) -> float:
    """k_sigma of a wall with a free end (EN 1993-1-5 table 4.2, from memory), the larger
    compression at its tip or at its root.

    >>> round(outstand_coefficient(1.0, True), 3), round(outstand_coefficient(0.0, False), 2)
    (0.43, 1.7)
    """
    if tip:
        psi = max(psi, -3.0)
        return 0.57 - 0.21 * psi + 0.07 * psi**2
    if psi >= 0:
        return 0.578 / (psi + 0.34)
    return 1.7 - 5 * max(psi, -1.0) + 17.1 * max(psi, -1.0) ** 2


def internal_reduction(slenderness: float, psi: float) -> float:
    """rho of a wall held at both ends.

    >>> round(internal_reduction(1.0, 1.0), 3), internal_reduction(0.6, 1.0)
    (0.78, 1.0)
    """
    if slenderness <= 0.5 + np.sqrt(max(0.085 - 0.055 * psi, 0.0)):
        return 1.0
    return float(min(1.0, (slenderness - 0.055 * (3 + psi)) / slenderness**2))


def outstand_reduction(slenderness: float) -> float:
    """rho of a wall with a free end.

    >>> round(outstand_reduction(1.0), 3), outstand_reduction(0.7)
    (0.812, 1.0)
    """
    if slenderness <= 0.748:
        return 1.0
    return float(min(1.0, (slenderness - 0.188) / slenderness**2))
