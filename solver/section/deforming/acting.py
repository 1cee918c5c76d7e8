"""What acts on a section of a member: forces, levels that are held, curvature, supports."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Force:
    """A force at a point of the section, over a length of the member.

    Attributes
    ----------
    point : (x, y)
        y None is the lowest material at x.
    direction : int
        0 for x, 1 for y.
    length : float
    """

    point: tuple[float, float | None]
    direction: int
    length: float


@dataclass(frozen=True, slots=True)
class LevelHold:
    """What takes hold of the material along a level, over a length of the member: its movement
    across, its rotation, or both.

    Attributes
    ----------
    level : float
        y.
    across, turn : bool
    length : float
    """

    level: float
    across: bool
    turn: bool
    length: float


@dataclass(frozen=True, slots=True)
class Acting:
    """What acts on a section: forces at points and what is held along levels, the pull of a curve
    in plan, and supports and diaphragms that hold its shape somewhere.

    With `coarse` the largest wave number of each answer is left out: what it adds shows how far
    the answers have settled.
    """

    forces: tuple[Force, ...] = ()
    levels: tuple[LevelHold, ...] = ()
    curved: bool = False
    held: bool = False
    warping_held: bool = False
    coarse: bool = False
