"""How a section answers what acts on it: line loads, the pull of a curve in plan, single loads.

Slow modes tell what travels from where a load begins or ends; under the load itself the section
takes a shape of its own, which modes approach slowly. Under a force f per length at a point of the
section, balanced by the growth of Saint-Venant's shear and torsion,

    u = c (z^4/24 e + z^2/2 U + Y, -x z^3/6 + z W),     C_u Y = M_u U + A W + f / c,

the next vector of Saint-Venant's chains (see `chains`): c makes the right side balanced, and Y is
what is missing among the functions along the member. A curve of radius R acts likewise: the axial
stress sigma pulls like a load -sigma / R across, and fibres are longer by 1 + x / R, so that the
section contracts otherwise than in a straight piece (see `curve_forces`).

A load over a short length, or a support or diaphragm that holds the section's shape, is a sum of
waves along the member. Under f sin kz the section answers with (U sin kz, W cos kz), by one
symmetric matrix for each k. Answers at a few wave numbers between the section's size and the load's
length span those at all others closely, as rational Krylov spaces do (Ruhe, Linear Algebra Appl. 58
(1984) 391): far fewer functions than the modes that would show the same. What a bearing or a deck
pushes back with is a load like any other, but that it varies as the member moves: a deck is
answered by waves no longer than the section however long it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis, shape_functions
from ..elements.integrals import CURVED_EXTRA
from ..mesh.location import locate
from ..mesh.section_mesh import Array
from .acting import Acting, Force, LevelHold
from .chains import Chains, in_plane_system, refined, without_rigid
from .elasticity.condensed import CondensedSystems
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.matrices import SectionMatrices
from .inclination import growing_warpings, inclined_forces, inclined_warpings
from .outline import level_material, level_patterns, lowest_material
from .slow import SlowModes

Wave = tuple[float, Array]
"""A wave number k, and forces (count, 3, m) sin kz in the plane, cos kz along the member."""


@dataclass(frozen=True, slots=True, eq=False)
class Responses:
    """In-plane (count, 2, k) and axial (count, m) fields."""

    in_plane: Array
    axial: Array


#: A load longer than this many sizes of the section (half its greatest extent) acts as one that
#: goes on for ever; what begins at its ends dies out as the slow modes do.
LONG = 4.0
#: Wave numbers by the inverse of the section's size at which what holds its shape is answered.
HELD_WAVES = (1.0, 3.0, 9.0, 27.0)
#: Slow modes whose pull in a curve is followed, at least and at most; between, all but as many as
#: the least. The first matters most by far, the third and fourth of a box more than the second.
CURVED_LEAST, CURVED_MOST = 2, 4
#: The first forces of a curve and of a taper, those of Saint-Venant's solutions.
SAINT_VENANT = 3
#: Largest wave number by the inverse of a load's length, which is no shorter than this part of the
#: section's size; largest ratio of one to the next.
WAVES, SHORTEST, STEP = 4.0, 20.0, 2.5


def responses_to(
    acting: Acting,
    fields: Fields,
    matrices: SectionMatrices,
    elastic: Elastic,
    chains: Chains,
    slow: SlowModes,
    size: float,
    modes: int,
    moving: Fields | None = None,
) -> Responses:
    """All answers of a section of some size.

    Parameters
    ----------
    modes : int
        Slow modes that are among the functions.
    moving : Fields, optional
        Where the section tapers: its fields, with those of an end as `toward`.
    """
    count = matrices.count
    steady = [np.zeros((count, 2, 0))]
    waves: list[Wave] = []
    for force in acting.forces:
        unit = unit_force(fields, force)
        if not unit.shape[2]:  # a point off the material
            continue
        if force.length > LONG * size:
            steady.append(unit)
            continue
        for k in _chosen(wave_numbers(2 * size, force.length), acting):
            waves.append((float(k), _across(unit)))
    for level in acting.levels:
        pattern = _across(level_forces(fields, level))
        for k in _chosen(wave_numbers(2 * size, min(level.length, 2 * size)), acting):
            waves.append((float(k), pattern))
    if acting.held:
        # What a rigid plate must do to the section: keep it from contracting.
        grip = matrices.stiff(chains.contraction)
        for k in _chosen(np.array(HELD_WAVES), acting):
            waves.append((k / (2 * size), _across(grip)))
    if acting.warping_held:
        hold = np.zeros((count, 3, 1))
        hold[:, 2] = matrices.along(hold[:, :2], chains.omega[:, None])
        for k in _chosen(np.array(HELD_WAVES), acting):
            waves.append((k / (2 * size), hold))
    answers = wave_responses(matrices, waves)
    in_plane = [found[:, :2] for found in answers]
    axial = [np.zeros((count, 0)), *(found[:, 2] for found in answers)]
    if acting.curved:
        followed = min(max(modes - CURVED_LEAST, CURVED_LEAST), CURVED_MOST)
        steady.append(curve_forces(fields, elastic, chains, slow, followed))
    if moving is not None:
        across, along = inclined_forces(moving, elastic, chains)
        steady.append(across)
        axial.append(inclined_warpings(matrices, chains, along))
    whole = steady_responses(fields, matrices, chains, np.concatenate(steady, axis=2))
    if moving is not None or acting.curved:
        # There they vary along the member, which bends walls that way too.
        growing = np.concatenate([np.arange(own.shape[2]) < SAINT_VENANT for own in steady])
        axial.append(growing_warpings(matrices, chains, whole[..., growing]))
    return Responses(np.concatenate([whole, *in_plane], axis=2), np.concatenate(axial, axis=1))


def _chosen(waves: Array, acting: Acting) -> Array:
    return waves[:-1] if acting.coarse else waves


def steady_responses(
    fields: Fields, matrices: SectionMatrices, chains: Chains, forces: Array
) -> Array:
    """In-plane fields Y (count, 2, k) under forces (count, 2, k) on the shape functions."""
    if not forces.shape[2]:
        return forces
    one, zero = chains.one, np.zeros_like(chains.one)
    shift = np.stack([np.stack([one, zero], 1), np.stack([zero, one], 1)], axis=2)
    turn = chains.spin[..., None]
    # what grows by one each length: shear along x and y, torsion
    grown_u = np.concatenate([chains.contraction[..., 1:], turn], axis=2)
    grown_w = np.column_stack([chains.shear_warping, chains.omega])
    growth = matrices.pushed(grown_u, grown_w)[0]
    rigid = np.concatenate([shift, turn], axis=2)
    table = np.einsum("idr,idc->rc", rigid, growth)
    resultant = np.einsum("idr,idk->rk", rigid, forces)
    balanced = forces - growth @ np.linalg.solve(table, resultant)
    system = in_plane_system(fields, matrices)
    found = refined(system, matrices.stiff, balanced)
    return without_rigid(matrices, found, shift, turn)


def wave_responses(matrices: SectionMatrices, waves: Sequence[Wave]) -> list[Array]:
    """Fields (count, 3, m) of size 1 under the forces of each wave; those of one wave number are
    answered together."""
    systems = CondensedSystems(matrices.numbers, matrices.count, matrices.outer)
    found: dict[int, Array] = {}
    for k in dict.fromkeys(k for k, _ in waves):
        own = [n for n, wave in enumerate(waves) if wave[0] == k]
        forces = [waves[n][1] for n in own]
        fields = systems.factored(matrices.wave(k)).solve(np.concatenate(forces, axis=2))
        fields /= np.sqrt((fields**2).sum(axis=(0, 1)))
        ends = np.cumsum([one.shape[2] for one in forces])[:-1]
        found.update(zip(own, np.split(fields, ends, axis=2), strict=True))
    return [found[n] for n in range(len(waves))]


def _across(forces: Array) -> Array:
    """Forces (count, 2, m) in the plane, with none along the member, (count, 3, m)."""
    return np.concatenate([forces, np.zeros_like(forces[:, :1])], axis=1)


def wave_numbers(size: float, length: float) -> Array:
    """Those that a load of some length needs on a section of some size."""
    first, last = 1 / size, WAVES / max(length, size / SHORTEST)
    count = max(2, int(np.ceil(np.log(max(last / first, 1.0)) / np.log(STEP))) + 1)
    return np.geomspace(first, max(last, STEP * first), count)


def unit_force(fields: Fields, force: Force) -> Array:
    """(count, 2, 1) a unit of a force on the shape functions; (count, 2, 0) where there is no
    material at its point."""
    x, y = force.point
    point = lowest_material(fields.mesh, x) if y is None else (x, y)
    pattern = np.zeros((1, 2, 1))
    pattern[0, force.direction] = 1.0
    if point is None or locate(fields.mesh, np.array([point], float))[0][0] < 0:
        pattern, point = pattern[..., :0], (0.0, 0.0)
    return _shared_out(fields, np.array([point], float), pattern)


def level_forces(fields: Fields, hold: LevelHold) -> Array:
    """(count, 2, k) what a unit of each hold along a level does to the shape functions."""
    points, weights = level_material(fields.mesh, hold.level)
    chosen = np.flatnonzero([hold.across, hold.turn])
    return _shared_out(fields, points, level_patterns(points, weights)[..., chosen])


def _shared_out(fields: Fields, points: Array, pattern: Array) -> Array:
    """Forces (m, 2, k) at points (m, 2) of the material on the shape functions, (count, 2, k)."""
    out = np.zeros((int(fields.numbers.max()) + 1, *pattern.shape[1:]))
    if pattern.size:
        triangle, xi, eta = locate(fields.mesh, points)
        value, _ = shape_functions(fields.order, xi, eta)
        np.add.at(out, fields.numbers[triangle], value[..., None, None] * pattern[:, None])
    return out


def curve_forces(
    fields: Fields, elastic: Elastic, chains: Chains, slow: SlowModes, modes: int
) -> Array:
    """(count, 2, k) forces that a curve of unit curvature adds to extension, bending and the first
    slow modes.

    Where the axial motion is w per unit of a', the strain -x w and the pull -E w along x; where the
    motion along x is v per unit of a, the strain v. Forces of a strain e are those of its stress
    lambda e in the plane.
    """
    some = slow.axial[:, :modes], slow.in_plane[:, 0, :modes]
    axial, across = (np.concatenate([m.real, m.imag], axis=1) for m in some)
    axial = np.column_stack([chains.one, chains.position, axial])
    t, n = fields.numbers.shape
    count, k = len(axial), axial.shape[1] + across.shape[1]
    local = np.zeros((t, n, 2, k))
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        if not own.size:
            continue
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 2))
        spots = fields.spots(own, places)
        laws = elastic.of(own)
        w = np.einsum("qn,tnk->tqk", spots.value, axial[fields.numbers[own]])
        v = np.einsum("qn,tnk->tqk", spots.value, across[fields.numbers[own]])
        x = spots.points[..., :1]
        strain = np.concatenate([-x * w, v], axis=2)
        stress = laws.lame[:, None, None] * strain * spots.weights[..., None]
        slope = np.einsum("qna,tqad->tqnd", spots.grad, spots.inverse)
        local[own] = -np.einsum("tqnd,tqk->tndk", slope, stress, optimize=True)
        pull = laws.modulus[:, None, None] * w * spots.weights[..., None]
        local[own, :, 0, : axial.shape[1]] -= np.einsum("qn,tqk->tnk", spots.value, pull)
    out = np.zeros((count, 2, k))
    np.add.at(out, fields.numbers.ravel(), local.reshape(-1, 2, k))
    return out
