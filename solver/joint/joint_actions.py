"""What the arriving member puts on a joint: a force and a moment, in the joint's axes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ...geometry.errors import InputError
from .detail import Vector

#: N or N mm: far beyond any joint, and within the range of products of them.
_MOST = 1e18


@dataclass(frozen=True, slots=True)
class JointActions:
    """Force and moment of the arriving member on the joint (N, N mm).

    Attributes
    ----------
    name : str
        Of the load case or combination.
    force : (F_x, F_y, F_z)
        F_x pulls away from the support, F_y is upward.
    moment : (M_x, M_y, M_z)
        About the origin, on the face of the support at mid-height of the bolts.
    """

    name: str
    force: Vector
    moment: Vector

    def __post_init__(self) -> None:
        for value in (*self.force, *self.moment):
            if not (math.isfinite(value) and abs(value) <= _MOST):
                raise InputError(
                    f"actions {self.name!r} hold {value:g} N or N mm, which no joint meets"
                )

    @classmethod
    def at_hinge(cls, name: str, force: Vector, moment: Vector, hinge: float) -> JointActions:
        """Of a force on the arriving member's axis at x = `hinge`, with a moment there."""
        about = np.asarray(moment) + np.cross([hinge, 0.0, 0.0], force)
        return cls(name, _vector(force), _vector(about))

    def about(self, point: Vector) -> Vector:
        """Moment about another point."""
        return _vector(np.asarray(self.moment) - np.cross(point, self.force))


def _vector(v: object) -> Vector:
    x, y, z = np.asarray(v, float).tolist()
    return (x, y, z)
