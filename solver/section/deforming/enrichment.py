"""A member's basis with more fields: the section's own buckling shapes, and the plane strains that
second-order motion needs.

A rotation theta moves the point r of the section by 1/2 theta x (theta x r) in second order. What a
load at a height does to stability is its work on that motion, and the stress of first order does
the same work only where its equilibrium was asked of such motions. In the plane they are linear in
x and y: with the three plane strains among the functions, and rotations and translations there
already, the height of every load and reaction is in the initial-stress matrices, by themselves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..mesh.section_mesh import Array
from .piece import piece_matrices
from .reduced import ReducedSection
from .span import orthonormal_to, scalar_product

#: A field that adds less than this part of itself to those before it says nothing new.
NEW = 1e-3


def plane_strains(section: ReducedSection) -> Array:
    """(count, 2, 3) the motions (x, 0), (0, y), (y, x)."""
    x, y = section.fields.linear.T
    zero = np.zeros_like(x)
    return np.stack([np.stack([x, zero], 1), np.stack([zero, y], 1), np.stack([y, x], 1)], axis=2)


def enriched(
    sections: Sequence[ReducedSection],
    in_plane: Array,
    axial: Array,
    new: float = NEW,
    called: str = "buckling shape",
) -> tuple[ReducedSection, ...]:
    """The sections of one member with more functions, after those they have.

    Parameters
    ----------
    sections : sequence of ReducedSection
        In one basis.
    in_plane : (count, 2, k), axial : (count, m)
        Fields on the common mesh.
    new : float
        Part of a field beyond those before it, below which it is left out.
    called : str
        What names of the functions begin with.
    """
    first = sections[0]
    product = scalar_product(first.fields)
    old = first.fields.coefficients
    u = orthonormal_to(product, old[:, :2, first.planar], in_plane, new)
    z = orthonormal_to(product, old[:, 2:, ~first.planar], axial[:, None], new)
    more = u.shape[2] + z.shape[2]
    fields = np.zeros((len(old), 3, more))
    fields[:, :2, : u.shape[2]], fields[:, 2:, u.shape[2] :] = u, z
    return tuple(_with(section, fields, u.shape[2], called) for section in sections)


def _with(section: ReducedSection, more: Array, in_plane: int, called: str) -> ReducedSection:
    k = more.shape[2]
    fields = replace(
        section.fields, coefficients=np.concatenate([section.fields.coefficients, more], axis=2)
    )
    m = piece_matrices(fields, section.elastic, section.curvature)
    none = np.zeros((k, section.shapes.shape[1]), complex)
    return replace(
        section,
        C=m.C, L=m.L, M=m.M, mass=m.mass, body=m.body, weight=m.weight,
        rigid=np.vstack([section.rigid, np.zeros((k, 6))]),
        planar=np.concatenate([section.planar, np.arange(k) < in_plane]),
        names=(*section.names, *(f"{called} {j + 1}" for j in range(k))),
        mode=np.concatenate([section.mode, np.zeros(k, section.mode.dtype)]),
        fields=fields,
        shapes=np.vstack([section.shapes, none]) if section.shapes.size else section.shapes,
    )  # fmt: skip
