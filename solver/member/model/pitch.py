"""How a member stands against gravity: the slope of its axis and the crossfall of its section.

The axis rises by `slope` toward its end; the section is turned about it so that its +x side falls
by `crossfall`. In the member's frame gravity then acts along (cos s sin c, -cos s cos c, -sin s).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from .axis import Axis
from .load import Vector

Array = NDArray[np.float64]

#: Steepest slope and crossfall (radians), and the same for members that are not straight in plan:
#: the frame of a curve that climbs twists by sin(slope) of the angle it turns through, and curves
#: out of the section's plane by its crossfall; both are left out.
STEEPEST, MOST_CROSSFALL = math.radians(60.0), math.radians(30.0)
CURVED_SLOPE, CURVED_CROSSFALL = math.atan(1 / 8), math.atan(0.05)


@dataclass(frozen=True, slots=True)
class Pitch:
    """Slope and crossfall in radians."""

    slope: float = 0.0
    crossfall: float = 0.0

    def __post_init__(self) -> None:
        for word, value, most in (
            ("slope", self.slope, STEEPEST), ("crossfall", self.crossfall, MOST_CROSSFALL),
        ):  # fmt: skip
            if not abs(value) <= most:
                raise InputError(
                    f"{word} must lie within {math.degrees(most):g} degrees either way, got "
                    f"{math.degrees(value):.4g} degrees"
                )

    @property
    def level(self) -> bool:
        """Whether gravity acts along -y."""
        return self.slope == 0 and self.crossfall == 0

    @property
    def down(self) -> Vector:
        """Unit vector of gravity in the member's frame."""
        across, along = math.sin(self.crossfall), math.sin(self.slope)
        run = math.cos(self.slope)
        return (run * across, -run * math.cos(self.crossfall), -along)

    def weight(self, size: float) -> Vector:
        """A weight in the member's frame."""
        x, y, z = self.down
        return (size * x, size * y, size * z)

    @property
    def plumb(self) -> Array:
        """(3, 3) components level across, vertically up and level along from those in the member's
        frame."""
        s, c = self.slope, self.crossfall
        turned, climbed = np.eye(3), np.eye(3)
        turned[:2, :2] = [[math.cos(c), math.sin(c)], [-math.sin(c), math.cos(c)]]
        climbed[1:, 1:] = [[math.cos(s), math.sin(s)], [-math.sin(s), math.cos(s)]]
        return np.asarray(climbed @ turned)

    def check(self, axis: Axis) -> None:
        """Refuse what a curved member leaves out.

        Raises
        ------
        InputError
            In words.
        """
        if not axis.curved:
            return
        if abs(self.slope) > CURVED_SLOPE:
            raise InputError(
                f"slope of {math.degrees(self.slope):.4g} degrees with an axis that is not "
                "straight in plan: the twist of such a spiral is not solved beyond 1:8; give "
                "straight flights as members of their own"
            )
        if abs(self.crossfall) > CURVED_CROSSFALL:
            raise InputError(
                f"crossfall of {math.degrees(self.crossfall):.4g} degrees with an axis that is not "
                "straight in plan: beyond 5 % the curve no longer lies in the section's plane; "
                "turn the section's outline by it instead and leave crossfall out"
            )


#: A member that is level.
LEVEL = Pitch()
