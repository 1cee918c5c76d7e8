"""Area and second moments of rolled profiles beside the rolling standards' tables."""

from __future__ import annotations

import math
from typing import Any

from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.profiles.by_name import build_profile

from .figure import Figure, figures
from .registry import Found, Topic

PROFILES = Topic(
    "Profiles: area and second moments",
    "Closed integrals over the exact outline; dimensions as in the standard.",
)
#: Printed figures that are off by more than half of their last digit, and by how much they may be.
LOOSE = {"I200_I_y": 1.0, "T100_I_x": 1.0, "T100_I_y": 0.5, "Z100_I_y": 0.1}


def dimensions(inputs: dict[str, Any]) -> dict[str, float]:
    """IFC attributes; slopes are kept as tangents and wanted as angles."""
    return {
        name: math.atan(value) if name.endswith("Slope") else value
        for name, value in inputs.items()
        if name not in ("profile", "slopes")
    }


def moments_of(figure: Figure) -> Found:
    """A in cm^2, I_x or I_y in cm^4."""
    inputs = dict(figure.inputs)
    section = build_profile(inputs["profile"], dimensions(inputs), "mm").section()
    m = contour_moments(section.contours(), (0.0, 0.0))
    area = float(m[0, 0])
    found = {
        "A": area / 1e2,
        "I_x": (m[0, 2] - m[0, 1] ** 2 / area) / 1e4,
        "I_y": (m[2, 0] - m[1, 0] ** 2 / area) / 1e4,
    }
    return Found.about(found[figure.quantity])


for _name, _figure in figures().items():
    if _figure.inputs.get("profile"):
        _digit = LOOSE.get(_name, _figure.printed_errors[0]) / _figure.value
        PROFILES.check(_name, within=_digit)(moments_of)
