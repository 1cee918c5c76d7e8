"""The initial stress of a member's combinations, as a few states of each part and their factors.

The initial-stress matrices are linear in the state (a, a'). What the states of a part span is found
by its energy, as few as tell them all, so that the section is integrated once for each of them and
not at every station.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.initial import InitialStress, initial_stresses
from ..deforming.analysis import Frame
from ..deforming.course import MemberPart
from ..deforming.exactness import rigid_rates
from ..deforming.lobatto import sampled
from ..deforming.solution import DeformingSolution
from ..deforming.tendon_forces import tendon_states

Array = NDArray[np.float64]

#: States whose energy (as a stress) is below this share of the largest are left out.
LEAST = 2e-4
#: The same in a tapered part, and the stations at which its sections are integrated.
LEAST_TAPERED, TAPER_STATIONS = 3e-3, 4


@dataclass(frozen=True, slots=True, eq=False)
class Terms:
    """Second-order energy per length sum_r f_r(z) (1/2 a'^T M_r a' + a'^T L_r a + 1/2 a^T C_r a)
    along some elements.

    Attributes
    ----------
    elements : (e,) int
    factors : (c, e, g, r)
        f at the Gauss points, for c combinations.
    C, L, M : (r, n, n)
    """

    elements: NDArray[np.intp]
    factors: Array
    C: Array
    L: Array
    M: Array


def gauss_points(order: int) -> int:
    """Points for products of a stress of the order with two functions, nearly exact."""
    return order + 3


def stress_terms(frame: Frame, solution: DeformingSolution, points: int) -> list[Terms]:
    """The initial stress of all combinations, part by part."""
    nodes, order = frame.nodes, solution.field.order
    x, _, value, slope = sampled(order, points)
    length = np.diff(nodes)
    middle = (nodes[1:] + nodes[:-1]) / 2
    index = np.array([frame.course.index(float(z)) for z in middle], int)
    found = []
    groups: dict[tuple[int, int], list[int]] = {}
    for k, part in enumerate(frame.course.parts):
        alone = k if part.tapered is not None else -1
        groups.setdefault((id(part.section), alone), []).append(k)
    for numbers in groups.values():
        part = frame.course.parts[numbers[0]]
        elements = np.flatnonzero(np.isin(index, numbers) & (length > 0))
        ratio = np.array([frame.course.parts[k].ratio for k in index[elements]])
        own = solution.field.coefficients[elements]
        a = np.einsum("gi,einc->negc", value, own)
        rate = np.einsum("gi,einc,e->negc", slope, own, 2 / length[elements] / ratio)
        n, e, g, c = a.shape
        z = (nodes[elements, None] + length[elements, None] * (1 + x) / 2).ravel()
        if solution.strained.actions:
            own = solution.strained.free_states(z, c).reshape(2, n, e, g, c)
            a, rate = a - own[0], rate - own[1]
        for tendon in solution.member.tendons:
            tied = tendon_states(tendon, frame.grips, part, z).reshape(e, g, 2, n)
            shares = np.array([k.factors.get(tendon.case, 0.0) for k in solution.member.combined])
            more = np.einsum("egsn,c->snegc", tied, shares)
            a, rate = a + more[0], rate + more[1]
        a, rate = _without_rigid(part, z, a.reshape(n, -1, c), rate.reshape(n, -1, c))
        columns = np.concatenate([a, rate]).reshape(2 * n, -1)
        states, factors = spanned(columns, part)
        shaped = factors.T.reshape(e, g, c, -1).transpose(2, 0, 1, 3)
        found.append(_integrated(part, states, shaped, elements, z))
    return found


def _without_rigid(part: MemberPart, z: Array, a: Array, rate: Array) -> tuple[Array, Array]:
    """States (n, m, c) at stations (m,) less their rigid motion, which strains nothing where it
    is, but would in a section of a taper that is not of the same station."""
    turn = rigid_rates(-part.section.curvature)
    if part.taper is None:
        rigid = part.straight.rigid[None]
        grown = (rigid[0] @ turn)[None]
    else:
        first, last = part.straight.rigid, part.taper.last.rigid
        share = part.taper.share(z)[:, None, None]
        rigid = (1 - share) * first + share * last
        span = (part.taper.end - part.taper.start) * part.ratio
        grown = rigid @ turn + (last - first) / span
    moved = np.einsum(
        "mkn,nmc->kmc", np.broadcast_to(np.linalg.pinv(rigid), (len(z), 6, len(a))), a
    )
    every = (len(z), len(a), 6)
    a = a - np.einsum("mnk,kmc->nmc", np.broadcast_to(rigid, every), moved)
    return a, rate - np.einsum("mnk,kmc->nmc", np.broadcast_to(grown, every), moved)


def spanned(columns: Array, part: MemberPart) -> tuple[Array, Array]:
    """States (2n, r) and factors (r, m) with columns (2n, m) = states @ factors nearly."""
    s = part.section
    energy = np.block([[s.C, s.L.T], [s.L, s.M]])
    values, vectors = np.linalg.eigh((energy + energy.T) / 2)
    root = np.sqrt(np.maximum(values, 0.0))[:, None] * vectors.T
    _, sizes, right = np.linalg.svd(root @ columns, full_matrices=False)
    least = LEAST if part.tapered is None else LEAST_TAPERED
    kept = sizes > least * sizes[0] if sizes[0] > 0 else sizes < 0
    factors = sizes[kept, None] * right[kept]
    return columns @ (right[kept].T / sizes[kept]), factors


def _integrated(
    part: MemberPart, states: Array, factors: Array, elements: NDArray[np.intp], z: Array
) -> Terms:
    n = states.shape[0] // 2
    if part.tapered is None:
        m = initial_stresses(part.section, states[:n], states[n:])
        return Terms(elements, factors, m.C * part.ratio, m.L, m.M / part.ratio)
    from scipy.interpolate import BarycentricInterpolator

    share = (1 - np.cos(np.pi * np.arange(TAPER_STATIONS) / (TAPER_STATIONS - 1))) / 2
    at = part.start + share * (part.end - part.start)
    tables: list[InitialStress] = [
        initial_stresses(part.tapered(float(s)), states[:n], states[n:]) for s in at
    ]
    weights = BarycentricInterpolator(at, np.eye(TAPER_STATIONS))(z)
    c, e, g, r = factors.shape
    mixed = np.einsum("cegr,egs->cegrs", factors, weights.reshape(e, g, -1)).reshape(c, e, g, -1)

    def stacked(name: str) -> Array:
        both = np.stack([getattr(t, name) for t in tables], axis=1)
        return np.asarray(both.reshape(r * TAPER_STATIONS, n, n))

    return Terms(
        elements, mixed, stacked("C") * part.ratio, stacked("L"), stacked("M") / part.ratio
    )
