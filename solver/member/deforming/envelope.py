"""The largest stresses of a member with deforming sections: every station, combination and point of
the border of the material.

Left out, and said: the surroundings of re-entrant corners and of loads and bearings, where elastic
stress has no bound, and the neighbourhood of held ends within a plate's thickness (`exclusion`).
Stress is largest at the surface of the material in all that bends, twists and shears.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ...section.deforming.own_strain import pressure
from ..model.solved_section import SolvedSection
from .exclusion import Spot, disturbed_stations, loaded_spots, near_spots, plate_thickness
from .solution import DeformingSolution
from .surface import Surface, mises_squared, surface_of

Array = NDArray[np.float64]

#: Numbers held at once.
CHUNK = 3_000_000

#: Stations of each element.
_SHARES = (0.0, 0.5, 1.0)


@dataclass(frozen=True, slots=True, eq=False)
class DeformingStress:
    """Largest stresses at m stations for c combinations.

    Attributes
    ----------
    z : (m,)
        Both sides of every node, and between.
    mises, shear : (m, c)
        Von Mises stress and resultant shear stress yz, xz on the section.
    tension, compression : (m, c)
        Largest and smallest normal stress, along the member or across it in the section's plane
        (there the principal one).
    utilisation : (m, c) or None
        Von Mises stress over strength; None where a material states no strength.
    points : (m, c, 2)
        Where the von Mises stress is largest.
    names : tuple of str
    zone : float
        Distance from point loads, bearings, held ends and steps within which nothing is said.
    corners_left_out : bool
        Whether the surroundings of sharp corners are left out.
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array
    utilisation: Array | None
    points: Array
    names: tuple[str, ...]
    zone: float
    corners_left_out: bool

    def at_stations(self, kept: NDArray[np.bool_]) -> DeformingStress:
        """The same at some stations only, (m,) those that are kept."""
        used = None if self.utilisation is None else self.utilisation[kept]
        mises, shear, tension, compression, points, z = (
            values[kept]
            for values in (
                self.mises, self.shear, self.tension, self.compression, self.points, self.z,
            )
        )  # fmt: skip
        return replace(
            self,
            z=z,
            mises=mises,
            shear=shear,
            tension=tension,
            compression=compression,
            utilisation=used,
            points=points,
        )


def stress_envelope(
    solution: DeformingSolution, sections: Mapping[str, SolvedSection]
) -> DeformingStress:
    """Search the member for its largest stresses.

    Raises
    ------
    SolveError
        If the member is so short that single forces and held ends disturb all of it.
    """
    nodes = solution.field.nodes
    z = (nodes[:-1, None] + np.diff(nodes)[:, None] * np.array(_SHARES)).ravel()
    element = np.repeat(np.arange(len(nodes) - 1), len(_SHARES))
    middle = (nodes[:-1] + nodes[1:])[element] / 2
    zone = plate_thickness(solution, sections)
    kept = np.ones(len(z), bool)
    disturbed = disturbed_stations(solution, zone)
    for at in disturbed:
        kept &= abs(z - at) > zone * (1 + 1e-9)
    # What is left out is looked at just beyond.
    near = [at + s * 1.001 * zone for at in disturbed for s in (-1, 1)]
    near = [s for s in near if 0 < s < solution.member.length]
    z = np.concatenate([z[kept], near])
    middle = np.concatenate([middle[kept], near])
    if not len(z):
        raise SolveError(
            f"every station lies within a plate's thickness ({zone:.3g}) of a single force, a "
            "bearing or a held end, where no stress is stated; check the member's length"
        )
    order = np.argsort(z, kind="stable")
    z, middle = z[order], middle[order]
    spots = loaded_spots(solution)
    index = np.array([solution.course.index(float(s)) for s in middle])
    count = len(solution.names)
    out = np.zeros((5, len(z), count))
    points = np.zeros((len(z), count, 2))
    strong = True
    for k in np.unique(index):
        part = solution.course.parts[k]
        own = np.flatnonzero(index == k)
        each = [own] if part.tapered is None else [np.array([i]) for i in own]
        for some in each:
            surface = surface_of(part, float(z[some[0]]), solution, sections)
            strong = strong and surface.over is not None
            _search(solution, surface, z, middle, some, (spots, zone), out, points)
    used = out[4] if strong else None
    corners = any(s.result is not None and bool(s.result.corners) for s in sections.values())
    return DeformingStress(
        z, out[0], out[1], out[2], out[3], used, points, solution.names, zone, corners
    )


def _taken_away(
    solution: DeformingSolution, surface: Surface, z: Array, middle: Array, count: int
) -> Iterator[tuple[Array, NDArray[np.intp]]]:
    """Normal stress (k, c) that imposed strains take away, and the columns it is taken from."""
    strained = solution.strained
    for action in strained.actions:
        within = np.flatnonzero((middle > action.start) & (middle < action.end))
        if not len(within):
            continue
        part = solution.course.part(float(middle[within[0]]))
        one = strained.acting(action, part, float(z[within[0]]))
        e = one.at(surface.triangles, surface.points[:, None])[:, 0]
        level = pressure(part.at(float(z[within[0]])).elastic)[surface.triangles]
        taken = np.tile(np.outer(level * e, one.factors), len(within))
        yield taken, (within[:, None] * count + np.arange(count)).ravel()


def _search(
    solution: DeformingSolution,
    surface: Surface,
    z: Array,
    middle: Array,
    own: NDArray[np.intp],
    left: tuple[list[Spot], float],
    out: Array,
    points: Array,
) -> None:
    """Fill `out` (mises, shear, tension, compression, utilisation) at some stations."""
    spots, zone = left
    k, _, n = surface.still.shape
    rows = np.concatenate([surface.still, surface.along], axis=2).reshape(k * 6, 2 * n)
    count = len(solution.names)
    step = max(1, CHUNK // (k * 6 * count))
    for first in range(0, len(own), step):
        some = own[first : first + step]
        after = middle[some] >= z[some]
        state = np.empty((len(some), 2 * n, count))
        for side, mine in (("right", after), ("left", ~after)):
            if mine.any():
                _, a, rate = solution.functions(z[some][mine], side)
                state[mine] = np.concatenate([a, rate], axis=1)
        flat = rows @ state.transpose(1, 0, 2).reshape(2 * n, -1)
        xx, yy, zz, yz, xz, xy = flat.reshape(k, 6, -1).transpose(1, 0, 2)
        for taken, here in _taken_away(solution, surface, z[some], middle[some], count):
            for normal in (xx, yy, zz):
                normal[:, here] -= taken
        shear = yz**2 + xz**2
        mises = mises_squared(np.stack([xx, yy, zz, yz, xz, xy]))
        radius = np.hypot((xx - yy) / 2, xy)
        high = np.maximum(zz, (xx + yy) / 2 + radius)
        low = np.minimum(zz, (xx + yy) / 2 - radius)
        for close, within in near_spots(surface.points, z[some], spots, zone):
            block = np.ix_(close, np.repeat(within, count))
            mises[block] = shear[block] = high[block] = low[block] = 0.0
        best = mises.argmax(axis=0)
        shape = (len(some), count)
        root = np.sqrt(mises)
        out[0][some] = root[best, np.arange(len(best))].reshape(shape)
        out[1][some] = np.sqrt(shear.max(axis=0)).reshape(shape)
        out[2][some] = high.max(axis=0).reshape(shape)
        out[3][some] = low.min(axis=0).reshape(shape)
        if surface.over is not None:
            out[4][some] = (root * surface.over[:, None]).max(axis=0).reshape(shape)
        points[some] = surface.points[best].reshape(*shape, 2)
