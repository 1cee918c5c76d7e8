"""Refining until J is known well enough: order, geometric layers at corners, local bisection.

Each triangle's part of the gap (see `torsion`) says where the interval's width comes from. A few
triangles that carry most of it are cut, toward the corner they touch or in half; a gap spread over
many raises the order.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import SolveError
from ...accuracy import check_width
from ..mesh.corner_layers import RATIO, cut_toward
from ..mesh.refinement import bisect, smallest_stretch, unfolded
from ..mesh.section_mesh import Array, Ints, SectionMesh
from .interval import TorsionField, solve_torsion, unknowns_of
from .sharp_corner import curvature_steps, vertex_exponents

#: Orders used; beyond 12 the gain per unknown is lost to rounding and to the cost of bubbles.
MIN_ORDER, MAX_ORDER = 3, 12
#: A mesh of fewer triangles than this has large ones, which want a higher order.
FEW_TRIANGLES = 30
#: An outline of more corners than this may want layers at few of them only.
MANY_CORNERS = 1500
#: Unknowns of the pair that each corner may have where there are many, and a limit that 3 GB hold:
#: the systems of rows and rings are those of chains, and cost grows hardly faster than their size.
EACH_CORNER, MOST_UNKNOWNS = 1_200, 1_750_000
#: Layers that one round may lay around a corner.
MOST_LAYERS = 8
#: The least accuracy a plan is made for, and the width from which on an interval is no value.
COARSEST, NO_VALUE = 1e-3, 0.1
#: A mesh of more triangles than this is cut twice where it must be narrowed much: a round of it
#: takes seconds.
LARGE = 100_000
#: Part of the goal that triangles of a lower order may have together.
QUIET = 0.01
#: A last round must bring this many times the unknowns of the one before.
WORTH = 1.05
#: A set this small a part of all triangles is refined locally; a larger one calls for a higher
#: order.
FEW = 0.3
#: Corners this close to straight (radians) get layers only when the gap asks for them: a faceted
#: arc has many.
FAINT = np.deg2rad(6.0)
#: From this accuracy on a layer is laid where the border's curvature steps: without it the width
#: falls with the eighth power of the order only.
STEPS_FROM = 1.5e-7
#: A corner's part of the gap without layers is about one by this; by the second where the stress is
#: bounded.
LAYERS = 25.0, 150.0


@dataclass(frozen=True, slots=True)
class Limits:
    """How far refinement may go before it reports what was reached.

    Attributes
    ----------
    rounds : int
        Solves of the pair of problems.
    unknowns : int
        Largest pair of sparse systems tried; a section of many corners may have `EACH_CORNER` a
        corner.
    first : int
        Largest pair that the first solve may have.
    setbacks : int
        Rounds in a row that may fail to narrow the interval: beyond, rounding rules (a needle
        millions of times longer than thick), and larger systems only take longer.
    """

    rounds: int = 14
    unknowns: int = 600_000
    first: int = 250_000
    setbacks: int = 4


def refine_torsion(
    mesh: SectionMesh,
    origin: Array,
    shear_by_region: Array,
    accuracy: float,
    limits: Limits | None = None,
) -> TorsionField:
    """Solve, refine and solve again until the relative width of J's interval is below `accuracy`.

    Returns the best field reached; its `relative_width` tells whether the accuracy was met.
    """
    check_width(accuracy)
    limits = limits or Limits()
    most, bare = limits.unknowns, False
    if len(mesh.vertices) > MANY_CORNERS:
        corners = int(np.isfinite(vertex_exponents(mesh, shear_by_region)[0]).sum())
        most = max(most, min(EACH_CORNER * corners, MOST_UNKNOWNS))
        if corners > MANY_CORNERS:
            bare = not _fits(mesh, shear_by_region, limits.first)
    if bare:
        order, goal = MIN_ORDER, accuracy
    else:
        mesh, order, goal = _start(mesh, shear_by_region, accuracy, limits.first)
    best: TorsionField | None = None
    setbacks = 0
    for _ in range(limits.rounds):
        field = solve_torsion(mesh, order, origin, shear_by_region)
        setbacks += 1
        if best is None or field.relative_width < best.relative_width:
            best, setbacks = field, 0
        if field.relative_width <= accuracy or (setbacks and best.relative_width > NO_VALUE):
            break  # what rounding leaves so wide does not narrow
        while field.relative_width <= goal:
            goal /= 10
        if bare:
            bare = False
            mesh, order, goal = _layered(field, shear_by_region, goal, most)
        else:
            mesh, order = _next(field, shear_by_region, goal, most)
        stuck = mesh is field.mesh and order == field.order
        if stuck or setbacks >= limits.setbacks:
            break
    assert best is not None
    if best.relative_width > NO_VALUE:
        raise SolveError(
            f"J could only be enclosed to within {best.relative_width:.1g} of itself, which is no "
            "value; a wall may be too thin beside the section: look for a slip in its thickness or "
            "unit"
        )
    return best


def _fits(mesh: SectionMesh, shear: Array, most: int) -> bool:
    """Whether the first solve could have the layers of the coarsest plan: where not, a solve
    without layers tells first which corners want how many."""
    layered = _first_layers(mesh, *vertex_exponents(mesh, shear), COARSEST)
    return unknowns_of(layered, MIN_ORDER) <= most


def _start(
    mesh: SectionMesh, shear: Array, accuracy: float, most: int
) -> tuple[SectionMesh, int, float]:
    """Mesh and order of the first solve, and the width it aims at.

    Where the plan for the accuracy is too large, decades of lesser accuracy come first, on the way
    that leads on from them: who asks for more goes farther along the same way.
    """
    strength, angle = vertex_exponents(mesh, shear)
    goal = accuracy
    while True:
        order = _first_order(mesh, strength, angle, goal)
        layered = _first_layers(mesh, strength, angle, goal)
        if unknowns_of(layered, order) <= most:
            return layered, order, goal
        if goal >= COARSEST:
            break
        goal = _decade_above(goal)
    while order > MIN_ORDER and unknowns_of(layered, order) > most:
        order -= 1
    return layered, order, goal


def _first_order(mesh: SectionMesh, strength: Array, angle: Array, accuracy: float) -> int:
    """Order that should meet the accuracy at once, by experience: a round saved is half the time.

    One order narrows the interval about ninefold, and about threefold beyond 1e-6 where a stress is
    unbounded. Where no stress is (fillets everywhere) it is one less, on a mesh with points inside
    and while steps of curvature have no layers; on a few large triangles it is one more.
    """
    digits = -np.log10(accuracy)
    order = 1 + 1.05 * digits
    if np.any(strength < 1):
        order += max(0.0, digits - 6)
    elif accuracy >= STEPS_FROM and np.isnan(angle).any():
        order -= 1
    order = round(order) + (len(mesh.triangles) < FEW_TRIANGLES)
    return int(np.clip(order, MIN_ORDER, MAX_ORDER - 1))


def _first_layers(mesh: SectionMesh, strength: Array, angle: Array, accuracy: float) -> SectionMesh:
    """Geometric layers at every corner, as many as its singularity r^(pi/angle) needs for the
    accuracy, and one where the border's curvature steps, if that matters yet."""
    corners = np.flatnonzero(np.isfinite(strength) & ~(np.abs(angle - np.pi) < FAINT))
    weight = np.where(strength[corners] < 1, *LAYERS)
    wanted = np.log(weight * accuracy) / (2 * strength[corners] * np.log(RATIO))
    layers = np.clip(np.round(wanted), 0, 12).astype(np.int64)
    if accuracy < STEPS_FROM:
        steps = np.flatnonzero(curvature_steps(mesh))
        ones = np.ones(len(steps), dtype=np.int64)
        refined = cut_toward(mesh, np.append(corners, steps), np.append(layers, ones))
        if _is_sound(refined, mesh):
            return refined
    # an arc at a corner can fold: fewer layers then, and the rest is left to bisection
    for most in range(int(layers.max(initial=0)), 0, -1):
        refined = cut_toward(mesh, corners, np.minimum(layers, most))
        if _is_sound(refined, mesh):
            return refined
    return mesh


