"""The check every section runs: resultants integrated back from the unit fields."""

from __future__ import annotations

import numpy as np

from ..mesh.section_mesh import Array
from .flexure import load_stations
from .unit_stress import UnitStress


def resultants(units: UnitStress) -> Array:
    """(8, 7) resultants N, M_x, M_y, V_x, V_y, torque about the shear centre, B of each unit
    field."""
    stations = load_stations(units.field)
    unit = units.evaluate(stations)
    w = stations.weights
    r = stations.points - units.field.origin
    x, y = r[..., 0], r[..., 1]
    pole = units.result.shear_centre - units.field.origin
    warping = units.result.warping_properties
    omega = warping.about_shear_centre(stations.points, stations.values(units.field.omega))
    moment = (x - pole[0]) * unit.tau[..., 1] - (y - pole[1]) * unit.tau[..., 0]
    columns = [
        unit.sigma,
        unit.sigma * y,
        -unit.sigma * x,
        unit.tau[..., 0],
        unit.tau[..., 1],
        moment,
    ]
    columns.append(-unit.sigma * omega)
    return np.stack([np.einsum("atq,tq->a", c, w) for c in columns], axis=1)


def equilibrium_residual(units: UnitStress) -> float:
    """Largest relative amount by which a resultant integrated from its field misses the action.

    Each entry is made dimensionless with the radius of gyration about the shear centre.
    """
    wanted = np.zeros((8, 7))
    for action, column in ((0, 0), (1, 1), (2, 2), (3, 3), (4, 4), (5, 5), (6, 5), (7, 6)):
        wanted[action, column] = 1.0
    if not units.warps:
        wanted[6:] = 0
    length = units.result.polar_radius
    power = np.array([0, 1, 1, 0, 0, 1, 2])
    unit_power = np.array([0, 1, 1, 0, 0, 1, 1, 2])
    off = (resultants(units) - wanted) * length ** (unit_power[:, None] - power[None, :]).astype(
        float
    )
    return float(np.abs(off).max())
