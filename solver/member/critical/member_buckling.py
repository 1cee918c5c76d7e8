"""Critical loads of a member step by step: what buckles its sections by themselves, then the member
with those shapes that come near to its own factor, on elements as short as their waves ask.

How near is asked of the classical factor, which is above the member's; where it is not known, or
where none of the shapes is that near, the member is solved without them first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.enrichment import enriched, plane_strains
from ...section.deforming.reduced import ReducedSection
from ..deforming.analysis import frame_of
from ..deforming.gathering import course_of
from ..deforming.grading import graded
from ..deforming.node_places import breaks_of
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .analysis import ORDER, CriticalFactors, Prestressed, critical_factors, prestressed
from .demand import Demand, Pressed, demands
from .local_shapes import LocalBuckling, LocalShapes, SectionState

Array = NDArray[np.float64]

#: A section's own buckling counts where its factor, under the stress of one station all along, is
#: below this multiple of the member's factor without it.
NEAR = 2.5
#: Beyond this multiple of the loads no more is asked of a member at work: second order is of no
#: account from 10 on (EN 1993-1-1 5.2.1, from memory).
FAR = 30.0
#: |lambda| times element length, for the order of the elements.
STEP = 5.0
#: Shear buckles a plate at 5.34 / 4 times the stress at which compression of its size does, and in
#: walls held by others at more.
SHEAR_NEAR = 2.0
#: Element length by the half-wavelength of the section's buckling, where compression is above
#: `PRESSED` of the largest; elsewhere `SPARE` times as long.
WAVES, PRESSED, SPARE = 1.25, 0.5, 3.0
#: Elements at most; beyond, waves are resolved in part, and the result says so.
MOST = 400


@dataclass(frozen=True, slots=True, eq=False)
class MemberBuckling:
    """Elastic critical factors of every combination of a member.

    Attributes
    ----------
    factors : tuple of CriticalFactors
        In the order of the solution's combinations; empty where all are beyond `FAR`.
    state : Prestressed or None
        The member they were found on.
    half_wave : float
        Half-wavelength of the sections' own buckling that the elements resolve; infinite where it
        is too far off to count.
    coarse : bool
        Whether the elements are too long for it somewhere.
    """

    factors: tuple[CriticalFactors, ...]
    state: Prestressed | None = None
    half_wave: float = np.inf
    coarse: bool = False


def member_buckling(
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
    wanted: int = 1,
    classical: Sequence[float] = (),
    far: float = np.inf,
    order: int = ORDER,
) -> MemberBuckling:
    """Critical factors of the combinations of a solved member.

    Parameters
    ----------
    solution : DeformingSolution
        First order.
    sections : mapping
        Solved sections by the names their constants bear.
    wanted : int
        Modes of each combination.
    classical : sequence of float
        Factors of sections that keep their shape, one a combination; empty where not known.
    far : float
        Where that and the sections' own factors are beyond this, nothing is solved.
    order : int
        Of the elements.
    """
    member, course = solution.member, solution.course
    pressed = demands(course, solution)
    spans = member.spans or ((0.0, member.length),)
    waves = _waves(pressed, max(b - a for a, b in spans), far)
    if classical and min([*classical, *(w.factor for w, _, _ in waves)]) > far:
        return MemberBuckling(())
    nodes = graded(course.pieces, breaks_of(member), STEP)
    modes = course.modes
    shapes = _nearby(waves, classical, far) if classical else []
    if not shapes:
        strained = course_of(member, sections, modes, enrich=with_plane_strains)
        plain = prestressed(frame_of(member, strained, nodes), order)
        found = critical_factors(plain, wanted)
        shapes = _nearby(waves, [row.factor for row in found], far)
        if not shapes:
            return MemberBuckling(found, plain)
    half = min(s.half_wave for s in shapes)

    def shaped(own: Sequence[ReducedSection]) -> Sequence[ReducedSection]:
        u = np.concatenate([s.in_plane for s in shapes], axis=2)
        z = np.concatenate([s.axial for s in shapes], axis=1)
        return enriched(with_plane_strains(own), *compressed(u, z))

    fine, coarse = _refined(nodes, pressed, half)
    shaped_course = course_of(member, sections, modes, enrich=shaped)
    state = prestressed(frame_of(member, shaped_course, fine), order)
    return MemberBuckling(critical_factors(state, wanted), state, half, coarse)


def _nearby(
    waves: Sequence[tuple[LocalShapes, Demand, float]], factors: Sequence[float], far: float
) -> list[LocalShapes]:
    """Shapes whose factor is near to that of their combination."""
    return [
        w for w, demand, near in waves if w.factor < min(far, near * factors[demand.combination])
    ]


def with_plane_strains(own: Sequence[ReducedSection]) -> Sequence[ReducedSection]:
    """The functions that second-order motion needs, after a section's own."""
    u = np.concatenate([plane_strains(section) for section in own], axis=2)
    return enriched(own, u, np.zeros((len(u), 0)))


def _waves(pressed: Pressed, length: float, far: float) -> list[tuple[LocalShapes, Demand, float]]:
    """How the sections buckle by themselves, under which state, and how near to the member's own
    factor that must be to count; beyond `far` none does."""
    rows = [(d, NEAR, False) for d in pressed.compressed]
    rows += [(d, SHEAR_NEAR, True) for d in pressed.sheared]
    found: dict[int, LocalShapes] = {}
    for section in {id(d.section): d.section for d, _, _ in rows}.values():
        own = [k for k, (d, _, _) in enumerate(rows) if d.section is section]
        states = [SectionState(rows[k][0].a, rows[k][0].rate, rows[k][2]) for k in own]
        found.update(zip(own, LocalBuckling(section).shapes(states, length, far), strict=True))
    return [(found[k], demand, near) for k, (demand, near, _) in enumerate(rows)]


#: Shapes whose share of all, by singular value, is below this are left out.
LEAST = 3e-2


def compressed(in_plane: Array, axial: Array) -> tuple[Array, Array]:
    """As few fields (count, 2, m), (count, m) as nearly span all of them."""
    u = in_plane / np.maximum(np.sqrt((in_plane**2).sum(axis=(0, 1))), 1e-300)
    z = axial / np.maximum(np.sqrt((axial**2).sum(axis=0)), 1e-300)
    found = []
    for fields in (u.reshape(-1, u.shape[2]), z):
        left, sizes, _ = np.linalg.svd(fields, full_matrices=False)
        found.append(left[:, sizes > LEAST * sizes.max(initial=0.0)])
    return found[0].reshape(*u.shape[:2], -1), found[1]


def _refined(nodes: Array, pressed: Pressed, half: float) -> tuple[Array, bool]:
    """Nodes for waves of a half-wavelength, and whether they are too few."""
    level = pressed.compression / np.maximum(pressed.compression.max(axis=0), 1e-300)
    level = level.max(axis=1)
    width = float(np.diff(pressed.z).max(initial=0.0))
    found = [nodes[:1]]
    short = WAVES * half
    length = float(nodes[-1] - nodes[0])
    cap = max(short, length / MOST)
    for a, b in pairwise(nodes):
        near = (pressed.z >= a - width) & (pressed.z <= b + width)
        hard = not near.any() or bool(level[near].max() > PRESSED)
        parts = max(1, int(np.ceil((b - a) / (cap * (1.0 if hard else SPARE)) - 1e-9)))
        found.append(np.linspace(a, b, parts + 1)[1:])
    return np.concatenate(found), cap > 1.5 * short
