"""What a report was given: dimensions, materials and load cases, each with its unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...solver.section.actions import SYMBOLS
from ..number import displayed, number
from .document import Block, Grid
from .live_section import QUANTITY

if TYPE_CHECKING:
    from ...geometry.section import Section
    from ...solver.section.stress import StressResult


def section_inputs(section: Section) -> list[Block]:
    """Dimensions of the outline and its materials."""
    x0, y0, x1, y1 = section.bounds()
    unit = section.unit or "any consistent unit"
    rows = [
        ("length unit", unit),
        (
            "overall width and height",
            f"{number(x1 - x0)} × {number(y1 - y0)} {section.unit}".strip(),
        ),
        (
            "box in the axes of the input",
            f"x {number(x0)} to {number(x1)}, y {number(y0)} to {number(y1)}",
        ),
        ("regions", str(len(section.regions))),
        ("holes", str(sum(len(r.holes) for r in section.regions))),
        ("unjoined contacts", str(len(section.slits))),
    ]
    return [
        Grid(("dimension", "value"), rows, "Outline"),
        Grid(
            ("material", "E", "G", "ν", "density", "strength", "from"),
            _materials(section),
            "Materials",
        ),
    ]


def case_inputs(stress: StressResult) -> list[Block]:
    """Load cases: one row each, one column for each action that occurs."""
    used = [k for k in range(len(SYMBOLS)) if any(c.vector[k] for c in stress.cases)]
    heads, factors = ["load case"], []
    for k in used:
        unit, factor = displayed(stress.result.unit, QUANTITY[k])
        heads.append(f"{SYMBOLS[k]} ({unit})" if unit else SYMBOLS[k])
        factors.append(factor)
    rows = [
        (
            c.actions.name,
            *(number(float(c.vector[k]) * f) for k, f in zip(used, factors, strict=True)),
        )
        for c in stress.cases
    ]
    return [Grid(heads, rows, "Load cases, the shear moved to the shear centre")]


def _materials(section: Section) -> list[tuple[str, ...]]:
    rows = []
    for material in dict.fromkeys(r.material for r in section.regions):
        if not material.specified:
            rows.append(
                (
                    "none named",
                    "1",
                    number(material.shear, 4),
                    number(material.poisson_ratio),
                    "",
                    "",
                    "assumed; J needs none",
                )
            )
            continue
        quantities = (
            ("stress", material.elastic_modulus),
            ("stress", material.shear),
            (None, material.poisson_ratio),
            ("density", material.density),
            ("stress", material.strength),
        )
        shown = [_shown(section.unit, q, v) for q, v in quantities]
        rows.append((material.name, *shown, material.source or "the input"))
    return rows


def _shown(length: str, quantity: str | None, value: float | None) -> str:
    if value is None:
        return "not given"
    if quantity is None or not length:
        return number(value)
    unit, factor = displayed(length, quantity)
    return f"{number(value * factor)} {unit}"
