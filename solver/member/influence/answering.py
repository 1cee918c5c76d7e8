"""What the fields of either theory answer."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ..model.load import Where

Array = NDArray[np.float64]


class LineOf(Protocol):
    """Ordinates of c results on one line of the section."""

    def at(self, z: Array, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at stations z (m,)."""
        ...

    def single(self, z: Array, result: NDArray[np.intp], side: str = "right") -> Array:
        """(m,) one result at each station."""
        ...


class Field(Protocol):
    """Influence fields of either theory."""

    @property
    def nodes(self) -> Array:
        """Stations between which the lines are smooth."""
        ...

    def on(self, place: Where) -> LineOf:
        """The lines of all results for a load at a place of stations."""
        ...

    def ordinates(self, z: Array, place: Where, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at a place of stations z (m,)."""
        ...
