"""Standard remedies for a member that twists too much: what each changes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from ....geometry.errors import InputError
from ..model.constants import SectionConstants
from ..model.load import LineLoad, Load, Place, PointLoad, Where
from ..model.member import Member, Segment
from ..model.restraint import TwistSpring
from ..model.secondary_beam import SecondaryBeam
from ..model.wind_loads import blown_again

#: Title of the remedy by secondary beams.
MOMENT_CONNECTED = "secondary beams moment-connected"


@dataclass(frozen=True, slots=True)
class Cure:
    """A changed member and what was done to it; or why it could not be changed."""

    title: str
    member: Member | None
    failure: str = ""


def loads_to_shear_centre(member: Member) -> Cure:
    """Every force moved to the shear centre; torques given as such, and self-weight, stay."""
    loads = tuple(
        replace(load, place=Place()) if isinstance(load, PointLoad | LineLoad) else load
        for load in member.loads
    )
    return Cure("loads moved to the shear centre", member.with_(loads=loads))


def secondaries_moment_connected(
    member: Member,
    secondary: SecondaryBeam | float,
    stations: Iterable[float] | None = None,
) -> Cure:
    """Secondary beams, moment-connected, where point loads stand.

    Each vertical point load is taken for the end shear of a beam that is loaded uniformly, R_0 of
    `secondary_beam`: the beam brings it, and the moment of its end rotation too. It runs to the
    side of the load. Beams of the member whose connections are pins get that of `secondary`.
    A stiffness in place of the beam, or `stations` besides, make springs of the twist alone.
    """
    if isinstance(secondary, SecondaryBeam) and stations is None:
        changed = _with_beams(member, secondary)
    else:
        spring = secondary.stiffness if isinstance(secondary, SecondaryBeam) else secondary
        if stations is None:
            stations = dict.fromkeys(
                load.at for load in member.loads if isinstance(load, PointLoad)
            )
        springs = tuple(
            TwistSpring(at, spring, name=f"secondary beam at {at:g}") for at in stations
        )
        changed = member.with_(restraints=(*member.restraints, *springs)) if springs else None
    if changed is None:
        raise InputError("no station for secondary beams: the member has no point load; name some")
    return Cure(MOMENT_CONNECTED, changed)


def _with_beams(member: Member, template: SecondaryBeam) -> Member | None:
    """Point loads, and pinned secondary beams, in the place of moment-connected beams."""
    restraints = [
        replace(r, connection=template.connection)
        if isinstance(r, SecondaryBeam) and r.stiffness == 0
        else r
        for r in member.restraints
    ]
    changed = any(new is not old for new, old in zip(restraints, member.restraints, strict=True))
    loads: list[Load] = []
    brought: dict[tuple[float, Where], dict[str, float]] = {}
    for load in member.loads:
        down = -load.force[1] if isinstance(load, PointLoad) and not load.of else 0.0
        if not isinstance(load, PointLoad) or not down:
            loads.append(load)
            continue
        cases = brought.setdefault((load.at, load.place), {})
        cases[load.case] = cases.get(load.case, 0.0) + down / template.pinned_reaction(1.0)
        rest = replace(load, force=(load.force[0], 0.0, load.force[2]))
        if any((*rest.force, *rest.moment, rest.bimoment)):
            loads.append(rest)
    for n, ((at, place), cases) in enumerate(brought.items(), 1):
        section = member.section_at(at)
        x = member.locate(place, section)[0] - section.shear_centre[0]
        restraints.append(
            replace(
                template, at=at, place=place, loads=cases, side="left" if x < 0 else "right",
                name=f"secondary beam {n} at {at:g}",
            )
        )  # fmt: skip
    if not brought and not changed:
        return None
    return member.with_(loads=tuple(loads), restraints=tuple(restraints))


def warping_held_at_ends(member: Member) -> Cure:
    """Warping held at the supports at both ends of the member."""
    ends = (0.0, member.length)
    supports = tuple(
        s.with_(warping="held") if any(abs(s.at - e) < 1e-9 * member.length for e in ends) else s
        for s in member.supports
    )
    return Cure("warping restrained at the ends", member.with_(supports=supports))


def with_section(member: Member, title: str, section: SectionConstants) -> Cure:
    """Another section all along, such as the same one closed by plates, or a tube of equal
    weight."""
    segments = tuple(Segment(s.start, s.end, section) for s in member.segments)
    try:
        loads = blown_again(member, segments)
        return Cure(title, member.with_(segments=segments, loads=loads))
    except InputError as reason:  # a place that this section has not
        return Cure(title, None, str(reason))


def standard_cures(
    member: Member,
    *,
    secondary: SecondaryBeam | float | None = None,
    sections: Mapping[str, SectionConstants] | None = None,
) -> tuple[Cure, ...]:
    """All remedies that the given figures allow."""
    cures = [loads_to_shear_centre(member), warping_held_at_ends(member)]
    points = [load for load in member.loads if isinstance(load, PointLoad)]
    if isinstance(secondary, SecondaryBeam):
        # Beams that are moment-connected already are no remedy.
        beams = [r for r in member.restraints if isinstance(r, SecondaryBeam)]
        points = [p for p in points if p.force[1] and not p.of]
        worth = bool(points) or any(beam.stiffness == 0 for beam in beams)
    else:
        worth = bool(points)
    if secondary is not None and worth:
        cures.insert(1, secondaries_moment_connected(member, secondary))
    cures += [with_section(member, title, s) for title, s in (sections or {}).items()]
    return tuple(cures)
