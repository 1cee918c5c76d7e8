"""A weld: how it joins two plates that touch, over its real throat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import GeometryError
from ..material import Material

KINDS = ("fillet", "full", "partial")


@dataclass(frozen=True, slots=True)
class Weld:
    """A weld between two touching plates.

    Attributes
    ----------
    name : str
        Results give the shear flow through the weld under this name.
    between : (str, str)
        Names of the plates; the same name twice for the seam of a ring.
    kind : str
        "fillet": a triangle in each corner beside the contact, the contact itself stays separated.
        "full": the whole contact is joined (full penetration).
        "partial": the contact is joined over `depth` from its end.
    leg : float or (float, float), optional
        Fillet: leg on the first and on the second plate.
    depth : float, optional
        Partial penetration.
    near : (x, y), optional
        Only the side (for "full": only the contact) nearest to this point; left out: both sides
        (all contacts).
    weld_length, pitch : float, optional
        Intermittent weld: length of each weld and distance between their starts, along the member.
    material : Material, optional
        Of the fillet; left out: the first plate's.
    """

    name: str
    between: tuple[str, str]
    kind: str = "fillet"
    leg: float | tuple[float, float] | None = None
    depth: float | None = None
    near: tuple[float, float] | None = None
    weld_length: float | None = None
    pitch: float | None = None
    material: Material | None = None

    def __post_init__(self) -> None:
        if not self.name:
            raise GeometryError("every weld needs a name, for results to call it by")
        if len(self.between) != 2:
            raise self._error(
                f"between names the two plates it joins, got {len(self.between)} names"
            )
        if self.kind not in KINDS:
            raise self._error(f"kind is one of {', '.join(KINDS)}, got {self.kind!r}")
        for word, kind in (("leg", "fillet"), ("depth", "partial")):
            if (getattr(self, word) is not None) != (self.kind == kind):
                needed = "needs" if self.kind == kind else "has no"
                raise self._error(f"a weld of kind {self.kind!r} {needed} {word}")
        sizes = {"depth": self.depth, "weld length": self.weld_length, "pitch": self.pitch}
        if self.leg is not None:
            sizes |= {"leg": self.legs[0], "second leg": self.legs[1]}
        for word, value in sizes.items():
            if value is not None and not 0 < value < np.inf:
                raise self._error(f"{word} must be positive, got {value}")
        if (self.weld_length is None) != (self.pitch is None):
            raise self._error("an intermittent weld needs both its length and its pitch")
        if self.weld_length is not None and self.weld_length > (self.pitch or np.inf):
            raise self._error(
                f"its length {self.weld_length:g} exceeds its pitch {self.pitch:g}; swap them?"
            )
        if self.near is not None and not np.isfinite(self.near).all():
            raise self._error(f"near is a point (x, y), got {self.near}")

    @property
    def legs(self) -> tuple[float, float]:
        """Leg on the first and on the second plate."""
        if self.leg is None:
            return 0.0, 0.0
        return self.leg if isinstance(self.leg, tuple) else (self.leg, self.leg)

    def _error(self, text: str) -> GeometryError:
        return GeometryError(f"weld {self.name!r}: {text}")
