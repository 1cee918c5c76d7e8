"""The elasticity of each triangle: what turns the six strains of a member into stresses.

Strains and stresses in the order xx, yy, zz, yz, xz, xy, shears as engineering strains. E and
Poisson's ratio rule the normal stresses and the shear within the section's plane; a shear modulus
given beside them (timber, or a printed G that is not E / (2 (1 + nu))) rules the shears yz and xz,
those of torsion and of shear forces, as it does in every other result.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ....geometry.section import Section
from ..mesh import Array, Ints

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
    """

    lame: Array
    plane_shear: Array
    shear: Array
    modulus: Array
    density: Array | None

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
        )


def elastic_of(section: Section, region: Ints) -> Elastic:
    """The moduli of triangles that belong to the given regions of a section.

    Raises
    ------
    InputError
        For a material so nearly incompressible that the method cannot follow it.
    """
    materials = [r.material for r in section.regions]
    for m in materials:
        if m.poisson_ratio > LARGEST_POISSON:
            raise InputError(
                f"material {m.name!r}: Poisson's ratio {m.poisson_ratio:g} is too near 0.5 for a "
                f"section that deforms; give {LARGEST_POISSON:g} or less"
            )
    e = np.array([m.elastic_modulus for m in materials])
    nu = np.array([m.poisson_ratio for m in materials])
    density = [m.density for m in materials]
    known = [d for d in density if d is not None]
    return Elastic(
        (e * nu / ((1 + nu) * (1 - 2 * nu)))[region],
        (e / (2 * (1 + nu)))[region],
        np.array([m.shear for m in materials])[region],
        e[region],
        np.array(known)[region] if len(known) == len(density) else None,
    )
