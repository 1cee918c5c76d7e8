"""Natural frequencies of a member file: modes, their names, and how far they can be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ....geometry.units import Units
from ..beam.mismatch import mismatch_of
from ..deforming.amplitude import Amplitudes
from ..deforming.analysis import Frame
from ..deforming.course import Course
from ..deforming.gathering import course_of
from ..deforming.grip import Grips
from ..model.member import Member
from ..model.solved_section import SolvedSection
from .attached import Carried, carried_by
from .beam_member import BeamRows, beam_member
from .below import count_below
from .deforming_member import check_density, deforming_member, moving_frame
from .motion import EnergyShares, motion_of
from .moving_member import MovingMember
from .participation import Participation, participation_of
from .subspace import COMPARED, lowest

Array = NDArray[np.float64]

#: Modes asked for where nothing is said, and the most.
MODES, MOST_MODES = 8, 40

#: Order of the shape functions along the member, and the lower one that tells what it changed: of
#: sections that deform, and of the seven functions of the beam, whose strains lock at low orders.
ORDERS, BEAM_ORDERS = (4, 3), (6, 5)

#: Share of the slow modes of the sections with which the frequencies are compared.
FEWER = 0.6

#: Neighbouring frequencies nearer than this are one when modes are counted.
APART = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class Vibration:
    """Natural frequencies and modes of a member.

    Attributes
    ----------
    member : Member
    units : Units
    moving : MovingMember
    rows : Grips or BeamRows
    course : Course or None
        None where sections keep their shape.
    alone : str
        Why they do.
    frequencies : (c,)
        In Hz, ascending.
    field : Amplitudes
        Modes with unit modal mass, one a column.
    motion : EnergyShares
    participation : Participation
    kept_shape : (c',)
        Frequencies with sections that keep their shape; empty where that is the answer itself.
    order_change, mode_change : float
        Largest relative change of a frequency by the last order along the member, and by the last
        slow modes of the sections; nan where it has not been found.
    notes : tuple of str
    left_out : tuple of str
        Loads that are not mass.
    """

    member: Member
    units: Units
    moving: MovingMember
    rows: Grips | BeamRows
    course: Course | None
    alone: str
    frequencies: Array
    field: Amplitudes
    motion: EnergyShares
    participation: Participation
    kept_shape: Array
    order_change: float
    mode_change: float
    notes: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Of the modes."""
        return tuple(self.motion.name(k) for k in range(len(self.frequencies)))

    def first(self, motion: str) -> int | None:
        """Number of the first mode whose name has a motion in it, the largest share before the
        others; None where there is none among them."""
        for test in (str.__eq__, str.__contains__):
            for k, name in enumerate(self.names):
                if test(name, motion):
                    return k
        return None


def vibration_of(
    member: Member,
    sections: Mapping[str, SolvedSection],
    units: Units,
    *,
    keep_shape: bool = False,
    modes: int = MODES,
    slip_open: bool = False,
    judged: bool = True,
) -> Vibration:
    """The lowest modes of a member.

    Parameters
    ----------
    sections : mapping
        Solved sections by the names their constants bear.
    keep_shape : bool
        The classical theory alone.
    modes : int
    slip_open : bool
        Whether connections with slip hold nothing; else their slip is taken up.
    judged : bool
        Whether the changes by order and slow modes are found too, and the classical frequencies.

    Raises
    ------
    InputError
        A missing density, a mechanism, a number of modes that is none.
    SolveError
        No convergence, or modes that a count of pivots misses.
    """
    if not 1 <= modes <= MOST_MODES:
        raise InputError(f"modes is a whole number from 1 to {MOST_MODES}, got {modes}")
    check_density(member, sections)
    carried = carried_by(member, units)
    course: Course | None = None
    alone = "the file asks for sections that keep their shape" if keep_shape else ""
    if not keep_shape:
        try:
            course = course_of(member, sections)
        except ArrangementError:
            raise
        except (InputError, SolveError) as error:
            alone = str(error)
    if course is None:
        mismatch = mismatch_of(member)
        if mismatch is not None:
            raise SolveError(mismatch.sentence())
    make = _Maker(member, sections, carried, units.inertia, slip_open)
    order, lower_order = BEAM_ORDERS if course is None else ORDERS
    moving, rows, notes = make.of(course, order)
    squares, found = _complete(moving, modes)
    order_change = mode_change = float("nan")
    kept_shape = np.zeros(0)
    if judged:

        def squares_of(other: Course | None, its_order: int, near: Array | None = None) -> Array:
            moving = make.of(other, its_order)[0]
            if near is not None and near.shape[:3] != (
                len(moving.elements), moving.functions, moving.size,
            ):  # fmt: skip
                near = None
            return lowest(moving, modes, spare=0, residual=COMPARED, near=near)[0]

        # Shape functions of a lower order are the first of a higher one.
        low = found[:, : lower_order + 1]
        lower = squares_of(course, lower_order, low)
        order_change = _change(squares, lower)
        if course is not None:
            fewer = round(FEWER * course.modes)
            if fewer >= 1:
                kept = course.parts[0].section.mode <= fewer
                few = squares_of(course.first(fewer), lower_order, low[:, :, kept])
                mode_change = _change(lower, few)
            if mismatch_of(member) is None:
                kept_shape = _hertz(squares_of(None, BEAM_ORDERS[1]))
    return Vibration(
        member, units, moving, rows, course, alone, _hertz(squares),
        Amplitudes(moving.nodes, found), motion_of(moving, found),
        participation_of(moving, member.axis, found, units.inertia), kept_shape,
        order_change, mode_change, tuple(notes), carried.left_out,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Maker:
    """Makes the moving member of either theory."""

    member: Member
    sections: Mapping[str, SolvedSection]
    carried: Carried
    inertia: float
    slip_open: bool
    frames: dict[Course, Frame] = field(default_factory=dict)

    def of(
        self, course: Course | None, order: int
    ) -> tuple[MovingMember, Grips | BeamRows, list[str]]:
        if course is None:
            return beam_member(
                self.member, self.carried, self.sections,
                order=order, inertia=self.inertia, slip_open=self.slip_open,
            )  # fmt: skip
        if course not in self.frames:
            self.frames[course] = moving_frame(self.member, course, self.carried)
        return deforming_member(
            self.member, course, self.carried, self.sections, order=order, inertia=self.inertia,
            slip_open=self.slip_open, frame=self.frames[course],
        )  # fmt: skip


def _complete(moving: MovingMember, modes: int) -> tuple[Array, Array]:
    """The lowest modes, none missed: the pivots of K - s M are counted just above the last one."""
    for count in (modes, modes + 6):
        squares, found = lowest(moving, count)
        own = min(modes, len(squares))
        # Above a group of equal frequencies, below the next one.
        last = own - 1
        while last + 1 < len(squares) and squares[last + 1] < squares[last] * (1 + APART):
            last += 1
        shift = squares[last] * (1 + APART / 2)
        if count_below(moving, float(shift)) == last + 1:
            return squares[:own], found[..., :own]
    raise SolveError(
        "the number of natural frequencies below the last one found is not theirs: one is missing; "
        "ask for another number of modes"
    )


def _hertz(squares: Array) -> Array:
    return np.asarray(np.sqrt(squares) / (2 * np.pi))


def _change(squares: Array, other: Array) -> float:
    count = min(len(squares), len(other))
    return float(np.abs(np.sqrt(other[:count] / squares[:count]) - 1).max())
