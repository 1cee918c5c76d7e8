"""All that travels in a member file and all combinations, read together: they name one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ....geometry.errors import InputError
from ....geometry.units import Units
from ..model.imposed import Imposed
from ..model.load import Combination, LineLoad, Load
from ..model.moving import Crowd, Vehicle, check_moving
from ..model.tendon import Tendon
from ..model.variable import VariableCombination
from .braking_tables import Braking, brakings_of
from .case_tables import actions_of, known_cases, parts_of_temperature, sets_of
from .limit_tables import combinations_of
from .member_tables import every
from .moving_tables import crowds_of, lanes_of, vehicles_of
from .positions import Points


@dataclass(frozen=True, slots=True)
class MovingActions:
    """Moving loads and their horizontal forces, what of the combinations is solved as it stands,
    and all of them as their envelope takes them."""

    vehicles: tuple[Vehicle, ...]
    crowds: tuple[Crowd, ...]
    braking: tuple[LineLoad, ...]
    still: tuple[Combination, ...]
    variable: tuple[VariableCombination, ...]


def moving_actions(
    table: Mapping[str, Any],
    units: Units,
    points: Points,
    loads: Sequence[Load | Imposed | Tendon],
    length: float,
) -> MovingActions:
    """Of a file's tables, on a member of some length."""
    cases = list(dict.fromkeys(load.case for load in loads))
    lanes = every(table, "lane", units, lambda e: lanes_of(e, points))
    vehicles = tuple(every(table, "vehicle", units, lambda e: vehicles_of(e, points, lanes)))
    crowds = tuple(every(table, "crowd", units, lambda e: crowds_of(e, points, lanes)))
    check_moving(vehicles, crowds, lanes, cases)
    braking = every(
        table, "braking", units, lambda e: brakings_of(e, points, length, vehicles, crowds)
    )
    for one in braking:
        if one.load.case in cases:
            raise InputError(
                f"case {one.load.case!r} has other loads than the braking force of {one.of!r}; "
                "give [[braking]] a case of its own"
            )
    forces = tuple(one.load for one in braking)
    all_cases = [*cases, *dict.fromkeys(load.case for load in forces)]
    moving = [*(v.name for v in vehicles), *(c.name for c in crowds)]
    combined = every(table, "combination", units, lambda e: combinations_of(e, all_cases, moving))
    winds = [str(row.get("case", "wind")) for row in table.get("wind", ())]
    known = known_cases(loads, vehicles, crowds, winds)
    stated = every(table, "case", units, lambda e: actions_of(e, list(known)))
    parts = parts_of_temperature(loads)
    sets = every(table, "combination_set", units, lambda e: sets_of(e, stated, known, cases, parts))
    still = tuple(one for _, rows in combined for one in rows)
    sets = [_braked(one, braking) for one in sets]
    return MovingActions(vehicles, crowds, forces, still, (*(v for v, _ in combined), *sets))


def _braked(one: VariableCombination, braking: Sequence[Braking]) -> VariableCombination:
    """With the horizontal forces of what travels in it, either way."""
    own = {
        force.load.case: (-one.moving[force.of], one.moving[force.of])
        for force in braking
        if one.moving.get(force.of)
    }
    return replace(one, cases={**one.cases, **own})
