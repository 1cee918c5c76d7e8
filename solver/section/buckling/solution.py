"""From a section and its actions to its buckling: check, mesh, anchors, branches, minima, names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ....geometry.section import Section
from ..mesh.section_mesh import Array
from ..stress.actions import Actions
from .anchors import TOLERANCE, intervals_of, motions
from .branches import Branch, Sample, branches_of, samples_of
from .minima import LowPoint, WaveCurve
from .movement import Movement, Naming
from .pencil import Waves
from .prepared import Prepared, prepared
from .result import BucklingMode, SectionBuckling

#: Modes told at the longest half-wavelength.
_LONGEST = 3
#: A hidden minimum is told up to this multiple of the lowest minimum; it and higher modes of the
#: longest half-wavelength up to this strain.
_HIDDEN, _STRAIN = 10.0, 0.01
#: Minima of the lowest curve are told up to this strain, which no section reaches elastically.
_REACHED = 0.05
#: Modes whose factors differ by less are a pair.
_EQUAL = 1e-3
#: Minima of the lowest curve told at most, the lowest first.
_MOST = 8


def solve_buckling(
    section: Section,
    actions: Actions,
    *,
    shortest: float | None = None,
    longest: float | None = None,
) -> SectionBuckling:
    """Critical load factors of a section against half-wavelength.

    Each half-wavelength is one of a member whose ends hold the section's shape in its plane and
    leave it free along the member, or of an endless one; with shear, of an endless one alone.

    Parameters
    ----------
    section : Section
    actions : Actions
        Uniform along the member, growing together; compression is negative N.
    shortest, longest : float, optional
        Range of half-wavelengths; four times the walls' mean thickness (ten with shear) and thirty
        times the diagonal of the section (three under a shear force) unless given.

    Raises
    ------
    GeometryError
        The section is not valid.
    InputError
        Without a material, without compression or shear, or for an action that is not held here.
    SolveError
        The equations are singular.
    """
    return buckling_of(prepared(section), actions, shortest, longest)


def buckling_of(
    ready: Prepared, actions: Actions, shortest: float | None, longest: float | None
) -> SectionBuckling:
    """The same for a section made ready."""
    vector = ready.actions_of(actions)
    low, high = ready.range(shortest, longest, vector)
    pencil = ready.pencil(vector)
    intervals = intervals_of(pencil, ready.chains, low, high)
    samples = samples_of(intervals)
    branches = branches_of(samples)
    namer = _Namer(ready, vector)
    curve = WaveCurve(intervals, motions(ready.chains))
    lone = [n for n, s in enumerate(samples) if not n or s.k > samples[n - 1].k]
    factors = np.full((len(lone), pencil.followed), np.nan)
    for row, n in enumerate(lone):
        factors[row, : len(samples[n].factors)] = samples[n].factors
    first = samples[0]
    largest = pencil.stress.compression / float(ready.elastic.modulus.max())
    strain = _STRAIN / largest if largest else np.inf
    return SectionBuckling(
        ready, actions, vector, pencil.stress.compression,
        np.array([np.pi / samples[n].k for n in lone]), factors,
        tuple(namer(samples[n], 0).kind for n in lone),
        tuple(_line(branch, samples) for branch in branches if len(branch.samples) > 2),
        _minima(curve, samples, branches, namer, strain),
        _at(first, namer, strain),
        pencil.oblique, TOLERANCE,
    )  # fmt: skip


class _Namer:
    """Names modes, the normal force's part in their work included."""

    def __init__(self, ready: Prepared, vector: Array) -> None:
        self._naming = Naming(ready.fields, ready.elastic, ready.chains)
        self._strain = float(vector[0]) / ready.chains.axial
        self._bent = bool(vector[1:3].any())

    def __call__(self, sample: Sample, mode: int) -> Movement:
        return self.of(sample.k, float(sample.factors[mode]), sample.wave(mode))

    def of(self, k: float, factor: float, wave: Waves) -> Movement:
        """The movement of a wave of unit elastic energy."""
        work = self._naming.normal_work(wave, k, self._strain) * factor if self._strain else 0.0
        return self._naming.of(wave, k, work, bent=self._bent)


def _at(sample: Sample, namer: _Namer, most: float) -> tuple[BucklingMode, ...]:
    """The lowest modes of a sample up to a factor; equal flexural ones bend about any axis."""
    out: list[BucklingMode] = []
    factors = sample.factors
    for m in range(min(_LONGEST, len(factors))):
        if out and factors[m] > most:
            break
        moves = namer(sample, m)
        beside = [n for n in (m - 1, m + 1) if 0 <= n < len(factors)]
        twin = any(abs(factors[n] / factors[m] - 1) < _EQUAL for n in beside)
        if moves.kind == "flexural" and twin:
            moves = replace(moves, words="flexural about any axis")
        length = np.pi / sample.k
        out.append(BucklingMode(length, float(factors[m]), moves, m, sample.wave(m), 0.0))
    return tuple(out)


def _line(branch: Branch, samples: Sequence[Sample]) -> tuple[Array, Array]:
    lengths = np.array([np.pi / samples[n].k for n in branch.samples])
    factors = [samples[n].factors[m] for n, m in zip(branch.samples, branch.modes, strict=True)]
    return lengths, np.array(factors)


def _minima(
    curve: WaveCurve,
    samples: Sequence[Sample],
    branches: Sequence[Branch],
    namer: _Namer,
    most: float,
) -> tuple[BucklingMode, ...]:
    """Minima of the lowest curve, and the lowest of each kind that it hides, up to a factor."""
    seen: list[tuple[float, int, int]] = []
    hidden: list[tuple[float, int, int]] = []
    for branch in branches:
        for n in branch.minima(samples):
            number, mode = branch.samples[n], branch.modes[n]
            place = (float(samples[number].factors[mode]), number, mode)
            (hidden if mode else seen).append(place)
    beyond = most * _REACHED / _STRAIN
    seen = sorted(place for place in seen if place[0] <= beyond)
    found = [_exact(curve, samples, number, mode, namer) for _, number, mode in seen[:_MOST]]
    kinds = {mode.movement.kind for mode in found}
    most = min(most, _HIDDEN * min((mode.factor for mode in found), default=np.inf))
    for factor, number, mode in sorted(hidden):
        if factor > most or namer(samples[number], mode).kind in kinds:
            continue
        exact = _exact(curve, samples, number, mode, namer)
        if exact.movement.kind not in kinds:
            kinds.add(exact.movement.kind)
            found.append(replace(exact, hidden=True))
    return tuple(sorted(found, key=lambda mode: mode.half_wavelength))


def _exact(
    curve: WaveCurve, samples: Sequence[Sample], number: int, mode: int, namer: _Namer
) -> BucklingMode:
    low, high = samples[max(number - 2, 0)].k, samples[min(number + 2, len(samples) - 1)].k
    point: LowPoint = curve.minimum(samples[number], mode, low, high)
    movement = namer.of(point.k, point.factor, point.wave)
    return BucklingMode(
        float(np.pi / point.k), point.factor, movement, point.below, point.wave, point.change
    )
