"""What a joint is made of, as its file states it: sizes before they are laid out."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Literal

from ...geometry.errors import InputError
from .bolt_size import Bolt
from .detail import Fit

Kind = Literal["fin plate", "clip angles", "end plate", "seat", "welded stub"]
KINDS: tuple[Kind, ...] = ("fin plate", "clip angles", "end plate", "seat", "welded stub")
Face = Literal["web", "tube wall", "tube wall with inner diaphragm"]
FACES: tuple[Face, ...] = ("web", "tube wall", "tube wall with inner diaphragm")
FITS: tuple[Fit, ...] = ("clearance", "fitted", "preloaded")

_MOST = 60
#: What is no length: range and unit. Lengths run from a tenth of a millimetre to a hundred metres.
_RANGES = {
    "modulus": (1e2, 1e7, "MPa"),
    "ultimate": (1.0, 1e5, "MPa"),
    "beam_ultimate": (1.0, 1e5, "MPa"),
    "poisson": (0.0, 0.5, ""),
}


@dataclass(frozen=True, slots=True)
class JointSpec:
    """Sizes of a joint in mm, strengths in MPa; what a kind does not use stays at its default.

    Attributes
    ----------
    name, kind : str
    bolt : Bolt
    hole : float or None
        Diameter; None is the usual hole of the bolt.
    fit : "clearance", "fitted" or "preloaded"
    rows, columns : int
        Of bolts: rows one above the other, columns one behind the other.
    pitch, gauge : float
        Of rows, and of columns.
    positions : tuple of (a, b)
        Of bolts one by one, in place of rows and columns.
    arm : float
        From the face of the support to the first column of bolts (to the reaction, on a seat).
    end_distance, side_distance : float
        From the outermost bolts to the plate's ends, up and down, and to its free side.
    thickness : float
        Of the fin, angle, end plate or seat.
    weld : float
        Leg of the fillet welds.
    height, width : float or None
        Of the plate, where they do not follow from the bolts.
    beam_web, beam_depth : float or None
        Thickness of the web, and depth, of the arriving member.
    ultimate, beam_ultimate : float
        Ultimate strength f_u of the plates and of the arriving member's web.
    modulus, poisson : float
    on : "web", "tube wall" or "tube wall with inner diaphragm"
        What it is fixed to.
    wall_thickness, wall_width : float or None
        Of the tube's wall, the width between its corners.
    diaphragm, tube_width, tube_depth : float or None
        Thickness of the inner diaphragm and the cell that it fills.
    support_thickness : float or None
        Of the plate that bolts of the face pass through.
    angles : int
        1 or 2 clip angles.
    support_leg, support_gauge : float or None
        Leg of the angle on the support, and the distance between its columns of bolts.
    support_welded : bool
        Whether that leg, or a seat's, is welded and not bolted.
    flange, flange_width : float or None
        Of a stub's section; `height` is its depth and `thickness` its web.
    """

    name: str
    kind: Kind
    bolt: Bolt | None = None
    hole: float | None = None
    fit: Fit = "clearance"
    rows: int = 1
    columns: int = 1
    pitch: float | None = None
    gauge: float | None = None
    positions: tuple[tuple[float, float], ...] = ()
    arm: float = 0.0
    end_distance: float | None = None
    side_distance: float | None = None
    thickness: float = 0.0
    weld: float | None = None
    height: float | None = None
    width: float | None = None
    beam_web: float | None = None
    beam_depth: float | None = None
    ultimate: float = 0.0
    beam_ultimate: float | None = None
    modulus: float = 210e3
    poisson: float = 0.3
    on: Face = "web"
    wall_thickness: float | None = None
    wall_width: float | None = None
    diaphragm: float | None = None
    tube_width: float | None = None
    tube_depth: float | None = None
    support_thickness: float | None = None
    angles: int = 2
    support_leg: float | None = None
    support_gauge: float | None = None
    support_welded: bool = False
    flange: float | None = None
    flange_width: float | None = None

    def __post_init__(self) -> None:
        for item in fields(self):
            value = getattr(self, item.name)
            if isinstance(value, float) and not (math.isfinite(value) and value >= 0):
                word = item.name.replace("_", " ")
                raise InputError(f"{word} must not be negative and be a number, got {value:g}")
            low, high, unit = _RANGES.get(item.name, (0.1, 1e5, "mm"))
            if isinstance(value, float) and value and not low <= value <= high:
                word = item.name.replace("_", " ")
                raise InputError(
                    f"{word} of {value:g} {unit} is none of a joint; {low:g} to {high:g} is"
                )
        for word in ("rows", "columns"):
            if not 1 <= getattr(self, word) <= _MOST:
                raise InputError(f"{word} is a whole number from 1 to {_MOST}")
        if self.angles not in (1, 2):
            raise InputError(f"angles is 1 or 2, got {self.angles}")
        if self.rows > 1 and self.pitch is None and not self.positions:
            raise InputError("pitch of the rows is missing; write pitch = 70")
        if self.columns > 1 and self.gauge is None and not self.positions:
            raise InputError("gauge of the columns is missing; write gauge = 60")
        if not 0 <= self.poisson < 0.5:
            raise InputError(f"poisson must be from 0 to below 0.5, got {self.poisson:g}")

    @property
    def shear_modulus(self) -> float:
        """E / (2 (1 + nu))."""
        return self.modulus / (2 * (1 + self.poisson))

    @property
    def hole_diameter(self) -> float:
        """Of the holes."""
        assert self.bolt is not None
        if self.fit == "fitted":
            return self.bolt.diameter
        return self.bolt.hole if self.hole is None else self.hole

    def with_(self, **changes: object) -> JointSpec:
        """A copy with some of it changed."""
        return replace(self, **changes)  # type: ignore[arg-type]

    def need(self, key: str) -> float:
        """A size that this kind cannot do without, above zero."""
        value = getattr(self, key)
        word = key if key in ("pitch", "gauge", "arm") else key.replace("_", " ")
        if value is None:
            article = "an" if self.kind == "end plate" else "a"
            raise InputError(f"{word} is missing; {article} {self.kind} needs it")
        if not value > 0:
            raise InputError(f"{word} must be positive, got {value:g}")
        return float(value)
