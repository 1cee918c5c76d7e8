"""The table of influence lines: the extremes of every result, and where the load stands."""

from __future__ import annotations

import math

from ...solver.member.influence.analysis import LoadExtreme
from ...solver.member.model.moving import Crowd, Vehicle
from ...solver.member.review.plausibility import off_deck, recalled
from ..text import caution
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from ..text.rendering import folded, render_passage, titled
from .envelope import HEADING, SEATS, envelope_passage
from .moving import moving_passage
from .result import InfluenceResult


def influence_table(result: InfluenceResult) -> str:
    """The table as text."""
    title = f"{result.influence.member.name}: influence lines"
    parts = ["\n".join(titled(title)) + "\n"]
    for heading, passage in passages(result).items():
        parts.append("\n".join([*titled(heading, "-"), render_passage(passage)]))
    parts.append(folded(notes(result), "* "))
    return "\n".join(parts)


def passages(result: InfluenceResult) -> dict[str, Passage]:
    """All blocks by heading."""
    found = {"Single load": _load(result), "Maximum and minimum": _extremes(result)}
    if result.moving:
        found["Moving loads"] = moving_passage(result)
    if result.envelope is not None:
        found[HEADING] = envelope_passage(result.envelope, result.units)
    return found


def load_words(result: InfluenceResult) -> str:
    """The load that travels: "1 kN"."""
    return result.units.text(result.load, "force")


def _load(result: InfluenceResult) -> Passage:
    lines = ", ".join(line.title for line in result.influence.lines)
    return [
        Sentences(
            [
                f"A vertical load of {load_words(result)}, downward, travels from start to end "
                f"along: {lines}. Stations count along the member's axis."
            ]
        )
    ]


def _extremes(result: InfluenceResult) -> Passage:
    found, units = result.influence, result.units
    rows = []
    for c, asked in enumerate(found.asked):
        most, least = found.maxima[c], found.minima[c]
        scale = max(abs(most.value), abs(least.value))
        row = [asked.title, result.unit(c)]
        for one in (most, least):
            row += _extreme(result, c, one, scale)
        rows.append(tuple(row))
    along = units.unit("along")
    grid = HeadedRows(
        ("result", "unit", "maximum", "load at", "on line", "minimum", "load at", "on line"),
        ("", "", "", along, "", "", along, ""),
        rows,
        1,
    )
    return [grid]


def _extreme(
    result: InfluenceResult, c: int, one: LoadExtreme, scale: float
) -> tuple[str, str, str]:
    value = near_zero(one.value, scale) * result.factor(c)
    if value == 0:
        return "0", "", ""
    line = result.influence.lines[one.line].title
    return number(value, 4), result.units.value(one.at, "along"), line


def notes(result: InfluenceResult) -> list[str]:
    """What was taken for granted, and how far the figures can be trusted."""
    found = result.influence
    words = list(found.notes)
    moving: list[Vehicle | Crowd] = [*result.vehicles, *result.crowds]
    words += [f"{s}." for s in recalled(moving, found.member)]
    words += [f"{s}." for s in off_deck(moving, found.member, result.file_units.length)]
    words.append(
        "one adjoint solve a result (Mueller-Breslau): the value under several loads is the sum of "
        "each load times its ordinate"
    )
    kinds = {one.kind for one in found.asked}
    if "action" in kinds:
        words.append(
            "signs are those of soapfilm member: M_x is negative where it sags, V and T act on the "
            "face that looks along the member; where a line jumps, both values count"
        )
    if "seat" in kinds and result.envelope is None:
        words.append(SEATS)
    if "stress" in kinds:
        words.append(
            "stress lines take the load as acting at a point: within about a wall's thickness of "
            "the point asked for they do not hold"
        )
    if found.alone:
        words.append(f"sections keep their shape here: {found.alone}")
    if not math.isnan(found.change):
        words.append(
            "the last order along the member changed the ordinates by "
            f"{100 * found.change:.2g} % of each line's largest, at most"
        )
    words.append(caution.MEMBER)
    return words
