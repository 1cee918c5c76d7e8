"""What a state of stress does to the stiffness: the matrices of the second-order energy.

A stress sigma already there works on the second-order part of Green's strain: per volume
1/2 sigma_ij (du_k/dx_i)(du_k/dx_j). Added to the elastic energy, with the stress of a load factor
times it, it gives the critical loads; with the stress of the loads themselves, second order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elasticity.strain import rates, strains, stretch_of
from .reduced import ReducedSection

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
    c, cross, m = np.zeros((3, count, n, n))
    groups = _groups(section)
    for rough in (False, True):
        own = np.flatnonzero((fields.curved == rough) & section.elastic.solid)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        step = max(1, _CHUNK // (12 * len(places[0]) * n))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            state = u, gradient, spots.points, section.curvature, spots.speed
            still, along = strains(*state)
            stress = section.elastic.of(some).stress(still @ a + along @ rate)
            weight = spots.weights * stretch_of(spots.points, section.curvature)
            s = np.moveaxis(stress * weight[..., None, None], 2, 0)
            zero, one = rates(*state)
            moving = section.curvature != 0 or spots.speed is not None
            for parts, which in groups:
                pair = np.ix_(which, which)
                x, y, along_z = (
                    f[:, :, parts][..., which].reshape(-1, len(which))
                    for f in (gradient[0], gradient[1], one)
                )
                rest = zero[:, :, parts][..., which].reshape(x.shape) if moving else None
                for k in range(count):
                    t = np.repeat(s[..., k].reshape(6, -1, 1), len(parts), axis=1)
                    t = t.reshape(6, -1, 1)
                    forward = t[4] * x + t[3] * y
                    c_k = x.T @ (t[0] * x + t[5] * y) + y.T @ (t[5] * x + t[1] * y)
                    if rest is not None:
                        shear = rest.T @ forward
                        c_k += shear + shear.T + rest.T @ (t[2] * rest)
                        forward += t[2] * rest
                    c[k][pair] += c_k
                    cross[k][pair] += along_z.T @ forward
                    m[k][pair] += along_z.T @ (t[2] * along_z)
    return InitialStress((c + c.swapaxes(1, 2)) / 2, cross, (m + m.swapaxes(1, 2)) / 2)


def _groups(section: ReducedSection) -> list[tuple[list[int], Ints]]:
    """Components, and the functions that have them: in-plane and axial ones meet in a curve
    alone, where the frame turns."""
    if section.curvature:
        return [([0, 1, 2], np.arange(section.size))]
    return [
        ([0, 1], np.flatnonzero(section.planar)),
        ([2], np.flatnonzero(~section.planar)),
    ]
