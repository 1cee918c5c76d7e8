"""Diaphragms of a member file.

::

    [[diaphragm]]                  # rigid in the section's plane, free to warp
    every = "5 m"                  # from = and to = as for loads; or at = ["5 m", "10 m"]

    [[diaphragm]]                  # a plate in the cell, welded all round
    at = "middle"
    thickness = "15 mm"
    opening = ["800 mm", "600 mm"] # optional: width and height, at the middle of the cell
    E = "210 GPa"                  # and poisson = 0.3: the member's own when left out
    mass = "90 kg"                 # for vibration: left out, that of the plate or the bars by
    density = "7850 kg/m^3"        # this density, or by that of the section where it is left out

    [[diaphragm]]                  # a cross-frame of bars between points of the section
    at = "middle"
    bars = [
        { from = [-988, -730], to = [988, 730], area = "20 cm^2" },
        { from = [988, -730], to = [-988, 730], area = "20 cm^2" },
    ]
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.linked_numbers import linked
from ..model.constants import SectionConstants
from ..model.diaphragm import Bar, Diaphragm, DiaphragmPlate
from ..model.member import SAME_STATION
from . import member_tables
from .positions import Along
from .request import MemberRequest
from .span_tables import axis_of
from .support_tables import positive_length


def with_diaphragms(request: MemberRequest, table: Mapping[str, Any]) -> MemberRequest:
    """A request with the diaphragms of a file's tables in place of its own; the rest is not read
    again."""
    table = linked(table, table.get("unit"))
    units, member = request.units, request.member
    _, spans = axis_of(table, member.axis.closed, units)
    found = every_diaphragm(table, Along(spans, units), member.segments[0].section)
    return replace(request, member=member.with_(diaphragms=found))


def every_diaphragm(
    table: Mapping[str, Any], along: Along, section: SectionConstants
) -> tuple[Diaphragm, ...]:
    """All diaphragms of a file; `section` is that of the member's start."""
    found = tuple(
        member_tables.every(
            table, "diaphragm", along.units, lambda e: diaphragms_of(e, along, section)
        )
    )
    for one, other in pairwise(sorted((d for d in found if d.rigid), key=lambda d: d.at)):
        if other.at - one.at <= SAME_STATION * along.length:
            raise InputError(
                f"diaphragm: two rigid ones stand at {along.shown(one.at)}, where one holds the "
                "whole shape; take one away"
            )
    return found


def diaphragms_of(entry: Entry, along: Along, section: SectionConstants) -> list[Diaphragm]:
    """The diaphragms of one table.

    Parameters
    ----------
    section : SectionConstants
        Of the member, whose E and Poisson's ratio a diaphragm takes that states none.
    """
    if entry.has("every") == entry.has("at"):
        raise InputError('give either at = "middle" (or a list) or every = "5 m"')
    stations = along.row(entry) if entry.has("every") else along.positions(entry)
    if entry.has("every") and len(stations) < 2:
        raise InputError(
            "every is longer than the stretch it is to cover, and gives one diaphragm alone; give "
            'a smaller spacing, or its place by at = "middle"'
        )
    entry.plain("span")
    modulus = section.elastic_modulus
    if entry.has("E"):
        modulus = entry.quantity("E", "stress") or 0.0
    own = section.elastic_modulus / (2 * section.shear_modulus) - 1
    poisson = entry.plain("poisson", own)
    plate, bars = None, _bars(entry, modulus)
    if entry.has("thickness"):
        opening = entry.point("opening") if entry.has("opening") else None
        plate = DiaphragmPlate(
            positive_length(entry, "thickness"), modulus, poisson or 0.0, opening
        )
    elif entry.has("opening"):
        raise InputError('an opening is in a plate; give its thickness = "15 mm" too')
    name = entry.text("name", "diaphragm")
    mass, density = entry.quantity("mass", "mass"), entry.quantity("density", "density")
    entry.close()
    if plate is not None and bars:
        raise InputError("give either a thickness or bars, not both; write two tables")
    titles = [f"{name} at {along.shown(z)}" for z in stations]
    if len(stations) == 1 and name != "diaphragm":
        titles = [name]
    return [
        Diaphragm(z, plate, bars, title, mass, density)
        for z, title in zip(stations, titles, strict=True)
    ]


def _bars(entry: Entry, modulus: float) -> tuple[Bar, ...]:
    if not entry.has("bars"):
        return ()
    rows = entry.table["bars"]
    if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
        raise InputError(
            'bars is a list like [{ from = [-900, -700], to = [900, 700], area = "20 cm^2" }]'
        )
    found = []
    for n, row in enumerate(rows, 1):
        one = Entry("bar", n, row, entry.units)
        with naming(one.label):
            for key, example in (("from", "[-900, -700]"), ("to", "[900, 700]")):
                one.need(key, example)
            one.need("area", '"20 cm^2"')
            start, end = one.point("from"), one.point("to")
            area = one.quantity("area", "area") or 0.0
            e = (one.quantity("E", "stress") or 0.0) if one.has("E") else modulus
            one.close()
            found.append(Bar(start, end, area, e))
    return tuple(found)