def _is_sound(refined: SectionMesh, mesh: SectionMesh) -> bool:
    """Whether cutting a mesh toward corners folded no triangle: none is where no arc was cut."""
    arcs = np.count_nonzero(mesh.bulges)
    return bool(np.count_nonzero(refined.bulges) == arcs or smallest_stretch(refined).min() > 0.02)


def _layered(
    field: TorsionField, shear_by_region: Array, goal: float, most: int
) -> tuple[SectionMesh, int, float]:
    """After a solve without layers: as many at each corner as its own part of the gap asks for, and
    the order that narrows the rest as far; for the goal, or for the first decade above it that has
    not too many unknowns.

    A layer narrows a corner's part by RATIO^(2 lambda), an order the whole about ninefold.
    """
    mesh = _quiet_lowered(field, goal)
    strength = vertex_exponents(mesh, shear_by_region)[0]
    part = np.zeros(len(mesh.vertices))
    np.add.at(part, mesh.triangles.ravel(), np.repeat(field.gap, 3))
    corners = np.flatnonzero(np.isfinite(strength))
    while goal < field.relative_width:
        order = round(1 + 1.05 * np.log10(field.relative_width / goal))
        order = int(np.clip(order, field.order, MAX_ORDER))
        many = np.maximum(part[corners] / _level(part[corners], 0.4 * goal * field.lower), 1)
        layers = np.round(np.log(many) / (-2 * np.log(RATIO) * strength[corners]))
        refined = cut_toward(mesh, corners, np.minimum(layers, MOST_LAYERS).astype(np.int64))
        if smallest_stretch(refined).min() <= 0.02:
            break  # a folded triangle would void the bounds
        if unknowns_of(refined, order) <= most:
            return refined, order, goal
        goal = _decade_above(goal)
    return *_next(field, shear_by_region, goal, most), goal


