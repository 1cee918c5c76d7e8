"""Columns of a study's table in words, with the unit of each."""

from __future__ import annotations

from ..text.number import displayed, unit_text

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
#: Results whose units take force or mass with them.
_WITH_FORCE = ("mass_per_length", "stress", "mass")
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


def column_unit(column: str, length: str) -> tuple[str, float]:
    """Unit in which engineers read a result, and the factor that takes a study's number there.

    Parameters
    ----------
    column : str
        A result's name.
    length : str
        Length unit of the study; its rows hold the consistent units that go with it.

    Returns
    -------
    tuple of (str, float)
        "" and 1 where it has no unit, or none is known.

    Examples
    --------
    >>> column_unit("stress", "m"), column_unit("area", "mm")
    (('MPa', 1e-06), ('mm²', 1.0))
    """
    column = column.removesuffix(_CLASSICAL)
    if column in _DEGREES:
        return "deg", 1.0
    power = _POWERS.get(column)
    if power is not None and length:
        return (length if power == 1 else unit_text(f"{length}^{power}")), 1.0
    return displayed(length, column.replace("_", " ")) if column in _WITH_FORCE else ("", 1.0)


def with_unit(column: str, length: str) -> str:
    """A column's words and its unit in brackets."""
    unit, _ = column_unit(column, length)
    return f"{column_words(column)} ({unit})" if unit else column_words(column)
