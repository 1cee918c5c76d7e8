"""The numbers of a section by name: symbol in both notations, words, and what each measures.

One vocabulary for tables of studies, Python and frames. The names are the fields of `Properties`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
from ...geometry.units import QUANTITIES as DIMENSIONS
from ...geometry.units import Units
from ..text.number import near_zero

if TYPE_CHECKING:
    from ...solver.section import SectionResult


@dataclass(frozen=True, slots=True)
class SectionQuantity:
    """One number of a section.

    Attributes
    ----------
    name : str
    symbols : tuple of str
        In European and American notation; the first one is ours.
    words : str
    quantity : str
        A key of `geometry.units.QUANTITIES`, "" for a plain number.
    """

    name: str
    symbols: tuple[str, ...]
    words: str
    quantity: str


_ROWS = (
    ("width", (), "width of the bounding box", "length"),
    ("depth", (), "depth of the bounding box", "length"),
    ("area", ("A",), "area", "area"),
    ("gross_area", ("A_gross",), "area, materials alike", "area"),
    ("perimeter", ("U",), "perimeter, holes included", "length"),
    ("mass_per_length", ("m",), "mass per length", "mass per length"),
    ("centroid_x", ("x_c",), "centroid", "length"),
    ("centroid_y", ("y_c",), "centroid", "length"),
    ("second_moment_x", ("I_x",), "second moment about x", "second moment"),
    ("second_moment_y", ("I_y",), "second moment about y", "second moment"),
    ("product_moment", ("I_xy",), "product of inertia", "second moment"),
    ("second_moment_major", ("I_1", "I_max"), "major principal", "second moment"),
    ("second_moment_minor", ("I_2", "I_min"), "minor principal", "second moment"),
    ("principal_angle", ("alpha",), "major axis from x", "angle"),
    ("elastic_modulus_top", (), "elastic section modulus, top", "section modulus"),
    ("elastic_modulus_bottom", (), "elastic section modulus, bottom", "section modulus"),
    ("elastic_modulus_right", (), "elastic section modulus, right", "section modulus"),
    ("elastic_modulus_left", (), "elastic section modulus, left", "section modulus"),
    ("plastic_modulus_x", ("W_pl,x", "Z_x"), "plastic modulus about x", "section modulus"),
    ("plastic_modulus_y", ("W_pl,y", "Z_y"), "plastic modulus about y", "section modulus"),
    ("torsion_constant", ("J", "I_T"), "torsion constant", "second moment"),
    ("torsion_constant_lower", (), "torsion constant, lower bound", "second moment"),
    ("torsion_constant_upper", (), "torsion constant, upper bound", "second moment"),
    ("drawn_curves", (), "change of J by arcs in place of drawn curves", "second moment"),
    ("torsion_modulus", ("W_T",), "torsion section modulus", "section modulus"),
    ("torsion_modulus_away", ("W_T,away",), "the same, away from corners", "section modulus"),
    ("plastic_torque", ("T_pl",), "fully plastic torque by shear yield stress", "section modulus"),
    ("mean_lever_arm", ("a",), "mean lever arm of shear flow", "length"),
    ("warping_constant", ("C_w", "I_w"), "warping constant", "warping constant"),
    ("shear_centre_x", ("x_s",), "shear centre", "length"),
    ("shear_centre_y", ("y_s",), "shear centre", "length"),
    ("polar_radius", ("r_0", "i_0"), "polar radius about the shear centre", "length"),
    ("monosymmetry_x", ("beta_x",), "monosymmetry parameter for M_x (Wagner)", "length"),
    ("monosymmetry_y", ("beta_y",), "monosymmetry parameter for M_y (Wagner)", "length"),
    ("elastic_modulus", ("E",), "Young's modulus of the reference material", "stress"),
    ("shear_modulus", ("G",), "shear modulus of the reference material", "stress"),
    ("strength", (), "least strength of the materials", "stress"),
    ("cells", (), "cells", ""),
    ("sharp_corners", (), "corners where shear has no bound", ""),
    ("reached", (), "relative width of the interval of J", ""),
)
#: By name, in the order of tables.
SECTION_QUANTITIES = {row[0]: SectionQuantity(*row) for row in _ROWS}
_BY_SYMBOL = {symbol: q for q in SECTION_QUANTITIES.values() for symbol in q.symbols}
#: Lengths that vanish by symmetry, with how often the shear centre's own doubt they are in doubt.
_PLACES = {"shear_centre_x": 1, "shear_centre_y": 1, "monosymmetry_x": 2, "monosymmetry_y": 2}
_EXACT_PLACES = ("centroid_x", "centroid_y")


def section_quantity(word: str) -> SectionQuantity:
    """The quantity of a name or symbol.

    Raises
    ------
    InputError
        With the nearest name.

    Examples
    --------
    >>> section_quantity("J").name, section_quantity("I_w").words
    ('torsion_constant', 'warping constant')
    """
    found = SECTION_QUANTITIES.get(word) or _BY_SYMBOL.get(word)
    if found is None:
        near = get_close_matches(word, [*SECTION_QUANTITIES, *_BY_SYMBOL], 1, 0.4)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        raise InputError(f"a section has no quantity {word[:60]!r}{hint}")
    return found


def unit_of(name: str, length: str) -> str:
    """Unit of a quantity in plain letters ("mm^4"); "" for plain numbers, and without a unit.

    Examples
    --------
    >>> unit_of("torsion_constant", "mm"), unit_of("strength", "in"), unit_of("cells", "mm")
    ('mm^4', 'ksi', '')
    """
    quantity = SECTION_QUANTITIES[name].quantity
    if quantity == "angle":
        return "deg"
    if not length or not quantity:
        return ""
    label = Units(length).label(quantity)
    assert quantity in DIMENSIONS  # `label` would have failed
    return label


def settled(
    record: Mapping[str, Any], doubt: float = 0.0, warping_doubt: float = 0.0
) -> dict[str, Any]:
    """A record of `Properties` with 0 for what vanishes but for rounding.

    Parameters
    ----------
    record : mapping
        By name; it needs `width`, `depth` and `reached`.
    doubt : float
        How far the shear centre may be off, a length; the interval's width tells so much at least.
    warping_doubt : float
        How far the warping constant may be off.
    """
    found = dict(record)
    size = math.hypot(record["width"], record["depth"])
    room = max(doubt, record["reached"] * size)
    found |= {name: near_zero(record[name], size) for name in _EXACT_PLACES}
    for name, times in _PLACES.items():
        found[name] = 0.0 if abs(record[name]) <= times * room else record[name]
    if record["warping_constant"] <= warping_doubt:
        found["warping_constant"] = 0.0
    inertia = record["second_moment_x"] + record["second_moment_y"]
    found["product_moment"] = near_zero(record["product_moment"], inertia)
    found["principal_angle"] = near_zero(record["principal_angle"], 180.0)
    return found


def section_values(result: SectionResult) -> dict[str, Any]:
    """All numbers of a solved section by name, rounding noise as 0, None for what has no value."""
    from ...solver.study.run.properties import Properties

    warping = result.warping_properties
    record = Properties.of(result).record()
    found = settled(record, warping.shear_centre_change, warping.warping_constant_change)
    return {name: found[name] for name in SECTION_QUANTITIES}


def why_missing(result: SectionResult, name: str) -> str:
    """Why a quantity of a section has no number."""
    reasons = {
        "torsion_modulus": result.torsion_modulus.reason,
        "torsion_modulus_away": "shear is bounded everywhere, or no place is away from corners",
        "plastic_modulus_x": result.plastic_moduli.reason,
        "plastic_modulus_y": result.plastic_moduli.reason,
        "plastic_torque": result.plastic_torque.reason,
        "mass_per_length": "a material states no density",
        "strength": "a material states no strength",
        "drawn_curves": "no bound of it is known",
    }
    return reasons.get(name, "")
