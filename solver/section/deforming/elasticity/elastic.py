"""The elasticity of each triangle: what turns the six strains of a member into stresses.

Strains and stresses in the order xx, yy, zz, yz, xz, xy, shears as engineering strains. E and
Poisson's ratio rule the normal stresses and the shear within the section's plane; a shear modulus
given beside them (timber, or a printed G that is not E / (2 (1 + nu))) rules the shears yz and xz,
those of torsion and of shear forces, as it does in every other result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .....geometry.errors import InputError
from .....geometry.section import Section
from ...mesh.section_mesh import Array, Ints

#: Moduli where a section has no material, by those that another section has there.
GHOST = 1e-9

#: Poisson's ratio up to which a displacement basis of moderate order does not lock.
LARGEST_POISSON = 0.49


@dataclass(frozen=True, slots=True, eq=False)
class Elastic:
    """Moduli by triangle.

    Attributes
    ----------
    lame : (t,)
        lambda = E nu / ((1 + nu)(1 - 2 nu)).
    plane_shear : (t,)
        E / (2 (1 + nu)), of the strain xy and of the normal strains.
    shear : (t,)
        G of the strains yz and xz.
    modulus : (t,)
        E.
    density : (t,) or None
        None when a region has none.
    solid : (t,) bool
        Where there is material. Elsewhere, where other sections of the member have some, its
        moduli times `GHOST` stand: enough to tell what nothing else tells.
    """

    lame: Array
    plane_shear: Array
    shear: Array
    modulus: Array
    density: Array | None
    solid: NDArray[np.bool_]

    def stress(self, strain: Array) -> Array:
        """Stresses of strains (t, q, 6, ...)."""
        more = (1,) * (strain.ndim - 1)
        lame, plane, shear = (
            a.reshape(-1, *more)[:, :, 0] if strain.ndim > 3 else a[:, None]
            for a in (self.lame, self.plane_shear, self.shear)
        )
        out = np.empty_like(strain)
        pressure = lame * (strain[:, :, 0] + strain[:, :, 1] + strain[:, :, 2])
        for k in (0, 1, 2):
            out[:, :, k] = pressure + 2 * plane * strain[:, :, k]
        out[:, :, 3] = shear * strain[:, :, 3]
        out[:, :, 4] = shear * strain[:, :, 4]
        out[:, :, 5] = plane * strain[:, :, 5]
        return out

    def of(self, triangles: Ints | slice) -> Elastic:
        """The moduli of some triangles."""
        return Elastic(
            self.lame[triangles],
            self.plane_shear[triangles],
            self.shear[triangles],
            self.modulus[triangles],
            None if self.density is None else self.density[triangles],
            self.solid[triangles],
        )

    def everywhere(self) -> Elastic:
        """Full moduli where there is no material of this section, too."""
        full = np.where(self.solid, 1.0, 1 / GHOST)
        return Elastic(
            self.lame * full, self.plane_shear * full, self.shear * full, self.modulus * full,
            self.density, np.ones_like(self.solid),
        )  # fmt: skip


def elastic_on(sections: Sequence[Section], region: Ints, own: int) -> Elastic:
    """The moduli of one section on a mesh that it may share with others.

    Parameters
    ----------
    region : (s, t) int
        Region of each section that each triangle lies in, -1 for none.
    own : int
        The section.

    Raises
    ------
    InputError
        For a material so nearly incompressible that the method cannot follow it.
    """
    owner = np.argmax(region >= 0, axis=0)
    solid = region[own] >= 0
    owner[solid] = own
    lame, plane, shear, modulus, density = np.zeros((5, region.shape[1]))
    for k, section in enumerate(sections):
        mine = owner == k
        for n, part in enumerate(section.regions):
            some, m = mine & (region[k] == n), part.material
            e, nu = m.elastic_modulus, m.poisson_ratio
            if nu > LARGEST_POISSON:
                raise InputError(
                    f"material {m.name!r}: Poisson's ratio {nu:g} is too near 0.5 for a section "
                    f"that deforms; give {LARGEST_POISSON:g} or less"
                )
            scale = 1.0 if k == own else GHOST
            lame[some] = scale * e * nu / ((1 + nu) * (1 - 2 * nu))
            plane[some] = scale * e / (2 * (1 + nu))
            shear[some], modulus[some] = scale * m.shear, scale * e
            density[some] = m.density or 0.0 if k == own else 0.0
    known = all(part.material.density is not None for part in sections[own].regions)
    return Elastic(lame, plane, shear, modulus, density if known else None, solid)
