"""What kinks add to loads that count along a line of their own: the mitre.

Beside the axis the pieces meet in the bisecting plane, so a line at x is shorter by 2 tan(angle/2)
x there, as it is by kappa x per length in a curve. Loads per length of their own line, and the
member's weight, have so much less there on the inner side and more on the outer one.
"""

from __future__ import annotations

from .axis import Kink
from .load import LineLoad, PointLoad, SelfWeight
from .member import Member


def mitre_loads(member: Member) -> list[PointLoad]:
    """Single loads at the kinks."""
    return [
        found
        for kink in member.axis.kinks
        for load in member.loads
        if (found := _mitred(member, kink, load)) is not None
    ]


def _mitred(member: Member, kink: Kink, load: object) -> PointLoad | None:
    section = member.section_at(kink.at)
    if isinstance(load, SelfWeight):
        weight = (section.mass_per_length or 0.0) * load.gravity
        place = section.weight_place
        arm = place[0] - member.line[0]
        torque = weight * kink.slant * section.spread_of_weight if load.wedge else 0.0
        return PointLoad(
            kink.at, member.pitch.weight(-weight * kink.slant * arm), place,
            (0.0, 0.0, -member.pitch.down[1] * torque),
            case=load.case, name=f"{load.title}, mitre of the {kink.title}",
        )  # fmt: skip
    if not isinstance(load, LineLoad) or load.measured_along != "line":
        return None
    if not load.start < kink.at < load.end:
        return None
    x, _ = member.locate(load.place, section)
    missing = -kink.slant * (x - member.line[0])
    share = (kink.at - load.start) / (load.end - load.start)
    last = load.force if load.force_end is None else load.force_end
    torque_end = load.torque if load.torque_end is None else load.torque_end
    x_, y_, z_ = (
        missing * ((1 - share) * a + share * b) for a, b in zip(load.force, last, strict=True)
    )
    return PointLoad(
        kink.at, (x_, y_, z_), load.place,
        (0.0, 0.0, missing * ((1 - share) * load.torque + share * torque_end)),
        case=load.case, name=f"{load.title}, mitre of the {kink.title}",
    )  # fmt: skip