def _quiet_lowered(field: TorsionField, goal: float) -> SectionMesh:
    """The mesh with a depth more where next to nothing of the gap is, as inside needles: the edges
    there keep an order less."""
    ranked = np.argsort(field.gap)
    quiet = np.cumsum(field.gap[ranked]) < QUIET * goal * field.lower
    depth = field.mesh.depth.copy()
    depth[ranked[quiet]] += 1
    return replace(field.mesh, depth=depth)


def _level(parts: Array, whole: float) -> float:
    """The level to which parts must fall, those above it, that all together are `whole`."""
    ranked = np.sort(parts)
    below = np.concatenate([[0.0], np.cumsum(ranked)[:-1]])
    levels = (whole - below) / np.arange(len(ranked), 0, -1)
    return float(levels[np.argmax(levels <= ranked)] if ranked.sum() > whole else ranked[-1])


def _decade_above(goal: float) -> float:
    """The next power of ten."""
    return float(10.0 ** (np.floor(np.log10(goal) + 1e-9) + 1))


def _next(
    field: TorsionField, shear_by_region: Array, goal: float, most: int
) -> tuple[SectionMesh, int]:
    """The mesh and order to solve next; those of the field where all else has too many unknowns."""
    mesh, order = field.mesh, field.order
    target = goal * field.lower
    ranked = np.argsort(field.gap)[::-1]
    left = field.gap.sum() - np.cumsum(field.gap[ranked])
    heavy = ranked[: int(np.searchsorted(-left, -0.4 * target)) + 1]
    spread = len(heavy) > FEW * len(ranked)
    if spread and order < MAX_ORDER:
        for rise in (2, 1) if field.relative_width > 8 * goal else (1,):
            higher = min(MAX_ORDER, order + rise)
            if unknowns_of(mesh, higher) <= most:
                return mesh, higher
    rise = order if len(heavy) < 0.5 * len(ranked) else min(MAX_ORDER, order + 1)
    finer = _cut(mesh, shear_by_region, heavy)
    if field.relative_width > 4 * goal and len(ranked) > LARGE:
        # the heaviest of them; a child has no corners but theirs and new ones
        most_of_it = ranked[: int(np.searchsorted(-left, -2 * target)) + 1]
        own = np.zeros(len(finer.vertices), dtype=bool)
        own[mesh.triangles[most_of_it]] = own[len(mesh.vertices) :] = True
        again = _cut(finer, shear_by_region, np.flatnonzero(own[finer.triangles].all(axis=1)))
        finer = again if unknowns_of(again, rise) <= most else finer
    if unknowns_of(finer, rise) <= most:
        return finer, rise
    # what is left of the unknowns goes where the gap is, if it is enough to tell
    while len(heavy) and unknowns_of(finer, order) > most:
        heavy = heavy[: 3 * len(heavy) // 4]
        finer = _cut(mesh, shear_by_region, heavy)
    return (finer if unknowns_of(finer, order) > WORTH * unknowns_of(mesh, order) else mesh), order


def _cut(mesh: SectionMesh, shear: Array, heavy: Ints) -> SectionMesh:
    """Cut heavy triangles: toward the corner they touch, else in half."""
    corner = np.isfinite(vertex_exponents(mesh, shear)[0])
    at = corner[mesh.triangles[heavy]]
    toward = np.unique(mesh.triangles[heavy][at])
    rest = heavy[~at.any(axis=1)]
    refined = bisect(mesh, rest)
    graded = cut_toward(refined, toward)
    if smallest_stretch(graded).min() > 0.02:
        return graded
    return unfolded(bisect(mesh, heavy)) or mesh  # a folded triangle would void the bounds
