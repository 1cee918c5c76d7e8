"""The worst places of an envelope as loads and combinations of their own, so that limits, stresses,
bearings that uplift and all else is found under them as under any other combination."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..file.request import MemberRequest
from ..model.load import Combination, LineLoad, Load, PointLoad
from ..model.member import SAME_STATION, Member
from ..review.movement_limits import MovementLimit, TwistLimit
from ..review.stress_limit import StressLimit
from .asked import AskedResult
from .envelope import Envelope, EnvelopeExtreme, envelope_of
from .traffic import Standing

#: Ends of crowds at zeros of an influence line are put on this many equal parts of each span: a
#: zero misplaced by half a part changes the sum by about a thousandth.
PARTS = 24


@dataclass(frozen=True, slots=True, eq=False)
class WorstPlace:
    """One arrangement.

    Attributes
    ----------
    name : str
        Of its combination in the member.
    extreme : EnvelopeExtreme
    worst_for : tuple of str
        Results, each with "max" or "min".
    """

    name: str
    extreme: EnvelopeExtreme
    worst_for: tuple[str, ...]


def arranged(
    request: MemberRequest, envelope: Envelope
) -> tuple[MemberRequest, tuple[WorstPlace, ...]]:
    """The request with the arrangements that its limits and bearings ask for as loads and
    combinations of its member."""
    picked: dict[tuple[object, ...], tuple[EnvelopeExtreme, list[str]]] = {}
    for extreme in _asked_for(request, envelope):
        if envelope.combinations[extreme.combination].solved or not extreme.value:
            continue
        title = envelope.influence.asked[extreme.result].title
        said = f"{title} {'max' if extreme.maximum else 'min'}"
        rows = picked.setdefault(_key(extreme), (extreme, []))[1]
        if said not in rows:
            rows.append(said)
    found, loads, combinations = [], list(request.member.loads), []
    for n, (extreme, worst) in enumerate(picked.values(), 1):
        base = envelope.combinations[extreme.combination].name
        one = WorstPlace(f"{base}, arrangement {n}", extreme, tuple(worst))
        factors = dict(extreme.factors)
        cleared = _cleared(request, extreme.standing)
        for standing in extreme.standing:
            case = f"{standing.name}, arrangement {n}"
            own = list(_loads(request, standing, case, cleared))
            if own:
                loads += own
                factors[case] = standing.factor
        combinations.append(Combination(one.name, factors))
        found.append(one)
    before = request.member
    member = before.with_(loads=loads, combinations=(*before.combinations, *combinations))
    return _limited(replace(request, member=member), found, envelope), tuple(found)


def _key(extreme: EnvelopeExtreme) -> tuple[object, ...]:
    """Extremes of one arrangement are alike in this."""
    places = tuple(
        (
            (s.name, s.place.line, s.place.forward),
            tuple(round(z, 3) for z in s.place.axles),
            tuple((k, round(a, 1), round(b, 1)) for k, a, b in s.place.parts),
        )
        for s in extreme.standing
    )
    return (extreme.combination, tuple(sorted(extreme.factors.items())), places)


def standing_request(request: MemberRequest) -> MemberRequest:
    """The request with what travels where it does most, as still loads and combinations.

    Raises
    ------
    InputError
        As `envelope_of` does.
    """
    return replace(arranged(request, envelope_of(request))[0], variable=())


# -- which ----------------------------------------------------------------------------------------
def _asked_for(request: MemberRequest, envelope: Envelope) -> Iterator[EnvelopeExtreme]:
    """Extremes whose arrangements decide: of what limits hold, of moments and torque, and of
    bearings that may uplift."""
    asked = envelope.influence.asked
    every = list(range(len(envelope.combinations)))
    for limit in request.limits or (TwistLimit(),):
        among = _among(envelope, getattr(limit, "combinations", ())) or []
        if not among:
            continue
        if isinstance(limit, TwistLimit):
            yield from _largest(envelope, _of(asked, "twist"), among)
        elif isinstance(limit, MovementLimit) and limit.direction == "y":
            for c in _of(asked, "displacement"):
                if asked[c].component == "u_y":
                    yield from _larger(envelope, c, among)
        elif isinstance(limit, StressLimit):
            yield from _stressing(envelope, among)
    yield from _stressing(envelope, every)
    for c in envelope.uplift:
        yield envelope.governing(c, False)


def _among(envelope: Envelope, names: Sequence[str]) -> list[int]:
    """Numbers of the combinations that a limit names; all where it names none."""
    return [
        k
        for k, one in enumerate(envelope.combinations)
        if not names or any(n == one.name or n.startswith(f"{one.name}: ") for n in names)
    ]


def _of(asked: Sequence[AskedResult], kind: str) -> list[int]:
    return [c for c, one in enumerate(asked) if one.kind == kind]


def _largest(
    envelope: Envelope, results: Sequence[int], among: Sequence[int]
) -> Iterator[EnvelopeExtreme]:
    """The maximum and the minimum of several results of one kind."""
    if results:
        for maximum, sign in ((True, 1.0), (False, -1.0)):
            rows = [envelope.governing(c, maximum, among) for c in results]
            yield max(rows, key=lambda e, s=sign: s * e.value)  # type: ignore[misc]


def _larger(envelope: Envelope, c: int, among: Sequence[int]) -> Iterator[EnvelopeExtreme]:
    """Of maximum and minimum of one result that of larger size."""
    rows = [envelope.governing(c, maximum, among) for maximum in (True, False)]
    yield max(rows, key=lambda e: abs(e.value))


def _stressing(envelope: Envelope, among: Sequence[int]) -> Iterator[EnvelopeExtreme]:
    """Moments of every span and support, and the largest torque."""
    asked = envelope.influence.asked
    for c, one in enumerate(asked):
        if one.kind == "action" and one.component == "M_x":
            yield from _larger(envelope, c, among)
    torques = [c for c in _of(asked, "action") if asked[c].component == "T"]
    yield from _largest(envelope, torques, among)


# -- as loads -------------------------------------------------------------------------------------
def _cleared(request: MemberRequest, standing: Sequence[Standing]) -> frozenset[float]:
    """Ends of what vehicles keep clear of crowd: no zeros of a line, so they stay there."""
    vehicles = {v.name for v in request.vehicles}
    return frozenset(
        z for s in standing if s.name in vehicles for _, *ends in s.place.parts for z in ends
    )


def _loads(
    request: MemberRequest, standing: Standing, case: str, cleared: frozenset[float]
) -> Iterator[Load]:
    place, member = standing.place, request.member
    vehicle = next((v for v in request.vehicles if v.name == standing.name), None)
    if vehicle is not None:
        wheels = vehicle.wheels(place.line)
        for z, force in zip(place.axles, place.forces, strict=True):
            for wheel in wheels:
                down = member.pitch.weight(force / len(wheels))
                yield PointLoad(z, down, wheel, case=case, name=case, placed=True)
        return
    crowd = next(c for c in request.crowds if c.name == standing.name)
    for strip, start, end in place.parts:
        a, b = (z if z in cleared else _snapped(member, z) for z in (start, end))
        where, width = crowd.strips[strip]
        if b > a:
            down = member.pitch.weight(crowd.pressure * width)
            yield LineLoad(
                a, b, down, place=where, measured_along="line", case=case, name=case, placed=True
            )


def _snapped(member: Member, z: float) -> float:
    """The nearest of equal parts of a span; what goes round over a ring's start goes on there."""
    if member.axis.closed and min(z, member.length - z) <= SAME_STATION * member.length:
        return z
    for start, end in member.spans:
        if z <= end:
            step = (end - start) / PARTS
            near = start + round((z - start) / step) * step
            return min(max(near, 0.0), member.length)
    return member.length


def _limited(
    request: MemberRequest, found: Sequence[WorstPlace], envelope: Envelope
) -> MemberRequest:
    """Limits and codes that name combinations name their arrangements too."""
    solved = {c.name for c in request.member.combined}
    base = {a.name: envelope.combinations[a.extreme.combination].name for a in found}

    def named(one: object) -> object:
        chosen: tuple[str, ...] = getattr(one, "combinations", ())
        if not chosen:
            return one
        more = [name for name, own in base.items() if own in chosen]
        kept = (*(n for n in chosen if n in solved), *more)
        return replace(one, combinations=kept) if kept else None  # type: ignore[type-var]

    limits = tuple(n for n in map(named, request.limits) if n is not None)
    codes = tuple(n for n in map(named, request.codes) if n is not None)
    return replace(request, limits=limits, codes=codes)  # type: ignore[arg-type]
