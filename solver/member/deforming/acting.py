"""What acts on the sections of a member, for the functions that answer it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from ...section.deforming.acting import Acting, Force, LevelHold
from ..model.load import LineLoad, Place, PointLoad
from ..model.member import SAME_STATION, Member
from ..model.restraint import Deck, LateralSpring
from ..model.secondary_beam import SecondaryBeam
from ..model.tendon_path import tendon_runs
from .grip import SPREAD

Counts = Callable[[float, float], bool]
"""Whether what acts from a start to an end is asked for."""

#: Freedoms of a support that take hold of its point in the plane, in the order of directions.
_ACROSS = ("x", "y")


def acting_of(member: Member, spans: Sequence[tuple[float, float]] | None = None) -> Acting:
    """Forces at their points of the section, of loads and of all that holds the member there;
    levels that are held; curvature; supports.

    Forces at one point in one direction are one, by the shortest length that any of them covers:
    what answers it answers the longer ones too.

    Parameters
    ----------
    member : Member
    spans : sequence of (start, end), optional
        Along the axis: what acts elsewhere is left out.
    """
    lengths: dict[tuple[tuple[float, float | None], int], float] = {}

    def counts(start: float, end: float) -> bool:
        least = SAME_STATION * member.length
        return spans is None or any(a - least <= end and start <= b + least for a, b in spans)

    for force in (*_loads(member, counts), *_tendons(member, counts), *_holds(member, counts)):
        key = (force.point, force.direction)
        lengths[key] = min(force.length, lengths.get(key, force.length))
    gripped = [d.at for d in member.diaphragms]
    gripped += [r.at for r in member.restraints if not isinstance(r, Deck)]
    supports = [support for support in member.supports if counts(support.at, support.at)]
    return Acting(
        tuple(Force(point, k, length) for (point, k), length in lengths.items()),
        tuple(dict.fromkeys(_levels(member, counts))),
        curved=member.axis.curved,
        held=spans is None or bool(supports) or any(counts(z, z) for z in gripped),
        warping_held=any(support.warping == "held" for support in supports),
    )


def _loads(member: Member, counts: Counts) -> Iterator[Force]:
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
        yield from (Force(point, k, length) for k in (0, 1) if force[k])


def _tendons(member: Member, counts: Counts) -> Iterator[Force]:
    for tendon in member.tendons:
        for run in tendon_runs(tendon, member):
            if not counts(run.start, run.end):
                continue
            middle = np.array([(run.start + run.end) / 2])
            x, y = run.line(middle)[0][0] + np.asarray(member.line)
            for direction, curve in enumerate((run.across[2], run.up[2])):
                if curve:
                    yield Force((float(x), float(y)), direction, run.end - run.start)


def _holds(member: Member, counts: Counts) -> Iterator[Force]:
    """Forces by which bearings, supports at a point and secondary beams hold the member where
    nothing keeps the section's shape."""
    for support in member.supports:
        if not counts(support.at, support.at) or shape_kept(member, support.at):
            continue
        section = member.section_at(support.at)
        for bearing in support.bearings:
            y = None if bearing.y is None else section.height(bearing.y)
            yield Force((bearing.x, y), 1, 0.0)
        if support.point is not None:
            point = member.locate(support.point, section)
            for direction, freedom in enumerate(_ACROSS):
                if getattr(support, freedom) not in ("free", 0):
                    yield Force(point, direction, 0.0)
    for beam in member.restraints:
        if not isinstance(beam, SecondaryBeam) or not counts(beam.at, beam.at):
            continue
        place = beam.place
        named = isinstance(place, Place) and place.origin in SPREAD and not (place.dx or place.dy)
        if not (named or shape_kept(member, beam.at)):
            yield Force(member.locate(place, member.section_at(beam.at)), 1, 0.0)


def _levels(member: Member, counts: Counts) -> Iterator[LevelHold]:
    """What decks and lateral springs hold along a level, of each section that they hold."""
    for one in member.restraints:
        if not isinstance(one, Deck | LateralSpring) or one.level is None:
            continue
        if isinstance(one, LateralSpring):
            if one.stiffness and counts(one.at, one.at):
                level = member.section_at(one.at).height(one.level)
                yield LevelHold(level, across=True, turn=False, length=0.0)
            continue
        across, turn = one.lateral_stiffness > 0, one.twist_stiffness > 0
        for segment in member.segments:
            a, b = max(one.start, segment.start), min(one.end, segment.end)
            if (across or turn) and a < b and counts(a, b):
                level = member.section_at((a + b) / 2).height(one.level)
                yield LevelHold(level, across, turn, one.end - one.start)


def shape_kept(member: Member, z: float) -> bool:
    """Whether something keeps the section's shape at a station rigidly: a rigid diaphragm, or a
    support that is a plate or a frame."""
    least = SAME_STATION * member.length
    rigid = (d.at for d in member.diaphragms if d.plate is None and not d.bars)
    plates = (
        s.at for s in member.supports if s.x == s.y == "held" and s.twist not in (None, "free", 0)
    )
    return any(abs(at - z) <= least for at in (*rigid, *plates))
