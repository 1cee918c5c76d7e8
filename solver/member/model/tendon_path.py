"""A tendon's line in the member's frame, its force, and what it does to what it lies in.

With g = (x', y', 1 - kappa x) the line's rate along the axis, x from the axis point, the tangent is
t = g / |g|, and the concrete feels the change of the tendon's force F = P t: between points
q = F' in the turning frame, where the line turns sharply the jump of F, and F whole at anchors. All
of it is in equilibrium with itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from .member import Member
from .tendon import Tendon, TendonPoint

Array = NDArray[np.float64]

#: Stations of a run at which the angle turned and the length are summed up.
_FINE = 129


@dataclass(frozen=True, slots=True, eq=False)
class TendonRun:
    """A smooth run of a tendon, at constant curvature of the axis.

    Attributes
    ----------
    start, end : float
        Along the member.
    across, up : (3,)
        Coefficients of x and y, from the axis point, as 1, s, s^2 of s = z - start.
    curvature : float
        kappa.
    stations, force : (m,)
        Tendon force at stations.
    """

    start: float
    end: float
    across: Array
    up: Array
    curvature: float
    stations: Array
    force: Array

    def line(self, z: Array) -> tuple[Array, Array, Array]:
        """Place, rate and second rate (m, 2) of x, y."""
        s = z - self.start
        both = np.stack([self.across, self.up], axis=1)
        powers = np.stack([np.ones_like(s), s, s**2], axis=1)
        rates = np.stack([np.zeros_like(s), np.ones_like(s), 2 * s], axis=1)
        turns = np.stack([np.zeros_like(s), np.zeros_like(s), np.full_like(s, 2.0)], axis=1)
        return powers @ both, rates @ both, turns @ both

    def tangent(self, z: Array) -> tuple[Array, Array, Array]:
        """t (m, 3), its rate in space (m, 3), and length of the line per length of the axis."""
        place, rate, turn = self.line(z)
        kappa = self.curvature
        g = np.stack([rate[:, 0], rate[:, 1], 1 - kappa * place[:, 0]], axis=1)
        grown = np.stack([turn[:, 0], turn[:, 1], -kappa * rate[:, 0]], axis=1)
        # The frame turns: e_x' = -kappa e_z, e_z' = kappa e_x.
        grown[:, 0] += kappa * g[:, 2]
        grown[:, 2] -= kappa * g[:, 0]
        size = np.linalg.norm(g, axis=1)
        t = g / size[:, None]
        along = np.einsum("md,md->m", grown, t)
        return t, (grown - along[:, None] * t) / size[:, None], size

    def acting(self, z: Array) -> tuple[Array, Array, Array]:
        """Place (m, 2) from the axis point, F (m, 3), and q (m, 3) per length of the axis."""
        t, turned, _ = self.tangent(z)
        force = np.interp(z, self.stations, self.force)
        slope = np.gradient(self.force, self.stations, edge_order=2)
        fall = np.interp(z, self.stations, slope)
        q = force[:, None] * turned + fall[:, None] * t
        return self.line(z)[0], force[:, None] * t, q


def tendon_runs(tendon: Tendon, member: Member) -> tuple[TendonRun, ...]:
    """The smooth runs of a tendon, with its force.

    Raises
    ------
    InputError
        A tendon over a kink of the axis, or beyond the member.
    """
    for kink in member.axis.kinks:
        if tendon.start < kink.at < tendon.end:
            raise InputError(
                f"{tendon.title}: it passes the {kink.title} of the axis, where its path is not "
                "known; anchor it before and begin another one behind"
            )
    runs = [run for a, b in pairwise(tendon.points) for run in _runs(a, b, member)]
    turned, length = [0.0], [0.0]
    tables: list[tuple[Array, Array]] = []
    last: Array | None = None
    for run in runs:
        t, rate, size = run.tangent(run.stations)
        if last is not None:
            turned.append(turned[-1] + _angle(last, t[0]))
            length.append(length[-1])
        last = t[-1]
        angle = turned[-1] + _summed(np.linalg.norm(rate, axis=1), run.stations)
        along = length[-1] + _summed(size, run.stations)
        tables.append((angle, along))
        turned.append(float(angle[-1]))
        length.append(float(along[-1]))
    total = tendon.friction * (tables[-1][0][-1] + tendon.wobble * tables[-1][1][-1])
    found = []
    for run, (angle, along) in zip(runs, tables, strict=True):
        lost = tendon.friction * (angle + tendon.wobble * along)
        shares = {"start": np.exp(-lost), "end": np.exp(lost - total)}
        share = np.maximum(*shares.values()) if tendon.jacked == "both" else shares[tendon.jacked]
        found.append(
            TendonRun(run.start, run.end, run.across, run.up, run.curvature, run.stations,
                tendon.force * share)
        )  # fmt: skip
    return tuple(found)


def _runs(a: TendonPoint, b: TendonPoint, member: Member) -> list[TendonRun]:
    """From a point to the next, cut where the axis changes its curvature."""
    ends = []
    for point in (a, b):
        section = member.section_at(point.at)
        ends.append((point.x - member.line[0], section.height(point.y) - member.line[1]))
    (x0, y0), (x1, y1) = ends
    length = b.at - a.at
    # chord + 4 bow s (L - s) / L^2
    across = np.array([x0, (x1 - x0 + 4 * b.bow) / length, -4 * b.bow / length**2])
    up = np.array([y0, (y1 - y0 - 4 * b.sag) / length, 4 * b.sag / length**2])
    least = 1e-9 * member.length
    inner = [float(z) for z in member.axis.breaks if a.at + least < z < b.at - least]
    found = []
    for start, end in pairwise([a.at, *inner, b.at]):
        s = start - a.at
        moved = [np.array([c[0] + s * c[1] + s**2 * c[2], c[1] + 2 * s * c[2], c[2]])
                 for c in (across, up)]  # fmt: skip
        kappa = float(member.axis.curvature([(start + end) / 2])[0])
        z = np.linspace(start, end, _FINE)
        found.append(TendonRun(start, end, moved[0], moved[1], kappa, z, np.ones(_FINE)))
    return found


def _summed(rate: Array, z: Array) -> Array:
    """Integral from the first station, by trapezia corrected at their ends."""
    step = np.diff(z)
    slope = np.gradient(rate, z, edge_order=2)
    parts = step * (rate[1:] + rate[:-1]) / 2 - step**2 / 12 * np.diff(slope)
    return np.concatenate([[0.0], np.cumsum(parts)])


def _angle(a: Array, b: Array) -> float:
    return float(np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b))
