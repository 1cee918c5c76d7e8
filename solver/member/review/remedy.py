"""Standard remedies for a member that twists too much, each re-solved on the same member."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from ....geometry.errors import InputError, SolveError
from ..beam.analysis import solve
from ..beam.solution import Solution
from ..model.constants import SectionConstants
from ..model.load import LineLoad, Place, PointLoad
from ..model.member import Member, Segment
from ..model.restraint import TwistSpring
from .diagnosis import largest_twist


@dataclass(frozen=True, slots=True)
class Cure:
    """A changed member and what was done to it."""

    title: str
    member: Member


@dataclass(frozen=True, slots=True)
class CureEffect:
    """A remedy, solved again.

    `twist` in radians and `stress` (None unless a stress function was given) are the largest over
    the member and its combinations; the ratios are to the member as it stands. `failure` says why a
    remedy could not be solved.
    """

    title: str
    twist: float | None
    twist_ratio: float | None
    stress: float | None
    stress_ratio: float | None
    failure: str = ""


def loads_to_shear_centre(member: Member) -> Cure:
    """Every force moved to the shear centre; torques given as such, and self-weight, stay."""
    loads = tuple(
        replace(load, place=Place()) if isinstance(load, PointLoad | LineLoad) else load
        for load in member.loads
    )
    return Cure("loads moved to the shear centre", member.with_(loads=loads))


def secondaries_moment_connected(
    member: Member, stiffness: float, stations: Iterable[float] | None = None
) -> Cure:
    """A torsional spring of a moment-connected secondary beam at stations (those of point loads if
    not given)."""
    if stations is None:
        stations = dict.fromkeys(load.at for load in member.loads if isinstance(load, PointLoad))
    springs = tuple(TwistSpring(at, stiffness, name=f"secondary beam at {at:g}") for at in stations)
    if not springs:
        raise InputError("no station for secondary beams: the member has no point load; name some")
    return Cure(
        "secondary beams moment-connected", member.with_(restraints=(*member.restraints, *springs))
    )


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
    return Cure(title, member.with_(segments=segments))


def standard_cures(
    member: Member,
    *,
    secondary_stiffness: float | None = None,
    sections: Mapping[str, SectionConstants] | None = None,
) -> tuple[Cure, ...]:
    """All remedies that the given figures allow."""
    cures = [loads_to_shear_centre(member), warping_held_at_ends(member)]
    has_points = any(isinstance(load, PointLoad) for load in member.loads)
    if secondary_stiffness is not None and has_points:
        cures.insert(1, secondaries_moment_connected(member, secondary_stiffness))
    cures += [with_section(member, title, s) for title, s in (sections or {}).items()]
    return tuple(cures)


def cure_effects(
    member: Member,
    cures: Iterable[Cure],
    stress: Callable[[Solution], float] | None = None,
) -> tuple[CureEffect, ...]:
    """Twist and stress of the member as it exists (first row) and with each remedy.

    `stress` gives the largest stress of a solution; it must know the section of each.
    """
    now = solve(member)
    twist = largest_twist(now)
    level = stress(now) if stress else None
    rows = [CureEffect("existing", twist, 1.0, level, 1.0 if stress else None)]
    for cure in cures:
        try:
            solution = solve(cure.member)
        except (InputError, SolveError) as reason:
            rows.append(CureEffect(cure.title, None, None, None, None, str(reason)))
            continue
        found = largest_twist(solution)
        peak = stress(solution) if stress else None
        rows.append(
            CureEffect(
                cure.title,
                found,
                found / twist if twist > 0 else None,
                peak,
                peak / level if peak is not None and level else None,
            )
        )
    return tuple(rows)
