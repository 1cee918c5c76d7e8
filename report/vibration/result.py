"""A vibrating member with all that its table, record and figure need."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ...solver.member.file.request import MemberRequest
from ...solver.member.model.solved_section import SolvedSection
from ...solver.member.vibration.analysis import MODES, Vibration, vibration_of
from ...solver.member.vibration.motion import leading, nodes_of, track_of
from ...solver.member.vibration.outline_motion import Outlines
from ...solver.member.vibration.walking import WalkingRow, walking_rows
from ..member.units import MemberUnits

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ModesResult:
    """Modes with their shapes.

    Attributes
    ----------
    vibration : Vibration
    sections : mapping
    outlines : Outlines
    z, track : (m,) and (m, 6, c)
        Mean motion of the sections along the member, the largest displacement of each mode 1.
    nodes : tuple of (k,)
        Stations of each mode at which its leading motion is zero.
    screen : tuple of WalkingRow
    """

    vibration: Vibration
    sections: Mapping[str, SolvedSection]
    outlines: Outlines
    z: Array
    track: Array
    nodes: tuple[Array, ...]
    screen: tuple[WalkingRow, ...]

    @property
    def units(self) -> MemberUnits:
        """As shown."""
        return MemberUnits(self.vibration.units)

    def leads(self, mode: int) -> int:
        """Component of the mean motion that leads in a mode."""
        return leading(self.vibration.motion.shares[mode])


def modes_of(request: MemberRequest, modes: int = MODES, *, slip_open: bool = False) -> ModesResult:
    """Solve a member file for its modes.

    Raises
    ------
    InputError
        A member built in stages, besides what `vibration_of` raises.
    """
    if request.stages:
        raise InputError(
            "this member is built in stages, and which of them is to vibrate is not said; take the "
            "[[stage]] tables out for this"
        )
    vibration = vibration_of(
        request.member,
        request.sections,
        request.units,
        keep_shape=request.keep_shape,
        modes=modes,
        slip_open=slip_open,
    )
    return result_of(vibration, request.sections)


def result_of(vibration: Vibration, sections: Mapping[str, SolvedSection]) -> ModesResult:
    """The shapes of solved modes."""
    outlines = Outlines(vibration, sections)
    z, track = track_of(vibration.moving, vibration.field.coefficients)
    track = track * outlines.shapes.scale
    shares = vibration.motion.shares
    nodes = tuple(nodes_of(z, track[:, leading(shares[k]), k]) for k in range(len(shares)))
    screen = walking_rows(vibration.frequencies, vibration.names)
    return ModesResult(vibration, sections, outlines, z, track, nodes, screen)
