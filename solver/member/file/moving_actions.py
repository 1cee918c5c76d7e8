"""All that travels in a member file and all combinations, read together: they name one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ....geometry.units import Units
from ..model.imposed import Imposed
from ..model.load import Combination, Load
from ..model.moving import Crowd, Vehicle, check_moving
from ..model.tendon import Tendon
from ..model.variable import VariableCombination
from .case_tables import actions_of, known_cases, parts_of_temperature, sets_of
from .limit_tables import combinations_of
from .member_tables import every
from .moving_tables import crowds_of, lanes_of, vehicles_of
from .positions import Points


@dataclass(frozen=True, slots=True)
class MovingActions:
    """Moving loads, what of the combinations is solved as it stands, and all of them as their
    envelope takes them."""

    vehicles: tuple[Vehicle, ...]
    crowds: tuple[Crowd, ...]
    still: tuple[Combination, ...]
    variable: tuple[VariableCombination, ...]


def moving_actions(
    table: Mapping[str, Any], units: Units, points: Points, loads: Sequence[Load | Imposed | Tendon]
) -> MovingActions:
    """Of a file's tables."""
    cases = list(dict.fromkeys(load.case for load in loads))
    lanes = every(table, "lane", units, lambda e: lanes_of(e, points))
    vehicles = tuple(every(table, "vehicle", units, lambda e: vehicles_of(e, points, lanes)))
    crowds = tuple(every(table, "crowd", units, lambda e: crowds_of(e, points, lanes)))
    check_moving(vehicles, crowds, lanes, cases)
    moving = [*(v.name for v in vehicles), *(c.name for c in crowds)]
    combined = every(table, "combination", units, lambda e: combinations_of(e, cases, moving))
    winds = [str(row.get("case", "wind")) for row in table.get("wind", ())]
    known = known_cases(loads, vehicles, crowds, winds)
    stated = every(table, "case", units, lambda e: actions_of(e, list(known)))
    parts = parts_of_temperature(loads)
    sets = every(table, "combination_set", units, lambda e: sets_of(e, stated, known, cases, parts))
    still = tuple(one for _, rows in combined for one in rows)
    return MovingActions(vehicles, crowds, still, (*(v for v, _ in combined), *sets))
