"""From a member to its influence lines, by the theory that its file asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.mismatch import mismatch_of
from ..deforming.analysis import frame_of
from ..deforming.course import Course
from ..deforming.gathering import course_of
from ..deforming.grading import STEP, graded
from ..model.load import PointLoad, Where
from ..model.member import Member
from ..model.restraint import Deck
from ..model.solved_section import SolvedSection
from .asked import AskedResult
from .beam_adjoint import beam_field
from .deforming_adjoint import deforming_field

Array = NDArray[np.float64]

#: Orders tried one after the other, and the change of the ordinates, as a share of each line's
#: largest, that is good enough.
ORDERS, ACCURACY = (4, 5, 7), 1e-3
#: Times longer elements where no stress is asked for: resultants and movements raise hardly any of
#: the modes that die out fast. The change by the last order tells whether it was too much.
COARSE = 4.0
#: Stations of each line, about; and of each element at least.
STATIONS, LEAST = 240, 5
#: Golden sections that take an extreme between stations to rounding of its place.
SECTIONS = 40


class LineOf(Protocol):
    """Ordinates of c results on one line of the section."""

    def at(self, z: Array, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at stations z (m,)."""
        ...

    def single(self, z: Array, result: NDArray[np.intp], side: str = "right") -> Array:
        """(m,) one result at each station."""
        ...


class Field(Protocol):
    """Influence fields of either theory."""

    @property
    def nodes(self) -> Array:
        """Stations between which the lines are smooth."""
        ...

    def on(self, place: Where) -> LineOf:
        """The lines of all results for a load at a place of stations."""
        ...

    def ordinates(self, z: Array, place: Where, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at a place of stations z (m,)."""
        ...


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
        Between stations too.
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
    keep_shape: bool = False,
) -> Influence:
    """Influence lines of a member.

    Parameters
    ----------
    member, sections
    asked, lines : sequences
    also : sequence of Where
        Further places of single loads, which the sections are to answer.
    keep_shape : bool
        Whether the classical theory alone is asked for.

    Raises
    ------
    InputError
        A mechanism; a result that the theory cannot tell; a ring.
    SolveError
        No trustworthy answer.
    """
    if not asked or not lines:
        raise InputError("influence lines need one result and one line at least")
    if member.axis.closed:
        raise InputError("influence lines of a ring are not solved; give an open member")
    unit = [
        PointLoad(member.length / 2, (0.0, -1.0, 0.0), place, case="travelling unit load")
        for place in (*(line.place for line in lines), *also)
    ]
    loaded = member.with_(loads=tuple(unit), imposed=(), combinations=())
    for line in lines:  # a name that nobody knows is told here
        loaded.locate(line.place, loaded.section_at(0.0))
    course: Course | None = None
    alone = "the file asks for sections that keep their shape" if keep_shape else ""
    if not keep_shape:
        try:
            course = course_of(loaded, sections)
        except ArrangementError:
            raise
        except (InputError, SolveError) as error:
            alone = str(error)
    change = float("nan")
    if course is None:
        mismatch = mismatch_of(loaded)
        if mismatch is not None:
            raise SolveError(mismatch.sentence())
        beam = beam_field(loaded, asked)
        field: Field = beam
        notes = beam.notes
        z, side = stations(field.nodes, member.length)
        values = np.array([ordinates_on(field, line.place, z, side) for line in lines])
    else:
        coarse = all(one.kind != "stress" for one in asked)
        step = COARSE * STEP if coarse else STEP
        nodes = graded(course.pieces, _breaks(loaded, asked), step)
        frame = frame_of(loaded, course, nodes)
        notes = frame.notes
        z, side = stations(nodes, member.length)
        before = None
        for order in ORDERS:
            field = deforming_field(frame, order, asked)
            values = np.array([ordinates_on(field, line.place, z, side) for line in lines])
            if before is not None:
                size = np.abs(values).max(axis=(0, 1))
                moved = np.abs(values - before).max(axis=(0, 1))
                change = float((moved / np.where(size > 0, size, 1.0)).max())
                if change <= ACCURACY:
                    break
            before = values
    most = tuple(_extreme(field, lines, z, side, values, c, 1.0) for c in range(len(asked)))
    least = tuple(_extreme(field, lines, z, side, values, c, -1.0) for c in range(len(asked)))
    return Influence(
        member, tuple(asked), tuple(lines), z, side, values, most, least, field, alone, change,
        (*notes, *_shut(member)),
    )  # fmt: skip


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


def _extreme(
    field: Field,
    lines: Sequence[TravelLine],
    z: Array,
    last: NDArray[np.bool_],
    values: Array,
    c: int,
    sign: float,
) -> LoadExtreme:
    """Largest of sign times a result: of the stations, then between the neighbours."""
    line, k = divmod(int((sign * values[..., c]).argmax()), values.shape[1])
    best = LoadExtreme(float(values[line, k, c]), float(z[k]), line)
    first = k == 0 or bool(last[k - 1])
    a, b = z[k if first else k - 1], z[k if last[k] else k + 1]
    golden = (np.sqrt(5) - 1) / 2
    along, which = field.on(lines[line].place), np.array([c, c])
    for _ in range(SECTIONS):
        inner = np.array([b - golden * (b - a), a + golden * (b - a)])
        found = along.single(inner, which)
        j = int((sign * found).argmax())
        if sign * found[j] > sign * best.value:
            best = LoadExtreme(float(found[j]), float(inner[j]), line)
        a, b = (a, inner[1]) if j == 0 else (inner[0], b)
    return best


def _breaks(member: Member, asked: Sequence[AskedResult]) -> list[float]:
    found = [*member.axis.breaks.tolist(), *(one.at for one in asked)]
    for item in (*member.supports, *member.restraints, *member.diaphragms, *member.hinges):
        found += [item.start, item.end] if isinstance(item, Deck) else [item.at]
    return found


def _shut(member: Member) -> list[str]:
    """What is taken as shut."""
    found = []
    if any(not b.holds_down for s in member.supports for b in s.bearings):
        found.append(
            "bearings that may uplift are taken as shut: influence lines add up while dead load "
            "keeps them pressed; where a bearing's sum of all loads is uplift, they do not hold"
        )
    slips = [s.title for s in member.supports if s.twist_slip]
    slips += [r.title for r in member.restraints if getattr(r, "slip", 0)]
    if slips:
        found.append(f"connections with slip are taken as shut: {', '.join(slips)}")
    return found
