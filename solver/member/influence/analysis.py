"""From a member to its influence lines, by the theory that its file asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.mismatch import mismatch_of
from ..deforming.analysis import frame_of
from ..deforming.course import Course
from ..deforming.gathering import course_of
from ..deforming.grading import STEP, graded
from ..model.imposed import Settlement
from ..model.load import LineLoad, Load, Place, PointLoad, SelfWeight, Where
from ..model.member import Member
from ..model.restraint import Deck
from ..model.solved_section import SolvedSection
from .answering import Field
from .asked import AskedResult
from .beam_adjoint import beam_field
from .deforming_adjoint import answerable, deforming_field

Array = NDArray[np.float64]

#: The load case of the load that travels.
TRAVELLING = "travelling unit load"
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
#: Golden sections that take an extreme between stations to rounding of its place.
SECTIONS = 40


@dataclass(frozen=True, slots=True)
class TravelLine:
    """A line of the section along which the load travels."""

    title: str
    place: Where


@dataclass(frozen=True, slots=True)
class LoadExtreme:
    """A result and where the unit load stands: station, number of its line."""

    value: float
    at: float
    line: int


@dataclass(frozen=True, slots=True, eq=False)
class Influence:
    """Influence lines of c results for a unit load, downward, on l lines.

    Attributes
    ----------
    member : Member
    asked : tuple of AskedResult
    lines : tuple of TravelLine
    z : (m,)
        Stations; every node twice, as internal forces jump where they are asked for.
    last : (m,)
        Whether a station is the last of its element.
    ordinates : (l, m, c)
    maxima, minima : tuple of LoadExtreme
        Between stations too; none without lines.
    field : Field
    alone : str
        Why sections keep their shape; empty where they deform.
    change : float
        Of the ordinates by the last order, as a share of each line's largest; nan for exact beams.
    notes : tuple of str
    """

    member: Member
    asked: tuple[AskedResult, ...]
    lines: tuple[TravelLine, ...]
    z: Array
    last: NDArray[np.bool_]
    ordinates: Array
    maxima: tuple[LoadExtreme, ...]
    minima: tuple[LoadExtreme, ...]
    field: Field
    alone: str
    change: float
    notes: tuple[str, ...]


def influence_of(
    member: Member,
    sections: Mapping[str, SolvedSection],
    asked: Sequence[AskedResult],
    lines: Sequence[TravelLine],
    *,
    also: Sequence[Where] = (),
    seen: Sequence[Where] | None = None,
    keep_shape: bool = False,
    loaded: bool = False,
) -> Influence:
    """Influence lines of a member.

    Parameters
    ----------
    member, sections
    asked, lines : sequences
        With the member's own loads there may be no line.
    also : sequence of Where
        Further places of single loads, which the sections are to answer.
    seen : sequence of Where, optional
        Those places alone that the sections are to answer, of many lines side by side.
    keep_shape : bool
        Whether the classical theory alone is asked for.
    loaded : bool
        Whether the member's own loads are to be seen too (see `case_results`).

    Raises
    ------
    InputError
        A mechanism; a result that the theory cannot tell.
    SolveError
        No trustworthy answer.
    """
    if not asked or not (lines or loaded):
        raise InputError("influence lines need one result and one line at least")
    unit = [
        PointLoad(member.length / 2, member.pitch.down, place, case=TRAVELLING)
        for place in ((*(line.place for line in lines), *also) if seen is None else seen)
    ]
    own, imposed, tendons = (
        (member.loads, member.imposed, member.tendons) if loaded else ((), (), ())
    )
    whole = member.with_(loads=(*own, *unit), imposed=imposed, tendons=tendons, combinations=())
    for line in lines:  # a name that nobody knows is told here
        whole.locate(line.place, whole.section_at(0.0))
    course: Course | None = None
    alone = "the file asks for sections that keep their shape" if keep_shape else ""
    if not keep_shape:
        try:
            course = course_of(whole, sections)
        except ArrangementError:
            raise
        except (InputError, SolveError) as error:
            alone = str(error)
    change = float("nan")
    if course is None:
        mismatch = mismatch_of(whole)
        if mismatch is not None:
            raise SolveError(mismatch.sentence())
        beam = beam_field(whole, asked)
        field: Field = beam
        notes = beam.notes
        z, side = stations(field.nodes, member.length)
        own_lines = [ordinates_on(field, line.place, z, side) for line in lines]
        values = np.array(own_lines).reshape(len(lines), len(z), len(asked))
    else:
        breaks = _breaks(whole, asked, own)
        places = [line.place for line in lines] or [*also, Place("shear_centre")]
        for step in (COARSE * STEP, STEP)[any(one.kind == "stress" for one in asked) :]:
            nodes = graded(course.pieces, breaks, step)
            frame = frame_of(whole, course, nodes)
            told = [one for one in asked if answerable(frame, one)] if loaded else list(asked)
            z, side = stations(nodes, member.length)
            before = None
            for order in ORDERS:
                field = deforming_field(frame, order, told)
                values = np.array([ordinates_on(field, place, z, side) for place in places])
                if before is not None:
                    change = _change(before, values, told)
                    if change <= ACCURACY:
                        break
                before = values
            if change <= ACCURACY:
                break
        notes = frame.notes
        if len(told) < len(asked):
            left = ", ".join(one.title for one in asked if one not in told)
            notes += (f"left out, as rigid holds share them in no single way: {left}",)
        asked = told
    values = values[: len(lines)]
    most, least = (_extremes(field, lines, z, side, sign * values, sign) for sign in (1.0, -1.0))
    return Influence(
        member, tuple(asked), tuple(lines), z, side, values, most, least, field, alone, change,
        (*notes, *_shut(member)),
    )  # fmt: skip


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


def _extremes(
    field: Field,
    lines: Sequence[TravelLine],
    z: Array,
    last: NDArray[np.bool_],
    values: Array,
    sign: float,
) -> tuple[LoadExtreme, ...]:
    """Largest of sign times every result, of its `values` (l, m, c) at the stations, then between
    the neighbours: golden sections of all results on one line at once."""
    if not lines:
        return ()
    _, m, count = values.shape
    line, k = np.divmod(values.reshape(-1, count).argmax(axis=0), m)
    best, place = values[line, k, np.arange(count)], z[k]
    low = z[np.where((k == 0) | last[k - 1], k, k - 1)]
    high = z[np.where(last[k], k, np.minimum(k + 1, m - 1))]
    golden = (np.sqrt(5) - 1) / 2
    for number in np.unique(line):
        own = np.flatnonzero(line == number)
        along, which = field.on(lines[number].place), np.tile(own, 2)
        a, b = low[own], high[own]
        for _ in range(SECTIONS):
            inner = np.array([b - golden * (b - a), a + golden * (b - a)])
            found = sign * along.single(inner.ravel(), which).reshape(2, -1)
            for at, value in zip(inner, found, strict=True):
                more = value > best[own]
                best[own], place[own] = (
                    np.where(more, value, best[own]), np.where(more, at, place[own])
                )  # fmt: skip
            left = found[0] >= found[1]
            a, b = np.where(left, a, inner[0]), np.where(left, inner[1], b)
    return tuple(
        LoadExtreme(sign * float(v), float(s), int(n))
        for v, s, n in zip(best, place, line, strict=True)
    )


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


#: Said of bearings that only push, where nothing shows that they stay pressed.
SHUT_BEARINGS = (
    "bearings that may uplift are taken as shut: influence lines add up while dead load "
    "keeps them pressed; where a bearing's sum of all loads is uplift, they do not hold"
)


def _shut(member: Member) -> list[str]:
    """What is taken as shut."""
    found = []
    if any(not b.holds_down for s in member.supports for b in s.bearings):
        found.append(SHUT_BEARINGS)
    slips = [s.title for s in member.supports if s.twist_slip]
    slips += [r.title for r in member.restraints if getattr(r, "slip", 0)]
    if slips:
        found.append(f"connections with slip are taken as shut: {', '.join(slips)}")
    if member.axis.kinks:
        found.append("axles stand apart along the axis at kinks, without the mitre of their line")
    return found
