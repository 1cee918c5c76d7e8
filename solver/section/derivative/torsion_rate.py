"""Derivatives of torsion constant, warping constant and shear centre, and of the warping itself.

Both bounds of J are stationary in their fields, so their derivatives need the fields alone:

* G dJ_upper = int G (div V |e|^2 + 2 e . (ds - DV^T grad omega)), e = grad omega + s, s = (-y, x),
  ds = (-V_y, V_x);
* G dJ_lower = 4 int phi div V + 4 sum phi_k dA_k - int (div V |grad phi|^2 - 2 grad phi . DV^T grad
  phi) / G.

They are the exact derivatives of what the mesh's own solution bounds; the exact J lies between two
functions of these slopes, and half the difference of the slopes is told as their doubt.

The warping changes with its mesh. Its equation int G e . grad v = 0, differentiated, gives

    int G grad omega' . grad v = - int G (div V e + ds - DV^T grad omega - DV e) . grad v,

a further load of the system that is factored already; likewise the stress function,

    int grad phi' . grad v / G = 2 int v div V + 2 sum v_k dA_k
                                 - int (div V grad phi - DV^T grad phi - DV grad phi) . grad v / G.

 C_w = int E omega_S^2 is stationary in pole
and constant, so its derivative is int E (2 omega_S (omega' + slope . V) + omega_S^2 div V), and the
pole's follows from int E omega_S (x, y) = 0 differentiated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.system import Condensed, Factored
from ..mesh.section_mesh import Array, Ints
from ..torsion.interval import TorsionField
from ..torsion.warping import WarpingProperties
from .mesh_rate import MeshRate
from .moving_points import MovingPoints, rule_points


@dataclass(frozen=True, slots=True, eq=False)
class TorsionRate:
    """Derivatives to one number.

    Attributes
    ----------
    torsion_constant : float
        Mean of the derivatives of both bounds.
    torsion_constant_doubt : float
        Half their difference.
    warping_constant : float
    shear_centre : (2,)
    constant : float
        Of the warping about the shear centre.
    omega : (t, n)
        Coefficients of the warping's change, carried along with the mesh.
    """

    torsion_constant: float
    torsion_constant_doubt: float
    warping_constant: float
    shear_centre: Array
    constant: float
    omega: Array


def torsion_rate(warping: WarpingProperties, rate: MeshRate) -> TorsionRate:
    """Derivatives of a solved section, its mesh moving at a rate.

    Parameters
    ----------
    warping : WarpingProperties
        With the field it was integrated from.
    rate : MeshRate
    """
    field = warping.field
    groups = list(rule_points(field.mesh, rate, field.order))
    lower = sum(_lower_rate(field, points) for points in groups)
    lower += 4 * float(field.hole_values @ -rate.loop_areas)
    upper = sum(_upper_rate(field, points) for points in groups)
    omega = _warping_rate(field, groups)
    energy, centre, constant = _pole_rates(warping, omega, groups)
    half = abs(upper - lower) / 2
    return TorsionRate((upper + lower) / 2, half, energy, centre, constant, omega)


def stress_function_rate(
    field: TorsionField, system: tuple[Factored, Ints], rate: MeshRate
) -> Array:
    """(t, n) coefficients of the stress function's change, carried along with the mesh, by its
    system and the unknowns of its holes (`interval.stress_system`)."""
    factored, holes = system
    load = np.empty_like(field.phi)
    for points in rule_points(field.mesh, rate, field.order):
        some, stations = points.triangles, points.stations
        slope = stations.gradients(field.phi[some])
        change = points.divergence[..., None] * slope - points.carried(slope) - points.along(slope)
        tested = stations.tested(change / field.shear[some, None, None])
        load[some] = (2 * points.divergence * stations.weights) @ stations.value - tested
    loaded = field.condensed.with_loads(load[..., None])
    on_holes = np.zeros(factored.upper.shape[0])
    on_holes[holes[holes >= 0]] = -2 * rate.loop_areas[holes >= 0]
    solution = factored.solve(loaded.gathered(0), on_holes)
    return loaded.expand(solution, 0, 1 / field.shear)


def strain_rate(field: TorsionField, points: MovingPoints, omega: Array) -> Array:
    """(t, q, 2) change of grad omega + (-y, x) at points that move along, `omega` (t, n) being the
    change of all triangles' coefficients."""
    some = points.triangles
    return np.asarray(_carried_strain(field, points) + points.stations.gradients(omega[some]))


def _carried_strain(field: TorsionField, points: MovingPoints) -> Array:
    """ds - DV^T grad omega: the strain's change by the movement alone."""
    slope = points.stations.gradients(field.omega[points.triangles])
    return np.asarray(points.spin - points.carried(slope))


def _strain(field: TorsionField, points: MovingPoints) -> tuple[Array, Array]:
    """grad omega + s (t, q, 2), and shear modulus (t, 1)."""
    shear = field.shear[points.triangles, None]
    stress = field.stress_from_omega(points.stations, points.triangles)
    return stress / shear[..., None], shear


def _upper_rate(field: TorsionField, points: MovingPoints) -> float:
    strain, shear = _strain(field, points)
    change = points.divergence * (strain**2).sum(axis=-1)
    change = change + 2 * (strain * _carried_strain(field, points)).sum(axis=-1)
    return float(np.sum(change * shear * points.stations.weights))


def _lower_rate(field: TorsionField, points: MovingPoints) -> float:
    some = points.triangles
    slope = points.stations.gradients(field.phi[some])
    volume = 4 * points.stations.values(field.phi[some]) * points.divergence
    energy = points.divergence * (slope**2).sum(axis=-1)
    energy = energy - 2 * (slope * points.carried(slope)).sum(axis=-1)
    return float(np.sum((volume - energy / field.shear[some, None]) * points.stations.weights))


def _warping_rate(field: TorsionField, groups: list[MovingPoints]) -> Array:
    load = np.empty_like(field.omega)
    for points in groups:
        strain, shear = _strain(field, points)
        change = points.divergence[..., None] * strain + _carried_strain(field, points)
        change = change - points.along(strain)
        load[points.triangles] = -points.stations.tested(shear[..., None] * change)
    loaded: Condensed = field.condensed.with_loads(load[..., None])
    return loaded.expand(field.warping_system.solve(loaded.gathered(0)), 0, field.shear)


def _pole_rates(
    warping: WarpingProperties, omega: Array, groups: list[MovingPoints]
) -> tuple[float, Array, float]:
    """Derivatives of C_w, of the shear centre (2,) and of the warping's constant about it."""
    field = warping.field
    pole = warping.shear_centre - field.origin
    slope = np.array([-pole[1], pole[0]])
    constant, first, total = 0.0, np.zeros(3), np.zeros((3, 3))
    for points in groups:
        some = points.triangles
        weight = points.stations.weights * warping.modulus[some, None]
        r = points.stations.points - field.origin
        own = points.stations.values(field.omega[some]) + r @ slope + warping.constant
        change = points.stations.values(omega[some]) + points.velocity @ slope
        constant += float(np.sum(weight * (2 * own * change + own**2 * points.divergence)))
        grown = weight * (change + own * points.divergence)
        first[:2] += np.tensordot(grown, r, 2) + np.tensordot(weight * own, points.velocity, 2)
        first[2] += grown.sum()
        all_three = np.concatenate([r, np.ones((*r.shape[:-1], 1))], axis=-1)
        total += np.tensordot(weight[..., None] * all_three, all_three, ([0, 1], [0, 1]))
    turned = np.linalg.solve(total, -first)
    return constant, np.array([turned[1], -turned[0]]), float(turned[2])
