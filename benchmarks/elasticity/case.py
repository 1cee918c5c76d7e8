"""What a reference case is: geometry, material, supports, loads, and the points it is asked at."""

from __future__ import annotations

from dataclasses import dataclass

from .grid import Plate


@dataclass(frozen=True, slots=True)
class Material:
    """An elastic material: E in N/mm^2, Poisson's ratio."""

    name: str
    modulus: float
    poisson: float


STEEL = Material("steel", 210_000.0, 0.3)


@dataclass(frozen=True, slots=True)
class Station:
    """What holds a section at a place z along the axis.

    Attributes
    ----------
    z : float
    kind : "fixed" (no displacement at all), "in-plane held" (u_x = u_y = 0 all over the section,
        u_z free) or "rigid" (the section moves in its plane as a rigid body, u_z free).
    held : tuple of (x, y, direction)
        For a rigid section, motions that its supports hold: direction "x" or "y" at a point (x, y),
        or "twist" (the point does not matter).
    """

    z: float
    kind: str
    held: tuple[tuple[float, float, str], ...] = ()


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load along the line (x, y) of the section from one place of the axis to another.

    `force` is in N per mm of the load's own line, along the section's x and y and along z. On a
    tapered member (x, y) is the line's place at z = 0, the line moves with the section, and the
    load is per mm of z.
    """

    x: float
    y: float
    start: float
    end: float
    force: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class EndTorque:
    """A torque (N mm, turning x toward y) on a section that a "rigid" station holds in shape."""

    z: float
    torque: float


@dataclass(frozen=True, slots=True)
class Case:
    """One reference case. Lengths in mm, forces in N, stresses in N/mm^2.

    Attributes
    ----------
    name, about : str
    plates : rectangles that together are the section; where two overlap the later one's material
        counts. A plate with a span exists there only.
    length, radius : of the axis (x = y = 0 of the section). A positive radius has its centre
        on the side of -x, a negative one on that of +x.
    displacements : points (x, y, z) at which u_x, u_y, u_z are asked, in the section's own axes.
    stresses : points at which the six stresses are asked (xx, yy, zz, yz, xz, xy), likewise.
        Points of a tapered member are where they are: (x, y) at that z.
    lines : more lines of the grid in x and in y, so that loads and points have nodes.
    corner, thin : how the grid is refined, see `grid`.
    fine, coarse : the shortest slab, next to what disturbs, and the longest.
    breaks : more places of planes.
    taper : between which z plates with far sides move; None is the whole length.
    kink : its z, its angle in radians, positive with the inner side at -x, and the length on either
        side over which planes lean until they meet in the bisecting one. Points are along the axes
        of their own piece.
    order : of the elements; the reference is solved at this order and at one more.
    """

    name: str
    about: str
    plates: tuple[Plate, ...]
    length: float
    stations: tuple[Station, ...]
    loads: tuple[LineLoad | EndTorque, ...]
    displacements: tuple[tuple[float, float, float], ...]
    stresses: tuple[tuple[float, float, float], ...]
    radius: float | None = None
    materials: tuple[Material, ...] = (STEEL,)
    lines: tuple[tuple[float, ...], tuple[float, ...]] = ((), ())
    corner: tuple[float, ...] = ()
    thin: float = 25.0
    fine: float = 100.0
    coarse: float = 2000.0
    breaks: tuple[float, ...] = ()
    order: int = 4
    taper: tuple[float, float] | None = None
    kink: tuple[float, float, float] | None = None
