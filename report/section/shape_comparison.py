"""A rolled shape's tabulated properties beside the solved ones, and why the two differ."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...geometry.catalogue import Listing
from ...solver.section.result import SectionResult

#: Words, symbol and power of the length unit of what tables and the solver both give.
QUANTITIES = {
    "area": ("area", "A", 2),
    "second_moment_x": ("second moment about x", "I_x", 4),
    "second_moment_y": ("second moment about y", "I_y", 4),
    "torsion_constant": ("torsion constant", "J = I_T", 4),
    "warping_constant": ("warping constant", "C_w = I_w", 6),
}
#: Digits that the tables print; half a unit in the last one is rounding.
_DIGITS = 3

_ROUNDED = "within half a unit of the table's third digit"
_DIMENSIONS = "dimensions are listed with three digits, the properties come from the unrounded ones"
_FITTED = (
    "the table's J is a fitted formula that counts junctions and fillets as inscribed circles; the "
    "interval holds the exact value of this outline"
)
_BREDT = (
    "the table's J is Bredt's thin-walled value for the middle line of the wall; the interval "
    "holds the exact value of this outline"
)
_EVEN = "the table's C_w takes even flanges; real ones taper, and their thin edges warp most"
_MIDDLE = "the table's C_w follows the plates' middle lines and leaves the fillets out"
_PLATES = (
    "the table's C_w is a formula for thin plates that meet in a point, whatever their thickness"
)
_PIPE = "the table's properties belong to a wall other than the design thickness listed beside them"
_ANGLE = "the table leaves the fillet out of some thin angles, and lists k rounded up for others"
_ROLLED = "fillet and toes are by the rolling rule, from memory; the rolled ones differ a little"
#: Reasons by family where they are not the general ones.
_J_REASONS = {"HSS": _BREDT, "HSS round": _DIMENSIONS, "PIPE": _PIPE, "L": _ANGLE}
_AREA_REASONS = {"PIPE": _PIPE, "L": _ANGLE, "S": _ROLLED, "C": _ROLLED}
_WARPING_REASONS = {
    **dict.fromkeys(("S", "C", "MC", "UPN"), _EVEN),
    **dict.fromkeys(("WT", "L"), _PLATES),
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One property.

    Attributes
    ----------
    key : str
        Of `QUANTITIES`.
    table, solved : float or None, float
        In powers of the result's length unit; table None where the table has none.
    why : str
        One line on the difference, empty where there is nothing to compare.
    """

    key: str
    table: float | None
    solved: float
    why: str

    @property
    def difference(self) -> float | None:
        """Solved over tabulated, less 1."""
        return None if self.table is None else self.solved / self.table - 1


def compare(listing: Listing, result: SectionResult, factor: float = 1.0) -> tuple[Compared, ...]:
    """Every property of `QUANTITIES`, in its order.

    Parameters
    ----------
    listing : Listing
    result : SectionResult
        The shape's section, solved.
    factor : float
        From the listing's length unit to the result's.
    """
    solved = {
        "area": result.area,
        "second_moment_x": result.second_moments.x,
        "second_moment_y": result.second_moments.y,
        "torsion_constant": result.torsion_constant,
        "warping_constant": result.warping_constant,
    }
    out = []
    for key, (_, _, power) in QUANTITIES.items():
        own = getattr(listing, key)
        table = None if own is None else own * factor**power
        why = "" if own is None else reason(listing, key, own, solved[key] / factor**power)
        out.append(Compared(key, table, solved[key], why))
    return tuple(out)


def reason(listing: Listing, key: str, table: float, solved: float) -> str:
    """Why a solved property differs from the tabulated one, in one line."""
    scale = listing.family.scale
    unit = scale[{"area": "A", "torsion_constant": "J", "warping_constant": "Cw"}.get(key, "I")]
    step = 10.0 ** (math.floor(math.log10(table / unit)) - _DIGITS + 1) * unit
    if abs(solved - table) <= 0.5 * step * (1 + 1e-9):
        return _ROUNDED
    family = listing.family.name
    if key == "torsion_constant":
        return _J_REASONS.get(family, _FITTED)
    if key == "warping_constant":
        return _WARPING_REASONS.get(family, _MIDDLE)
    return _AREA_REASONS.get(family, _DIMENSIONS)
