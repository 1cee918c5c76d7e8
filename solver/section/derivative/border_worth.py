"""What material put on each place of the border does: the derivative of a number to the border's
normal movement.

With n outward from the material, e = grad omega + (-y, x) and tau = G e per unit twist:

* J: G dJ/dn = |tau|^2 / G, on outer borders and holes alike (of phi, the square of its slope):
  material added anywhere stiffens;
* C_w: dC_w/dn = E omega_S^2 + G grad z . e, with z the adjoint field,
  int G grad z . grad v = -2 int E omega_S v for every v;
* I_x, I_y: E y^2 and E x^2 from the centroid; A: E; weight: density.

(Hadamard's formula; both fields meet natural conditions, so that only the border's own values are
left. See Delfour & Zolesio, Shapes and Geometries, SIAM 2011, ch. 9.) At a sharp re-entrant corner
the first two have no bound, though their integral has: those places are left out as the stress
report leaves them out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_tangents
from ..area.properties import modulus_ratios
from ..elements.basis import EDGES, places_at, sampled_basis
from ..elements.integrals import CURVED_EXTRA, stations_of
from ..mesh.section_mesh import Array, Ints
from ..result import SectionResult
from ..torsion.peak import left_out
from ..torsion.warping import WarpingProperties
from .moving_points import EXTRA

#: Places on each edge of the border's mesh: Gauss-Legendre, whose weights integrate along it.
SAMPLES = 12
#: Numbers whose derivative to the border's movement is known.
NUMBERS = ("torsion_constant", "warping_constant", "second_moment_x", "second_moment_y", "area")


@dataclass(frozen=True, slots=True, eq=False)
class BorderWorth:
    """Derivatives to the border's movement outward, at places along every edge of it.

    Attributes
    ----------
    points, normals : (b, k, 2)
        Places and outward normals.
    lengths : (b, k)
        What each place stands for along the border.
    rates : mapping of str to (b, k)
        d(number)/dn per length of border, by the names of `NUMBERS`.
    doubt : (b, k)
        Half the difference of what J's two fields make of its rate.
    weight : (b, k)
        d(weight)/dn: the density there; 1 (an area) where one is missing.
    total_weight : float
    left_out : (b, k) bool
        Places near sharp re-entrant corners.
    """

    points: Array
    normals: Array
    lengths: Array
    rates: Mapping[str, Array]
    doubt: Array
    weight: Array
    total_weight: float
    left_out: NDArray[np.bool_]

    def by_weight(self, name: str, value: float) -> Array:
        """(b, k) d ln(number) / d ln(weight) of material put there: by how many percent the number
        grows when the weight grows by one."""
        return self.rates[name] / value * self.total_weight / self.weight

    def mean_by_weight(self, name: str, value: float) -> float:
        """The same of an even layer on the whole border."""
        grown = float((self.rates[name] * self.lengths).sum()) / value
        return grown * self.total_weight / float((self.weight * self.lengths).sum())


def border_worth(result: SectionResult) -> BorderWorth:
    """Derivatives of a solved section to its border's movement. Interfaces between materials,
    where a movement trades one for the other, and faces of slits are no part of it."""
    field, border = result.field, result.field.border
    mesh, some = field.mesh, np.flatnonzero(_open_edges(result))
    s, w = np.polynomial.legendre.leggauss(SAMPLES)
    s, w = (s + 1) / 2, w / 2
    start, end = mesh.vertices[border.start[some]], mesh.vertices[border.end[some]]
    tangents = edge_tangents(start, end, border.bulges[some], s)
    lengths = np.hypot(tangents[..., 0], tangents[..., 1])
    normals = np.stack([tangents[..., 1], -tangents[..., 0]], axis=-1) / lengths[..., None]
    points, strain, doubt, warped = _fields_along(result, some, s)
    region = mesh.region[border.triangles[some]]
    elastic = np.repeat(modulus_ratios(result.section)[region][:, None], SAMPLES, axis=1)
    r = points - result.centroid
    rates = {
        "torsion_constant": strain,
        "warping_constant": warped,
        "second_moment_x": elastic * r[..., 1] ** 2,
        "second_moment_y": elastic * r[..., 0] ** 2,
        "area": elastic,
    }
    densities, total = _weights(result)
    weight = np.repeat(densities[region][:, None], SAMPLES, axis=1)
    out = left_out(points, result.corners)
    return BorderWorth(points, normals, lengths * w, rates, doubt, weight, total, out)


def _fields_along(result: SectionResult, some: Ints, s: Array) -> tuple[Array, Array, Array, Array]:
    """At places s of some of the border's edges, in its own sense: points, |tau|^2 / G by the mean
    of both fields, half their difference, and the rate of C_w."""
    field, warping = result.field, result.warping_properties
    mesh, border = field.mesh, field.border
    triangles, edge = border.triangles[some], border.edges[some]
    local = np.argmax(mesh.triangle_edges[triangles] == edge[:, None], axis=1)
    backward = mesh.edges[edge, 0] != border.start[some]
    adjoint = _adjoint(warping)
    shape = (len(some), len(s))
    points = np.empty((*shape, 2))
    mean, doubt, warped = (np.empty(shape) for _ in range(3))
    kinds = np.stack([local, backward, mesh.curved[triangles]], axis=1)
    for kind in np.unique(kinds, axis=0):
        own = (kinds == kind).all(axis=1)
        k, along = triangles[own], 1 - s if kind[1] else s
        bary = np.zeros((3, len(s)))
        a, b = EDGES[kind[0]]
        bary[a], bary[b] = 1 - along, along
        stations = stations_of(mesh, k, *places_at(field.order, bary[1], bary[2]))
        one, two = field.stress_from_phi(stations, k), field.stress_from_omega(stations, k)
        squares = [(stress**2).sum(axis=-1) / field.shear[k, None] for stress in (one, two)]
        mean[own] = (squares[0] + squares[1]) / 2
        doubt[own] = np.abs(squares[0] - squares[1]) / 2
        points[own] = stations.points
        omega = warping.about_shear_centre(points[own], stations.values(field.omega[k]))
        coupled = (two * stations.gradients(adjoint[k])).sum(axis=-1)
        warped[own] = warping.modulus[k, None] * omega**2 + coupled
    return points, mean, doubt, warped


def _weights(result: SectionResult) -> tuple[Array, float]:
    """Density of each region, and the section's weight; areas where a density is missing."""
    densities = [region.material.density for region in result.section.regions]
    known = [d for d in densities if d is not None]
    if result.mass_per_length is not None and len(known) == len(densities):
        return np.array(known), result.mass_per_length
    return np.ones(len(densities)), result.area_properties.gross_area


