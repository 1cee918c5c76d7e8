"""Derivatives of the shear fields of bending and of restrained warping.

Their equations, int G (grad psi + s) . grad v = int E f v (see `stress.flexure`), differentiated on
a mesh that moves with the velocity V, are a further load of the warping's own system:

    int G grad psi' . grad v = int E (f' + f div V) v
                               - int G (div V e + s' - DV^T grad psi - DV e) . grad v,

e = grad psi + s. Of psi_a, psi_b f is x or y, of psi_w it is -omega_S; of chi_a, chi_b s is nu p_a
or nu p_b, and f = 0. The mesh moves as seen from the centroid, so that x' and y' are V.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from ..stress.flexure import poisson_a, poisson_b
from ..stress.unit_stress import UnitStress
from .mesh_rate import MeshRate
from .moving_points import MovingPoints, rule_points
from .torsion_rate import TorsionRate

#: The fields, in the order of their right-hand sides.
FIELDS = ("psi_a", "psi_b", "psi_w", "chi_a", "chi_b")


@dataclass(frozen=True, slots=True, eq=False)
class FlexureRate:
    """(t, n) changes of the coefficients of a `FlexureField`, carried along with the mesh."""

    psi_a: Array
    psi_b: Array
    psi_w: Array
    chi_a: Array
    chi_b: Array


def flexure_rate(units: UnitStress, rate: MeshRate, torsion: TorsionRate) -> FlexureRate:
    """Derivatives of a section's shear fields.

    Parameters
    ----------
    units : UnitStress
    rate : MeshRate
        As seen from the centroid, which stands still.
    torsion : TorsionRate
        Of the same rate.
    """
    field = units.field
    loads = np.zeros((*field.omega.shape, len(FIELDS)))
    for points in rule_points(field.mesh, rate, field.order):
        for k, load in enumerate(_loads(units, points, torsion)):
            loads[points.triangles, :, k] = load
    condensed = field.condensed.with_loads(loads)
    solve = field.warping_system.solve
    solutions = [solve(condensed.gathered(k)) for k in range(len(FIELDS))]
    return FlexureRate(*condensed.expand_all(solutions, field.shear))


def _loads(units: UnitStress, points: MovingPoints, torsion: TorsionRate) -> list[Array]:
    """(t, n) load of each field on some triangles."""
    field, flexure, stations = units.field, units.flexure, points.stations
    some = points.triangles
    shear = field.shear[some, None, None]
    weight = stations.weights * units.modulus[some, None]
    poisson = flexure.poisson[some, None]
    r = stations.points - field.origin
    x, y = r[..., 0], r[..., 1]
    v_x, v_y = points.velocity[..., 0], points.velocity[..., 1]
    warping = units.result.warping_properties
    omega = warping.about_shear_centre(stations.points, stations.values(field.omega[some]))
    sources = [(x, v_x), (y, v_y), (-omega, -_warping_change(units, points, torsion))]
    # d p_a = (-(x v_x - y v_y), -(x v_y + y v_x)), and p_b = (p_a's second, minus its first)
    turn = np.stack([-(x * v_x - y * v_y), -(x * v_y + y * v_x)], axis=-1)
    other = np.stack([turn[..., 1], -turn[..., 0]], axis=-1)
    plain = np.zeros_like(r)
    strains = [
        (plain, plain), (plain, plain), (plain, plain),
        (poisson[..., None] * poisson_a(x, y), poisson[..., None] * turn),
        (poisson[..., None] * poisson_b(x, y), poisson[..., None] * other),
    ]  # fmt: skip
    found = []
    for k, (name, (own, change)) in enumerate(zip(FIELDS, strains, strict=True)):
        slope = stations.gradients(getattr(flexure, name)[some])
        strain = slope + own
        moved = points.divergence[..., None] * strain + change
        moved = moved - points.carried(slope) - points.along(strain)
        load = -stations.tested(shear * moved)
        if k < len(sources):
            value, grown = sources[k]
            load = load + (weight * (grown + value * points.divergence)) @ stations.value
        found.append(load)
    return found


def _warping_change(units: UnitStress, points: MovingPoints, torsion: TorsionRate) -> Array:
    """(t, q) change of the warping about the shear centre at points that move along."""
    field, warping = units.field, units.result.warping_properties
    pole, moved = warping.shear_centre - field.origin, torsion.shear_centre
    r, v = points.stations.points - field.origin, points.velocity
    change = points.stations.values(torsion.omega[points.triangles]) + torsion.constant
    change = change - moved[1] * r[..., 0] + moved[0] * r[..., 1]
    return np.asarray(change - pole[1] * v[..., 0] + pole[0] * v[..., 1])
