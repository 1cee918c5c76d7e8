"""The largest stresses on the surface of a member with deforming sections, at given stations.

The whole border is looked at: places of each edge, and where it leaves what is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.own_strain import pressure
from ..model.solved_section import SolvedSection
from .exclusion import Spot, near_spots
from .solution import DeformingSolution
from .surface import Surface, surface_of

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

#: Numbers held at once.
CHUNK = 500_000


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """Largest `values` (5, m, c) of von Mises stress, shear, tension, compression (positive) and
    von Mises stress over strength, and `points` (m, c, 2) of the first."""

    values: Array
    points: Array

    def taken(self, rows: Ints) -> Looked:
        """Those of some stations."""
        return Looked(self.values[:, rows], self.points[rows])

    def joined(self, other: Looked) -> Looked:
        """Those of the stations of both."""
        values = np.concatenate([self.values, other.values], axis=1)
        return Looked(values, np.concatenate([self.points, other.points]))


@dataclass(slots=True, eq=False)
class StressLook:
    """Where stresses are looked at.

    Attributes
    ----------
    solution : DeformingSolution
    sections : mapping
        Solved sections by the names their constants bear.
    spots : list of Spot
        About which nothing is stated within the `zone`.
    zone : float
    strong : bool
        Whether all that was looked at so far states its strength.
    """

    solution: DeformingSolution
    sections: Mapping[str, SolvedSection]
    spots: list[Spot]
    zone: float
    strong: bool = field(default=True, init=False)

    def at(self, z: Array, element: Ints, places: int) -> Looked:
        """The largest at stations (m,) of given elements, at places of each edge of the border."""
        nodes, count = self.solution.field.nodes, len(self.solution.names)
        middle = (nodes[:-1] + nodes[1:])[element] / 2
        found = Looked(np.zeros((5, len(z), count)), np.zeros((len(z), count, 2)))
        index = np.array([self.solution.course.index(float(s)) for s in middle])
        left = list(dict.fromkeys((x, y, self.zone) for _, _, x, y in self.spots))
        for k in self.solution.course.grouped(np.unique(index).tolist()):
            part = self.solution.course.parts[k]
            own = np.flatnonzero(index == k)
            alone = part.tapered is not None  # each station has a section of its own
            for some in [np.array([i]) for i in own] if alone else [own]:
                mixed, unit = self._mixed(z[some], middle[some]) if alone else (None, None)
                surface = surface_of(
                    part, float(z[some[0]]), self.solution, self.sections, places, left, mixed
                )
                self.strong = self.strong and surface.over is not None
                step = max(1, CHUNK // (len(surface.points) * 6 * count))
                for first in range(0, len(some), step):
                    rows = some[first : first + step]
                    state = self._state(z[rows], middle[rows]) if unit is None else unit
                    self._enter(surface, state, z[rows], middle[rows], rows, found)
        return found

    def _mixed(self, z: Array, middle: Array) -> tuple[Array | None, Array | None]:
        """The functions and their rates at one station as columns (n, 2c), and the state that they
        are then in; none where these are as many as the functions."""
        count = len(self.solution.names)
        if 2 * count >= self.solution.course.size:
            return None, None
        own = self._state(z, middle).reshape(2, -1, count)
        unit = np.zeros((2, 2, count, count))
        unit[0, 0] = unit[1, 1] = np.eye(count)
        return np.concatenate([*own], axis=1), unit.reshape(4 * count, count)

    def _state(self, z: Array, middle: Array) -> Array:
        """Functions and rates (2n, m c), those of a station next to each other."""
        n, count = self.solution.course.size, len(self.solution.names)
        after = middle >= z
        state = np.empty((len(z), 2 * n, count))
        for side, mine in (("right", after), ("left", ~after)):
            if mine.any():
                _, a, rate = self.solution.functions(z[mine], side)
                state[mine] = np.concatenate([a, rate], axis=1)
        return state.transpose(1, 0, 2).reshape(2 * n, -1)

    def _enter(
        self,
        surface: Surface,
        state: Array,
        z: Array,
        middle: Array,
        rows: Ints,
        found: Looked,
    ) -> None:
        """Fill in some stations (m,) of one part, in elements about `middle` (m,)."""
        shape = (len(z), len(self.solution.names))
        stress = surface.stress(state)
        self._take_away(stress, surface, z, middle)
        for close, within in near_spots(surface.points, z, self.spots, self.zone):
            stress[:, close[:, None] & np.repeat(within, shape[1])] = 0.0
        xx, yy, zz, yz, xz, xy = stress
        # Mohr's circle in the section's plane: its middle, and the square of its radius
        mean, square = (xx + yy) / 2, ((xx - yy) / 2) ** 2 + xy**2
        shear = yz**2 + xz**2
        mises = (mean - zz) ** 2 + 3 * (square + shear)  # squared, as shear is
        radius = np.sqrt(square)
        largest = [
            np.sqrt(mises.max(axis=0)),
            np.sqrt(shear.max(axis=0)),
            np.maximum(zz, mean + radius).max(axis=0),
            np.maximum(-zz, radius - mean).max(axis=0),
        ]
        if surface.over is not None:
            largest.append(np.sqrt((mises * surface.over[:, None] ** 2).max(axis=0)))
        for number, each in enumerate(largest):
            found.values[number, rows] = each.reshape(shape)
        found.points[rows] = surface.points[mises.argmax(axis=0)].reshape(*shape, 2)

    def _take_away(self, stress: Array, surface: Surface, z: Array, middle: Array) -> None:
        """Take the normal stress of imposed strains away from stress (6, k, m c)."""
        strained, count = self.solution.strained, len(self.solution.names)
        for action in strained.actions:
            within = np.flatnonzero((middle > action.start) & (middle < action.end))
            if not len(within):
                continue
            part = self.solution.course.part(float(middle[within[0]]))
            at = float(z[within[0]])
            one = strained.acting(action, part, at)
            e = one.at(surface.triangles, surface.points[:, None])[:, 0]
            level = pressure(part.at(at).elastic)[surface.triangles]
            columns = (within[:, None] * count + np.arange(count)).ravel()
            stress[:3, :, columns] -= np.tile(np.outer(level * e, one.factors), len(within))
