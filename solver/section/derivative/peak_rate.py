"""Derivative of the largest torsional shear stress, where it is bounded.

The largest stress lies on a border, where it is stationary along the edge or at an end of one that
moves along: so its derivative is that of the stress at the place as it moves with the mesh. Where
several places have the same largest stress, it is that of the one found.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..elements.basis import places_at
from ..mesh.location import locate
from ..mesh.section_mesh import Array
from ..result import SectionResult
from ..torsion.peak import DOUBT, LEFT_OUT
from ..torsion.sharp_corner import SharpCorner
from .mesh_rate import MeshRate
from .moving_points import moving_points
from .torsion_rate import TorsionRate, strain_rate

#: A place this near to what is left out around a corner lies at its edge.
_AT_EDGE = 1.05


def peak_refused(result: SectionResult) -> str:
    """Why the largest stress has no derivative; "" where it has one."""
    at = result.torsion_modulus.at if not result.corners else result.torsion_modulus.away_at
    if at is None:
        return "the stress has no largest value away from sharp corners"
    return edge_refused(at, result.corners)


def edge_refused(at: Sequence[float], corners: Sequence[SharpCorner]) -> str:
    """Why the stress at a place has no derivative beside sharp corners; "" where it has one."""
    for corner in corners:
        apart = np.hypot(at[0] - corner.point[0], at[1] - corner.point[1])
        if apart < _AT_EDGE * LEFT_OUT * corner.clearance:
            return (
                "the largest stress lies at the edge of what is left out around a sharp corner; "
                "enter the corner's real fillet"
            )
    return ""


def modulus_rate(
    result: SectionResult, rate: MeshRate, torsion: TorsionRate, phi: Array
) -> tuple[float, float]:
    """Derivative of the torsion section modulus W_T (of the one away from corners where there are
    any), which must not be refused, and its doubt: half the difference of what the two fields make
    of it, times `DOUBT` as for the stress itself. `phi` (t, n) is the change of the stress
    function's coefficients."""
    modulus, field = result.torsion_modulus, result.field
    value = modulus.value if modulus.value is not None else modulus.away
    at = modulus.at if modulus.value is not None else modulus.away_at
    assert value is not None
    assert at is not None
    triangle, xi, eta = locate(field.mesh, np.array([at]))
    points = moving_points(field.mesh, rate, triangle, places_at(field.order, xi, eta))
    stress = field.stress_from_omega(points.stations, triangle)[0, 0]
    strain = stress / field.shear[triangle[0]]
    slope = points.stations.gradients(field.phi[triangle])
    change = points.stations.gradients(phi[triangle]) - points.carried(slope)
    one = _relative(slope[0, 0], change[0, 0])
    two = _relative(strain, strain_rate(field, points, torsion.omega)[0, 0])
    grown = torsion.torsion_constant / result.torsion_constant - (one + two) / 2
    return value * grown, DOUBT * abs(value * (one - two)) / 2


def _relative(vector: Array, change: Array) -> float:
    """Relative change of a vector's length."""
    return float(vector @ change) / float(vector @ vector)
