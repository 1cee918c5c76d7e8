"""A second method for critical loads: bars with exact rotations, in one frame for all of them.

Every node moves by d and turns by R = exp[theta]. A bar between two nodes has the strains of its
chord, Gamma = R_m^T x' - e and K = log(R_i^T R_j) / h with R_m halfway between the two; a joint
says by how much its two sides part, R_m^T (x_j - x_i) at its points and log(R_i^T R_j); a load
works on d + R r. Each is a function of a few movements that is differentiated twice by differences,
so that nothing is expanded by hand. First derivatives and stiffness give the forces; these and the
second derivatives give the initial stress. The deformation before buckling is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh, null_space
from scipy.spatial.transform import Rotation
from soapfilm.solver.member.model.constants import SectionConstants

Array = NDArray[np.float64]
Motion = Callable[[Array], Array]

#: Step of the differences, in mm and radians: mm are of no consequence, all is linear in them.
STEP = 1e-3


def rigidities(section: SectionConstants) -> Array:
    """(6,) of a bar, see `Chain.leg`; what the constants leave out does not shear."""
    s, g, e = section, section.shear_modulus, section.elastic_modulus
    shear = [g * (s.shear_area_x or 1e3 * s.area), g * (s.shear_area_y or 1e3 * s.area)]
    rest = [e * s.area, e * s.second_moment_x, e * s.second_moment_y, g * s.torsion_constant]
    return np.array(shear + rest)


def turned(q: Array) -> Rotation:
    return Rotation.from_rotvec(q)


def halfway(one: Array, other: Array) -> tuple[Rotation, Array]:
    """R_m and log(R_i^T R_j)."""
    first = turned(one)
    apart = (first.inv() * turned(other)).as_rotvec()
    return first * Rotation.from_rotvec(apart / 2), apart


def derivatives(motion: Motion, count: int) -> tuple[Array, Array]:
    """(m, count) and (m, count, count) of a function of movements at rest."""
    eye = np.eye(count) * STEP
    first = np.stack([(motion(e) - motion(-e)) / (2 * STEP) for e in eye], axis=1)
    second = np.zeros((*first.shape, count))
    for i in range(count):
        for j in range(i + 1):
            a, b = eye[i], eye[j]
            mixed = motion(a + b) - motion(a - b) - motion(b - a) + motion(-a - b)
            second[:, i, j] = second[:, j, i] = mixed / (4 * STEP**2)
    return first, second


@dataclass
class Chain:
    """Bars, joints, supports and loads, collected; vectors are in the frame of all."""

    count: int = 0
    springs: list[tuple[list[int], Array, Array, Array]] = field(default_factory=list)
    ties: list[tuple[list[int], Array, Array]] = field(default_factory=list)
    loads: list[tuple[list[int], Array, Array]] = field(default_factory=list)

    def node(self) -> int:
        self.count += 1
        return self.count - 1

    def leg(self, start: int, frame: Array, length: float, rigidities: Array, bars: int) -> int:
        """Bars from a node on, along the third column of the frame; gives the last node.

        Parameters
        ----------
        rigidities : (6,)
            G A_x, G A_y, E A, E I_x, E I_y and G J.
        """
        h = length / bars

        def strain(q: Array) -> Array:
            middle, apart = halfway(q[3:6], q[9:12])
            chord = q[6:9] - q[0:3] + frame[:, 2] * h
            gamma = frame.T @ middle.inv().apply(chord) / h - [0, 0, 1]
            return np.concatenate([gamma, frame.T @ apart / h])

        first, second = derivatives(strain, 12)
        for _ in range(bars):
            end = self.node()
            self.springs.append(([start, end], rigidities * h, first, second))
            start = end
        return start

    def joint(
        self, start: int, frame: Array, stiffness: Sequence[float],
        bends: tuple[float, float] = (0, 0), twists: tuple[float, float] = (0, 0),
    ) -> int:  # fmt: skip
        """A node that parts from another by x, y (at `twists`), z (at `bends`) and rotations about
        x, y and z against springs, which are infinite where nothing parts."""
        end = self.node()
        places = [frame @ (*p, 0.0) for p in (twists, twists, bends)]

        def parted(q: Array) -> Array:
            middle, apart = halfway(q[3:6], q[9:12])
            slips = []
            for k, r in enumerate(places):
                slip = q[6:9] + turned(q[9:12]).apply(r) - q[0:3] - turned(q[3:6]).apply(r)
                slips.append((frame.T @ middle.inv().apply(slip))[k])
            return np.concatenate([slips, frame.T @ apart])

        self._held([start, end], parted, stiffness)
        return end

    def support(
        self, node: int, frame: Array, stiffness: Sequence[float],
        point: tuple[float, float] = (0, 0),
    ) -> None:  # fmt: skip
        """Springs against x, y, z of a point and the rotations about them, which keep their
        directions."""
        r = frame @ (*point, 0.0)

        def moved(q: Array) -> Array:
            return np.concatenate([frame.T @ (q[:3] + turned(q[3:]).apply(r) - r), frame.T @ q[3:]])

        self._held([node], moved, stiffness)

    def load(
        self, node: int, frame: Array, force: Sequence[float], point: tuple[float, float] = (0, 0)
    ) -> None:
        """A dead force at a point of a node's section."""
        r, p = frame @ (*point, 0.0), frame @ np.asarray(force)

        def work(q: Array) -> Array:
            return np.array([p @ (q[:3] + turned(q[3:]).apply(r))])

        self.loads.append(([node], *derivatives(work, 6)))

    def _held(self, nodes: list[int], motion: Motion, stiffness: Sequence[float]) -> None:
        first, second = derivatives(motion, 6 * len(nodes))
        k = np.asarray(stiffness, float)
        rigid, soft = np.isinf(k), np.isfinite(k) & (k > 0)
        if rigid.any():
            self.ties.append((nodes, first[rigid], second[rigid]))
        if soft.any():
            self.springs.append((nodes, k[soft], first[soft], second[soft]))

    def factor(self) -> float:
        """The least positive one."""
        size = 6 * self.count
        k, g = np.zeros((2, size, size))
        f, rows = np.zeros(size), []
        for nodes, stiffness, first, _ in self.springs:
            at = _places(nodes)
            k[np.ix_(at, at)] += first.T @ (stiffness[:, None] * first)
        for nodes, first, _ in self.loads:
            f[_places(nodes)] += first[0]
        for nodes, first, _ in self.ties:
            for row in first:
                rows.append(np.zeros(size))
                rows[-1][_places(nodes)] = row
        free = null_space(np.array(rows))
        q = free @ np.linalg.solve(free.T @ k @ free, free.T @ f)
        ties = iter(np.linalg.lstsq(np.array(rows).T, f - k @ q, rcond=None)[0])
        for nodes, stiffness, first, second in self.springs:
            at = _places(nodes)
            g[np.ix_(at, at)] += np.tensordot(stiffness * (first @ q[at]), second, 1)
        for nodes, first, second in self.ties:
            at = _places(nodes)
            g[np.ix_(at, at)] += np.tensordot([next(ties) for _ in first], second, 1)
        for nodes, _, second in self.loads:
            at = _places(nodes)
            g[np.ix_(at, at)] -= second[0]
        top = eigh(-free.T @ g @ free, free.T @ k @ free, eigvals_only=True)[-1]
        return float(1 / top)


def _places(nodes: list[int]) -> list[int]:
    return [6 * node + i for node in nodes for i in range(6)]
