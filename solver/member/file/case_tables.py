"""What kind each load case is, and sets of combinations in the form of a standard.

::

    [[case]]                       # for [[combination_set]]; one for each load case
    name = "wind"                  # a load case (by_span: its name alone), a vehicle or a crowd
    kind = "wind"                  # permanent, prestress, settlement, or of a variable action:
                                   # traffic, vehicle, wind, temperature, snow, imposed A, live, ...
    reverses = true                # acts with either sign
    not_with = ["crowd"]           # never at the same time
    psi = [0.3, 0.2, 0]            # optional, in place of the standard's
    gamma = [1.5, 0]               # unfavourable, favourable; in place of the standard's

    [[combination_set]]
    code = "EN 1990"               # or "ASCE 7-16", "ASCE 7-22", "ASCE 7-16 allowable stress"
    structure = "footbridge"       # or "building", "road bridge"; of EN 1990
    states = ["6.10", "characteristic", "frequent", "quasi-permanent"]   # or "6.10a/b"

Self-weight and shrinkage are permanent, temperature, settlement, prestress and wind are called so,
a crowd is traffic and a vehicle a vehicle where no [[case]] says otherwise. A case of temperature
that is uniform and one that is a difference are parts of one action.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ...rules.action_kind import KINDS, Action, Combined
from ...rules.american_combinations import EDITIONS, american_combinations
from ...rules.american_combinations import SOURCE as AMERICAN
from ...rules.european_combinations import SOURCE as EUROPEAN
from ...rules.european_combinations import STATES, STRUCTURES, european_combinations
from ..model.imposed import Imposed, Settlement, Shrinkage, Temperature
from ..model.load import Load, SelfWeight
from ..model.moving import Crowd, Vehicle
from ..model.pattern import base_case
from ..model.tendon import Tendon
from ..model.variable import VariableCombination

#: Kinds that follow from what a load is.
OWN_KINDS: tuple[tuple[type, str], ...] = (
    (SelfWeight, "permanent"),
    (Shrinkage, "permanent"),
    (Temperature, "temperature"),
    (Settlement, "settlement"),
    (Tendon, "prestress"),
)


def actions_of(entry: Entry, known: Sequence[str]) -> list[Action]:
    """The action of one [[case]] table."""
    entry.need("name", '"dead"')
    name = entry.text("name")
    if name not in known:
        raise InputError(f"there is no load case {name[:60]!r}; cases are {', '.join(known)}")
    entry.need("kind", '"permanent"')
    kind = entry.choice("kind", KINDS, "")
    psi, gamma = _numbers(entry, "psi", 3), _numbers(entry, "gamma", 2)
    reverses, apart = entry.flag("reverses"), entry.table.get("not_with", [])
    entry.has("not_with")
    entry.close()
    if not isinstance(apart, list) or not all(one in known for one in apart):
        raise InputError(f"not_with is a list of load cases, of {', '.join(known)}")
    if name in apart:
        raise InputError("not_with names the case itself; leave it out")
    if kind in ("permanent", "prestress", "settlement") and (reverses or apart or psi):
        raise InputError(
            f"kind {kind!r} acts always: psi, reverses and not_with are for variable actions"
        )
    return [
        Action(
            name, kind, None if psi is None else (psi[0], psi[1], psi[2]),
            None if gamma is None else (gamma[0], gamma[1]), reverses, frozenset(apart),
        )
    ]  # fmt: skip


def known_cases(
    loads: Sequence[Load | Imposed | Tendon],
    vehicles: Sequence[Vehicle],
    crowds: Sequence[Crowd],
    winds: Sequence[str] = (),
) -> dict[str, str]:
    """Every load case (those by span under one name), vehicle and crowd, and the kind that follows
    from what it is, "" where none does; `winds` names the cases of [[wind]] tables."""
    found = dict.fromkeys(winds, "wind")
    for load in loads:
        name = base_case(load.case)
        found[name] = next((k for c, k in OWN_KINDS if isinstance(load, c)), found.get(name, ""))
    found |= {v.name: "vehicle" for v in vehicles}
    return found | {c.name: "traffic" for c in crowds}


def parts_of_temperature(loads: Sequence[Load | Imposed | Tendon]) -> dict[str, str]:
    """Which part of temperature each of its cases is: "uniform", "difference", or "" for both."""
    found: dict[str, set[str]] = {}
    for load in loads:
        if isinstance(load, Temperature):
            parts = found.setdefault(base_case(load.case), set())
            parts |= {"uniform"} if load.uniform else set()
            parts |= {"difference"} if load.heights or load.across else set()
    return {case: parts.pop() if len(parts) == 1 else "" for case, parts in found.items()}


def sets_of(
    entry: Entry,
    stated: Sequence[Action],
    known: Mapping[str, str],
    cases: Sequence[str],
    parts: Mapping[str, str],
) -> list[VariableCombination]:
    """The combinations of one [[combination_set]] table; `parts` of temperature by case."""
    entry.need("code", '"EN 1990"')
    code = entry.choice("code", ("EN 1990", *EDITIONS), "")
    structure = entry.choice("structure", STRUCTURES, "building")
    states = entry.table.get("states", ["6.10", *STATES[2:]]) if entry.has("states") else None
    if code != "EN 1990" and (entry.has("structure") or states is not None):
        raise InputError("structure and states belong to EN 1990; leave them out")
    if code == "EN 1990":
        entry.need("structure", '"footbridge"')
    entry.text("name")
    entry.close()
    states = ["6.10", *STATES[2:]] if states is None else states
    if not isinstance(states, list) or not states or not all(s in STATES for s in states):
        raise InputError(f"states is a list of {', '.join(STATES)}, got {str(states)[:60]}")
    by_name = {a.name: a for a in stated}
    actions = []
    for name, kind in known.items():
        if name not in by_name and not kind:
            raise InputError(
                f'case {name!r} has no kind; write [[case]] name = "{name}", kind = "permanent" '
                f"(or {', '.join(KINDS[1:8])}, ...)"
            )
        action = by_name.get(name) or Action(name, kind)
        actions.append(replace(action, part=parts.get(name, "")))
    if code == "EN 1990":
        return [
            _variable(c, known, cases, EUROPEAN)
            for c in european_combinations(actions, states, structure)
        ]
    return [_variable(c, known, cases, AMERICAN) for c in american_combinations(actions, code)]


def _variable(
    one: Combined, known: Mapping[str, str], cases: Sequence[str], source: str
) -> VariableCombination:
    bases = {base_case(case) for case in cases}
    return VariableCombination(
        one.name,
        {case: one.factors[base_case(case)] for case in cases if base_case(case) in one.factors},
        {n: one.factors[n][1] for n in known if n not in bases and one.factors.get(n, (0, 0))[1]},
        source,
    )


def _numbers(entry: Entry, key: str, count: int) -> list[float] | None:
    if not entry.has(key):
        return None
    value = entry.table[key]
    real = isinstance(value, list) and all(
        isinstance(x, int | float) and not isinstance(x, bool) and 0 <= x <= 10 for x in value
    )
    if not real or len(value) != count:
        raise InputError(f"{key} is a list of {count} numbers from 0 to 10, got {str(value)[:40]}")
    return [float(x) for x in value]
