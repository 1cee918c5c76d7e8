"""Derivative of the largest torsional shear stress, where it is bounded.

The largest stress lies on a border, where it is stationary along the edge or at an end of one that
moves along: so its derivative is that of the stress at the place as it moves with the mesh. Where
several places have nearly the same, the derivatives of each are told (see `torsion_peaks`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..elements.basis import places_at
from ..mesh.location import locate
from ..mesh.section_mesh import Array
from ..result import SectionResult
from ..torsion.peak import DOUBT, LEFT_OUT, discs_of, searched_edges
from ..torsion.peak_search import Discs, find_peaks
from ..torsion.sharp_corner import SharpCorner
from .mesh_rate import MeshRate
from .moving_points import moving_points
from .torsion_rate import TorsionRate, strain_rate

#: Other peaks have this share of the largest stress at least, stand this share of the section's
#: size apart, and are so many at most.
_NEARLY, _APART, _MOST = 0.99, 0.02, 8
#: A place this near to what is left out around a corner lies at its edge.
_AT_EDGE = 1.05


@dataclass(frozen=True, slots=True)
class TorsionPeak:
    """A place of the border where the torsional stress is largest, or nearly so.

    Attributes
    ----------
    at : (x, y)
    modulus : float
        W_T, were the stress there the largest.
    """

    at: tuple[float, float]
    modulus: float

    @property
    def value(self) -> float:
        """The least modulus counts."""
        return -self.modulus


def peak_refused(result: SectionResult) -> str:
    """Why the largest stress has no derivative; "" where it has one."""
    at = largest_at(result)
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


def largest_at(result: SectionResult) -> tuple[float, float] | None:
    """Where the largest torsional stress is, away from sharp corners."""
    modulus = result.torsion_modulus
    return modulus.away_at if result.corners else modulus.at


def torsion_peaks(result: SectionResult) -> list[TorsionPeak]:
    """Where the torsional stress is largest along the border, which must exist, and other places
    where it nearly is."""
    field, first = result.field, largest_at(result)
    assert first is not None
    modulus = _modulus(result)
    out = [TorsionPeak(first, modulus)]
    edges = [each[None] for each in searched_edges(field)]
    discs, places = discs_of([result.corners]), [first]
    largest = find_peaks(field, edges[0], edges[1], discs, field.origin[None]).value[0]
    while len(places) <= _MOST:
        known = Discs(
            np.concatenate([discs.centre, np.array([places])], axis=1),
            np.append(discs.radius, np.full((1, len(places)), _APART * result.section.size()), 1),
        )
        peaks = find_peaks(field, edges[0], edges[1], known, field.origin[None])
        if not peaks.value[0] >= _NEARLY * largest:
            break
        x, y = (float(c) for c in peaks.place[0])
        places.append((x, y))
        if not edge_refused((x, y), result.corners):
            out.append(TorsionPeak((x, y), modulus / float(peaks.value[0] / largest)))
    return out


def _modulus(result: SectionResult) -> float:
    """W_T, by the largest stress away from corners where there are any."""
    modulus = result.torsion_modulus
    value = modulus.value if modulus.value is not None else modulus.away
    assert value is not None
    return value


def modulus_rate(
    result: SectionResult,
    rate: MeshRate,
    torsion: TorsionRate,
    phi: Array,
    at: tuple[float, float],
) -> tuple[float, float]:
    """Derivative of the torsion section modulus W_T (of the one away from corners where there are
    any) by the stress at a place, and its doubt: half the difference of what the two fields make
    of it, times `DOUBT` as for the stress itself. `phi` (t, n) is the change of the stress
    function's coefficients."""
    value, field = _modulus(result), result.field
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
