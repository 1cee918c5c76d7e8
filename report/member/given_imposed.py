"""Temperature, shrinkage, settlement and tendons as the member's file gave them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.model.faces import Height
from ...solver.member.model.imposed import Imposed, Settlement, Shrinkage, Temperature
from ...solver.member.model.tendon_path import deviations, tendon_runs
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.model.member import Member
    from ...solver.member.model.tendon import TendonPoint

_JACKED = {"start": "the start", "end": "the end", "both": "both ends"}
_DEVIATORS = Sentences(
    [
        "Over a kink of the axis a tendon needs a deviator, which passes this force on to the "
        "section: components are along the plane that bisects the kink, upward, and along the "
        "member there. What it presses on within a wall's thickness is a matter of its own."
    ]
)
_FREEDOMS = ("x", "y", "z", "bend_x", "bend_y", "twist")


def imposed_given(member: Member, units: MemberUnits) -> Passage:
    """One row for each."""
    rows = [[a.title, a.case, _where(a, units), imposed_words(a, units)] for a in member.imposed]
    heads = ["imposed", "case", "where", "what"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def tendons_given(member: Member, units: MemberUnits) -> Passage:
    """One row for each tendon, with its least force; what its deviators at kinks take."""
    rows, deviators = [], []
    for tendon in member.tendons:
        runs = tendon_runs(tendon, member)
        least = min(float(run.force.min()) for run in runs)
        for kink, (across, up, along) in deviations(runs):
            size = float(np.linalg.norm((across, up, along)))
            told = [units.value(near_zero(f, size), "force") for f in (size, across, up, along)]
            deviators.append([tendon.title, kink.title, *told])
        losses = [f"jacked at {_JACKED[tendon.jacked]}"]
        if tendon.friction:
            losses.append(f"mu {number(tendon.friction, 4)}")
        if tendon.wobble:
            losses.append(f"k {units.text(tendon.wobble, 'twist rate')}")
        points = "; ".join(_passed(p, units) for p in tendon.points)
        force = f"{units.value(tendon.force, 'force')} to {units.text(least, 'force')}"
        rows.append([tendon.title, tendon.case, force, ", ".join(losses), points])
    heads = ["tendon", "case", "force, greatest to least", "losses", "points"]
    found: Passage = [HeadedRows(heads, [""] * len(heads), rows)] if rows else []
    if deviators:
        force = units.unit("force")
        heads = ["deviator of", "at", "force", "across (+x)", "up", "along"]
        found = [*found, HeadedRows(heads, ["", "", *[force] * 4], deviators), _DEVIATORS]
    return found


def _passed(point: TendonPoint, units: MemberUnits) -> str:
    words = (
        f"{units.text(point.at, 'along')}: x = {units.value(point.x, 'place')}, "
        f"{_height(point.y, units)}"
    )
    for word, value in (("sag", point.sag), ("bow", point.bow)):
        if value:
            words += f", {word} {units.text(value, 'place')}"
    return words


def imposed_words(action: Imposed, units: MemberUnits) -> str:
    """What is imposed, in words."""
    if isinstance(action, Settlement):
        return ", ".join(
            f"{word} {units.text(v, 'displacement')}"
            if k < 3
            else f"{word} {number(math.degrees(v), 4)} deg"
            for k, (word, v) in enumerate(zip(_FREEDOMS, action.motion, strict=True))
            if v
        )
    if isinstance(action, Shrinkage):
        of = f" of {', '.join(action.of)}" if action.of else ""
        return f"strain {number(action.strain, 4)} shorter{of}"
    return _temperature(action, units)


def _temperature(action: Temperature, units: MemberUnits) -> str:
    parts = []
    if action.uniform:
        parts.append(f"{_kelvin(action.uniform)} all over")
    if action.heights:
        steps = ", ".join(f"{_kelvin(t)} at {_height(y, units)}" for y, t in action.heights)
        parts.append(f"by height {steps}")
    if action.across is not None:
        parts.append(
            f"across {_kelvin(action.across[0])} left to {_kelvin(action.across[1])} right"
        )
    if action.expansion is not None:
        parts.append(f"expansion {number(action.expansion, 4)} 1/K")
    return "; ".join(parts)


def _kelvin(value: float) -> str:
    return f"{number(value, 4)} K"


def _height(y: float | Height, units: MemberUnits) -> str:
    if not isinstance(y, Height):
        return f"y = {units.text(y, 'place')}"
    word = y.reference.replace("_", " ")
    if not y.up:
        return word
    return f"{units.text(abs(y.up), 'place')} {'above' if y.up > 0 else 'below'} {word}"


def _where(action: Imposed, units: MemberUnits) -> str:
    if isinstance(action, Settlement):
        return action.support
    return f"{units.value(action.start, 'along')} to {units.text(action.end, 'along')}"
