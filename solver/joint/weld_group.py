"""Welds as lines: how an elastic group of them shares forces in its plane and out of it.

The line method: a group of lines of equal throat under a rigid plate; forces per length are F / L
from a force and (M x r) / I from a moment, each component with its own moment of the lines about
their centroid. Derived; Blodgett, Design of Welded Structures (1966), section 7.4, has the same
moments for common shapes (from memory). Lines of different throats count with their throats.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError

Array = NDArray[np.float64]

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LineMoments:
    """Moments of weld lines in their plane (a, b), for throats relative to the mean.

    Attributes
    ----------
    length : float
    centroid : (a, b)
    second : (I_aa, I_bb, I_ab)
        sum b^2, sum a^2 and sum a b over the length, about the centroid (length^3).
    """

    length: float
    centroid: tuple[float, float]
    second: tuple[float, float, float]

    @property
    def polar(self) -> float:
        """I_aa + I_bb (length^3)."""
        return self.second[0] + self.second[1]


def line_moments(lines: ArrayLike, weights: ArrayLike | None = None) -> LineMoments:
    """Moments of straight lines (n, 2, 2): start and end of each as (a, b).

    `weights` (n,) are relative throats; all 1 when left out.
    """
    p = _checked(lines)
    w = np.ones(len(p)) if weights is None else np.asarray(weights, float)
    span = p[:, 1] - p[:, 0]
    size = np.hypot(*span.T) * w
    total = float(size.sum())
    middle = (p[:, 0] + p[:, 1]) / 2
    centre = (size @ middle) / total
    r = middle - centre
    own = size[:, None, None] * span[:, :, None] * span[:, None, :] / 12
    second = (own + size[:, None, None] * r[:, :, None] * r[:, None, :]).sum(axis=0)
    return LineMoments(
        total,
        (float(centre[0]), float(centre[1])),
        (float(second[1, 1]), float(second[0, 0]), float(second[0, 1])),
    )


def line_forces(
    lines: ArrayLike,
    places: ArrayLike,
    force: ArrayLike,
    moment: ArrayLike,
    weights: ArrayLike | None = None,
) -> Array:
    """(m, 3) forces per length at places (m, 2) of the lines.

    Parameters
    ----------
    force : (F_a, F_b, F_n)
        In the plane, and out of it along a x b, through the centroid.
    moment : (M_a, M_b, M_n)
        About the centroid.

    Raises
    ------
    InputError
        For a moment that lines along one straight line cannot hold.
    """
    known = line_moments(lines, weights)
    f, m = np.asarray(force, float), np.asarray(moment, float)
    r = np.asarray(places, float) - known.centroid
    i_aa, i_bb, i_ab = known.second
    turn = m[2] / known.polar
    matrix = np.array([[i_aa, -i_ab], [-i_ab, i_bb]])
    scale = known.polar
    bend = np.linalg.lstsq(matrix / scale, m[:2] / scale, rcond=1e-12)[0]
    size = abs(float(np.abs(f).max())) * np.sqrt(scale / known.length) + np.abs(m).max()
    if np.abs(matrix @ bend - m[:2]).max() > _ROUNDING * max(size, 1e-300):
        raise InputError(
            "a weld along one straight line cannot hold a moment about that line; add a second line"
        )
    out = np.empty((len(r), 3))
    out[:, 0] = f[0] / known.length - turn * r[:, 1]
    out[:, 1] = f[1] / known.length + turn * r[:, 0]
    out[:, 2] = f[2] / known.length + bend[0] * r[:, 1] - bend[1] * r[:, 0]
    return out


def _checked(lines: ArrayLike) -> Array:
    p = np.asarray(lines, float)
    if p.ndim != 3 or p.shape[1:] != (2, 2) or not len(p):
        raise InputError(f"welds are a list of lines (start, end), got an array of shape {p.shape}")
    if not np.isfinite(p).all():
        raise InputError("an end of a weld is not a finite number")
    span = np.hypot(*(p[:, 1] - p[:, 0]).T)
    if not (span > 0).all():
        raise InputError(f"weld {int(np.argmin(span)) + 1} has no length; give it two ends apart")
    return p
