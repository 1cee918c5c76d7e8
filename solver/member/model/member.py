"""The member as its user describes it: axis, segments of section, supports, restraints, loads.

Limits of the model: small displacements of linear elastic sections that keep their shape (a box
needs diaphragms); curvature enters through bending and torsion coupling only, so the radius must be
large against the section's width; where the section steps, the rate of twist and the bimoment are
taken as continuous, which is exact only when both sections warp alike; a tapered segment is a chain
of short prismatic pieces, without the extra terms of inclined flanges.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise

from ....geometry.errors import InputError
from .axis import Axis
from .case_names import check_combinations, nearest
from .constants import SectionConstants
from .diaphragm import Diaphragm
from .faces import Face
from .folding import check_kinks, check_radius
from .hinge import PASSED, Hinge, check_hinges
from .imposed import Imposed, Settlement, Shrinkage, Temperature
from .load import Combination, LineLoad, Load, Place, PointLoad, SelfWeight, Where
from .mass import PointMass
from .pitch import LEVEL, Pitch
from .restraint import Deck, LateralSpring, TwistSpring
from .secondary_beam import SecondaryBeam, with_own_forces
from .support import Support
from .tendon import Tendon

Restraint = TwistSpring | LateralSpring | Deck | SecondaryBeam

# Stations closer than this share of the member's length are one station: well above rounding of
# sums of lengths, far below anything that is built.
SAME_STATION = 1e-9


@dataclass(frozen=True, slots=True)
class Segment:
    """A section from `start` to `end`; tapered to `section_end` if that is given."""

    start: float
    end: float
    section: SectionConstants
    section_end: SectionConstants | None = None

    def section_at(self, z: float) -> SectionConstants:
        """Constants at position z."""
        if self.section_end is None:
            return self.section
        share = (z - self.start) / (self.end - self.start)
        return self.section.blended(self.section_end, min(max(share, 0.0), 1.0))


@dataclass(frozen=True, slots=True)
class Member:
    """One member, ready to be solved; checked when it is made.

    Attributes
    ----------
    axis : Axis
    segments : tuple of Segment
        From 0 to the end of the axis, without gaps.
    supports, restraints, loads, combinations : tuples
        Without combinations every load case is solved by itself. The end shears of secondary beams
        are among the loads by themselves.
    points : mapping of names to (x, y) or a Face
        Points of the section that loads refer to and whose displacement is asked for.
    line : (x, y)
        Point of the section that follows the axis; radii are measured to it.
    name : str
    diaphragms : tuple of Diaphragm
        The classical theory does not see them: its sections keep their shape anyway.
    masses : tuple of PointMass
        Only vibration asks for them; their weight is no load.
    hinges : tuple of Hinge
    imposed : tuple of Temperature, Shrinkage or Settlement
        Deformations that come without a force, in load cases like loads.
    tendons : tuple of Tendon
    pitch : Pitch
        Slope and crossfall: which way weights act.
    """

    axis: Axis
    segments: tuple[Segment, ...]
    supports: tuple[Support, ...]
    restraints: tuple[Restraint, ...] = ()
    loads: tuple[Load, ...] = ()
    combinations: tuple[Combination, ...] = ()
    points: Mapping[str, tuple[float, float] | Face] = field(default_factory=dict)
    line: tuple[float, float] = (0.0, 0.0)
    name: str = "member"
    diaphragms: tuple[Diaphragm, ...] = ()
    masses: tuple[PointMass, ...] = ()
    hinges: tuple[Hinge, ...] = ()
    imposed: tuple[Imposed, ...] = ()
    tendons: tuple[Tendon, ...] = ()
    pitch: Pitch = LEVEL

    def __post_init__(self) -> None:
        for word in (
            "segments", "supports", "restraints", "loads", "combinations", "diaphragms", "masses",
            "hinges", "imposed", "tendons",
        ):  # fmt: skip
            object.__setattr__(self, word, tuple(getattr(self, word)))
        object.__setattr__(self, "points", dict(self.points))
        object.__setattr__(self, "loads", with_own_forces(self.loads, self.restraints))
        self.pitch.check(self.axis)
        self._check_segments()
        self._check_positions()
        self._check_places()
        check_hinges(self.hinges, self.axis, _standing(self), SAME_STATION * self.length)
        self._check_cases()

    @classmethod
    def prismatic(
        cls,
        axis: Axis | float,
        section: SectionConstants,
        supports: Iterable[Support],
        **more: object,
    ) -> Member:
        """One section all along; a number for `axis` is the length of a straight member."""
        axis = axis if isinstance(axis, Axis) else Axis.straight(axis)
        segment = Segment(0.0, axis.length, section)
        return cls(axis, (segment,), tuple(supports), **more)  # type: ignore[arg-type]

    @property
    def length(self) -> float:
        """Length along the axis."""
        return self.axis.length

    @property
    def cases(self) -> tuple[str, ...]:
        """Names of the load cases, in order of first use."""
        return tuple(dict.fromkeys(item.case for item in self.acting))

    @property
    def acting(self) -> tuple[Load | Imposed | Tendon, ...]:
        """All that belongs to a load case."""
        return (*self.loads, *self.imposed, *self.tendons)

    @property
    def combined(self) -> tuple[Combination, ...]:
        """The combinations to solve; without any, each case by itself with factor 1."""
        return self.combinations or tuple(Combination(c, {c: 1.0}) for c in self.cases)

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """(start, end) between neighbouring supports that hold the member up; overhangs
        included."""
        held = [s.at for s in self.supports if s.bearings or s.y not in ("free", 0)]
        ends = [] if self.axis.closed else [0.0, self.length]
        stations = sorted({*held, *ends})
        if self.axis.closed and stations:
            stations.append(stations[0] + self.length)
        least = SAME_STATION * self.length
        return tuple((a, b) for a, b in pairwise(stations) if b - a > least)

    def segment_at(self, z: float) -> Segment:
        """The segment at position z; at a joint the one that follows."""
        for segment in self.segments[:-1]:
            if z < segment.end - SAME_STATION * self.length:
                return segment
        return self.segments[-1]

    def section_at(self, z: float) -> SectionConstants:
        """Constants of the section at position z."""
        return self.segment_at(z).section_at(z)

    def locate(self, place: Where, section: SectionConstants) -> tuple[float, float]:
        """A place as a point (x, y) of the given section."""
        if not isinstance(place, Place):
            return (float(place[0]), float(place[1]))
        if isinstance(place.origin, Face):
            x, y = section.face_point(place.origin)
            return (x + place.dx, y + place.dy)
        known: dict[str, tuple[float, float] | Face] = {
            "shear_centre": section.shear_centre,
            "centroid": section.centroid,
            "origin": (0.0, 0.0),
            **self.points,
        }
        if place.origin not in known:
            raise InputError(
                f"point {place.origin!r} is not known{nearest(place.origin, known)}; "
                f"known are {', '.join(known)}"
            )
        found = known[place.origin]
        x, y = section.face_point(found) if isinstance(found, Face) else found
        return (x + place.dx, y + place.dy)

    def with_(self, **changes: object) -> Member:
        """A copy with some attributes changed, checked again."""
        return replace(self, **changes)  # type: ignore[arg-type]

    def _check_segments(self) -> None:
        reach = 0.0
        tolerance = SAME_STATION * self.length
        for n, segment in enumerate(self.segments, 1):
            if abs(segment.start - reach) > tolerance or not segment.end > segment.start:
                raise InputError(
                    f"segment {n} runs from {segment.start:g} to {segment.end:g}, but the one "
                    f"before ends at {reach:g}; segments follow one another without gaps"
                )
            reach = segment.end
            check_radius(self.axis, n, segment, self.line[0])
        if abs(reach - self.length) > tolerance:
            raise InputError(
                f"the segments end at {reach:g}, the axis at {self.length:g}; make them equal"
            )
        check_kinks(self.axis, self.segments, self.line[0])

    def _check_positions(self) -> None:
        tolerance = SAME_STATION * self.length
        seen: list[float] = []
        for support in self.supports:
            at = 0.0 if self.axis.closed and self.length - support.at <= tolerance else support.at
            if any(abs(at - other) <= tolerance for other in seen):
                raise InputError(
                    f"{support.title}: another support stands at {at:g}; make them one"
                )
            seen.append(at)
        titles = [item.title for item in (*self.supports, *self.restraints)]
        for title in titles:
            if titles.count(title) > 1:
                raise InputError(f"two supports or restraints are named {title!r}; rename one")
        for item in (
            *self.supports, *self.restraints, *self.loads, *self.diaphragms, *self.masses,
            *self.imposed, *self.tendons,
        ):  # fmt: skip
            if isinstance(item, SelfWeight | Settlement):
                continue
            if isinstance(item, LineLoad | Deck | Temperature | Shrinkage | Tendon):
                ends: tuple[float, ...] = (item.start, item.end)
            else:
                ends = (item.at,)
            for z in ends:
                if not -tolerance <= z <= self.length + tolerance:
                    raise InputError(
                        f"{item.title}: position {z:g} lies outside the member "
                        f"(0 to {self.length:g})"
                    )

    def _check_places(self) -> None:
        for mass in self.masses:
            self.locate(mass.place, self.segments[0].section)
        for load in self.loads:
            if isinstance(load, PointLoad | LineLoad):
                self.locate(load.place, self.segments[0].section)
                continue
            for segment in self.segments:
                for s in (segment.section, segment.section_end or segment.section):
                    if s.mass_per_length is None:
                        raise InputError(
                            f"self-weight needs the mass of section {s.name!r}: give its material "
                            'a density, like density = "7850 kg/m^3", or, where the section is '
                            'given by its figures, mass = "42 kg/m"'
                        )

    def _check_cases(self) -> None:
        if self.axis.closed and not self.supports:
            raise InputError("a ring needs supports; none are given")
        check_combinations(self.combinations, self.cases)


def _standing(member: Member) -> list[tuple[float, str, dict[str, bool]]]:
    """What takes hold of which freedoms at single stations, for hinges."""
    found: list[tuple[float, str, dict[str, bool]]] = []
    for s in member.supports:
        held = {f: getattr(s, f) not in (None, "free", 0) for f in (*PASSED, "warping")}
        held["y"] |= bool(s.bearings)
        held["twist"] |= len(s.bearings) > 1
        found.append((s.at, s.title, held))
    for r in member.restraints:
        if isinstance(r, TwistSpring | SecondaryBeam):
            found.append((r.at, r.title, {"twist": True, "y": isinstance(r, SecondaryBeam)}))
        elif isinstance(r, LateralSpring):
            found.append((r.at, r.title, {"x": True}))
    for p in member.loads:
        if isinstance(p, PointLoad):
            acting = (*p.force, *p.moment, p.bimoment)
            words = (*PASSED, "warping")
            found.append((p.at, p.title, {f: v != 0 for f, v in zip(words, acting, strict=True)}))
    return found
