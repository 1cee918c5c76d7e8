"""The table of a section whose parts are in contact only: the sum of J, its shares, and what
has no common value."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..stress.joint_rows import torsion_joints
from ..text import caution
from ..text.blocks import Group, Row
from ..text.number import bounds, displayed, near_zero, number, supported, unit_power
from ..text.rendering import render
from .curve_words import curve_notes

if TYPE_CHECKING:
    from ...solver.section.contact_only import ContactOnlyResult
    from ...solver.section.result import SectionResult

REFUSED = (
    "second moments, section moduli, shear centre, warping constant and stresses: they depend on "
    "how far friction and fastenings keep the parts from slipping, which no section tells; weld "
    "the parts, or solve each one as a section of its own"
)


def contact_only_table(result: ContactOnlyResult) -> str:
    """The table as text."""
    return render(_title(result), [_whole(result), *_bodies(result)], contact_only_notes(result))


def contact_only_notes(result: ContactOnlyResult) -> list[str]:
    """What must stand beside the sum."""
    return [
        *result.section.notes,
        *curve_notes(result.bodies),
        f"The {len(result.bodies)} parts are in contact only and not connected. They twist by the "
        "same angle, each with a shear flow of its own, so their torsion constants add up.",
        f"Not given: {REFUSED}.",
        caution.SECTION,
    ]


def _title(result: ContactOnlyResult) -> str:
    x0, y0, x1, y1 = result.section.bounds()
    unit = result.section.unit
    size = f"{number(x1 - x0)} x {number(y1 - y0)} {unit}".rstrip()
    return f"{result.section.name}: {size}, {len(result.bodies)} unconnected parts"


def _whole(result: ContactOnlyResult) -> Group:
    unit = result.section.unit
    fourth = unit_power(unit, 4)
    lower, upper = result.torsion_constant_lower, result.torsion_constant_upper
    interval = f"{bounds(lower, upper)} {fourth}".rstrip()
    words = f"guaranteed: the exact sum for these outlines lies in {interval}"
    rows = [
        Row("area, materials alike", "A_gross", number(result.gross_area), unit_power(unit, 2)),
        Row(
            "torsion constant, sum",
            "J = I_T",
            supported(result.torsion_constant, upper - lower),
            fourth,
            words + _weight(result),
        ),
    ]
    if result.mass_per_length is not None and unit:
        label, factor = displayed(unit, "mass per length")
        rows.append(Row("mass per length", "m", number(result.mass_per_length * factor, 5), label))
    return Group("All parts under one angle of twist", rows)


def _weight(result: ContactOnlyResult) -> str:
    if len({r.material for r in result.section.regions}) == 1:
        return ""
    return f"; weighted by G, relative to {result.reference.name}"


def _bodies(result: ContactOnlyResult) -> list[Group]:
    groups = []
    for k, (body, share) in enumerate(zip(result.bodies, result.shares(), strict=True), 1):
        joints = torsion_joints(body)
        groups += [
            _body(k, body, share),
            Group(f"Joints of part {k}: shear flow by its own part of the torque", joints.rows),
        ]
    return groups


def _body(rank: int, body: SectionResult, share: float) -> Group:
    unit, size = body.unit, body.section.size()
    x, y = (number(near_zero(float(c), size)) for c in body.centroid)
    width = body.torsion_constant_upper - body.torsion_constant_lower
    alone = ", weighted by E" if body.is_composite else ""
    rows = [
        Row("area" + alone, "A", number(body.area), unit_power(unit, 2)),
        Row("centroid", "x_c, y_c", f"{x}, {y}", unit),
        Row(
            "torsion constant", "J = I_T", supported(body.torsion_constant, width),
            unit_power(unit, 4), f"{number(100 * share, 4)} % of a common torque",
        ),
        Row("second moment about its own x", "I_x", number(body.second_moments.x),
            unit_power(unit, 4)),
        Row("second moment about its own y", "I_y", number(body.second_moments.y),
            unit_power(unit, 4)),
    ]  # fmt: skip
    return Group(f"Part {rank}: {body.section.name}", rows)
