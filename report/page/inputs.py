"""What a report was given: dimensions, materials and load cases, each with its unit."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from ...solver.section.stress.actions import SYMBOLS
from ..text.number import displayed, number
from .document import Block, Grid
from .live_section import QUANTITY

if TYPE_CHECKING:
    from ...geometry.section import Section
    from ...solver.section.stress.load_cases import StressResult


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
        _materials(section),
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


def _materials(section: Section) -> Grid:
    """One column a material: a page may be narrow."""
    materials = list(dict.fromkeys(r.material for r in section.regions))
    shown = partial(_shown, section.unit)
    rows = [
        ("modulus of elasticity E", *(shown("stress", m.elastic_modulus) for m in materials)),
        ("shear modulus G", *(shown("stress", m.shear) for m in materials)),
        ("Poisson's ratio ν", *(number(m.poisson_ratio) for m in materials)),
        ("density", *(shown("density", m.density) for m in materials)),
        ("strength", *(shown("stress", m.strength) for m in materials)),
        ("from", *(m.source or "the input" for m in materials)),
    ]
    if not any(m.specified for m in materials):
        rows = [("Poisson's ratio ν, assumed", *(number(m.poisson_ratio) for m in materials))]
    names = [m.name if m.specified else "none named" for m in materials]
    return Grid(("material", *names), rows, "Materials")


def _shown(length: str, quantity: str, value: float | None) -> str:
    if value is None:
        return "not given"
    unit, factor = displayed(length, quantity)
    return f"{number(value * factor)} {unit}"
