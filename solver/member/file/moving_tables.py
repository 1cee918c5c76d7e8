"""Moving loads of a member file, which `soapfilm influence` puts where they do most.

::

    [[vehicle]]                    # any number; each by itself
    name = "sweeper"
    axles = [{ at = 0, force = "30 kN" }, { at = "2 m", force = "20 kN" }]   # behind the first
    lines = ["middle of the deck", [1.2, 0]]   # its middle takes any one of them
    track = "1.4 m"                # between the wheels of an axle; left out: one wheel
    dynamic_factor = 1.2           # default 1
    direction = "both"             # or "forward": from start to end alone

    [[crowd]]
    name = "crowd"
    pressure = "5 kN/m^2"
    strips = [{ place = [-1.25, 0], width = "2.5 m" }, { place = [1.25, 0], width = "2.5 m" }]

A crowd stands on any part of each strip, the strips one by one: two halves make half the width.
"""

from __future__ import annotations

from collections.abc import Mapping

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ..model.load import Where
from ..model.moving import Axle, Crowd, Vehicle
from .positions import Points


def vehicles_of(entry: Entry, points: Points) -> list[Vehicle]:
    """The vehicle of one table."""
    name = entry.text("name", "vehicle")
    axles = []
    for inner in _rows(entry, "axles", '[{ at = 0, force = "30 kN" }]'):
        with naming(inner.label):
            inner.need("force", '"30 kN"')
            axles.append(Axle(inner.length("at") or 0.0, inner.quantity("force", "force") or 0.0))
            inner.close()
    lines = entry.need("lines", '["shear centre"] (points of the section)')
    if not isinstance(lines, list):
        raise InputError('lines is a list of points: ["shear centre", [1.2, 0]]')
    places = tuple(_place(value, entry, points, "lines") for value in lines)
    track = entry.length("track") or 0.0
    factor = entry.plain("dynamic_factor", 1.0)
    direction = entry.choice("direction", ("both", "forward"), "both")
    entry.close()
    assert factor is not None
    return [Vehicle(name, tuple(axles), places, track, factor, direction == "both")]


def crowds_of(entry: Entry, points: Points) -> list[Crowd]:
    """The crowd of one table."""
    name = entry.text("name", "crowd")
    entry.need("pressure", '"5 kN/m^2"')
    pressure = entry.quantity("pressure", "stress") or 0.0
    strips = []
    for inner in _rows(entry, "strips", '[{ place = [0, 0], width = "5 m" }]'):
        with naming(inner.label):
            place = points.where(inner, "place")
            inner.need("width", '"2.5 m"')
            strips.append((place, inner.length("width") or 0.0))
            inner.close()
    entry.close()
    return [Crowd(name, pressure, tuple(strips))]


def _rows(entry: Entry, key: str, example: str) -> list[Entry]:
    rows = entry.need(key, example)
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise InputError(f"{key} is a list of tables, like {example}")
    return [Entry(key, n, row, entry.units) for n, row in enumerate(rows, 1)]


def _place(value: object, entry: Entry, points: Points, key: str) -> Where:
    return points.where(Entry(key, 0, {key: value}, entry.units), key)
