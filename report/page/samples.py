"""The unit fields of a section at the points that the page shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..drawing.field_view import mean_wall
from ..drawing.sampling import patches

if TYPE_CHECKING:
    from ...solver.section.stress.unit_stress import UnitStress

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Samples through a mean wall, tried from fine to coarse until the points are few enough.
_THROUGH_WALL = (12, 9, 6, 4, 1)
_MOST_POINTS = 26_000


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Unit fields on a sub-triangulation; points on element borders appear once per element.

    Attributes
    ----------
    points : (n, 2)
    triangles : (m, 3)
    region : (n,)
    sigma : (8, n)
    tau : (8, n, 2)
    film : (n,)
        Stress function per unit torque.
    """

    points: Array
    triangles: Ints
    region: Ints
    sigma: Array
    tau: Array
    film: Array

    @classmethod
    def of(cls, units: UnitStress, through_wall: Sequence[int] = _THROUGH_WALL) -> Samples:
        """Sample the eight unit stresses and the stress function, with the first number of samples
        through a mean wall that does not give too many."""
        field, section = units.field, units.result.section
        for fineness in through_wall:
            parts = list(patches(field.mesh, field.order, mean_wall(section) / fineness))
            if sum(p.stations.points[..., 0].size for p in parts) <= _MOST_POINTS:
                break
        points, triangles, region, sigma, tau, film = [], [], [], [], [], []
        count = 0
        for patch in parts:
            n, q, _ = patch.stations.points.shape
            arrays = units.evaluate(patch.stations, patch.triangles)
            points.append(patch.stations.points.reshape(-1, 2))
            triangles.append((patch.cells + count + q * np.arange(n)[:, None, None]).reshape(-1, 3))
            region.append(np.repeat(field.mesh.region[patch.triangles], q))
            sigma.append(arrays.sigma.reshape(8, -1))
            tau.append(arrays.tau.reshape(8, -1, 2))
            film.append(patch.stations.values(field.phi[patch.triangles]).ravel())
            count += n * q
        return cls(
            np.concatenate(points),
            np.concatenate(triangles),
            np.concatenate(region),
            np.concatenate(sigma, axis=1),
            np.concatenate(tau, axis=1),
            np.concatenate(film) / units.result.torsion_constant,
        )
