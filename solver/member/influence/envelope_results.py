"""The results of an envelope: what supports carry and how they move, what acts in the spans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..model.held_point import held_point
from ..model.hinge import Hinge
from ..model.load import Place, Where
from ..model.member import SAME_STATION, Member
from ..model.support import Support
from ..review.movement_limits import Limit, MovementLimit
from ..review.stress_limit import StressLimit
from .asked import AskedResult

#: Named points whose deflection is followed, at most.
MOST_POINTS = 2


def envelope_results(
    member: Member, limits: Sequence[Limit | StressLimit] = ()
) -> tuple[AskedResult, ...]:
    """Reactions and bearings; M_x, V_y, T and twist of the spans; deflection of the points that
    limits hold (or of the first that are named); seats of half-joints; movement and rotation at
    supports."""
    found: list[AskedResult] = []
    for support in member.supports:
        found += _carried(support)
    for n, (start, end) in enumerate(member.spans, 1):
        found += _in_span(member, n, start, end, _followed(member, limits))
    for hinge in member.hinges:
        found += seats_of(hinge)
    for support in member.supports:
        found += bearing_movements(member, support)
    return tuple(found)


def seats_of(hinge: Hinge) -> list[AskedResult]:
    """The seats of a half-joint."""
    return [
        AskedResult("seat", "R_y", f"seat {n} of {hinge.title}", hinge.at, hinge.title, n)
        for n in range(1, len(hinge.seats) + 1)
    ]


def _carried(support: Support) -> Iterator[AskedResult]:
    title, at = support.title, support.at
    held = ("free", 0)
    if support.bearings:
        for n in range(1, len(support.bearings) + 1):
            yield AskedResult("bearing", "R_y", f"bearing {n} of {title}", at, title, n)
    elif support.y not in held:
        yield AskedResult("reaction", "R_y", f"reaction of {title}", at, title)
    for freedom, word in (("x", "R_x"), ("z", "R_z")):
        value = getattr(support, freedom)
        if value is not None and value not in held:
            yield AskedResult("reaction", word, f"{word} of {title}", at, title)
    if support.twist not in held or len(support.bearings) > 1:
        yield AskedResult("reaction", "T", f"T of {title}", at, title)


def _in_span(
    member: Member, n: int, start: float, end: float, points: Sequence[tuple[str, Where]]
) -> Iterator[AskedResult]:
    middle, words = member.axis.round((start + end) / 2), f"middle of span {n}"
    yield AskedResult("action", "M_x", f"M_x at {words}", middle)
    if member.axis.closed or end < member.length * (1 - SAME_STATION):
        yield AskedResult("action", "M_x", f"M_x at end of span {n}", member.axis.round(end))
    yield AskedResult("action", "V_y", f"V_y at start of span {n}", start)
    yield AskedResult("action", "T", f"T at {words}", middle)
    yield AskedResult("action", "T", f"T at start of span {n}", start)
    yield AskedResult("twist", "twist", f"twist at {words}", middle)
    for title, place in points:
        yield AskedResult(
            "displacement", "u_y", f"displacement of {title} at {words}", middle, place=place
        )


def _followed(member: Member, limits: Sequence[Limit | StressLimit]) -> list[tuple[str, Where]]:
    found: dict[str, Where] = {}
    for limit in limits:
        if isinstance(limit, MovementLimit) and limit.direction == "y":
            point = limit.point
            title = point if isinstance(point, str) else str(point)
            found[title] = Place(point) if isinstance(point, str) else point
    if not found:
        found = {name: Place(name) for name in list(member.points)[:MOST_POINTS]}
    if not found:
        found = {"shear_centre": Place("shear_centre")}
    return [(title.replace("_", " "), place) for title, place in found.items()]


def bearing_movements(member: Member, support: Support) -> Iterator[AskedResult]:
    """Movement along and across, and rotation along the member and in plan, of a support that
    carries vertically; where it holds one of them that is none."""
    if not support.bearings and support.y in ("free", 0):
        return
    title, at = support.title, support.at
    place: Where = Place("shear_centre") if support.point is None else support.point
    if support.bearings:
        middle = sum(b.x for b in support.bearings) / len(support.bearings)
        place = (middle, held_point(member, support.with_(point=None))[1])
    for word in ("u_z", "u_x"):
        yield AskedResult("displacement", word, f"{word} at {title}", at, title, place=place)
    yield AskedResult("twist", "twist", f"twist at {title}", at, title)
    for word in ("theta_x", "theta_y"):
        yield AskedResult("rotation", word, f"{word} at {title}", at, title)
