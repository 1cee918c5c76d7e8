"""What secondary beams exert on the member as a whole: their end shear beside what their ends hold.

The solution has the end shears of pinned connections among its loads; who designs the connection,
or sums up what holds the member, wants both together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..beam.equilibrium import about_start
from ..beam.support_reaction import SupportReaction
from ..model.member import Member
from ..model.secondary_beam import SecondaryBeam

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Brought:
    """The end shear of one secondary beam.

    Attributes
    ----------
    beam : SecondaryBeam
    point : (x, y)
        Where it acts.
    arm : float
        Of the point from the shear centre, along x.
    force : (c,)
        Upward.
    sums : (6, c)
        Force and moment about the member's start, in the frame there.
    """

    beam: SecondaryBeam
    point: tuple[float, float]
    arm: float
    force: Array
    sums: Array


def brought_by(member: Member) -> tuple[Brought, ...]:
    """One row per secondary beam, its end shear zero where it carries no load."""
    found = []
    for beam in member.restraints:
        if not isinstance(beam, SecondaryBeam):
            continue
        load = np.array([beam.load_of(c.factors) for c in member.combined])
        section = member.section_at(beam.at)
        x, y = member.locate(beam.place, section)
        local = np.zeros((1, 6, len(load)))
        local[0, 1] = -beam.pinned_reaction(1.0) * load
        local[0, 5] = (x - member.line[0]) * local[0, 1]
        sums = about_start(member.axis, np.array([beam.at]), local)[0]
        found.append(Brought(beam, (x, y), x - section.shear_centre[0], local[0, 1], sums))
    return tuple(found)


def with_beams(
    rows: Sequence[SupportReaction],
    brought: Sequence[Brought],
    combination: int,
) -> tuple[SupportReaction, ...]:
    """Reactions of one combination with all of what secondary beams exert, pinned ones too."""
    whole = {b.beam.title: b for b in brought}
    found = []
    for row in rows:
        own = whole.pop(row.title, None)
        found.append(row if own is None else _more(row, own, combination))
    for title, own in whole.items():
        nothing = (0.0, 0.0, 0.0)
        row = SupportReaction(
            title, own.beam.at, nothing, nothing, own.point, 0.0, 0.0, None, (), ""
        )
        found.append(_more(row, own, combination))
    return tuple(found)


def _more(row: SupportReaction, own: Brought, combination: int) -> SupportReaction:
    x, y, z = row.force
    up = float(own.force[combination])
    return replace(row, force=(x, y + up, z), torque=row.torque + own.arm * up)
