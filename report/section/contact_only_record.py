"""A section of parts in contact only as one JSON object: the sum, and every body's own record."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from .contact_only_table import REFUSED
from .curve_words import curve_notes
from .record import section_record

if TYPE_CHECKING:
    from ...solver.section.contact_only import ContactOnlyResult


def contact_only_json(result: ContactOnlyResult) -> str:
    """The record as indented JSON text."""
    return json.dumps(contact_only_record(result), indent=2, allow_nan=False, ensure_ascii=False)


def contact_only_record(result: ContactOnlyResult) -> dict[str, Any]:
    """The record as a dictionary; `bodies` holds one section record each (see `section_record`)."""
    shares = result.shares()
    return {
        "format": "soapfilm parts 1",
        "name": result.section.name,
        "length_unit": result.section.unit,
        "contact_only": True,
        "gross_area": result.gross_area,
        "mass_per_length": result.mass_per_length,
        "torsion_constant": {
            "value": result.torsion_constant,
            "lower": result.torsion_constant_lower,
            "upper": result.torsion_constant_upper,
        },
        "reference_material": result.reference.name,
        "not_given": REFUSED,
        "bodies": [
            {**section_record(body), "torque_share": share}
            for body, share in zip(result.bodies, shares, strict=True)
        ],
        "notes": [*result.section.notes, *curve_notes(result.bodies)],
    }
