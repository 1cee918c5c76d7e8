"""Restraints along the span: springs at a station, and decks that hold along a segment."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ....geometry.errors import InputError
from .faces import Height

FarEnd = Literal["pinned", "fixed", "same way", "opposite"]

# End rotation of a beam of length L by an end moment M: M = k E I theta / L, by the
# slope-deflection equations with the far end pinned, fixed, turning the same way (M also there, S
# shape) or the opposite way (one curve).
_END_STIFFNESS: dict[str, float] = {"pinned": 3.0, "fixed": 4.0, "same way": 6.0, "opposite": 2.0}


def secondary_beam_stiffness(
    elastic_modulus: float,
    second_moment: float,
    length: float,
    far_end: FarEnd,
    connection_stiffness: float | None = None,
) -> float:
    """Torsional stiffness that a moment-connected secondary beam gives to the member it frames
    into.

    k = c E I / L with c = 3 (far end pinned), 4 (fixed), 6 (both ends turn the same way), 2
    (opposite ways), in series with the connection (and web distortion) stiffness if given: 1/k =
    L/(c E I) + 1/k_c. The values follow from the slope-deflection equations; that they are the
    customary ones for torsional beam bracing is from memory (Yura, Fundamentals of Beam Bracing). A
    connection by the web alone gives nearly nothing: leave the spring out, and let the secondary
    beam's reaction act at its bolt line.
    """
    if far_end not in _END_STIFFNESS:
        raise InputError(
            f"far end {far_end!r} is not known; use one of {', '.join(map(repr, _END_STIFFNESS))}"
        )
    for word, value in (("E", elastic_modulus), ("I", second_moment), ("length", length)):
        if not 0 < value < math.inf:
            raise InputError(f"secondary beam: {word} must be positive, got {value}")
    beam = _END_STIFFNESS[far_end] * elastic_modulus * second_moment / length
    if connection_stiffness is None:
        return beam
    if not 0 < connection_stiffness < math.inf:
        raise InputError(
            f"secondary beam: connection stiffness must be positive, got {connection_stiffness}"
        )
    return beam * connection_stiffness / (beam + connection_stiffness)


def play_angle(clearance: float, lever_arm: float) -> float:
    """Angle a connection turns either way before its bolts bear: slip available each way over the
    lever arm."""
    if not (math.isfinite(clearance) and clearance >= 0):
        raise InputError(f"clearance must not be negative, got {clearance}")
    if not 0 < lever_arm < math.inf:
        raise InputError(f"lever arm of the clearance must be positive, got {lever_arm}")
    return clearance / lever_arm


@dataclass(frozen=True, slots=True)
class TwistSpring:
    """Torsional spring at a station (moment per angle), such as a secondary beam; engages after
    `slip` (angle).

    `unloaded` says that it stands for a secondary beam whose own load is not given, `turned` by
    what angle the member has turned there before these loads come.
    """

    at: float
    stiffness: float
    slip: float = 0.0
    name: str = ""
    turned: float = 0.0
    unloaded: bool = False

    def __post_init__(self) -> None:
        _check_spring(self.title, self.stiffness)
        if not (math.isfinite(self.slip) and self.slip >= 0):
            raise InputError(
                f"{self.title}: slip must be an angle of zero or more, got {self.slip}"
            )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"torsional spring at {self.at:g}"


@dataclass(frozen=True, slots=True)
class LateralSpring:
    """Spring across the member at a station, acting at height `level` (section y; shear centre if
    not given)."""

    at: float
    stiffness: float
    level: float | Height | None = None
    name: str = ""

    def __post_init__(self) -> None:
        _check_spring(self.title, self.stiffness)

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"lateral spring at {self.at:g}"


@dataclass(frozen=True, slots=True)
class Deck:
    """Continuous springs from `start` to `end`: torsional (moment per angle and length), and across
    at `level`."""

    start: float
    end: float
    twist_stiffness: float = 0.0
    lateral_stiffness: float = 0.0
    level: float | Height | None = None
    name: str = ""

    def __post_init__(self) -> None:
        for word in ("twist_stiffness", "lateral_stiffness"):
            _check_spring(f"{self.title}: {word}", getattr(self, word))
        if not self.start < self.end:
            raise InputError(
                f"{self.title}: start must lie before end, got {self.start:g} and {self.end:g}"
            )

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"deck from {self.start:g} to {self.end:g}"


def _check_spring(title: str, stiffness: float) -> None:
    if not (math.isfinite(stiffness) and stiffness >= 0):
        raise InputError(f"{title}: stiffness must not be negative, got {stiffness}")
