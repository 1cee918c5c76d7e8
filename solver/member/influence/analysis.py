"""From a member to its influence lines, by the theory that its file asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.mismatch import mismatch_of
from ..deforming.course import Course
from ..deforming.gathering import course_of
from ..model.load import Place, PointLoad, Where
from ..model.member import Member
from ..model.solved_section import SolvedSection
from .answering import Field
from .asked import AskedResult
from .ordinates import beam_ordinates, deforming_ordinates

Array = NDArray[np.float64]

#: The load case of the load that travels.
TRAVELLING = "travelling unit load"
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
    if course is None:
        mismatch = mismatch_of(whole)
        if mismatch is not None:
            raise SolveError(mismatch.sentence())
        found = beam_ordinates(whole, asked, [line.place for line in lines])
    else:
        places = [line.place for line in lines] or [*also, Place("shear_centre")]
        found = deforming_ordinates(whole, course, asked, places, own, loaded=loaded)
    field, z, side, values = found.field, found.z, found.last, found.values[: len(lines)]
    most, least = (_extremes(field, lines, z, side, sign * values, sign) for sign in (1.0, -1.0))
    return Influence(
        member, found.asked, tuple(lines), z, side, values, most, least, field, alone,
        found.change, (*found.notes, *_shut(member)),
    )  # fmt: skip


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
