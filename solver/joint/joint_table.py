"""One [[joint]] table of a joint file or a member file.

::

    [[joint]]
    name = "joist fin"
    kind = "fin plate"             # or "clip angles", "end plate", "seat", "welded stub"
    bolt = "M20"                   # M12 to M36, or "1/2 in" to "1 1/2 in"
    grade = "8.8"                  # 4.6 to 10.9, A325, A490
    fit = "clearance"              # or "fitted", "preloaded" (no slip below its slip load)
    hole = 22                      # default: normal clearance (EN 1090-2), standard (AISC 360)
    rows = 3                       # one above the other, pitch apart
    pitch = 70
    columns = 1                    # one behind the other, gauge apart; in an end plate or a seat
    gauge = 60                     # gauge is the distance of its two columns
    positions = [[60, 70], ...]    # bolts one by one instead, from the face and from mid-height
    arm = 60                       # from the face to the first column; to the reaction on a seat
    end_distance = 40              # from the outer bolts to the plate's ends (or its height)
    side_distance = 40             # to its free side (or its width)
    thickness = 10
    weld = 6                       # leg of the fillet welds
    ultimate = "430 MPa"           # f_u of the plates; beam_ultimate of the arriving web
    beam_web = 7.1                 # thickness of the arriving web; beam_depth
    E = "210 GPa"                  # default; poisson = 0.3
    on = "web"                     # or "tube wall" with wall_thickness and wall_width, or
                                   # "tube wall with inner diaphragm" with diaphragm, tube_width
                                   # and tube_depth
    support_thickness = 10         # plate that face bolts pass through
    # clip angles: angles = 2, support_leg, support_gauge or support_welded = true
    # seat: width, height, and gauge of its bolts or support_welded = true
    # welded stub: height (depth), thickness (web), flange, flange_width
"""

from __future__ import annotations

import math
from typing import Any

from ...geometry.errors import InputError
from ...geometry.section_file.entry import Entry, naming
from .bolt_size import bolt_of
from .joint_spec import FACES, FITS, KINDS, JointSpec

_LENGTHS = (
    "hole", "pitch", "gauge", "end_distance", "side_distance", "weld", "height", "width",
    "beam_web", "beam_depth", "wall_thickness", "wall_width", "diaphragm", "tube_width",
    "tube_depth", "support_thickness", "support_leg", "support_gauge", "flange", "flange_width",
)  # fmt: skip
_MOST_POSITIONS = 200


def spec_of(entry: Entry) -> JointSpec:
    """The joint that a table describes, in mm and MPa.

    Raises
    ------
    InputError, UnitError
        What is missing, unknown, negative or no number; named by the key.
    """
    to_mm = entry.units.factor("length", "mm")
    to_mpa = entry.units.factor("stress", "MPa")
    name = str(entry.need("name", '"joist fin"'))
    entry.text("name")
    entry.need("kind", '"fin plate"')
    kind = entry.choice("kind", KINDS, "fin plate")
    changes: dict[str, Any] = {}
    for key in _LENGTHS:
        value = _length(entry, key, to_mm)
        if value is not None:
            changes[key] = value
    for key in ("rows", "columns", "angles"):
        count = entry.plain(key)
        if count is not None:
            changes[key] = _whole(count, key)
    welded = entry.flag("support_welded")
    if entry.has("positions"):
        changes["positions"] = _positions(entry, to_mm)
    for key in ("ultimate", "beam_ultimate"):
        strength = entry.quantity(key, "stress")
        if strength is not None:
            changes[key] = strength * to_mpa
    modulus = entry.quantity("E", "stress")
    if modulus is not None:
        changes["modulus"] = modulus * to_mpa
    poisson = entry.plain("poisson")
    if poisson is not None:
        changes["poisson"] = poisson
    if not (kind == "seat" and welded) or entry.has("bolt"):
        entry.need("bolt", '"M20"')
        entry.need("grade", '"8.8"')
        with naming("bolt"):
            changes["bolt"] = bolt_of(entry.text("bolt"), entry.text("grade"))
    entry.has("grade")
    entry.need("ultimate", '"430 MPa"')
    entry.need("thickness", "10")
    thickness = _length(entry, "thickness", to_mm)
    arm = _length(entry, "arm", to_mm)
    fit, on = entry.choice("fit", FITS, "clearance"), entry.choice("on", FACES, "web")
    entry.close()
    assert thickness is not None
    return JointSpec(
        name,
        kind,  # type: ignore[arg-type]
        fit=fit,  # type: ignore[arg-type]
        on=on,  # type: ignore[arg-type]
        thickness=thickness,
        arm=arm or 0.0,
        support_welded=welded,
        **changes,
    )


def _length(entry: Entry, key: str, factor: float) -> float | None:
    value = entry.length(key)
    if value is None:
        return None
    if not (math.isfinite(value) and value > 0):
        raise InputError(f"{key} must be a positive length, got {str(entry.table[key])[:40]}")
    return value * factor


def _whole(value: float, key: str) -> int:
    if not math.isfinite(value) or value != int(value):
        raise InputError(f"{key} is a whole number, got {value:g}")
    return int(value)


def _positions(entry: Entry, factor: float) -> tuple[tuple[float, float], ...]:
    rows = entry.table["positions"]
    if not isinstance(rows, list) or not rows or len(rows) > _MOST_POSITIONS:
        raise InputError(f"positions is a list of 1 to {_MOST_POSITIONS} places [a, b]")
    places, _ = entry.vertices(rows, "positions")
    return tuple((a * factor, b * factor) for a, b in places)
