"""Figures of materials that are possible but hardly meant: said beside the results."""

from __future__ import annotations

from collections.abc import Iterable

from ..material import Material
from ..units import Units

#: Moduli of what structures are made of, from soft plastics to the stiffest ceramics, and
#: densities from foam to tungsten.
_MODULI = ("0.3 GPa", "1000 GPa")
_DENSITIES = ("10 kg/m^3", "25000 kg/m^3")


def doubts(materials: Iterable[Material], units: Units) -> tuple[str, ...]:
    """One sentence for each figure that is likely a slip of unit."""
    out = []
    for material in dict.fromkeys(m for m in materials if m.specified):
        for symbol, value, quantity, limits in (
            ("E", material.elastic_modulus, "stress", _MODULI),
            ("the density", material.density, "density", _DENSITIES),
        ):
            if value is None:
                continue
            low, high = (units.read(limit, quantity) for limit in limits)
            if not low <= value <= high:
                unit, factor = units.display(quantity)
                out.append(
                    f"{symbol} of {material.name!r} is {value * factor:.4g} {unit}, and no "
                    f"structural material's lies below {limits[0]} or above {limits[1]}; check "
                    "its unit"
                )
    return tuple(out)
