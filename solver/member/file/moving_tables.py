"""Moving loads of a member file, which stand where they do most.

::

    [[vehicle]]                    # any number; each by itself
    name = "sweeper"
    axles = [{ at = 0, force = "30 kN" }, { at = "2 m", force = "20 kN" }]   # behind the first
    lines = ["middle of the deck", [1.2, 0]]   # its middle takes any one of them
    track = "1.4 m"                # between the wheels of an axle; left out: one wheel
    dynamic_factor = 1.2           # default 1
    direction = "both"             # or "forward": from start to end alone
    # lanes = ["north", "south"]   # in place of lines: one in each lane at the same time
    # at_once = 1                  # so many lanes at most; left out: all
    # keeps_clear = "5 m"          # of crowd before and behind it; left out: its whole lane
    # standard = "EN 1991-2 service vehicle"   # in place of axles and track, from memory of it

    [[lane]]                       # any number; a vehicle's middle keeps to its middle
    name = "north"
    place = [-1.5, 0]
    width = "3 m"

    [[crowd]]
    name = "crowd"
    pressure = "5 kN/m^2"
    strips = [{ place = [-1.25, 0], width = "2.5 m" }, { place = [1.25, 0], width = "2.5 m" }]
    # or { lane = "north" }: a lane where no vehicle keeps it off
    # standard = "EN 1991-2 footbridge"        # in place of pressure, from memory of it
    # loaded_length = "20 m"                   # by which that standard reduces it

A crowd stands on any part of each strip, the strips one by one: two halves make half the width.
[[combination]] tables name vehicles and crowds among their factors.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ...rules.standard_loads import CROWDS, VEHICLES, standard_pressure
from ..model.load import Where
from ..model.moving import Axle, Crowd, Lane, Vehicle
from .positions import Points


def lanes_of(entry: Entry, points: Points) -> list[Lane]:
    """The lane of one table."""
    entry.need("name", '"north"')
    name = entry.text("name")
    place = points.where(entry, "place")
    entry.need("width", '"3 m"')
    width = entry.length("width") or 0.0
    entry.close()
    return [Lane(name, place, width)]


def vehicles_of(entry: Entry, points: Points, lanes: Sequence[Lane] = ()) -> list[Vehicle]:
    """The vehicle of one table."""
    name = entry.text("name", "vehicle")
    chosen_standard = entry.choice("standard", tuple(VEHICLES), "")
    if chosen_standard and (entry.has("axles") or entry.has("track")):
        raise InputError("the standard has axles and track of its own; give either, not both")
    standard = VEHICLES.get(chosen_standard)
    axles = []
    if standard is not None:
        read = entry.units.read
        axles = [Axle(read(at, "length"), read(force, "force")) for at, force in standard.axles]
    else:
        for inner in _rows(entry, "axles", '[{ at = 0, force = "30 kN" }]'):
            with naming(inner.label):
                inner.need("force", '"30 kN"')
                force = inner.quantity("force", "force") or 0.0
                axles.append(Axle(inner.length("at") or 0.0, force))
                inner.close()
    names: tuple[str, ...] = ()
    if entry.has("lanes"):
        if entry.has("lines"):
            raise InputError("give either lines or lanes, not both")
        chosen = _lanes(entry.table["lanes"], lanes)
        names, places = tuple(c.name for c in chosen), tuple(c.place for c in chosen)
    else:
        lines = entry.need("lines", '["shear centre"] (points of the section)')
        if not isinstance(lines, list):
            raise InputError('lines is a list of points: ["shear centre", [1.2, 0]]')
        places = tuple(_place(value, entry, points, "lines") for value in lines)
    at_once, clear = entry.plain("at_once"), entry.length("keeps_clear")
    if at_once is not None and (at_once < 1 or at_once != int(at_once)):
        raise InputError(f"at_once is a whole number of lanes from 1 on, got {at_once:g}")
    track = entry.length("track") or 0.0
    if standard is not None:
        track = entry.units.read(standard.track, "length")
    factor = entry.plain("dynamic_factor", 1.0)
    direction = entry.choice("direction", ("both", "forward"), "both")
    entry.close()
    assert factor is not None
    both = direction == "both"
    return [
        Vehicle(
            name, tuple(axles), places, track, factor, both, names, int(at_once or 0), clear,
            standard.source if standard else "",
        )
    ]  # fmt: skip


def crowds_of(entry: Entry, points: Points, lanes: Sequence[Lane] = ()) -> list[Crowd]:
    """The crowd of one table."""
    name = entry.text("name", "crowd")
    standard = entry.choice("standard", tuple(CROWDS), "")
    covered = entry.quantity("loaded_length", "length")
    if standard:
        if entry.has("pressure"):
            raise InputError("the standard has a pressure of its own; give either, not both")
        metres = None if covered is None else covered / entry.units.read("1 m", "length")
        pressure = entry.units.read(standard_pressure(standard, metres), "stress")
    else:
        entry.need("pressure", '"5 kN/m^2"')
        pressure = entry.quantity("pressure", "stress") or 0.0
    strips, own = [], []
    for inner in _rows(entry, "strips", '[{ place = [0, 0], width = "5 m" }]'):
        with naming(inner.label):
            if inner.has("lane"):
                (lane,) = _lanes([inner.table["lane"]], lanes)
                strips.append((lane.place, lane.width))
                own.append(lane.name)
            else:
                place = points.where(inner, "place")
                inner.need("width", '"2.5 m"')
                strips.append((place, inner.length("width") or 0.0))
                own.append("")
            inner.close()
    entry.close()
    return [Crowd(name, pressure, tuple(strips), tuple(own), CROWDS.get(standard, ""))]


def _lanes(names: object, lanes: Sequence[Lane]) -> list[Lane]:
    if not isinstance(names, list) or not names:
        raise InputError('lanes is a list of the names of [[lane]] tables, like ["north"]')
    known = {lane.name: lane for lane in lanes}
    for name in names:
        if name not in known:
            there = ", ".join(known) or "none; write [[lane]] tables"
            raise InputError(f"there is no lane {str(name)[:40]!r}; lanes are {there}")
    return [known[name] for name in names]


def _rows(entry: Entry, key: str, example: str) -> list[Entry]:
    rows = entry.need(key, example)
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise InputError(f"{key} is a list of tables, like {example}")
    return [Entry(key, n, row, entry.units) for n, row in enumerate(rows, 1)]


def _place(value: object, entry: Entry, points: Points, key: str) -> Where:
    return points.where(Entry(key, 0, {key: value}, entry.units), key)