def _open_edges(result: SectionResult) -> NDArray[np.bool_]:
    """(b,) which edges of the border have no material on their other side: faces of slits have."""
    field = result.field
    border, vertices = field.border, field.mesh.vertices
    if not result.section.slits:
        return np.ones(len(border.edges), dtype=bool)
    size = float(np.ptp(vertices, axis=0).max())
    middle = (vertices[border.start] + vertices[border.end]) / 2
    keys = np.rint(middle / (1e-9 * size)).astype(np.int64)
    _, inverse, count = np.unique(keys, axis=0, return_inverse=True, return_counts=True)
    return np.asarray(count[inverse.ravel()] == 1)


def _adjoint(warping: WarpingProperties) -> Array:
    """(t, n) coefficients of z of C_w."""
    field = warping.field
    mesh = field.mesh
    load = np.empty_like(field.omega)
    straight, curved = np.flatnonzero(~mesh.curved), np.flatnonzero(mesh.curved)
    for some, extra in ((straight, EXTRA), (curved, CURVED_EXTRA)):
        places = sampled_basis(field.order, field.order + extra)
        stations = stations_of(mesh, some, *places)
        own = warping.about_shear_centre(stations.points, stations.values(field.omega[some]))
        weighted = -2 * warping.modulus[some, None] * own * stations.weights
        load[some] = weighted @ stations.value
    loaded = field.condensed.with_loads(load[..., None])
    return loaded.expand(field.warping_system.solve(loaded.gathered(0)), 0, field.shear)
