"""Customary limits of twist and deflection; every one may be changed or switched off.

No code gives a twist limit for general beams (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ....geometry.errors import InputError

INCH_IN = {"in": 1.0, "ft": 1 / 12, "mm": 25.4, "cm": 2.54, "m": 0.0254}


@dataclass(frozen=True, slots=True)
class Allowed:
    """An allowed value with its source and where that is known from."""

    value: float
    words: str
    source: str
    provenance: str


def twist_limit(degrees: float = 2.0) -> Allowed:
    """Largest twist in radians; the customary 2 degrees in service unless told otherwise."""
    if not 0 < degrees < math.inf:
        raise InputError(f"the twist limit must be positive, got {degrees} degrees")
    source, provenance = "SCI P385 suggestion for service loads", "from memory"
    if degrees != 2.0:
        source, provenance = "set by the user", "given"
    return Allowed(math.radians(degrees), f"twist of {degrees:g} deg", source, provenance)


def masonry_limit(
    span: float,
    unit: str,
    *,
    ratio: float | None = 600.0,
    absolute_inches: float | None = 0.3,
) -> Allowed:
    """Deflection of a beam that carries masonry: the lesser of span/600 and 0.3 in.

    Either may be switched off with None: later issues of TMS 402 dropped the 0.3 in (from memory),
    and UBC has span/600 alone. Ontario's lintel tables use span/700 (read).
    """
    choices = []
    if ratio is not None:
        choices.append((_ratio(span, ratio), f"span/{ratio:g}"))
    if absolute_inches is not None:
        if unit not in INCH_IN:
            raise InputError(
                f"unit {unit!r} is not known here; use one of {', '.join(INCH_IN)}, "
                "or switch the 0.3 in limit off"
            )
        if not absolute_inches > 0:
            raise InputError(f"the limit must be positive, got {absolute_inches} in")
        choices.append((absolute_inches * INCH_IN[unit], f"{absolute_inches:g} in"))
    if not choices:
        raise InputError("both masonry limits are switched off; keep one, or drop the check")
    value, words = min(choices)
    return Allowed(
        value,
        f"deflection under masonry of {words}",
        "ACI 530-02 / TMS 402 clause 1.10.1, as quoted by practising engineers; BIA the same",
        "read",
    )


def span_limit(span: float, ratio: float) -> Allowed:
    """Deflection of span/ratio, a figure of the user's choice."""
    value = _ratio(span, ratio)
    return Allowed(value, f"deflection of span/{ratio:g}", "set by the user", "given")


def leg_rotation(movement: float = 1 / 16, leg: float = 6.0) -> Allowed:
    """Rotation at which a shelf angle's toe drops by `movement` over `leg` (same unit).

    1/16 in at the toe is often used in practice (from memory, not confirmed): 0.60 degrees at 6 in
    (derived).
    """
    if not (movement > 0 and leg > 0):
        raise InputError(f"movement and leg must be positive, got {movement} and {leg}")
    return Allowed(
        math.atan2(movement, leg),
        f"toe drop of {movement:g} over {leg:g}",
        "practice",
        "from memory, not confirmed",
    )


def _ratio(span: float, ratio: float) -> float:
    if not (0 < span < math.inf and 0 < ratio < math.inf):
        raise InputError(f"span and ratio must be positive, got {span} and {ratio}")
    return span / ratio
