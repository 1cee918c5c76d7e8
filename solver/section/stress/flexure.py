"""Bending shear and the secondary shear of restrained warping, on the torsion's mesh and matrices.

Shear V_x, V_y (Saint-Venant flexure). With dsigma/dz = E (a x + b y), where int E (a x + b y) (x,
y) dA = (V_x, V_y), the in-plane strains -nu sigma/E bend the section by displacements whose rate
along z is nu (a p_a + b p_b),

    p_a = -((x^2 - y^2)/2, x y),   p_b = -(x y, (y^2 - x^2)/2),

so tau = G (grad psi + nu (a p_a + b p_b)) with div tau = -E (a x + b y) and tau . n = 0. The mean
rotation of the section is free of twist, as in Timoshenko & Goodier (Theory of Elasticity, ch. 11).
psi = a psi_a + b psi_b + nu-weighted chi_a, chi_b: four right-hand sides of the warping's own
matrix serve every direction and, in one material, every Poisson's ratio. Where materials of
different nu meet, each region bends by its own nu and the small in-plane stresses that would fit
them together are left out.

Warping torque T_w. sigma_w = -B omega/C_w grows by dB/dz = T_w, so tau = G grad psi_w with div tau
= (E/E_ref) omega T_w/C_w; its moment about the shear centre is T_w, which every section checks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.integrals import CURVED_EXTRA, TrianglePoints, rule_stations
from ..mesh.section_mesh import Array
from ..torsion.interval import TorsionField
from ..torsion.warping import WarpingProperties


@dataclass(frozen=True, slots=True, eq=False)
class FlexureField:
    """Coefficients (t, n) of the displacements behind the shear stresses.

    Attributes
    ----------
    psi_a, psi_b : (t, n)
        Answers to div(G_r grad psi) = -E_r x and -E_r y, with no stress on the border; moduli
        relative to the reference material.
    chi_a, chi_b : (t, n)
        Answers to the Poisson terms, div(G_r (grad chi + nu_r p)) = 0.
    psi_w : (t, n)
        Answer to div(G_r grad psi) = E_r omega_S.
    poisson : (t,)
        nu_r: Poisson's ratio of each triangle relative to `poisson_scale`.
    poisson_scale : float
    """

    psi_a: Array
    psi_b: Array
    chi_a: Array
    chi_b: Array
    psi_w: Array
    poisson: Array
    poisson_scale: float


def solve_flexure(
    field: TorsionField, warping: WarpingProperties, modulus: Array, poisson: Array
) -> FlexureField:
    """Solve the five shear problems.

    Parameters
    ----------
    field : TorsionField
    warping : WarpingProperties
    modulus, poisson : (t,)
        Relative elastic modulus and Poisson's ratio of each triangle.
    """
    scale = float(np.abs(poisson).max()) or 1.0
    relative = poisson / scale if poisson.any() else np.ones_like(poisson)
    stations = load_stations(field)
    weight = stations.weights
    r = stations.points - field.origin
    x, y = r[..., 0], r[..., 1]
    omega = warping.about_shear_centre(stations.points, stations.values(field.omega))
    loads = [(weight * modulus[:, None] * f) @ stations.value for f in (x, y, -omega)]
    stiff = weight * (field.shear * relative)[:, None]
    loads += [
        -_against_gradient(stations, p(x, y) * stiff[..., None]) for p in (poisson_a, poisson_b)
    ]
    condensed = field.condensed.with_loads(np.stack(loads, axis=2))
    answers = [
        condensed.expand(field.warping_system.solve(condensed.gathered(k)), k, field.shear)
        for k in range(5)
    ]
    psi_a, psi_b, psi_w, chi_a, chi_b = answers
    return FlexureField(
        psi_a, psi_b, chi_a, chi_b, psi_w, relative, scale if poisson.any() else 0.0
    )


def load_stations(field: TorsionField) -> TrianglePoints:
    """Stations that integrate the products of these problems: exact on straight triangles."""
    extra = CURVED_EXTRA if field.mesh.corner_bulges.any() else 2
    return rule_stations(field.mesh, field.order, field.order + extra)


def poisson_a(x: Array, y: Array) -> Array:
    """(..., 2) p_a."""
    return -np.stack([(x**2 - y**2) / 2, x * y], axis=-1)


def poisson_b(x: Array, y: Array) -> Array:
    """(..., 2) p_b."""
    return -np.stack([x * y, (y**2 - x**2) / 2], axis=-1)


def _against_gradient(stations: TrianglePoints, vector: Array) -> Array:
    """(t, n) int vector . grad N, the weights already in `vector` (t, q, 2)."""
    q, n, _ = stations.grad.shape
    pulled = np.stack(
        [
            vector[..., 0] * stations.inverse[..., k, 0]
            + vector[..., 1] * stations.inverse[..., k, 1]
            for k in (0, 1)
        ],
        axis=2,
    )
    return pulled.reshape(len(vector), 2 * q) @ stations.grad.transpose(0, 2, 1).reshape(2 * q, n)
