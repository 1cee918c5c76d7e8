"""What acts on the sections of a member, for the functions that answer it."""

from __future__ import annotations

from ...section.deforming.response import Acting, Force
from ..model.load import LineLoad, PointLoad
from ..model.member import Member


def acting_of(member: Member) -> Acting:
    """Forces at their points of the section, bearings among them; curvature; supports.

    Loads at one point in one direction are one force, by the shortest length that any of them
    covers: what answers it answers the longer ones too.
    """
    lengths: dict[tuple[tuple[float, float], int], float] = {}

    def note(point: tuple[float, float], direction: int, length: float) -> None:
        key = (point, direction)
        lengths[key] = min(length, lengths.get(key, length))

    for load in member.loads:
        if isinstance(load, LineLoad):
            length, at = load.end - load.start, (load.start + load.end) / 2
            force = [abs(load.force[k]) + abs((load.force_end or load.force)[k]) for k in (0, 1)]
        elif isinstance(load, PointLoad):
            length, at = 0.0, load.at
            force = [abs(load.force[k]) for k in (0, 1)]
        else:
            continue
        point = member.locate(load.place, member.section_at(at))
        for direction in (0, 1):
            if force[direction]:
                note(point, direction, length)
    for support in member.supports:
        for bearing in support.bearings:
            if bearing.y is not None:
                height = member.section_at(support.at).height(bearing.y)
                note((bearing.x, height), 1, 0.0)
    forces = tuple(Force(point, k, length) for (point, k), length in lengths.items())
    return Acting(
        forces,
        curved=member.axis.curved,
        held=True,
        warping_held=any(support.warping == "held" for support in member.supports),
    )
