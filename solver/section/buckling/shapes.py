"""The shapes in which a section buckles near the minima of its curve: functions that a member's
basis can take in, so that its critical loads know of local and distortional buckling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..deforming.chains import Chains
from ..deforming.elasticity.fields import Fields
from ..deforming.elasticity.matrices import SectionMatrices
from ..mesh.section_mesh import Array
from .anchors import intervals_of, motions
from .branches import branches_of, samples_of
from .minima import WaveCurve
from .pencil import WavePencil
from .prestress import StressAt, prestress


@dataclass(frozen=True, slots=True, eq=False)
class BucklingShapes:
    """Modes at minima of the factor against half-wavelength, the lowest factor first.

    Attributes
    ----------
    in_plane : (count, 2, m), axial : (count, m)
        u = (in_plane sin(pi z / l), axial cos(pi z / l)); coefficients of the shape functions.
    half_wavelengths : (m,)
    factors : (m,)
        On the stress given.
    """

    in_plane: Array
    axial: Array
    half_wavelengths: Array
    factors: Array


def buckling_shapes(
    fields: Fields,
    matrices: SectionMatrices,
    chains: Chains,
    stress: StressAt,
    *,
    shortest: float,
    longest: float,
    most: int = 6,
) -> BucklingShapes:
    """The section's own buckling shapes under a state of normal stress.

    Parameters
    ----------
    fields, matrices, chains
        Of the section on its own mesh.
    stress : function
        sigma_zz (t, q) at `Spots`, tension positive, and None; `stress_of_actions` makes one.
    shortest, longest : float
        Half-wavelengths looked at: some wall thicknesses, and the member's length.
    most : int
        Shapes at most, those of the lowest factors.

    Raises
    ------
    SolveError
        A system is singular.
    """
    pencil = WavePencil(matrices, prestress(fields, _without_shear(stress)))
    if pencil.stress.compression <= 0:
        return _collected(matrices.count, [], most)
    intervals = intervals_of(pencil, chains, shortest, longest)
    samples = samples_of(intervals)
    curve, found = WaveCurve(intervals, motions(chains)), []
    for branch in branches_of(samples):
        for n in branch.minima(samples):
            at = branch.samples
            near, mode = samples[at[n]], branch.modes[n]
            found.append((float(near.factors[mode]), near, mode, at[n]))
    found.sort(key=lambda one: one[0])
    extremes = []
    for _, near, mode, n in found[:most]:
        low, high = samples[max(n - 2, 0)].k, samples[min(n + 2, len(samples) - 1)].k
        extremes.append(curve.minimum(near, mode, low, high))
    return _collected(matrices.count, [(e.factor, np.pi / e.k, e.wave) for e in extremes], most)


def _without_shear(stress: StressAt) -> StressAt:
    return lambda spots: (stress(spots)[0], None)


def _collected(count: int, found: list[tuple[float, float, Array]], most: int) -> BucklingShapes:
    found = sorted(found, key=lambda one: one[0])[:most]
    waves = np.zeros((count, 3, len(found)))
    for n, (_, _, wave) in enumerate(found):
        waves[..., n] = wave
    return BucklingShapes(
        waves[:, :2], waves[:, 2],
        np.array([length for _, length, _ in found]), np.array([factor for factor, _, _ in found]),
    )  # fmt: skip
