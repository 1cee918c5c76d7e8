"""Combinations and limits of a member file.

::

    [[combination]]                # without any, every load case is solved by itself
    name = "strength"
    factors = { dead = 1.35, cladding = 1.5 }
    patterns = { crowd = 1.5 }     # loads with by_span: all spans, odd, even, neighbours; with
                                   # several cases, or halves, every part where it is worst
                                   # factors may name vehicles and crowds: they stand there too

    [[limit]]
    twist = "2 deg"                # or "customary"
    combinations = ["service"]     # left out: all
    stages = ["erection"]          # of a member built in stages; left out: after each
    added = true                   # of movement: what the stage adds alone, as under new masonry

    [[limit]]
    deflection = "span/600"        # or "8 mm", both in a list (the lesser holds), or "masonry"
    point = "bracket tip"          # the shear centre when left out
    direction = "y"                # or "x"

    [[limit]]
    stress = "strength"            # von Mises against every material's strength, or "160 MPa"
    factor = 1.1                   # on the stress
    component = "tension"          # or "compression", "shear", "von Mises" (left out)

    [[limit]]
    first_frequency = "3 Hz"       # at least; mass as soapfilm vibrate takes it
    motion = "vertical"            # left out: of the first mode, whatever moves

    [[limit]]
    critical_factor = 10           # elastic critical load factor at least, of all combinations
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.case_names import nearest
from ..model.load import Combination, Place
from ..model.pattern import base_case, span_patterns
from ..model.variable import VariableCombination
from ..review.critical_limit import CriticalLimit
from ..review.frequency_limit import FrequencyLimit
from ..review.movement_limits import Limit, MovementLimit, TwistLimit
from ..review.stress_limit import COMPONENTS, StressLimit
from .positions import Points
from .stage_tables import chosen_stages

_HERTZ = re.compile(r"\s*(\d+(?:\.\d*)?(?:e[-+]?\d+)?)\s*Hz\s*", re.I)
_SPAN = re.compile(r"span\s*/\s*(\d+(?:\.\d+)?)")


def combinations_of(
    entry: Entry, cases: Sequence[str], moving: Sequence[str] = ()
) -> list[tuple[VariableCombination, list[Combination]]]:
    """The combination of one table, and what of it is solved as it stands: itself, or one for each
    arrangement of its patterns; where loads travel, without them."""
    entry.need("name", '"service"')
    name = entry.text("name")
    factors = _factors(entry, "factors")
    patterns = _factors(entry, "patterns")
    entry.close()
    if not factors and not patterns:
        raise InputError("factors is missing; write factors = { dead = 1.35, live = 1.5 }")
    travel = {k: f for k, f in factors.items() if k in moving}
    if any(not f > 0 for f in travel.values()):
        raise InputError("the factor of a vehicle or crowd is positive; where it helps, it is away")
    still = {k: f for k, f in factors.items() if k not in travel}
    for case in still:
        if case not in cases and nearest(case, moving):
            raise InputError(f"load case {case!r} has no loads{nearest(case, moving)}")
    parts: dict[str, list[str]] = {}
    for case in patterns:
        if case in moving:
            raise InputError(f"patterns: {case!r} travels already; name it among the factors")
        parts[case] = [c for c in cases if base_case(c) == case and c != case]
        if not parts[case]:
            raise InputError(
                f"patterns: no load of case {case!r} has by_span = true; cases are "
                f"{', '.join(cases)}"
            )
    fixed = {case: (f, f) for case, f in still.items()}
    may = {c: (min(0.0, f), max(0.0, f)) for case, f in patterns.items() for c in parts[case]}
    halves = any(c.endswith(" half") for rows in parts.values() for c in rows)
    solved = not (travel or halves or len(patterns) > 1)
    variable = VariableCombination(name, fixed | may, travel, solved=solved)
    if not solved:
        less = "moving loads" if travel else "patterns"
        return [(variable, [Combination(f"{name}: without {less}", still)] if still else [])]
    if not patterns:
        return [(variable, [Combination(name, still)])]
    ((case, factor),) = patterns.items()
    return [
        (
            variable,
            [
                Combination(f"{name}: {c.name}", c.factors)
                for c in span_patterns(parts[case], factor, factors, case)
            ],
        )
    ]


def limits_of(
    entry: Entry, points: Points, combinations: Sequence[str], stages: Sequence[str] = ()
) -> Limit | StressLimit:
    """One limit."""
    chosen = chosen_combinations(entry, combinations)
    entry.text("name")
    given = [key for key in ("twist", "deflection", "stress") if entry.has(key)]
    if len(given) != 1:
        raise InputError(
            "give one of twist, deflection, stress, first_frequency and critical_factor in each "
            "[[limit]]"
        )
    limit: Limit | StressLimit
    if given[0] == "twist":
        limit = TwistLimit(_twist(entry), chosen)
    elif given[0] == "deflection":
        limit = _deflection(entry, points, chosen)
    else:
        limit = _stress(entry, chosen)
    after = chosen_stages(entry, stages)
    added = entry.flag("added")
    entry.close()
    if added and (not stages or isinstance(limit, StressLimit)):
        raise InputError(
            "added is for limits of movement of a member with [[stage]] tables: it counts what "
            "a stage adds alone"
        )
    if added and not isinstance(limit, StressLimit):
        limit = replace(limit, added=True)
    return replace(limit, stages=after) if after else limit


def frequency_limits_of(entry: Entry) -> list[FrequencyLimit]:
    """The limit of a table on a frequency; none where it is another's."""
    if not entry.has("first_frequency"):
        return []
    entry.text("name")
    value = entry.table["first_frequency"]
    found = _HERTZ.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise InputError(f'first_frequency is a text like "3 Hz", got {str(value)[:40]!r}')
    motion = entry.text("motion")
    entry.close()
    return [FrequencyLimit(float(found.group(1)), motion)]


