"""What acts on the sections of a member, for the functions that answer it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ...section.deforming.response import Acting, Force
from ..model.load import LineLoad, PointLoad
from ..model.member import SAME_STATION, Member
from ..model.restraint import Deck
from ..model.tendon_path import tendon_runs


def acting_of(member: Member, spans: Sequence[tuple[float, float]] | None = None) -> Acting:
    """Forces at their points of the section, bearings among them; curvature; supports.

    Loads at one point in one direction are one force, by the shortest length that any of them
    covers: what answers it answers the longer ones too.

    Parameters
    ----------
    member : Member
    spans : sequence of (start, end), optional
        Along the axis: what acts elsewhere is left out.
    """
    lengths: dict[tuple[tuple[float, float], int], float] = {}

    def note(point: tuple[float, float], direction: int, length: float) -> None:
        key = (point, direction)
        lengths[key] = min(length, lengths.get(key, length))

    def counts(start: float, end: float) -> bool:
        least = SAME_STATION * member.length
        return spans is None or any(a - least <= end and start <= b + least for a, b in spans)

    for load in member.loads:
        if isinstance(load, LineLoad):
            length, at = load.end - load.start, (load.start + load.end) / 2
            force = [abs(load.force[k]) + abs((load.force_end or load.force)[k]) for k in (0, 1)]
        elif isinstance(load, PointLoad):
            length, at = 0.0, load.at
            force = [abs(load.force[k]) for k in (0, 1)]
        else:
            continue
        if not counts(at - length / 2, at + length / 2):
            continue
        point = member.locate(load.place, member.section_at(at))
        for direction in (0, 1):
            if force[direction]:
                note(point, direction, length)
    for tendon in member.tendons:
        for run in tendon_runs(tendon, member):
            if not counts(run.start, run.end):
                continue
            middle = np.array([(run.start + run.end) / 2])
            x, y = run.line(middle)[0][0] + np.asarray(member.line)
            for direction, curve in enumerate((run.across[2], run.up[2])):
                if curve:
                    note((float(x), float(y)), direction, run.end - run.start)
    gripped = [d.at for d in member.diaphragms]
    gripped += [r.at for r in member.restraints if not isinstance(r, Deck)]
    supports = [support for support in member.supports if counts(support.at, support.at)]
    for support in supports:
        for bearing in support.bearings:
            if bearing.y is not None:
                height = member.section_at(support.at).height(bearing.y)
                note((bearing.x, height), 1, 0.0)
    forces = tuple(Force(point, k, length) for (point, k), length in lengths.items())
    return Acting(
        forces,
        curved=member.axis.curved,
        held=spans is None or bool(supports) or any(counts(z, z) for z in gripped),
        warping_held=any(support.warping == "held" for support in supports),
    )
