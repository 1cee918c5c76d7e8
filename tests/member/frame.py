"""An independent three-dimensional frame of straight Euler beams, twelve freedoms an element.

Textbook stiffness in displacements, rotated to space; no warping, no shear deformation, centroid
and shear centre on the axis. It knows nothing of the package's elements.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.support import Support

Array = NDArray[np.float64]


def chain(
    axis: Axis,
    section: SectionConstants,
    loads: Sequence[PointLoad | LineLoad],
    supports: Sequence[Support],
    parts: int,
    stations: Sequence[float],
) -> Array:
    """Movements (len(stations), 6) in the member's frame, by straight chords between about `parts`
    nodes."""
    fixed = [s.at for s in supports] + [p.at for p in loads if isinstance(p, PointLoad)]
    z = np.unique(
        np.concatenate([np.linspace(0, axis.length, parts + 1), axis.breaks, fixed, stations])
    )
    x_plan, z_plan, heading = axis.plan(z)
    points = np.column_stack([x_plan, np.zeros_like(z), z_plan])
    n = len(z)
    k = np.zeros((6 * n, 6 * n))
    f = np.zeros(6 * n)
    frames = [_frame(np.array([np.sin(h), 0.0, np.cos(h)])) for h in heading]
    for e in range(n - 1):
        chord = points[e + 1] - points[e]
        length = float(np.linalg.norm(chord))
        turn = np.kron(np.eye(4), _frame(chord / length))
        where = slice(6 * e, 6 * e + 12)
        k[where, where] += turn.T @ _beam(section, length) @ turn
    for load in loads:
        if isinstance(load, PointLoad):
            node = int(np.argmin(abs(z - load.at)))
            _add(f, node, frames[node], load.force, load.place)
            continue
        # Each node takes the load of half its neighbouring arcs.
        share = np.gradient(z)
        share[0], share[-1] = (z[1] - z[0]) / 2, (z[-1] - z[-2]) / 2
        for node in range(n):
            force = np.asarray(load.force) * share[node]
            _add(f, node, frames[node], force, load.place)
    for support in supports:
        node = int(np.argmin(abs(z - support.at)))
        for row, freedom in enumerate(("x", "y", "z", "bend_x", "bend_y", "twist")):
            if getattr(support, freedom) == "held":
                direction = np.zeros(6 * n)
                axis_row = frames[node][row % 3]
                begin = 6 * node + 3 * (row // 3)
                direction[begin : begin + 3] = axis_row
                k += 1e6 * section.elastic_modulus * np.outer(direction, direction)
    moved = np.linalg.solve(k, f).reshape(n, 6)
    answer = []
    for station in stations:
        node = int(np.argmin(abs(z - station)))
        answer.append(
            np.concatenate([frames[node] @ moved[node, :3], frames[node] @ moved[node, 3:]])
        )
    return np.array(answer)


def _frame(along: Array) -> Array:
    """Rows e_x, e_y, e_z of the frame whose z runs along a horizontal unit vector."""
    up = np.array([0.0, 1.0, 0.0])
    return np.array([np.cross(up, along), up, along])


def _add(f: Array, node: int, frame: Array, force: Sequence[float], place: object) -> None:
    x, y = place  # type: ignore[misc]
    moment = np.cross([x, y, 0.0], force)
    f[6 * node : 6 * node + 3] += frame.T @ np.asarray(force)
    f[6 * node + 3 : 6 * node + 6] += frame.T @ moment


def _beam(s: SectionConstants, length: float) -> Array:
    """Order u, v, w, theta_x, theta_y, phi at both ends; z along."""
    k = np.zeros((12, 12))
    axial = s.elastic_modulus * s.area / length
    twist = s.shear_modulus * s.torsion_constant / length
    for i, j, value in ((2, 8, axial), (5, 11, twist)):
        k[[i, j], [i, j]] += value
        k[i, j] -= value
        k[j, i] -= value
    # Across: theta_y = u'; up: theta_x = -v'.
    for deflect, rotate, inertia, sign in (
        (0, 4, s.second_moment_y, 1.0),
        (1, 3, s.second_moment_x, -1.0),
    ):
        ei = s.elastic_modulus * inertia
        index = [deflect, rotate, deflect + 6, rotate + 6]
        block = (ei / length**3) * np.array(
            [
                [12, 6 * length, -12, 6 * length],
                [6 * length, 4 * length**2, -6 * length, 2 * length**2],
                [-12, -6 * length, 12, -6 * length],
                [6 * length, 2 * length**2, -6 * length, 4 * length**2],
            ]
        )
        signs = np.array([1.0, sign, 1.0, sign])
        k[np.ix_(index, index)] += block * np.outer(signs, signs)
    return k
