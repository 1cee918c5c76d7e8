"""Combinations of actions in the form of EN 1990:2002 with A1:2005, all factors from memory.

6.4.3.2 (equations 6.10, 6.10a, 6.10b), 6.5.3 (characteristic, frequent, quasi-permanent), tables
A1.1, A1.2(B), A2.1, A2.2, A2.4(B). National annexes change many of them.

What the standards take as one action leads and accompanies together: on a road bridge axles,
distributed load and footways (group gr1a of EN 1991-2, table 4.4a, footways in full, on the safe
side); everywhere the cases of temperature, on bridges as EN 1991-1-5:2003, 6.1.5 has it: the
uniform part in full with 0.75 of the difference, or the difference in full with 0.35 of the uniform
part.
"""

from __future__ import annotations

from collections.abc import Sequence

from ...geometry.errors import InputError
from .action_kind import Action, Combined, together

SOURCE = (
    "EN 1990:2002, 6.4.3.2 and 6.5.3, annexes A1 and A2, EN 1991-1-5:2003, 6.1.5, and group gr1a "
    "of EN 1991-2:2003, table 4.4a, from memory"
)
STRUCTURES = ("building", "footbridge", "road bridge")
STATES = ("6.10", "6.10a/b", "characteristic", "frequent", "quasi-permanent")

#: Reduction of unfavourable permanent actions in 6.10b.
XI = 0.85
#: Of the uniform part of temperature beside the whole difference, and of the difference beside the
#: whole uniform part (EN 1991-1-5:2003, 6.1.5).
OMEGA_N, OMEGA_M = 0.35, 0.75

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
#: (A settlement by linear theory: 1.20, and 0 where it relieves.)
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
            for omega in _parts(group, structure):
                found += _of_group(state, always, group, structure, omega)
    return _merged(found)


def _parts(group: Sequence[Action], structure: str) -> list[dict[str, float]]:
    """Shares of the parts of temperature that accompany each other, by name; 1 where none."""
    heat = [a for a in group if a.kind == "temperature"]
    if structure == "building" or not {"uniform", "difference"} <= {a.part for a in heat}:
        return [{}]
    return [
        {a.name: omega for a in heat if a.part == part}
        for part, omega in (("difference", OMEGA_M), ("uniform", OMEGA_N))
    ]


def _leads(group: Sequence[Action], structure: str) -> list[tuple[Action, ...]]:
    """Those that lead in turn; what the standards take as one action together."""
    found: dict[tuple[str, str], list[Action]] = {}
    for a in group:
        one = a.kind == "temperature" or (structure == "road bridge" and a.kind in _TRAFFIC)
        key = ("kind", "temperature" if a.kind == "temperature" else "traffic")
        found.setdefault(key if one else ("name", a.name), []).append(a)
    return [tuple(one) for one in found.values()] or [()]


def _of_group(
    state: str,
    always: Sequence[Action],
    group: Sequence[Action],
    structure: str,
    omega: dict[str, float],
) -> list[Combined]:
    psi = {a.name: psi_of(a, structure) for a in group}
    shares = {a.name: omega.get(a.name, 1.0) for a in group}
    if state == "quasi-permanent":
        factors = _in_service(always)
        factors |= {
            a.name: a.between(shares[a.name] * psi[a.name][2]) for a in group if psi[a.name][2]
        }
        return [Combined(state, factors)]
    led = [
        _led(state.replace("a/b", "b"), always, group, structure, (lead, psi, shares))
        for lead in _leads(group, structure)
    ]
    if state != "6.10a/b":
        return led
    factors = _permanent(always, structure, 1.0)
    factors |= {
        a.name: a.between(shares[a.name] * gamma_of(a, structure)[0] * psi[a.name][0])
        for a in group
        if psi[a.name][0]
    }
    beside = [a for a in group if a.name in factors]
    return [Combined(f"strength 6.10a{_beside(beside, (), shares)}", factors), *led]


def _led(
    state: str,
    always: Sequence[Action],
    group: Sequence[Action],
    structure: str,
    by: tuple[Sequence[Action], dict[str, Psi], dict[str, float]],
) -> Combined:
    """Led by some, with each action's psi and its share beside other parts of the same action."""
    leads, psi, shares = by
    service = state in ("characteristic", "frequent")
    if service:
        factors = _in_service(always)
    else:
        factors = _permanent(always, structure, XI if state == "6.10b" else 1.0)
    for a in group:
        share = shares[a.name] * _share(state, psi[a.name], a in leads)
        if not service:
            share *= gamma_of(a, structure)[0]
        if share:
            factors[a.name] = a.between(share)
    beside = [a for a in group if a in leads or a.name in factors]
    words = f": {_named(leads, shares)} leading" + _beside(beside, leads, shares) if leads else ""
    return Combined((state if service else f"strength {state}") + words, factors)


def _share(state: str, psi: Psi, leads: bool) -> float:
    if state == "frequent":
        return psi[1] if leads else psi[2]
    return 1.0 if leads else psi[0]


def _in_service(always: Sequence[Action]) -> dict[str, tuple[float, float]]:
    """Without factors; a settlement is a forecast, and what comes late or never is no relief."""
    return {a.name: (0.0 if a.kind == "settlement" else 1.0, 1.0) for a in always}


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


def _beside(group: Sequence[Action], less: Sequence[Action], shares: dict[str, float]) -> str:
    rest = [a for a in group if a not in less]
    return f", with {_named(rest, shares)}" if rest else ""


def _named(actions: Sequence[Action], shares: dict[str, float]) -> str:
    """The part of temperature that is not in full says its share: 0.75 gradient."""
    return ", ".join(
        a.name if shares[a.name] == 1 else f"{shares[a.name]:g} {a.name}" for a in actions
    )


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
