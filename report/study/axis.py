"""The axis of a parameter: its numbers, where they share one scale, and their unit."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...geometry.profiles.by_name import PROFILES, profile_attributes
from ...geometry.quantity import split
from ...solver.study.file.address import value_at
from ...solver.study.file.member_base import MemberBase
from ...solver.study.file.parameter import Value, number_of
from ...solver.study.file.section_base import SectionBase, tables_of
from ..text.number import unit_text

if TYPE_CHECKING:
    from ...solver.study.run.sweep import Study

#: Keys of parts whose plain numbers are lengths of the section file, or angles (True).
_KEYS = {"thickness": False, "throat": False, "rotate": True}


def on_one_scale(values: Sequence[Value]) -> list[float] | None:
    """Values as numbers; None where one has none, or where "12 mm" stands beside "1 cm" or 12."""
    numbers = [n for n in map(number_of, values) if n is not None]
    one_scale = len(numbers) == len(values) and len(set(map(_written_unit, values))) <= 1
    return numbers if one_scale else None


def scale_unit(study: Study, name: str) -> str:
    """Unit of a parameter's numbers: as written, or of the section file; "" where not known."""
    parameter = next(p for p in study.plan.parameters if p.name == name)
    if parameter.is_range and parameter.unit:
        return unit_text(parameter.unit)
    written = set(map(_written_unit, parameter.values))
    if written - {""}:
        return unit_text(written.pop()) if len(written) == 1 else ""
    units = {_bare_unit(study, address) for address in parameter.sets}
    return units.pop() if len(units) == 1 else ""


def labelled(study: Study, name: str) -> str:
    """A parameter's name and unit, as an axis says them."""
    unit = scale_unit(study, name)
    return f"{name} ({unit})" if unit else name


def _written_unit(value: Value) -> str:
    parts = split(value) if isinstance(value, str) else None
    return "" if parts is None else parts[1]


def _bare_unit(study: Study, address: str) -> str:
    """Unit of a plain number at an address: attributes of profiles, plates' thicknesses, throats
    and turns tell what they are."""
    base = study.base
    entry, _, key = address.rpartition(".")
    angles = {a.ifc: a.is_angle for p in PROFILES for a in profile_attributes(p)}
    angles |= _KEYS
    if not entry or key not in angles:
        return ""
    if angles[key]:
        return "deg"
    if isinstance(base, SectionBase):
        tables, holders = tables_of(base.text), [entry]
    elif not isinstance(base, MemberBase):
        return ""
    else:
        tables, holders = json.loads(base.tables), [entry, ".".join(entry.split(".")[:2])]
    own = (value_at(tables, f"{holder}.unit") for holder in holders)
    return next((unit for unit in own if isinstance(unit, str)), base.written_unit)
