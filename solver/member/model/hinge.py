"""Hinges and half-joints between supports: what one piece of a member passes on to the next.

Freedoms are those of supports, of the piece beyond against the piece before: x across, y up, z
along. What is continuous passes on its force; what is free passes on none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ....geometry.errors import InputError
from .axis import Axis
from .load import Where

Passing = Literal["continuous", "free"] | float
"""Passed on, free, or a spring stiffness (force per length, moment per angle)."""

WarpingPassed = Literal["free", "held", "continuous"]

#: Freedoms of a hinge besides warping.
PASSED = ("x", "y", "z", "bend_x", "bend_y", "twist")


@dataclass(frozen=True, slots=True)
class Hinge:
    """A hinge or half-joint at one station.

    Attributes
    ----------
    at : float
        Position along the member, between its ends.
    x, y, z, bend_x, bend_y, twist : Passing
    warping : "free", "held" or "continuous"
        Free on both sides; held on both sides, each by an end plate of its own that nothing warps;
        or passed on.
    point : (x, y) or Place, optional
        Point of the section that the pieces turn about; where it is left out they bend about the
        centroid and twist about the shear centre.
    name : str
    seats : tuple of (x, y)
        Two bearings of a half-joint, which share by statics what it passes on across and in
        torsion; none are told where it is empty.
    """

    at: float
    x: Passing = "continuous"
    y: Passing = "continuous"
    z: Passing = "continuous"
    bend_x: Passing = "continuous"
    bend_y: Passing = "continuous"
    twist: Passing = "continuous"
    warping: WarpingPassed = "free"
    point: Where | None = None
    name: str = ""
    seats: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        self._check_seats()
        for freedom in PASSED:
            value = getattr(self, freedom)
            if isinstance(value, str):
                if value not in ("continuous", "free"):
                    raise InputError(
                        f"{self.title}: {freedom} is {value!r}; say 'continuous', 'free' or a "
                        "stiffness"
                    )
            elif not (math.isfinite(value) and value >= 0):
                raise InputError(
                    f"{self.title}: {freedom} stiffness must not be negative, got {value}"
                )
        check_warping(self.title, self.warping)
        if not self.loose and self.warping == "continuous":
            raise InputError(
                f"{self.title}: everything passes on; free something, like bend_x = 'free', or "
                "drop the hinge"
            )

    def _check_seats(self) -> None:
        if not self.seats:
            return
        if len(self.seats) != 2 or self.seats[0][0] == self.seats[1][0]:
            raise InputError(
                f"{self.title}: seats are two points at different x; statics does not tell how "
                'more share their load, and a single one is point with twist = "free"'
            )
        if self.y != "continuous" or self.twist != "continuous":
            raise InputError(
                f"{self.title}: two seats pass y and twist on; leave both as they are, or seats out"
            )

    def seat_forces(
        self, up: float, across: float, torque: float, shear_centre: tuple[float, float]
    ) -> tuple[float, float]:
        """Vertical forces of both seats, of V_y, V_x and T at the shear centre; what acts across
        passes at the level of the seats."""
        (first, low), (last, high) = self.seats
        x, y = shear_centre
        about = torque + across * ((low + high) / 2 - y)
        other = (about - up * (first - x)) / (last - first)
        return up - other, other

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"hinge at {self.at:g}"

    @property
    def loose(self) -> tuple[str, ...]:
        """Freedoms that are not passed on rigidly."""
        return tuple(f for f in PASSED if getattr(self, f) != "continuous")

    @property
    def free(self) -> tuple[str, ...]:
        """Freedoms that pass on nothing."""
        return tuple(f for f in PASSED if getattr(self, f) in ("free", 0.0))


def check_warping(title: str, warping: str) -> None:
    """One of the three words."""
    if warping not in ("free", "held", "continuous"):
        raise InputError(
            f"{title}: warping is {warping!r}; say 'free', 'held' (by end plates) or 'continuous'"
        )


def check_hinges(
    hinges: Sequence[Hinge],
    axis: Axis,
    standing: Sequence[tuple[float, str, Mapping[str, bool]]],
    least: float,
) -> None:
    """Hinges lie between the member's ends, apart from one another and from kinks, and nothing at
    their station, or at that of a kink, takes hold of what is parted there.

    Parameters
    ----------
    standing : sequence of (station, title, freedoms that it takes hold of)
    least : float
        Stations nearer than this are one.

    Raises
    ------
    InputError
        In words.
    """
    length = axis.length
    for kink in axis.kinks:
        if kink.warping != "continuous":
            _check_apart(kink.title, kink.at, {"warping"}, standing, least)
    for n, hinge in enumerate(hinges):
        low, high = (0.0 if axis.closed else least, length - least)
        if any(abs(kink.at - hinge.at) <= least for kink in axis.kinks):
            raise InputError(
                f"{hinge.title}: the axis has a kink right there; set the hinge a little beside it"
            )
        if not low <= hinge.at <= high:
            raise InputError(
                f"{hinge.title}: position {hinge.at:g} is not between the member's ends (0 and "
                f"{length:g}); at an end the support says what it holds"
            )
        for other in hinges[:n]:
            if abs(other.at - hinge.at) <= least:
                raise InputError(
                    f"{hinge.title}: another hinge stands at {hinge.at:g}; make them one"
                )
            if other.title == hinge.title:
                raise InputError(f"two hinges are named {hinge.title!r}; rename one")
        loose = {*hinge.loose, *(("warping",) if hinge.warping != "continuous" else ())}
        _check_apart(hinge.title, hinge.at, loose, standing, least)


def _check_apart(
    title: str,
    station: float,
    loose: set[str],
    standing: Sequence[tuple[float, str, Mapping[str, bool]]],
    least: float,
) -> None:
    for at, name, held in standing:
        if abs(at - station) > least:
            continue
        for freedom in held:
            if held[freedom] and freedom in loose:
                raise InputError(
                    f"{title}: {name} takes hold of {freedom} right where it is parted; set one of "
                    "the two a little beside the other, on the side that is meant"
                )