def critical_limits_of(entry: Entry) -> list[CriticalLimit]:
    """The limit of a table on the critical load factor; none where it is another's."""
    if not entry.has("critical_factor"):
        return []
    entry.text("name")
    factor = entry.plain("critical_factor")
    entry.close()
    return [CriticalLimit(factor or 0.0)]


def _twist(entry: Entry) -> float:
    if entry.table["twist"] == "customary":
        return TwistLimit().degrees
    angle = entry.units.read(entry.table["twist"], "angle", what="twist", bare="deg")
    degrees = angle * entry.units.factor("angle", "deg")
    if not degrees > 0:
        raise InputError(f"twist must be positive, got {entry.table['twist']!r}")
    return degrees


def _deflection(entry: Entry, points: Points, chosen: tuple[str, ...]) -> MovementLimit:
    where: Any = "shear_centre"
    if entry.has("point"):
        where = points.where(entry, "point")
        if isinstance(where, Place) and isinstance(where.origin, str):
            where = where.origin
    direction = entry.choice("direction", ("x", "y"), "y")
    value = entry.table["deflection"]
    if value == "masonry":
        unit = entry.units.length
        return MovementLimit(where, direction, masonry_unit=unit, combinations=chosen)
    ratio = absolute = None
    for one in value if isinstance(value, list) else [value]:
        span = _SPAN.fullmatch(one.strip()) if isinstance(one, str) else None
        if span:
            ratio = float(span.group(1))
        elif isinstance(one, str) and re.fullmatch(r"\s*L\s*/\s*\d+(\.\d+)?\s*", one):
            ratio_text = one.partition("/")[2].strip()
            raise InputError(f'deflection: write {one!r} as "span/{ratio_text}"')
        else:
            absolute = entry.units.read(one, "length", what="deflection", bare=entry.units.bare)
            if not absolute > 0:
                raise InputError(f"deflection must be positive, got {one!r}")
    return MovementLimit(where, direction, ratio, absolute, combinations=chosen)


def _stress(entry: Entry, chosen: tuple[str, ...]) -> StressLimit:
    allowed = None
    if entry.table["stress"] != "strength":
        allowed = entry.quantity("stress", "stress")
    factor = entry.plain("factor", 1.0)
    assert factor is not None
    component = entry.choice("component", COMPONENTS, "von Mises")
    return StressLimit(allowed, factor, component, chosen)


def chosen_combinations(entry: Entry, known: Sequence[str]) -> tuple[str, ...]:
    """Key `combinations`: names, each of a combination that is solved."""
    if not entry.has("combinations"):
        return ()
    names = entry.table["combinations"]
    if not isinstance(names, list) or not all(isinstance(n, str) for n in names):
        raise InputError('combinations is a list of names, like ["service"]')
    found: list[str] = []
    for name in names:
        mine = [k for k in known if k == name or k.startswith(f"{name}: ")]
        if not mine:
            raise InputError(
                f"combinations: there is no {name[:60]!r}; there are {', '.join(known)}"
            )
        found += mine
    return tuple(found)


def _factors(entry: Entry, key: str) -> dict[str, float]:
    if not entry.has(key):
        return {}
    table = entry.table[key]
    if not isinstance(table, Mapping) or not table:
        raise InputError(f"{key} is a table of load cases, like {key} = {{ dead = 1.35 }}")
    inner = Entry(key, 0, table, entry.units)
    found = {}
    for case in table:
        factor = inner.plain(case)
        assert factor is not None
        found[case] = factor
    return found
