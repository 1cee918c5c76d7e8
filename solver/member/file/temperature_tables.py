"""Temperature in a member file.

::

    [[temperature]]                # differences from when the member was built; they add up
    case = "summer"
    uniform = "25 K"               # or "25 delta_degC", "45 delta_degF"; "25 degC" is no difference
    top = "10 K"                   # linear through the depth; what is left out is "0 K"
    bottom = "-2 K"
    standard = "EN 1991-1-5 concrete box, top warmer"   # in place of both, half above and half
                                   # below zero; from memory of it
    left = "4 K"                   # linear across the width, from the smallest x to the largest
    right = "0 K"
    profile = [["top", "13 K"], ["150 mm below top", "3 K"], ["400 mm below top", "0 K"]]
                                   # by height, linear between, constant beyond the outermost
    from = "start"                 # and to, span: all along where they are left out
    thermal_expansion = "1.2e-5 1/K"   # in place of the materials' own

Each material states its thermal_expansion (grades of steel, aluminium and concrete know it). What
of a profile is not linear over the section stresses it even where nothing holds the member: the
stress that is in equilibrium with itself is part of the stress along the member.
"""

from __future__ import annotations

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ....geometry.temperature import temperature_difference, thermal_expansion
from ...rules.standard_loads import DIFFERENCES, THERMAL_SOURCE
from ..model.faces import Height
from ..model.imposed import Temperature
from .positions import Along, level_of

_SIDES = ("top", "bottom", "left", "right")


def temperatures_of(entry: Entry, along: Along) -> list[Temperature]:
    """The temperature of one table."""
    case = entry.text("case", "temperature") or "temperature"
    name = entry.text("name")
    start, end = along.reach(entry)
    uniform = _difference(entry, "uniform")
    sides = {key: _difference(entry, key) for key in _SIDES}
    heights = _profile(entry)
    if entry.has("top") or entry.has("bottom"):
        if heights:
            raise InputError("give either profile or top and bottom, not both")
        heights = ((Height("bottom"), sides["bottom"]), (Height("top"), sides["top"]))
    standard = entry.choice("standard", tuple(DIFFERENCES), "")
    if standard:
        if heights:
            raise InputError("the standard has a difference of its own; give either, not both")
        half = DIFFERENCES[standard] / 2
        heights = ((Height("bottom"), -half), (Height("top"), half))
    across = None
    if entry.has("left") or entry.has("right"):
        across = (sides["left"], sides["right"])
    expansion = None
    if entry.has("thermal_expansion"):
        expansion = thermal_expansion(entry.table["thermal_expansion"], "thermal_expansion")
    entry.close()
    if not (uniform or any(t for _, t in heights) or any(across or ())):
        raise InputError('it has no difference of temperature; write uniform = "25 K"')
    source = THERMAL_SOURCE if standard else ""
    return [Temperature(start, end, uniform, heights, across, expansion, case, name, source)]


def _difference(entry: Entry, key: str) -> float:
    return temperature_difference(entry.table[key], key) if entry.has(key) else 0.0


def _profile(entry: Entry) -> tuple[tuple[float | Height, float], ...]:
    if not entry.has("profile"):
        return ()
    rows = entry.table["profile"]
    if not isinstance(rows, list) or len(rows) < 2:
        raise InputError('profile is a list of heights: [["top", "13 K"], ["bottom", "0 K"]]')
    found = []
    for n, row in enumerate(rows, 1):
        if not isinstance(row, list) or len(row) != 2:
            raise InputError(f'profile {n}: write [height, difference], like ["top", "13 K"]')
        level = level_of(Entry("profile", n, {"height": row[0]}, entry.units), "height")
        assert level is not None
        found.append((level, temperature_difference(row[1], f"profile {n}")))
    return tuple(found)
