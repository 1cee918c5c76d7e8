"""A member's results at its stations as CSV: one line for each station and combination."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ..data_table import DataTable, quiet
from ..files import write_text
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

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
    return station_table(assessment).csv()


def station_table(assessment: Assessment) -> DataTable:
    """Classical results at every station and combination, and the flow of welds and cells."""
    member = MemberUnits(assessment.request.units)
    table, stress = assessment.table, assessment.stress
    columns: dict[str, list[Any]] = {"z": [], "combination": []}
    units = {"z": member.plain("along")}
    count, stations = len(table.names), len(table.z)
    columns["z"] = (table.z * member.factor("along")).tolist() * count
    columns["combination"] = [name for name in table.names for _ in range(stations)]

    def add(name: str, values: Array, quantity: str) -> None:
        units[name] = member.plain(quantity)
        scaled = (values * member.factor(quantity)).T.ravel()
        columns[name] = [None if v != v else v for v in scaled.tolist()]

    for name, word, quantity in _COLUMNS:
        add(name, getattr(table, word), quantity)
    alike: dict[str, list[str]] = {}
    for name, _, quantity in _COLUMNS:
        alike.setdefault(quantity.replace("bimoment", "moment"), []).append(name)
    quiet(columns, *alike.values())
    if stress is not None:
        for name, word in _STRESSES:
            add(name, getattr(stress, word), "stress")
        for k, axis in enumerate("xy"):
            add(f"at {axis}", stress.points[..., k], "place")
    flows = assessment.flows
    if flows is not None:
        for w in flows.welds:
            add(f"weld {w.line.name} of {w.section}", w.flow, "line load")
        for n, x in enumerate(flows.cells, 1):
            add(f"cell {n} of {x.section}", x.flow, "line load")
    return DataTable(columns, units, f"{assessment.solution.mesh.member.name}, stations")


def station_column(heading: str) -> tuple[str, str]:
    """Column of `Stations` and quantity of a heading.

    Raises
    ------
    InputError
        With the headings that there are.

    Examples
    --------
    >>> station_column("twist")
    ('phi', 'angle')
    """
    for name, column, quantity in _COLUMNS:
        if name == heading:
            return column, quantity
    known = ", ".join(name for name, _, _ in _COLUMNS)
    raise InputError(f"a member has no result {heading[:60]!r} along it; there are {known}")
