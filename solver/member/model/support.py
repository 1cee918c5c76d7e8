"""Supports: at one station, each freedom is free, held, or a spring; bearings act at points of the
section.

Freedoms are those of the member's own frame at the station: x across, y up, z along.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from ....geometry.errors import InputError
from .faces import Height
from .load import Where

Hold = Literal["free", "held"] | float
"""Free, held rigidly, or a spring stiffness (force per length, moment per angle, bimoment per rate
of twist)."""

FREEDOMS = ("x", "y", "z", "bend_x", "bend_y", "twist", "warping")


@dataclass(frozen=True, slots=True)
class Bearing:
    """A vertical bearing at a point (x, y) of the section.

    `stiffness` None is rigid. It only pushes up, so the member may uplift, unless `holds_down`.
    `moved` is how far up the member stands above it before these loads come.
    """

    x: float
    y: float | Height | None = None
    stiffness: float | None = None
    holds_down: bool = False
    moved: float = 0.0

    def __post_init__(self) -> None:
        if self.stiffness is not None and not 0 < self.stiffness < math.inf:
            raise InputError(
                f"bearing at x = {self.x:g}: stiffness must be positive, got {self.stiffness}; "
                "leave it out for rigid"
            )


@dataclass(frozen=True, slots=True)
class Support:
    """What one support holds.

    Attributes
    ----------
    at : float
        Position along the member.
    x, y, z : Hold
        Displacement of the support's point across, up and along. `z` None leaves the choice to the
        solver: if no support holds the member along its length, the first that leaves it open does.
    bend_x, bend_y : Hold
        Rotations about x and y.
    twist, warping : Hold
        Rotation phi about z, and rate of twist.
    point : (x, y) or Place, optional
        Point of the section whose displacement is held and where the reaction acts; if not given,
        between its bearings, where their level is, else the shear centre.
    twist_slip : float
        Angle the support lets the member turn either way before it engages.
    turned : float
        Angle by which the member has turned there before these loads come.
    lever_arm : float, optional
        Distance of the flanges or bolt rows that hold the torque, for the couple of the connection.
    bearings : tuple of Bearing
        Vertical bearings in place of `y` (and of `twist`, when there are two).
    name : str
    joint : str
        Name of the joint that it is, if one was named.
    plumb : bool
        Whether its x, y and z (and its bearings) are level across, vertical and level along, where
        the member slopes; else they are the member's own.
    """

    at: float
    x: Hold = "free"
    y: Hold = "free"
    z: Hold | None = None
    bend_x: Hold = "free"
    bend_y: Hold = "free"
    twist: Hold = "free"
    warping: Hold = "free"
    point: Where | None = None
    twist_slip: float = 0.0
    turned: float = 0.0
    lever_arm: float | None = None
    bearings: tuple[Bearing, ...] = ()
    name: str = ""
    joint: str = ""
    plumb: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "bearings", tuple(self.bearings))
        for freedom in FREEDOMS:
            value = getattr(self, freedom)
            if value is None and freedom == "z":
                continue
            if isinstance(value, str):
                if value not in ("free", "held"):
                    raise InputError(
                        f"{self.title}: {freedom} is {value!r}; say 'free', 'held' or a stiffness"
                    )
            elif not (math.isfinite(value) and value >= 0):
                raise InputError(
                    f"{self.title}: {freedom} stiffness must not be negative, got {value}"
                )
        if not (math.isfinite(self.twist_slip) and self.twist_slip >= 0):
            raise InputError(
                f"{self.title}: twist_slip must be an angle of zero or more, got {self.twist_slip}"
            )
        if self.lever_arm is not None and not self.lever_arm > 0:
            raise InputError(f"{self.title}: lever_arm must be positive, got {self.lever_arm}")
        if self.bearings and self.y != "free":
            raise InputError(
                f"{self.title}: give either y or bearings, not both; bearings already hold y"
            )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"support at {self.at:g}"

    def with_(self, **changes: object) -> Support:
        """A copy with some attributes changed."""
        return replace(self, **changes)  # type: ignore[arg-type]


def fork(at: float, **changes: object) -> Support:
    """A fork: no movement across or up, no twist; free to bend and to warp."""
    return Support(at, x="held", y="held", twist="held").with_(**changes)


def warping_held(at: float, **changes: object) -> Support:
    """A fork that also holds warping (box stiffeners, or flanges welded to something stiff); free
    to bend."""
    return fork(at, warping="held").with_(**changes)


def fixed(at: float, **changes: object) -> Support:
    """Everything held."""
    held = dict.fromkeys(FREEDOMS, "held")
    return Support(at, **held).with_(**changes)  # type: ignore[arg-type]


def free_end(at: float, **changes: object) -> Support:
    """Nothing held: names the free end of a cantilever."""
    return Support(at).with_(**changes)


def bearing_pair(
    at: float,
    spacing: float,
    *,
    centre: float = 0.0,
    level: float | Height | None = None,
    stiffness: float | None = None,
    holds_down: bool = False,
    **changes: object,
) -> Support:
    """Two vertical bearings `spacing` apart about x = `centre`, guided across; they hold torque by
    their couple."""
    if not 0 < spacing < math.inf:
        raise InputError(f"bearing pair at {at:g}: spacing must be positive, got {spacing}")
    pair = tuple(
        Bearing(centre + side * spacing / 2, level, stiffness, holds_down) for side in (-1.0, 1.0)
    )
    return Support(at, x="held", bearings=pair).with_(**changes)
