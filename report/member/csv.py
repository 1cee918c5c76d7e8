"""A member's results at its stations as CSV: one line for each station and combination."""

from __future__ import annotations

import csv
import io
import os
from typing import TYPE_CHECKING

from ..files import write_text
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: Heading, column of the stations and quantity.
_COLUMNS = (
    ("u", "u", "displacement"),
    ("v", "v", "displacement"),
    ("twist", "phi", "angle"),
    ("rate of twist", "tau", "twist rate"),
    ("N", "N", "force"),
    ("V_x", "V_x", "force"),
    ("V_y", "V_y", "force"),
    ("M_x", "M_x", "moment"),
    ("M_y", "M_y", "moment"),
    ("T", "T", "moment"),
    ("T_t", "T_t", "moment"),
    ("T_w", "T_w", "moment"),
    ("B", "B", "bimoment"),
)
#: Heading and attribute of the stresses.
_STRESSES = (
    ("von Mises", "mises"),
    ("shear", "shear"),
    ("tension", "tension"),
    ("compression", "compression"),
)


def write_member_csv(assessment: Assessment, path: str | os.PathLike[str]) -> None:
    """Write the file, whole or not at all."""
    write_text(path, member_csv(assessment))


def member_csv(assessment: Assessment) -> str:
    """The text: headings name the units; a station where something jumps stands twice."""
    units = MemberUnits(assessment.request.units)
    table, stress = assessment.table, assessment.stress
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    headings = [f"z ({units.unit('along')})", "combination"]
    headings += [f"{word} ({units.unit(quantity)})" for word, _, quantity in _COLUMNS]
    if stress is not None:
        headings += [f"{word} ({units.unit('stress')})" for word, _ in _STRESSES]
        headings += [f"at {axis} ({units.unit('place')})" for axis in "xy"]
    flows = assessment.flows
    through = [] if flows is None else [w.flow for w in flows.welds] + [x.flow for x in flows.cells]
    if flows is not None:
        unit = units.unit("line load")
        headings += [f"weld {w.line.name} of {w.section} ({unit})" for w in flows.welds]
        headings += [f"cell {n} of {x.section} ({unit})" for n, x in enumerate(flows.cells, 1)]
    writer.writerow(headings)
    along = units.factor("along")
    factors = [units.factor(quantity) for _, _, quantity in _COLUMNS]
    columns = [getattr(table, word) * f for (_, word, _), f in zip(_COLUMNS, factors, strict=True)]
    stresses = []
    if stress is not None:
        stresses = [getattr(stress, word) * units.factor("stress") for _, word in _STRESSES]
    for c, name in enumerate(table.names):
        for row, z in enumerate(table.z):
            values = [f"{column[row, c]:.9g}" for column in (*columns, *stresses)]
            if stress is not None:
                values += [f"{coordinate:.9g}" for coordinate in stress.points[row, c]]
            values += [_flow(flow[row, c] * units.factor("line load")) for flow in through]
            writer.writerow([f"{z * along:.9g}", name, *values])
    return out.getvalue()


def _flow(value: float) -> str:
    """A flow; nothing where the member has another section."""
    return "" if value != value else f"{value:.9g}"
