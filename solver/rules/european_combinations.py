"""Combinations of actions in the form of EN 1990:2002 with A1:2005, all factors from memory.

6.4.3.2 (equations 6.10, 6.10a, 6.10b), 6.5.3 (characteristic, frequent, quasi-permanent), tables
A1.1, A1.2(B), A2.1, A2.2, A2.4(B). National annexes change many of them.
"""

from __future__ import annotations

from collections.abc import Sequence

from ...geometry.errors import InputError
from .action_kind import Action, Combined, together

SOURCE = "EN 1990:2002, 6.4.3.2 and 6.5.3, annexes A1 and A2, from memory"
STRUCTURES = ("building", "footbridge", "road bridge")
STATES = ("6.10", "6.10a/b", "characteristic", "frequent", "quasi-permanent")

#: Reduction of unfavourable permanent actions in 6.10b.
XI = 0.85

Psi = tuple[float, float, float]

#: Table A1.1 (snow up to 1000 m above the sea).
BUILDING: dict[str, Psi] = {
    "imposed A": (0.7, 0.5, 0.3),
    "imposed B": (0.7, 0.5, 0.3),
    "imposed C": (0.7, 0.7, 0.6),
    "imposed D": (0.7, 0.7, 0.6),
    "imposed E": (1.0, 0.9, 0.8),
    "imposed F": (0.7, 0.7, 0.6),
    "imposed G": (0.7, 0.5, 0.3),
    "roof": (0.0, 0.0, 0.0),
    "snow": (0.5, 0.2, 0.0),
    "wind": (0.6, 0.2, 0.0),
    "temperature": (0.6, 0.5, 0.0),
}
#: Table A2.2: traffic is gr1, concentrated Q_fwk, vehicle gr2; snow, construction while building.
FOOTBRIDGE: dict[str, Psi] = {
    "traffic": (0.4, 0.4, 0.0),
    "concentrated": (0.0, 0.0, 0.0),
    "vehicle": (0.0, 0.0, 0.0),
    "wind": (0.3, 0.2, 0.0),
    "temperature": (0.6, 0.6, 0.5),
    "snow": (0.8, 0.0, 0.0),
    "construction": (1.0, 0.0, 1.0),
}
#: Table A2.1: vehicle is the tandem system of gr1a, traffic its distributed load.
ROAD: dict[str, Psi] = {
    "vehicle": (0.75, 0.75, 0.0),
    "traffic": (0.4, 0.4, 0.0),
    "footway": (0.4, 0.4, 0.0),
    "wind": (0.6, 0.2, 0.0),
    "temperature": (0.6, 0.6, 0.5),
    "snow": (0.8, 0.0, 0.0),
    "construction": (1.0, 0.0, 1.0),
}
_TABLES = {"building": BUILDING, "footbridge": FOOTBRIDGE, "road bridge": ROAD}
#: Unfavourable and favourable factors of what acts always.
_GAMMA = {"permanent": (1.35, 1.0), "prestress": (1.0, 1.0), "settlement": (1.2, 0.0)}
#: Of variable actions on bridges: what rolls or walks.
_TRAFFIC = ("traffic", "concentrated", "vehicle", "footway")


def psi_of(action: Action, structure: str) -> Psi:
    """psi_0, psi_1, psi_2 of a variable action.

    Raises
    ------
    InputError
        A kind that the table of this structure does not have.
    """
    table = _TABLES[structure]
    if action.psi is not None:
        return action.psi
    if action.kind not in table:
        raise InputError(
            f"case {action.name!r}: EN 1990 has no psi of kind {action.kind!r} for a {structure}; "
            f"give psi = [0.7, 0.5, 0.3], or one of the kinds {', '.join(table)}"
        )
    return table[action.kind]


def gamma_of(action: Action, structure: str) -> tuple[float, float]:
    """Partial factors, unfavourable and favourable."""
    if action.gamma is not None:
        return action.gamma
    if action.permanent:
        return _GAMMA[action.kind]
    bridge = structure != "building"
    return (1.35, 0.0) if bridge and action.kind in _TRAFFIC else (1.5, 0.0)


def european_combinations(
    actions: Sequence[Action], states: Sequence[str], structure: str
) -> list[Combined]:
    """All combinations of these states, one for each leading action and each largest set of
    accompanying ones that may act with it."""
    always = [a for a in actions if a.permanent]
    found: list[Combined] = []
    for state in states:
        for group in together([a for a in actions if not a.permanent]):
            found += _of_group(state, always, group, structure)
    return _merged(found)


def _of_group(
    state: str, always: Sequence[Action], group: Sequence[Action], structure: str
) -> list[Combined]:
    psi = {a.name: psi_of(a, structure) for a in group}
    if state == "quasi-permanent":
        factors = {a.name: (1.0, 1.0) for a in always}
        factors |= {a.name: a.between(psi[a.name][2]) for a in group if psi[a.name][2]}
        return [Combined(state, factors)]
    if state == "6.10a/b":
        return [
            Combined(
                f"strength 6.10a{_beside(group, ())}",
                _permanent(always, structure, 1.0)
                | {
                    a.name: a.between(gamma_of(a, structure)[0] * psi[a.name][0])
                    for a in group
                    if psi[a.name][0]
                },
            ),
            *_led("6.10b", always, group, structure, psi),
        ]
    return _led(state, always, group, structure, psi)


def _led(
    state: str,
    always: Sequence[Action],
    group: Sequence[Action],
    structure: str,
    psi: dict[str, Psi],
) -> list[Combined]:
    found = []
    for lead in group or (None,):
        if state in ("characteristic", "frequent"):
            factors = {a.name: (1.0, 1.0) for a in always}
        else:
            factors = _permanent(always, structure, XI if state == "6.10b" else 1.0)
        for a in group:
            share = _share(state, psi[a.name], a is lead)
            if state not in ("characteristic", "frequent"):
                share *= gamma_of(a, structure)[0]
            if share:
                factors[a.name] = a.between(share)
        title = state if state in ("characteristic", "frequent") else f"strength {state}"
        words = "" if lead is None else f": {lead.name} leading" + _beside(group, (lead,))
        found.append(Combined(title + words, factors))
    return found


def _share(state: str, psi: Psi, leads: bool) -> float:
    if state == "frequent":
        return psi[1] if leads else psi[2]
    return 1.0 if leads else psi[0]


def _permanent(
    always: Sequence[Action], structure: str, xi: float
) -> dict[str, tuple[float, float]]:
    found = {}
    for a in always:
        high, low = gamma_of(a, structure)
        if a.kind == "permanent" and a.gamma is None:
            high *= xi
        found[a.name] = (min(low, high), max(low, high))
    return found


def _beside(group: Sequence[Action], less: Sequence[Action | None]) -> str:
    rest = [a.name for a in group if a not in less]
    return f", with {', '.join(rest)}" if rest else ""


def _merged(found: Sequence[Combined]) -> list[Combined]:
    """Combinations alike but for what takes no part are one."""
    seen: dict[tuple[str, tuple[tuple[str, tuple[float, float]], ...]], Combined] = {}
    names: set[str] = set()
    for one in found:
        key = (one.name.partition(":")[0], tuple(sorted(one.factors.items())))
        if key not in seen:
            name, count = one.name, 2
            while name in names:
                name, count = f"{one.name} ({count})", count + 1
            names.add(name)
            seen[key] = Combined(name, one.factors)
    return list(seen.values())
