"""What a state of stress does to the stiffness: the matrices of the second-order energy.

A stress sigma already there works on the second-order part of Green's strain: per volume
1/2 sigma_ij (du_k/dx_i)(du_k/dx_j). Added to the elastic energy, with the stress of a load factor
times it, it gives the critical loads; with the stress of the loads themselves, second order.

In a triangle these are three matrices of its shape functions N, alike for every component of u.
With X = dN/dx, Y = dN/dy and what `strain` has along the member, P = N/r, V = (speed . grad N)/r
and the rate of u -V u + P u', F = sigma_xz X + sigma_yz Y - sigma_zz V gives

    A = int X (sigma_xx X + sigma_xy Y) + Y (sigma_xy X + sigma_yy Y) - V F - (F + sigma_zz V) V,
    B = int P F,   D = int P sigma_zz P,
    a^T C a = sum u A u,   a'^T L a = sum u' B u,   a'^T M a' = sum u' D u'.

A curve adds kappa P u_x to the rate of u_z and takes kappa P u_z from that of u_x.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elasticity.fields import Spots
from .elasticity.strain import strains, stretch_of
from .reduced import ReducedSection

#: Numbers held at once while the triangles' matrices are made.
_CHUNK = 4_000_000


@dataclass(frozen=True, slots=True, eq=False)
class InitialStress:
    """Second-order energy per length of the axis 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a, each
    (n, n), or (r, n, n) of r states."""

    C: Array
    L: Array
    M: Array


def initial_stress(section: ReducedSection, a: Array, rate: Array) -> InitialStress:
    """The matrices of the stress that the state a, a' (n,) of the section has."""
    one = initial_stresses(section, a[:, None], rate[:, None])
    return InitialStress(one.C[0], one.L[0], one.M[0])


def initial_stresses(section: ReducedSection, a: Array, rate: Array) -> InitialStress:
    """The matrices of r states a, a' (n, r), each (r, n, n)."""
    fields, n, count = section.fields, section.size, a.shape[1]
    acting = replace(fields, coefficients=fields.coefficients @ np.hstack([a, rate]))
    found = np.zeros((count, 3, n, n))
    groups = _groups(section)
    for rough in (False, True):
        own = np.flatnonzero((fields.curved == rough) & section.elastic.solid)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        step = max(1, _CHUNK // (len(places[0]) * (40 * count + 6 * fields.numbers.shape[1])))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            spots = fields.spots(some, places)
            u, gradient = acting.at(spots)
            still, along = strains(u, gradient, spots.points, section.curvature, spots.speed)
            stretch = stretch_of(spots.points, section.curvature)
            stress = section.elastic.of(some).stress(still[..., :count] + along[..., count:])
            stress *= (spots.weights * stretch)[..., None, None]
            w = fields.coefficients[fields.numbers[some]].transpose(2, 0, 1, 3)
            shared = [(np.ix_(which, which), w[parts][..., which]) for parts, which in groups]
            for k in range(count):
                matrices = _triangle_matrices(spots, stretch, stress[..., k])
                for pair, columns in shared:
                    flat = columns.reshape(-1, columns.shape[3])
                    worked = _worked(matrices, columns, section.curvature)
                    for j in range(3):
                        found[k, j][pair] += flat.T @ worked[j].reshape(flat.shape)
    c, cross, m = found.swapaxes(0, 1)
    return InitialStress((c + c.swapaxes(1, 2)) / 2, cross, (m + m.swapaxes(1, 2)) / 2)


def _triangle_matrices(spots: Spots, stretch: Array, s: Array) -> tuple[Array, Array, Array]:
    """A, B and D, each (t, m, m), of a stress times its weights s (t, q, 6)."""
    inverse = spots.inverse
    x, y = (
        spots.grad[..., 0] * inverse[..., 0, d, None]
        + spots.grad[..., 1] * inverse[..., 1, d, None]
        for d in (0, 1)
    )
    p = spots.value / stretch[..., None]
    xx, yy, zz, yz, xz, xy = (s[..., d, None] for d in range(6))
    forward = xz * x + yz * y
    a = _each(x, xx * x + xy * y) + _each(y, xy * x + yy * y)
    if spots.speed is not None:
        v = (spots.speed[..., :1] * x + spots.speed[..., 1:] * y) / stretch[..., None]
        a -= _each(forward, v)
        forward = forward - zz * v
        a -= _each(v, forward)
    return a, _each(p, forward), _each(p, zz * p)


def _each(one: Array, other: Array) -> Array:
    """(t, m, m) sums over the places of every triangle."""
    return np.asarray(one.transpose(0, 2, 1) @ other)


def _worked(matrices: tuple[Array, Array, Array], w: Array, kappa: float) -> list[Array]:
    """What the matrices of C, L and M give for columns w (components, t, m, n)."""
    still, mixed, along = (matrix @ w for matrix in matrices)
    if kappa:
        across = 2 * kappa * mixed[[2, 0]]
        still[[0, 2]] += kappa**2 * along[[0, 2]]
        still[0] += across[0]
        still[2] -= across[1]
        mixed[0] -= kappa * along[2]
        mixed[2] += kappa * along[0]
    return [still, mixed, along]


def _groups(section: ReducedSection) -> list[tuple[list[int], Ints]]:
    """Components, and the functions that have them: in-plane and axial ones meet in a curve
    alone, where the frame turns."""
    if section.curvature:
        return [([0, 1, 2], np.arange(section.size))]
    return [
        ([0, 1], np.flatnonzero(section.planar)),
        ([2], np.flatnonzero(~section.planar)),
    ]
