"""All imposed deformations of a member file: [[temperature]], [[shrinkage]], [[settlement]]."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ....geometry.errors import InputError
from ..beam.free_strain import free_strain
from ..model.imposed import Imposed, Settlement
from ..model.member import Segment
from ..model.support import Support
from . import member_tables
from .positions import Along
from .settlement_tables import settlements_of
from .shrinkage_tables import shrinkages_of
from .temperature_tables import temperatures_of


def imposed_of(
    table: Mapping[str, Any],
    along: Along,
    segments: Sequence[Segment],
    supports: Sequence[Support],
) -> tuple[Imposed, ...]:
    """Every one, tried on the sections it acts on, so that what a section lacks is said now."""
    units = along.units
    found: list[Imposed] = []
    found += member_tables.every(table, "temperature", units, lambda e: temperatures_of(e, along))
    found += member_tables.every(table, "shrinkage", units, lambda e: shrinkages_of(e, along))
    found += member_tables.every(table, "settlement", units, lambda e: settlements_of(e, supports))
    for action in found:
        if isinstance(action, Settlement):
            continue
        under = [s for s in segments if s.start < action.end and s.end > action.start]
        strains = [free_strain(action, segment, segment.start) for segment in under]
        if not any((s.axial, s.about_x, s.about_y) != (0.0, 0.0, 0.0) for s in strains):
            raise InputError(
                f"{action.title}: it strains no section of the member; check the names it acts on"
            )
    if found and table.get("stage"):
        raise InputError(
            "temperature, shrinkage and settlement are not followed in members built in stages; "
            "take them or the [[stage]] tables out"
        )
    return tuple(found)
