"""Rolled shapes as JSON: their tables' rows, and solved values beside them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...geometry.catalogue import FAMILIES, Listing, search
from .record import section_record
from .shape_comparison import QUANTITIES

if TYPE_CHECKING:
    from .shapes_table import SolvedShape


def families_json() -> str:
    """Every family with its designations."""
    families = [
        {
            "family": family.name,
            "title": family.title,
            "length_unit": family.unit,
            "shapes": [shape.designation for shape in search(family.name)],
        }
        for family in FAMILIES.values()
    ]
    return _text(families)


def shapes_json(shapes: Sequence[Listing]) -> str:
    """Shapes as tabulated, each in its own length unit."""
    return _text([listing_record(shape) for shape in shapes])


def solved_json(shapes: Sequence[SolvedShape]) -> str:
    """Shapes with the solved values beside the tabulated ones."""
    return _text([solved_record(shape) for shape in shapes])


def listing_record(listing: Listing) -> dict[str, Any]:
    """A row of the catalogue; weight in lb/ft beside inches, kg/m beside millimetres."""
    return {
        "designation": listing.designation,
        "family": listing.family.name,
        "length_unit": listing.unit,
        "weight": listing.weight,
        "weight_unit": "lb/ft" if listing.unit == "in" else "kg/m",
        "depth": listing.depth,
        "width": listing.width,
        "table": {key: getattr(listing, key) for key in QUANTITIES},
    }


def solved_record(shape: SolvedShape) -> dict[str, Any]:
    """The row, the comparison in the result's length unit, and the whole solved section."""
    return {
        **listing_record(shape.listing),
        "compared": [
            {
                "quantity": compared.key,
                "length_unit": shape.result.unit,
                "power": QUANTITIES[compared.key][2],
                "table": compared.table,
                "solved": compared.solved,
                "relative_difference": compared.difference,
                "why": compared.why or None,
            }
            for compared in shape.compared
        ],
        "section": section_record(shape.result),
    }


def _text(record: list[dict[str, Any]]) -> str:
    return json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False)
