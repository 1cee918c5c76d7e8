"""Columns of a study's table in words, with the unit of each."""

from __future__ import annotations

from ..text.number import unit_text

#: Power of the length unit of each result of a section.
_POWERS = {
    "width": 1, "depth": 1, "area": 2, "gross_area": 2, "perimeter": 1,
    "centroid_x": 1, "centroid_y": 1, "second_moment_x": 4, "second_moment_y": 4,
    "product_moment": 4, "second_moment_major": 4, "second_moment_minor": 4,
    "elastic_modulus_top": 3, "elastic_modulus_bottom": 3, "elastic_modulus_right": 3,
    "elastic_modulus_left": 3, "plastic_modulus_x": 3, "plastic_modulus_y": 3,
    "torsion_constant": 4, "torsion_constant_lower": 4, "torsion_constant_upper": 4,
    "drawn_curves": 4,
    "torsion_modulus": 3, "torsion_modulus_away": 3, "plastic_torque": 3, "mean_lever_arm": 1,
    "warping_constant": 6, "shear_centre_x": 1, "shear_centre_y": 1, "polar_radius": 1,
    "monosymmetry_x": 1, "monosymmetry_y": 1, "displacement": 1, "deflection": 1,
}  # fmt: skip
_DEGREES = ("principal_angle", "twist_deg")
#: What a summary shows, in order, where the study has it.
MAIN = (
    "area", "mass_per_length", "torsion_constant", "torsion_modulus", "warping_constant",
    "mean_lever_arm", "mass", "twist_deg", "twist_deg_classical", "displacement",
    "displacement_classical", "deflection", "deflection_classical", "stress", "stress_classical",
    "limit_used", "limit_used_classical",
)  # fmt: skip
#: How a result's name ends that is the classical theory's.
_CLASSICAL = "_classical"


def column_words(column: str) -> str:
    """A column's name as words."""
    bare = column.removesuffix(_CLASSICAL)
    words = bare.removesuffix("_deg").replace("_", " ")
    return words if bare == column else f"{words}, classical theory"


def column_unit(column: str, length: str) -> str:
    """Unit of a result; "" where it has none, or none is known."""
    column = column.removesuffix(_CLASSICAL)
    if column in _DEGREES:
        return "deg"
    power = _POWERS.get(column)
    if power is None or not length:
        return _consistent(column, length)
    return length if power == 1 else unit_text(f"{length}^{power}")


def _consistent(column: str, length: str) -> str:
    """Units that take force or mass with them."""
    if not length or column not in ("mass_per_length", "stress", "mass"):
        return ""
    from ...geometry.units import Units

    units = Units(length)
    return (
        units.mass
        if column == "mass"
        else unit_text(units.label("mass per length" if column == "mass_per_length" else "stress"))
    )
