"""Limits the user sets on a solved member, and how far each is used, in words.

Customary values and their sources are in `serviceability`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.solution import Solution, govern
from ..deforming.node_places import looked_at
from ..model.load import Place
from .serviceability import Allowed, masonry_limit, span_limit, twist_limit

Array = NDArray[np.float64]

#: Stations per member at which displacements are searched for their largest value.
SEARCH = 400
#: A movement below this share of what is allowed is none.
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class TwistLimit:
    """Largest twist in degrees, over the combinations and after the stages named (all without
    names); `added` holds it against what a stage adds alone."""

    degrees: float = 2.0
    combinations: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    added: bool = False


@dataclass(frozen=True, slots=True)
class MovementLimit:
    """Largest displacement of a point of the section, deflection plus twist times arm.

    Attributes
    ----------
    point : str, Place or (x, y)
        "shear_centre", "centroid", a named point, or coordinates.
    direction : "x" or "y"
    span_ratio : float, optional
        Limit span / ratio, for each span between supports that hold y (overhangs count as spans of
        their own length).
    absolute : float, optional
        Limit in the member's length unit. With both, the lesser holds.
    masonry_unit : str, optional
        Take the customary masonry limits in place of the two: the length unit of the member.
    masonry_ratio, masonry_inches : float, optional
        The two parts of that limit; None switches one off.
    combinations : tuple of str
        For example those with the load that comes after the masonry only.
    stages : tuple of str
        After which it is judged, none stands for all.
    added : bool
        Of what the stage adds alone, as for masonry that comes in it.
    """

    point: str | Place | tuple[float, float] = "shear_centre"
    direction: str = "y"
    span_ratio: float | None = None
    absolute: float | None = None
    masonry_unit: str | None = None
    masonry_ratio: float | None = 600.0
    masonry_inches: float | None = 0.3
    combinations: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    added: bool = False

    def __post_init__(self) -> None:
        if self.direction not in ("x", "y"):
            raise InputError(f"displacement direction is {self.direction!r}; say 'x' or 'y'")
        if self.span_ratio is None and self.absolute is None and self.masonry_unit is None:
            raise InputError("a displacement limit needs span_ratio, absolute or masonry_unit")

    def allowed(self, span: float) -> Allowed:
        """The limit for one span."""
        if self.masonry_unit is not None:
            return masonry_limit(
                span,
                self.masonry_unit,
                ratio=self.masonry_ratio,
                absolute_inches=self.masonry_inches,
            )
        choices = []
        if self.span_ratio is not None:
            choices.append(span_limit(span, self.span_ratio))
        if self.absolute is not None:
            if not self.absolute > 0:
                raise InputError(f"displacement limit must be positive, got {self.absolute}")
            words = f"displacement of {self.absolute:g}"
            choices.append(Allowed(self.absolute, words, "set by the user", "given"))
        return min(choices, key=lambda a: a.value)


Limit = TwistLimit | MovementLimit


@dataclass(frozen=True, slots=True)
class Utilisation:
    """One line of the table: `value` of `allowed` at `station` under `combination`.

    Twist is in radians.
    """

    limit: str
    value: float
    allowed: float
    station: float
    combination: str
    source: str
    provenance: str

    @property
    def ratio(self) -> float:
        """|value| / allowed."""
        return abs(self.value) / self.allowed

    @property
    def passed(self) -> bool:
        """Whether the limit is met."""
        return self.ratio <= 1

    @property
    def words(self) -> str:
        """Pass or fail, with the governing case."""
        outcome = "OK" if self.passed else "exceeded"
        return (
            f"{self.limit}: {outcome}, {self.ratio:.2f} of it at {self.station:.4g} "
            f"under {self.combination!r} [{self.source}, {self.provenance}]"
        )


def utilisation(solution: Solution, limits: Iterable[Limit]) -> tuple[Utilisation, ...]:
    """One row for each limit, and for each span where the limit depends on it."""
    rows: list[Utilisation] = []
    for limit in limits:
        columns = _columns(solution, limit.combinations)
        names = [solution.names[c] for c in columns]
        if isinstance(limit, TwistLimit):
            allowed = twist_limit(limit.degrees)
            table = solution.diagram(count=SEARCH)
            worst = govern(table.phi[:, columns], table.z, names)
            rows.append(movement_row(allowed, allowed.words, worst))
            continue
        spans = solution.mesh.member.spans
        if limit.span_ratio is None and limit.masonry_unit is None:
            spans = ((0.0, solution.mesh.member.length),)
        for n, (start, end) in enumerate(spans, 1):
            z = looked_at(solution.mesh.member, SEARCH, start, end) % _wrap(solution)
            moved = solution.movement(limit.point, z)["xy".index(limit.direction)]
            allowed = limit.allowed(end - start)
            title = allowed.words + (f" in span {n}" if len(spans) > 1 else "")
            rows.append(movement_row(allowed, title, govern(moved[:, columns], z, names)))
    return tuple(rows)


def movement_row(allowed: Allowed, title: str, worst: tuple[float, float, str]) -> Utilisation:
    """The row of a worst value with its station and combination; rounding is none."""
    value, station, name = worst
    if abs(value) <= ROUNDING * allowed.value:
        value = 0.0
    return Utilisation(
        title, value, allowed.value, station, name, allowed.source, allowed.provenance
    )


def _columns(solution: Solution, names: tuple[str, ...]) -> list[int]:
    return [solution.column(n) for n in names] if names else list(range(len(solution.names)))


def _wrap(solution: Solution) -> float:
    """Length after which stations repeat: that of a ring, none otherwise."""
    member = solution.mesh.member
    return member.length if member.axis.closed else np.inf
