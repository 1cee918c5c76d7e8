"""A joint laid out: where its bolts and welds are, what its plates measure, what gives way in it.

Axes of a joint: the origin on the face of the support at mid-height of the bolts, x away from the
face along the arriving member, y up, z = x cross y. Lengths in mm, forces in N, stresses in MPa.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from .bolt_group import polar_sum
from .bolt_size import Bolt
from .component_stiffness import in_series

Array = NDArray[np.float64]
Vector = tuple[float, float, float]
#: The plane that fasteners lie in: "side" is x-y (a web), "face" y-z (the support), "flat" z-x.
Plane = Literal["side", "face", "flat"]
#: Axes (a, b, n) of each plane, n = a cross b.
AXES: dict[Plane, tuple[int, int, int]] = {"side": (0, 1, 2), "face": (1, 2, 0), "flat": (2, 0, 1)}
Fit = Literal["clearance", "fitted", "preloaded"]


@dataclass(frozen=True, slots=True)
class Ply:
    """A plate that bolts bear on: `thickness` and ultimate strength of all plates on that side,
    `edge` from the last bolt to its end and `pitch` of the bolts, None for one row."""

    name: str
    thickness: float
    ultimate: float
    edge: float
    pitch: float | None


@dataclass(frozen=True, slots=True, eq=False)
class BoltPlace:
    """Bolts of one plane.

    Attributes
    ----------
    name : str
    plane : "side", "face" or "flat"
    points : (n, 3)
    bolt : Bolt
    hole : float
        Diameter of the holes.
    fit : "clearance", "fitted" or "preloaded"
    planes : int
        Shear planes of each bolt.
    plies : tuple of Ply
    presses : (m, 3)
        Where the plate presses on what lies under it; empty where bolts push too.
    """

    name: str
    plane: Plane
    points: Array
    bolt: Bolt
    hole: float
    fit: Fit
    planes: int
    plies: tuple[Ply, ...]
    presses: Array

    @property
    def flat_points(self) -> Array:
        """(n, 2) points in the plane's own axes (a, b)."""
        return np.asarray(self.points[:, AXES[self.plane][:2]])

    @property
    def slip_angle(self) -> float:
        """Turn either way, from the middle of the holes, until the farthest bolts bear.

        Both plies have holes; each gives half of hole less bolt either way. Infinite for one bolt
        alone, which holds no turn.
        """
        points = self.flat_points
        reach = float(np.hypot(*(points - points.mean(axis=0)).T).max())
        if reach <= 0:
            return math.inf
        return self.slip / reach

    @property
    def slip(self) -> float:
        """Shift either way from the middle of the holes."""
        return max(self.hole - self.bolt.diameter, 0.0) if self.fit == "clearance" else 0.0

    def turning(self, each: float) -> float:
        """Moment per angle of the group in its plane, from the stiffness of each bolt."""
        polar = polar_sum(self.flat_points)
        return 0.0 if polar <= 0 else each * polar


@dataclass(frozen=True, slots=True, eq=False)
class WeldPlace:
    """Weld lines on one plane parallel to the face: `lines` (n, 2, 3), `names` of each, the throat
    and leg of them all."""

    name: str
    lines: Array
    names: tuple[str, ...]
    throat: float
    leg: float


@dataclass(frozen=True, slots=True)
class PlateView:
    """A plate as a rectangle for drawing and checks: (a0, b0, a1, b1) in its plane's axes."""

    name: str
    plane: Plane
    box: tuple[float, float, float, float]
    thickness: float


@dataclass(frozen=True, slots=True)
class PlateCut:
    """A plate's cross-section where it is bent: at `x` from the face, `height` and `thickness`,
    `holes` the sum of hole diameters in it; `net` second moment about z of what is left; `flat`
    where it lies (height across, bent over its thickness)."""

    name: str
    x: float
    height: float
    thickness: float
    holes: float = 0.0
    net: float = 0.0
    flat: bool = False


@dataclass(frozen=True, slots=True)
class JointSpring:
    """A spring of the joint.

    Attributes
    ----------
    name : str
    turn : "rotation" or "torsion"
        About z, or about the arriving member's axis x.
    stiffness : float
        Moment per angle (N mm).
    form : str
        The formula in words of symbols.
    source : str
    """

    name: str
    turn: Literal["rotation", "torsion"]
    stiffness: float
    form: str
    source: str


@dataclass(frozen=True, slots=True, eq=False)
class JointDetail:
    """A joint as laid out.

    Attributes
    ----------
    name, kind : str
    bolts : tuple of BoltPlace
    welds : tuple of WeldPlace
    plates : tuple of PlateView
    cuts : tuple of PlateCut
    components : tuple of JointSpring
    holds : tuple of str
        "rotation", "torsion": what it holds at all; without a spring it holds it rigidly.
    hinge : float
        x at which the arriving member is taken to end.
    rotation_slips, torsion_slips : tuple of str
        Names of the bolt places whose holes let the joint turn about z, and about x.
    notes : tuple of str
    ultimate : float
        Ultimate strength of its plates.
    """

    name: str
    kind: str
    bolts: tuple[BoltPlace, ...]
    welds: tuple[WeldPlace, ...]
    plates: tuple[PlateView, ...]
    cuts: tuple[PlateCut, ...]
    components: tuple[JointSpring, ...]
    holds: tuple[str, ...]
    hinge: float
    rotation_slips: tuple[str, ...]
    torsion_slips: tuple[str, ...]
    notes: tuple[str, ...]
    ultimate: float

    @property
    def rotational_stiffness(self) -> float:
        """Moment per angle about z (N mm): its springs in series; 0 where it holds none, infinite
        where nothing gives way."""
        return self._stiffness("rotation")

    @property
    def torsional_stiffness(self) -> float:
        """Moment per angle about x (N mm)."""
        return self._stiffness("torsion")

    @property
    def rotation_slip(self) -> float:
        """Angle about z that it turns either way before bolts bear."""
        return self._slip(self.rotation_slips)

    @property
    def torsion_slip(self) -> float:
        """Angle about x that it turns either way before bolts bear."""
        return self._slip(self.torsion_slips)

    def _stiffness(self, turn: str) -> float:
        springs = [c.stiffness for c in self.components if c.turn == turn]
        return in_series(springs) if turn in self.holds else 0.0

    def _slip(self, names: tuple[str, ...]) -> float:
        return sum(b.slip_angle for b in self.bolts if b.name in names)
