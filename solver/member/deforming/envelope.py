"""The largest stresses of a member with deforming sections: every station, combination and point of
the border of the material.

Stations of an element tell apart polynomials of its order. Beside the largest stress they stand
closer, and so do places along the border.

Left out, and said: the surroundings of re-entrant corners and of loads and bearings, where elastic
stress has no bound, and the neighbourhood of held ends within a plate's thickness (`exclusion`).
Stress is largest at the surface of the material in all that bends, twists and shears.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..model.solved_section import SolvedSection
from .exclusion import Spot, disturbed_stations, loaded_spots, plate_thickness
from .solution import DeformingSolution
from .stress_search import Looked, StressLook
from .surface import CLOSE, PLACES

Array = NDArray[np.float64]

#: Stations looked at first: intervals of each element at least and at most, and along the whole
#: member; along a tapered element, where each station has a section of its own.
_LEAST, _MOST, _ALONG, _TAPERED = 2, 8, 120, 4
#: Intervals between two stations beside the largest stress, on a taper too.
_CLOSER, _CLOSER_TAPERED = 6, 4
#: Share of the largest stress from which a station may hide a larger one beside it.
_NEARLY = 0.98


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
    zone = plate_thickness(solution)
    look = StressLook(solution, sections, loaded_spots(solution), zone)
    z, element = _stations(solution, look.spots, zone)
    if not len(z):
        raise SolveError(
            f"every station lies within a plate's thickness ({zone:.3g}) of a single force, a "
            "bearing or a held end, where no stress is stated; check the member's length"
        )
    found = look.at(z, element, PLACES)
    beside, of, again = _closer(solution, z, element, found)
    more = look.at(beside, of, CLOSE)
    kept = np.flatnonzero(~np.isin(np.arange(len(z)), again))
    z, element = np.concatenate([z[kept], beside]), np.concatenate([element[kept], of])
    found = found.taken(kept).joined(more)
    order = np.lexsort((element, z))
    found = found.taken(order)
    used = found.values[4] if look.strong else None
    corners = any(s.result is not None and bool(s.result.corners) for s in sections.values())
    mises, shear, tension, compression = found.values[:4]
    return DeformingStress(
        z[order], mises, shear, tension, -compression, used, found.points, solution.names,
        zone, corners,
    )  # fmt: skip


def _stations(
    solution: DeformingSolution, spots: Sequence[Spot], zone: float
) -> tuple[Array, NDArray[np.intp]]:
    """Stations (m,) and their elements: Chebyshev's in each, both sides of every node, but for what
    is left out; that is looked at just beyond."""
    nodes = solution.field.nodes
    z, element = [], []
    for e, (start, end) in enumerate(pairwise(nodes)):
        even = math.ceil(_ALONG * (end - start) / solution.member.length)
        count = _TAPERED if _tapered(solution, e) else min(max(even, _LEAST), _MOST)
        share = (1 - np.cos(np.pi * np.arange(count + 1) / count)) / 2
        z.append(start + share * (end - start))
        element.append(np.full(count + 1, e))
    disturbed = disturbed_stations(solution, zone)
    ends = [end for spot in spots for end in spot[:2]]
    near = np.unique([place + s * 1.001 * zone for place in (*disturbed, *ends) for s in (-1, 1)])
    near = near[(near > 0) & (near < solution.member.length)]
    at = np.concatenate([*z, near])
    number = np.concatenate([*element, solution.field.locate(near)])
    for place in disturbed:
        kept = abs(at - place) > zone * (1 + 1e-9)
        at, number = at[kept], number[kept]
    order = np.lexsort((number, at))
    return at[order], number[order]


def _closer(
    solution: DeformingSolution, z: Array, element: NDArray[np.intp], found: Looked
) -> tuple[Array, NDArray[np.intp], NDArray[np.intp]]:
    """Stations where a stress is largest, or nearly so, their neighbours and those between them;
    their elements; and which of the stations (m,) are among them."""
    top = found.values.max(axis=1, keepdims=True)
    below = np.full((len(found.values), 1, found.values.shape[2]), -np.inf)
    before, after = found.values[:, :-1], found.values[:, 1:]
    peak = np.concatenate([below, before], axis=1) <= found.values
    peak &= np.concatenate([after, below], axis=1) <= found.values
    peak &= found.values >= _NEARLY * top
    row = np.flatnonzero((peak & (top > 0)).any(axis=(0, 2)))
    first = np.unique(np.concatenate([row - 1, row]))
    first = first[(first >= 0) & (first < len(z) - 1)]
    first = first[element[first] == element[first + 1]]
    again = np.unique(np.concatenate([row, first, first + 1]))
    more, number = [z[again]], [element[again]]
    for k in first:
        e = int(element[k])
        count = _CLOSER_TAPERED if _tapered(solution, e) else _CLOSER
        more.append(np.linspace(z[k], z[k + 1], count + 1)[1:-1])
        number.append(np.full(count - 1, e))
    return np.concatenate(more), np.concatenate(number), again


def _tapered(solution: DeformingSolution, element: int) -> bool:
    nodes = solution.field.nodes
    return solution.course.part(float(nodes[element : element + 2].mean())).tapered is not None
