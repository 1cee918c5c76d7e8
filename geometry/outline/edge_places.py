"""Where points lie on edges, straight or arcs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .contour import edge_points

Array = NDArray[np.float64]


def places_on(points: Array, start: Array, end: Array, bulge: Array, slack: float) -> Array:
    """(e, n) place of points on edges by arc length, nan where they are off."""
    chord = end - start
    length = np.hypot(*chord.T)[:, None]
    to = points[None] - start[:, None]
    along = (to * chord[:, None]).sum(axis=2) / length**2
    across = (to[..., 0] * chord[:, None, 1] - to[..., 1] * chord[:, None, 0]) / length
    # seen from an arc's start, a point on it stands off the chord by half the arc that is left
    half = 2 * np.arctan(bulge)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        left = np.arctan2(across, along * length) / half
        share = np.where(half != 0, 1 - left, along)
    share = np.where(np.hypot(to[..., 0], to[..., 1]) <= slack, 0.0, share)
    share = np.where(
        np.hypot(*(points[None] - end[:, None]).transpose(2, 0, 1)) <= slack, 1.0, share
    )
    near = (share >= -1e-9) & (share <= 1 + 1e-9)
    share = np.clip(share, 0, 1)
    rows, columns = np.nonzero(near)
    on = edge_points(start[rows], end[rows], bulge[rows], share[rows, columns][:, None])[:, 0]
    off = np.hypot(*(on - points[columns]).T) > slack
    share[~near] = np.nan
    share[rows[off], columns[off]] = np.nan
    return np.asarray(share)
