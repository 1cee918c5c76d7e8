"""Ordinates of influence lines at stations, by either theory: of sections that deform on elements
and orders that settle them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..deforming.analysis import frame_of
from ..deforming.course import Course
from ..deforming.grading import STEP, graded
from ..model.imposed import Settlement
from ..model.load import LineLoad, Load, SelfWeight, Where
from ..model.member import Member
from ..model.restraint import Deck
from .answering import Field
from .asked import AskedResult
from .beam_adjoint import beam_field
from .deforming_adjoint import answerable, deforming_field

Array = NDArray[np.float64]

#: Orders tried one after the other, and the change of the ordinates, as a share of each line's
#: largest, that is good enough.
ORDERS, ACCURACY = (4, 5, 7), 1e-3
#: Times longer elements where no stress is asked for: resultants and movements raise hardly any of
#: the modes that die out fast, but where the load stands beside a point that is asked for: where
#: the change by the last order says that it was too much, elements are as short as for stress.
COARSE = 4.0
#: Results whose ordinates stay below this share of the largest of their quantity are judged on it.
SMALL = 1e-2
#: Stations of each line, about; and of each element at least.
STATIONS, LEAST = 240, 5


@dataclass(frozen=True, slots=True, eq=False)
class Ordinates:
    """What a unit load at stations on l places makes of c results.

    Attributes
    ----------
    field : Field
        The adjoint fields of the results.
    asked : tuple of AskedResult
        Those that are answered.
    z : (m,)
        Stations, element by element.
    last : (m,) bool
        Whether a station ends its element.
    values : (l, m, c)
    change : float
        What the last order changed, as a share of each result's largest; nan where there is none.
    notes : tuple of str
    """

    field: Field
    asked: tuple[AskedResult, ...]
    z: Array
    last: NDArray[np.bool_]
    values: Array
    change: float
    notes: tuple[str, ...]


def beam_ordinates(
    member: Member, asked: Sequence[AskedResult], places: Sequence[Where]
) -> Ordinates:
    """By the classical theory."""
    field = beam_field(member, asked)
    z, last = stations(field.nodes, member.length)
    values = np.array([ordinates_on(field, place, z, last) for place in places])
    values = values.reshape(len(places), len(z), len(asked))
    return Ordinates(field, tuple(asked), z, last, values, float("nan"), field.notes)


def deforming_ordinates(
    member: Member,
    course: Course,
    asked: Sequence[AskedResult],
    places: Sequence[Where],
    loads: Sequence[Load],
    *,
    loaded: bool,
) -> Ordinates:
    """By sections that deform.

    Parameters
    ----------
    member, course, asked
    places : sequence of Where
        One at least.
    loads : sequence of Load
        The member's own, at whose ends elements end.
    loaded : bool
        Whether results that the member's holds leave open are left out, and said.
    """
    breaks = _breaks(member, asked, loads)
    steps = (STEP,) if any(one.kind == "stress" for one in asked) else (COARSE * STEP, STEP)
    for step in steps:
        nodes = graded(course.pieces, breaks, step)
        frame = frame_of(member, course, nodes)
        told = [one for one in asked if answerable(frame, one)] if loaded else list(asked)
        z, last = stations(nodes, member.length)
        values: Array | None = None
        change = np.inf
        for order in ORDERS:
            field = deforming_field(frame, order, told)
            before = values
            values = np.array([ordinates_on(field, place, z, last) for place in places])
            if before is not None:
                change = _change(before, values, told)
            if change <= ACCURACY:
                break
        if change <= ACCURACY:
            break
    notes = frame.notes
    if len(told) < len(asked):
        left = ", ".join(one.title for one in asked if one not in told)
        notes += (f"left out, as rigid holds share them in no single way: {left}",)
    assert values is not None
    return Ordinates(field, tuple(told), z, last, values, change, notes)


def _change(before: Array, values: Array, asked: Sequence[AskedResult]) -> float:
    """Largest change of ordinates (l, m, c) as a share of each result's largest, or of
    what is small beside others of its quantity."""
    size = np.abs(values).max(axis=(0, 1))
    quantity = np.array([one.quantity for one in asked])
    least = [SMALL * size[quantity == q].max() for q in quantity]
    moved = np.abs(values - before).max(axis=(0, 1))
    return float((moved / np.maximum(np.maximum(size, least), 1e-300)).max())


def stations(nodes: Array, length: float) -> tuple[Array, NDArray[np.bool_]]:
    """Stations (m,) element by element, both ends of each, and whether each is the last of its
    element."""
    found, last = [], []
    for a, b in pairwise(np.unique(nodes)):
        count = max(LEAST, int(np.ceil(STATIONS * (b - a) / length)) + 1)
        found.append(np.linspace(a, b, count))
        last.append(np.arange(count) == count - 1)
    return np.concatenate(found), np.concatenate(last)


def ordinates_on(field: Field, place: Where, z: Array, last: NDArray[np.bool_]) -> Array:
    """(m, c) ordinates at stations, those of an element's last one from the left."""
    line = field.on(place)
    found = line.at(z)
    found[last] = line.at(z[last], "left")
    return found


def _breaks(member: Member, asked: Sequence[AskedResult], loads: Sequence[Load]) -> list[float]:
    found = [*member.axis.breaks.tolist(), *(one.at for one in asked)]
    for item in (
        *member.supports, *member.restraints, *member.diaphragms, *member.hinges, *loads,
    ):  # fmt: skip
        if isinstance(item, SelfWeight):
            continue
        found += [item.start, item.end] if isinstance(item, Deck | LineLoad) else [item.at]
    for strained in member.imposed:
        if not isinstance(strained, Settlement):
            found += [strained.start, strained.end]
    found += [point.at for tendon in member.tendons for point in tendon.points]
    return found
