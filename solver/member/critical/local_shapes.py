"""The shapes in which a section buckles by itself, over half-wavelengths, under the stress that its
member has.

A half wave u = (X sin kz, Y sin kz, Z cos kz) of the section (`SectionMatrices.wave`) buckles under
its axial stress sigma at the least factor with K(k) x = -factor k^2 int sigma N N x (see
`section.buckling.pencil`). Half-wavelengths are taken by halves, from some sizes of the section
down until the factors rise again, and between those about the least. The shapes of neighbouring
waves span those between.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ...section.buckling.pencil import WavePencil
from ...section.buckling.prestress import Prestress
from ...section.deforming.elasticity.condensed import CondensedSystem, CondensedSystems
from ...section.deforming.elasticity.matrices import SectionMatrices, section_matrices
from ...section.deforming.elasticity.part import Part, part_of
from ...section.deforming.elasticity.strain import strains
from ...section.deforming.extension import extended
from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import sampled_basis
from ...section.elements.integrals import CURVED_EXTRA
from ...section.mesh.section_mesh import Array
from .lanczos import extremes

#: Half-wavelengths by the section's largest extent: the longest, and the shortest there is.
LONGEST, SHORTEST = 4.0, 1 / 64
#: Shapes kept at each half-wavelength, and the factor by the least of all beyond which one is left.
MODES, WITHIN = 3, 4.0
#: Waves up to this multiple of the least one's length are kept.
APART = 4.0
#: The longest wave counts as a minimum if the member allows no more than so many sizes of it.
ALONE = 1.5
#: Vectors of one half-wavelength at most; shapes need few digits, for the member mixes them anew.
_STEPS, _CLOSE = 40, 3e-2


@dataclass(frozen=True, slots=True, eq=False)
class LocalShapes:
    """Shapes of one section.

    Attributes
    ----------
    in_plane : (count, 2, m), axial : (count, m)
        On the member's common mesh.
    factor : float
        The lowest minimum over half-wavelengths, on the stress given; infinite where there is none.
    half_wave : float
        Its half-wavelength.
    """

    in_plane: Array
    axial: Array
    factor: float
    half_wave: float


@dataclass(frozen=True, slots=True, eq=False)
class SectionState:
    """Functions and their rates (n,) at a station of a straight section; `shear`: whether it is
    their shear that may buckle it."""

    a: Array
    rate: Array
    shear: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class _Waves:
    factors: Array
    shapes: Array


#: Factor and half-wavelength.
_Minimum = tuple[float, float]


class LocalBuckling:
    """Waves of one straight section of a member."""

    def __init__(self, section: ReducedSection) -> None:
        self.section = section
        fields = section.fields
        solid = np.flatnonzero(section.elastic.solid)
        self._part: Part = part_of(fields.mesh, fields.order, solid)
        self._matrices: SectionMatrices = section_matrices(
            self._part.fields, section.elastic.of(solid)
        )
        m = self._matrices
        self._systems = CondensedSystems(m.numbers, m.count, m.outer)
        self._solid = solid
        corners = fields.mesh.vertices[np.unique(fields.mesh.triangles[solid])]
        self.size = float(np.ptp(corners, axis=0).max())

    def shapes(
        self,
        states: Sequence[SectionState],
        longest: float = np.inf,
        beyond: float = np.inf,
    ) -> list[LocalShapes]:
        """Shapes under the axial stress of each state, or under compression of the size of its
        shear: the waves of both lie in the same walls, and those of shear are made of several of
        these. The elastic part of a half-wavelength is factored once for all states. Factors at
        twice `beyond` and more are rough: no use is made of them."""
        found: list[dict[float, _Waves]] = [{} for _ in states]
        pulls = [self._pull(state) for state in states]
        searches = [_search(self.size, longest) for _ in states]
        asked = {k: next(search) for k, search in enumerate(searches)}
        answers: dict[int, _Minimum] = {}
        while asked:
            length = max(asked.values())
            system = self._factored(length)
            for k in [k for k, one in asked.items() if one == length]:
                if length not in found[k]:
                    found[k][length] = self._waves(pulls[k], length, system, 1 / beyond)
                least = float(found[k][length].factors.min(initial=np.inf))
                try:
                    asked[k] = searches[k].send(least)
                except StopIteration as end:
                    answers[k] = end.value
                    del asked[k]
        return [self._gathered(found[k], *answers[k]) for k in range(len(states))]

    def _gathered(self, waves: dict[float, _Waves], factor: float, half: float) -> LocalShapes:
        count = len(self.section.fields.linear)
        near = [w for at, w in waves.items() if np.isfinite(half) and at <= APART * half]
        kept = [w.shapes[..., w.factors <= WITHIN * factor] for w in near]
        if not kept:
            return LocalShapes(np.zeros((count, 2, 0)), np.zeros((count, 0)), factor, half)
        shapes = np.concatenate(kept, axis=2)
        whole = self._part.spread(shapes, count)
        fields = self.section.fields
        whole = extended(
            fields.mesh, fields.order, self._part, self.section.elastic.everywhere(), whole
        )
        return LocalShapes(whole[:, :2], whole[:, 2], factor, half)

    def _pull(self, state: SectionState) -> Array:
        """(t, n, n) int sigma_zz N N of each triangle of the part."""
        section = self.section
        # Fields of the state alone, not of all functions.
        both = section.fields.coefficients @ np.stack([state.a, state.rate], axis=1)
        fields = replace(section.fields, coefficients=both)
        n = self._matrices.product.shape[1]
        out = np.zeros((len(self._solid), n, n))
        for rough in (False, True):
            own = np.flatnonzero(fields.curved[self._solid] == rough)
            if not len(own):
                continue
            some = self._solid[own]
            places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            still, along = strains(u, gradient, spots.points)
            strain = still[..., :1] + along[..., 1:]
            six = section.elastic.of(some).stress(strain)[..., 0]
            acting = -np.hypot(six[:, :, 3], six[:, :, 4]) if state.shear else six[:, :, 2]
            stress = acting * spots.weights
            pairs = (spots.value[:, :, None] * spots.value[:, None, :]).reshape(-1, n * n)
            out[own] = (stress @ pairs).reshape(-1, n, n)
        return out

    def _factored(self, length: float) -> CondensedSystem:
        return self._systems.factored(self._matrices.wave(np.pi / length))

    def _waves(self, pull: Array, length: float, system: CondensedSystem, least: float) -> _Waves:
        m, k = self._matrices, np.pi / length
        pencil = WavePencil(m, Prestress(pull, None, 0.0, 0.0, 0.0))

        def push(x: Array) -> Array:
            return np.asarray(-pencil.pulled(k, x[..., None])[..., 0])

        def solve(force: Array) -> Array:
            return system.solve(force[..., None])[..., 0]

        start = np.sin(1.0 + np.arange(3 * m.count)).reshape(m.count, 3)
        found = extremes(push, solve, start, MODES, most=_STEPS, close=_CLOSE, least=least)
        good = found.values[: found.vectors.shape[1]]
        keep = good > 1e-9 * np.abs(found.values).max()
        shapes = found.vectors[:, keep].reshape(m.count, 3, -1)
        return _Waves(1 / good[keep], shapes)


def _search(size: float, longest: float) -> Generator[float, float, _Minimum]:
    """Asks for the least factor at one half-wavelength after the other; ends with the lowest
    minimum and its half-wavelength, infinite where there is none."""
    length = min(LONGEST * size, longest)
    lengths: list[float] = []
    factors: list[float] = []
    while length > SHORTEST * size:
        factors.append((yield length))
        lengths.append(length)
        risen = len(factors) > 3 and factors[-1] > factors[-2] > factors[-3]
        if risen and factors[-1] > 2 * min(factors):
            break
        length /= 2
    best = _lowest(factors, short=lengths[0] < ALONE * size)
    if best is None:  # the longer the wave the lower: the member buckles, no section by itself
        return np.inf, np.inf
    curve = [(factors[best], lengths[best])]
    for share in (np.sqrt(0.5), np.sqrt(2.0)):
        length = float(lengths[best] * share)
        if length <= lengths[0]:
            curve.append(((yield length), length))
    return min(curve)


def _lowest(factors: list[float], *, short: bool) -> int | None:
    """Place of the lowest minimum of the curve, from long waves to short."""
    minima = [
        k
        for k in range(len(factors))
        if (short if k == 0 else factors[k] < factors[k - 1])
        and (k + 1 == len(factors) or factors[k] <= factors[k + 1])
    ]
    finite = [k for k in minima if np.isfinite(factors[k])]
    return min(finite, key=lambda k: factors[k]) if finite else None
