"""The actions on a section, and load cases made of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError

#: The eight actions in the order of every unit-stress array.
NAMES = (
    "axial_force",
    "moment_x",
    "moment_y",
    "shear_x",
    "shear_y",
    "torque",
    "warping_torque",
    "bimoment",
)
#: Their symbols, in the same order.
SYMBOLS = ("N", "M_x", "M_y", "V_x", "V_y", "T", "T_w", "B")


@dataclass(frozen=True, slots=True)
class Actions:
    """Stress resultants on a section, in consistent units.

    Signs follow the face whose outward normal is +z. Moments are right-handed vectors.

    Attributes
    ----------
    axial_force : float
        N = int sigma dA, at the centroid; tension positive.
    moment_x, moment_y : float
        M_x = int sigma y dA (tension at +y), M_y = -int sigma x dA (tension at -x), about the
        centroid.
    shear_x, shear_y : float
        V_x = int tau_zx dA, V_y = int tau_zy dA; V_y = dM_x/dz, V_x = -dM_y/dz.
    torque : float
        Saint-Venant torque T; turns x toward y.
    warping_torque : float
        T_w = -E C_w phi''' = dB/dz, the part carried by restrained warping.
    bimoment : float
        B = -E C_w phi''.
    through : (x, y), optional
        Point the shear acts through, in the axes of the section; the shear centre when left out.
        The difference is added to the torque.
    name : str
        Name of the load case.
    """

    axial_force: float = 0.0
    moment_x: float = 0.0
    moment_y: float = 0.0
    shear_x: float = 0.0
    shear_y: float = 0.0
    torque: float = 0.0
    warping_torque: float = 0.0
    bimoment: float = 0.0
    through: tuple[float, float] | None = None
    name: str = "case"

    def __post_init__(self) -> None:
        for word in NAMES:
            value = getattr(self, word)
            if not math.isfinite(value):
                raise InputError(
                    f"load case {self.name!r}: {word} must be a finite number, got {value}"
                )
        if self.through is not None and not all(math.isfinite(c) for c in self.through):
            raise InputError(
                f"load case {self.name!r}: the point the shear acts through is {self.through}"
            )

    def vector(self, shear_centre: NDArray[np.float64]) -> NDArray[np.float64]:
        """(8,) actions in the order of `NAMES`, the shear moved to the shear centre."""
        out = np.array([getattr(self, word) for word in NAMES])
        if self.through is not None:
            dx, dy = self.through[0] - shear_centre[0], self.through[1] - shear_centre[1]
            out[5] += dx * self.shear_y - dy * self.shear_x
        return out

    def __add__(self, other: Actions) -> Actions:
        """Superposition; both must act through the same point."""
        if self.through != other.through:
            raise InputError(
                f"load cases {self.name!r} and {other.name!r} act through different points; add "
                f"their torques first"
            )
        values = {word: getattr(self, word) + getattr(other, word) for word in NAMES}
        return Actions(**values, through=self.through, name=f"{self.name} + {other.name}")

    def scaled(self, factor: float, name: str | None = None) -> Actions:
        """All actions multiplied by a factor."""
        values = {word: factor * getattr(self, word) for word in NAMES}
        return Actions(**values, through=self.through, name=name or self.name)
