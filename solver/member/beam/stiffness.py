"""Arrays of section stiffness for many elements at once, about the line that the axis follows.

The state of a member at a station is Y = [u, v, w, theta_x, theta_y, phi, tau | V_x, V_y, N, M_x,
M_y, T, B]: movement and rotation of the section as a rigid disc, referred to the axis point O, the
rate of twist tau, and the forces on the face that looks along +z, their moments about O. With r_c,
r_s the centroid and shear centre seen from O:

- normal stress sigma = E (epsilon + chi_x y - chi_y x + tau' omega), so N acts at the centroid and
  M_x = int sigma y dA (tension at +y), M_y = -int sigma x dA: both are right-handed moment vectors;
- shear strain at the shear centre is S (V_x, V_y); it is zero where shear areas are not given;
- T_s = T - x_s V_y + y_s V_x = T_t + T_w, B = -E C_w f', T_w = B' with f the amount of warping.

Where the section gives no secondary torsion constant J_s, f is the rate of twist tau: T_t = G J tau
(Vlasov). With it, T_w = G J_s (tau - f) (Benscoter): of a torque the share k = J_s / (J_s + J)
drives warping,

    tau = k f + (1 - k) T_s / (G J),     B' = k (T_s - G J f),

which are Vlasov's equations again with k G J for G J, k times lever and offset, and a compliance of
its own in torsion. So `torsion`, `lever` and `offset` hold k, and nothing else needs to know.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.constants import SectionConstants

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Stiffness:
    """Stiffness of n elements; every array has n rows.

    `compliance` (n, 6, 6) maps (V_x, V_y, N, M_x, M_y, T) to the strains (gamma_x, gamma_y,
    epsilon, chi_x, chi_y, tau) that do not involve warping; `offset` (n, 6) adds the strains of O
    per unit warping; `lever` (n, 6) gives k T_s as lever . f; `torsion` (n,) is k G J and `share`
    (n,) is k. `centroid` and `shear_centre` (n, 2) are seen from O.
    """

    compliance: Array
    offset: Array
    lever: Array
    torsion: Array
    share: Array
    warping: Array
    centroid: Array
    shear_centre: Array
    bending: Array
    monosymmetry: Array

    @property
    def rate(self) -> Array:
        """1 / a (n,) of restrained warping; infinite where the section does not warp."""
        with np.errstate(divide="ignore"):
            return np.asarray(np.sqrt(self.torsion / self.warping))

    def take(self, index: NDArray[np.intp]) -> Stiffness:
        """The rows named by `index`."""
        return Stiffness(*(getattr(self, name)[index] for name in self.__slots__))


def stiffness_of(sections: Sequence[SectionConstants], line: tuple[float, float]) -> Stiffness:
    """Stiffness arrays of sections (n), referred to the point `line` of the section."""

    def column(read: Callable[[SectionConstants], object]) -> Array:
        return np.asarray([read(s) for s in sections], dtype=np.float64)

    e, g = column(lambda s: s.elastic_modulus), column(lambda s: s.shear_modulus)
    area = column(lambda s: s.area)
    i_x, i_y = column(lambda s: s.second_moment_x), column(lambda s: s.second_moment_y)
    i_xy = column(lambda s: s.product_moment)
    centroid = column(lambda s: s.centroid) - np.asarray(line)
    shear_centre = column(lambda s: s.shear_centre) - np.asarray(line)
    (c_x, c_y), (s_x, s_y) = centroid.T, shear_centre.T

    # Curvatures from the moments about the centroid, which are M_x - c_y N and M_y + c_x N.
    det = e * (i_x * i_y - i_xy**2)
    curvature = np.zeros((len(sections), 2, 6))
    curvature[:, 0, 3], curvature[:, 0, 4] = i_y / det, i_xy / det
    curvature[:, 1, 3], curvature[:, 1, 4] = i_xy / det, i_x / det
    curvature[:, :, 2] = -c_y[:, None] * curvature[:, :, 3] + c_x[:, None] * curvature[:, :, 4]

    compliance = np.zeros((len(sections), 6, 6))
    compliance[:, 3:5] = curvature
    compliance[:, 2] = -c_y[:, None] * curvature[:, 0] + c_x[:, None] * curvature[:, 1]
    compliance[:, 2, 2] += 1 / (e * area)
    for row, word in enumerate(("shear_area_x", "shear_area_y")):
        given = [getattr(s, word) for s in sections]
        compliance[:, row, row] = [
            0.0 if a is None else 1 / (s.shear_modulus * a)
            for s, a in zip(sections, given, strict=True)
        ]

    offset, lever = np.zeros((2, len(sections), 6))
    offset[:, 0], offset[:, 1], offset[:, 5] = s_y, -s_x, 1.0
    lever[:, 0], lever[:, 1], lever[:, 5] = s_y, -s_x, 1.0

    share = column(lambda s: s.warping_share)
    torsion = g * column(lambda s: s.torsion_constant)
    own = (1 - share) / torsion
    compliance += own[:, None, None] * offset[:, :, None] * lever[:, None, :]

    return Stiffness(
        compliance,
        share[:, None] * offset,
        share[:, None] * lever,
        share * torsion,
        share,
        e * column(lambda s: s.warping_constant),
        centroid,
        shear_centre,
        e * i_x,
        column(lambda s: (s.polar_radius_squared, s.monosymmetry_x, s.monosymmetry_y)),
    )
