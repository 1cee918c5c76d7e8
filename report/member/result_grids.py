"""The parts of a member's table that hold numbers: loads, results, displacements."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...solver.member.beam.mismatch import mismatched_steps
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .extremes import (
    governing_twist,
    largest,
    play_share,
    point_movements,
)
from .rounding import largest_sizes, rounding_scales, section_size
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.eccentricity import LoadTorque

_AT = re.compile(r" at \S+ \w+$")
#: A moment M_y below this share of M_x is not shown.
_IDLE = 0.02
#: Loads listed at most.
_MOST = 12


# -- loads ---------------------------------------------------------------------------------------
def loads(assessment: Assessment, units: MemberUnits) -> Passage:
    """Every load with its arm and its torque."""
    size = section_size(assessment)
    torques = _alike(assessment.torques)
    scale = max((abs(t.torque) for t, _ in torques), default=0.0)
    rows = []
    for torque, count in torques[:_MOST]:
        x, y = (near_zero(c, 1e3 * size) for c in torque.arm)
        rows.append(
            [
                torque.title + (f" ({count} of them)" if count > 1 else ""),
                torque.case,
                number(x, 4),
                number(y, 4),
                units.value(near_zero(torque.torque, 1e3 * scale), "moment"),
            ]
        )
    unit = units.unit("place")
    columns = HeadedRows(
        ["load", "case", "arm x", "arm y", "torque"],
        ["", "", unit, unit, units.unit("moment")],
        rows,
    )
    more = [f"... and {len(torques) - _MOST} more loads"] if len(torques) > _MOST else []
    return [
        columns,
        Sentences(
            [
                *more,
                "Arms run from the shear centre to the load. The torque is the load's sum along "
                "the member about the shear centre, positive from x toward y.",
            ]
        ),
    ]


def _alike(torques: Sequence[LoadTorque]) -> list[tuple[LoadTorque, int]]:
    """Loads of one row in the file, which differ in their station only, summed up."""
    found: dict[tuple[str, str], tuple[LoadTorque, int]] = {}
    for torque in torques:
        stem = _AT.sub("", torque.title)
        before, count = found.get((stem, torque.case), (None, 0))
        total = torque.torque + (before.torque if before else 0.0)
        title = stem if before else torque.title
        found[stem, torque.case] = (replace(torque, title=title, torque=total), count + 1)
    return list(found.values())


_COLUMNS = (
    ("deflection", "v", "displacement"),
    ("twist", "phi", "angle"),
    ("M_x", "M_x", "moment"),
    ("M_y", "M_y", "moment"),
    ("V_y", "V_y", "force"),
    ("T", "T", "moment"),
    ("T_w", "T_w", "moment"),
    ("B", "B", "bimoment"),
)

#: Results that rest on how warping passes on from piece to piece.
_BY_WARPING = ("v", "phi", "T_w", "B")
_UNSUPPORTED = (
    "Twist, warping and stress are left out: closed and open pieces meet, and the classical theory "
    "cannot carry warping over such a step (bounds of the twist stand in the notes)."
)


# -- results -------------------------------------------------------------------------------------
def results(assessment: Assessment, units: MemberUnits) -> Passage:
    """The largest size of every result, combination by combination."""
    scale = largest_sizes(assessment)
    columns = [c for c in _COLUMNS if c[1] != "M_y" or scale["M_y"] > _IDLE * scale["M_x"]]
    beside = rounding_scales(assessment)
    stressed = assessment.stress is not None
    unsupported = bool(mismatched_steps(assessment.solution.mesh.member))
    if unsupported:  # what rests on warping passed on over a step is no number
        columns = [c for c in columns if c[1] not in _BY_WARPING]
        stressed = False
    rows = []
    for c, name in enumerate(assessment.solution.names):
        row = [name]
        for _, word, quantity in columns:
            value = abs(largest(assessment, word, c).value)
            row.append(units.value(near_zero(value, beside[word]), quantity))
        if stressed and assessment.stress is not None:
            row.append(units.value(assessment.stress.largest_mises(c), "stress"))
        rows.append(row)
    table = HeadedRows(
        ["combination", *(c[0] for c in columns), *(["stress"] if stressed else [])],
        [
            "",
            *(units.unit(c[2]) for c in columns),
            *([units.unit("stress")] if stressed else []),
        ],
        rows,
    )
    words = [_UNSUPPORTED] if unsupported else _result_words(assessment, units)
    return [table, Sentences(words)]


def _result_words(assessment: Assessment, units: MemberUnits) -> list[str]:
    c = governing_twist(assessment)
    twist = largest(assessment, "phi", c)
    value = near_zero(abs(twist.value), rounding_scales(assessment)["phi"])
    words = [
        f"The largest twist is {units.text(value, 'angle')} at "
        f"{units.text(twist.station, 'along')}, under {assessment.solution.names[c]!r}."
    ]
    play = play_share(assessment, c)
    if play:
        words[0] = f"{words[0][:-1]}, of which slip is {units.text(abs(play), 'angle')}."
    if assessment.stress is not None:
        peak = assessment.stress.peak
        size = math.sqrt(assessment.request.sections[peak.section].constants.polar_radius_squared)
        away = "" if peak.bounded else "; the surroundings of sharp corners are left out"
        words.append(
            f"The peak von Mises stress is {units.text(peak.value, 'stress')} at "
            f"{units.text(peak.station, 'along')}, at {units.place(peak.at, size)} of section "
            f"{peak.section!r}, under {peak.combination!r}{away}."
        )
    else:
        words.append(
            "No stresses: a section is given by its figures alone. Give its outline to get them."
        )
    words.append(
        "T is the whole torque, T_w its part from restrained warping; stress is von Mises."
    )
    return words


def points(assessment: Assessment, units: MemberUnits) -> Passage:
    """Displacements of the named points, by the theory that judges limits; nothing when there are
    none."""
    deforms = assessment.deformed is not None
    rows = []
    movements = point_movements(assessment)
    scale = max((abs(item.moved.value) for item in movements), default=0.0)
    for item in movements:
        rows.append(
            [
                item.point,
                item.direction,
                *(
                    units.value(near_zero(v, 1e3 * scale), "displacement")
                    for v in (item.moved.value, item.deflection, item.moved.value - item.deflection)
                    + (() if item.classical is None else (item.classical,))
                ),
                units.value(item.moved.station, "along"),
                item.combination,
            ]
        )
    if not rows:
        return []
    moved, along = units.unit("displacement"), units.unit("along")
    parts = ["by turning, distortion", "classical"] if deforms else ["by twist"]
    heads = ["point", "direction", "displacement", "deflection", *parts, "at", "combination"]
    measured = ["", "", moved, moved, *[moved] * len(parts), along, ""]
    return [HeadedRows(heads, measured, rows)]
