"""A member file with any of its values damaged is refused in one line, or read; nothing else."""

from __future__ import annotations

import copy
import functools
import math
from typing import Any

from soapfilm.geometry.errors import InputError
from soapfilm.geometry.section_file.text import parsed
from soapfilm.solver.member.file.member_file import member_from_table

FIGURES = """
[section.tube]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
C_w = "14.4e9 mm^6"
mass = "58.8 kg/m"
width = 150
shear_centre = [4, -6]
centroid = [1, 2]
"""
DAMAGE: tuple[Any, ...] = (
    0, -1, 1e300, -1e300, math.nan, math.inf, 10**400, True, "", "x", "start", "held", "1 kN",
    "-3 kN/m", "0 mm", "1e999 m", "span/0", "end of span 0", [], [1], [1, 2], [[1]], {}, {"x": 1},
)  # fmt: skip


def _paths(item: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in nested tables and lists."""
    pairs = item.items() if isinstance(item, dict) else enumerate(item)
    found = []
    for key, value in pairs:
        found.append((*path, key))
        if isinstance(value, dict | list):
            found += _paths(value, (*path, key))
    return found


def test_any_damaged_value_is_refused_in_one_line_or_read() -> None:
    """Each value of a file with every kind of table, replaced by each of these or taken away."""
    text = f"""
    unit = "mm"
    axis_point = [0, 0]
    [points]
    tip = [340, -60]
    [analysis]
    order = "first"
    stations = 50
    [[span]]
    length = "4 m"
    [[span]]
    plan = [{{ straight = 1000 }}, {{ arc = "3 m", radius = "-20 m" }}]
    {FIGURES}
    {FIGURES.replace("section.tube", "section.slim").replace("61.7e6", "41e6")}
    [[segment]]
    section = "tube"
    to = "end of span 1"
    [[segment]]
    section = "tube"
    taper_to = "slim"
    [[support]]
    at = "start"
    kind = "fork"
    lever_arm = 200
    clearance = "1 mm"
    clearance_arm = 200
    [[support]]
    at = ["start of span 2"]
    kind = "bearing pair"
    spacing = 100
    stiffness = "200 kN/mm"
    [[support]]
    at = "end"
    bearings = [{{ x = -100, holds_down = true }}, {{ x = 100 }}]
    warping = "20 kN*m^3"
    point = "centroid"
    [[secondary_beam]]
    at = "1 m"
    E = "210 GPa"
    I = "500 cm^4"
    length = "3 m"
    far_end = "fixed"
    slip = "0.2 deg"
    [[spring]]
    at = "2 m"
    twist = "9 kN*m/rad"
    x = "2 kN/mm"
    level = 50
    [[deck]]
    from = "1 m"
    to = "3 m"
    twist = "5 kN*m/rad/m"
    [self_weight]
    case = "dead"
    [[load]]
    case = "live"
    weight = ["3 kN/m", "1 kN/m"]
    place = "tip"
    eccentricity = [5, 5]
    by_span = true
    [[load]]
    every = "1.5 m"
    span = 2
    weight = "1 kN"
    T = "0.1 kN*m"
    place = [10, 10]
    [[combination]]
    name = "s"
    factors = {{ dead = 1.0, load = 1.5 }}
    patterns = {{ live = 1.2 }}
    [[limit]]
    deflection = ["span/300", "8 mm"]
    point = "tip"
    direction = "x"
    [[limit]]
    twist = "2 deg"
    combinations = ["s"]
    [remedy]
    secondary_beam = {{ E = "210 GPa", I = "500 cm^4", length = "3 m", far_end = "pinned" }}
    """
    whole = parsed(text)
    cases = ("dead", "live, span 1", "live, span 2", "load")
    assert member_from_table(whole, text).member.cases == cases
    said: list[str] = []
    for path in _paths(whole):
        for value in (None, *DAMAGE):
            table = copy.deepcopy(whole)
            owner = functools.reduce(lambda o, key: o[key], path[:-1], table)
            if value is None:
                del owner[path[-1]]
            else:
                owner[path[-1]] = value
            try:
                member_from_table(table, text)
            except InputError as error:
                said.append(str(error))
    assert len(said) > 1500
    assert not [line for line in said if "\n" in line or len(line) > 500]
