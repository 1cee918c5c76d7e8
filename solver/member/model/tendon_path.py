"""A tendon's line in the member's frame, its force, and what it does to what it lies in.

With g = (x', y', 1 - kappa x) the line's rate along the axis, x from the axis point, the tangent is
t = g / |g|, and the concrete feels the change of the tendon's force F = P t: between points
q = F' in the turning frame, where the line turns sharply the jump of F, and F whole at anchors. All
of it is in equilibrium with itself.

Over a kink of the axis the line passes a point of the bisecting plane, which a line at x reaches
x tan(angle / 2) before the axis does; there a deviator takes the jump of F, 2 P sin(turn / 2) but
for friction. At the axis' own station a run goes on in its own line, so that its force acts where
it does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from .axis import Kink
from .member import SAME_STATION, Member
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
        Tendon force at stations, which beside a kink end in its bisecting plane.
    kink : Kink or None
        That which the run begins at.
    """

    start: float
    end: float
    across: Array
    up: Array
    curvature: float
    stations: Array
    force: Array
    kink: Kink | None = None

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
        A tendon beyond the member, or with points nearer to a kink than its mitre.
    """
    points = _over_kinks(tendon, member)
    runs = [run for a, b in pairwise(points) for run in _runs(a, b, member, tendon)]
    turned, length = [0.0], [0.0]
    tables: list[tuple[Array, Array]] = []
    last: Array | None = None
    for run in runs:
        t, rate, size = run.tangent(run.stations)
        if last is not None:
            first = t[0] if run.kink is None else _turned(run.kink.angle, t[0])
            turned.append(turned[-1] + _angle(last, first))
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
        found.append(replace(run, force=tendon.force * share))
    return tuple(found)


def deviations(runs: Sequence[TendonRun]) -> list[tuple[Kink, Array]]:
    """What a tendon does to its deviator at each kink: force (3,) in the bisecting frame."""
    found = []
    for before, beyond in pairwise(runs):
        if beyond.kink is not None:
            ends = [run.acting(run.stations[[k]])[1][0] for run, k in ((before, -1), (beyond, 0))]
            half = beyond.kink.angle / 2
            found.append((beyond.kink, _turned(half, ends[1]) - _turned(-half, ends[0])))
    return found


def _over_kinks(tendon: Tendon, member: Member) -> list[TendonPoint]:
    """Points of a tendon, with one more at every kink that it passes between them."""
    found = [tendon.points[0]]
    for a, b in pairwise(tendon.points):
        length, (chord_x, chord_y) = b.at - a.at, _chord(a, b, member)
        least, before = SAME_STATION * member.length, a.at
        inner = [k.at for k in member.axis.kinks if a.at + least < k.at < b.at - least]
        for at in [*inner, b.at]:
            # A part of a parabola hangs below its own chord by the square of its share.
            share = ((at - before) / length) ** 2
            part = (b.sag * share, b.bow * share)
            s, before = (at - a.at) / length, at
            if at == b.at:
                found.append(replace(b, sag=part[0], bow=part[1]))
            else:
                x = (1 - s) * chord_x[0] + s * chord_x[1] + 4 * b.bow * s * (1 - s)
                y = (1 - s) * chord_y[0] + s * chord_y[1] - 4 * b.sag * s * (1 - s)
                line = member.line
                found.append(TendonPoint(at, x + line[0], y + line[1], *part))
    return found


def _chord(a: TendonPoint, b: TendonPoint, member: Member) -> Array:
    """(2, 2) x and y of both ends, from the axis point."""
    ends = []
    for point in (a, b):
        section = member.section_at(point.at)
        ends.append((point.x - member.line[0], section.height(point.y) - member.line[1]))
    return np.array(ends).T


def _runs(a: TendonPoint, b: TendonPoint, member: Member, tendon: Tendon) -> list[TendonRun]:
    """From a point to the next, cut where the axis changes its curvature."""
    (x0, x1), (y0, y1) = _chord(a, b, member)
    opening = _passed(a, member, tendon)
    first = a.at + _mitre(opening, x0, a.at, b.at, member)
    last = b.at - _mitre(_passed(b, member, tendon), x1, b.at, a.at, member)
    length = last - first
    least = SAME_STATION * member.length
    inner = [float(z) for z in member.axis.breaks if a.at + least < z < b.at - least]
    if min(np.diff([first, *inner, last])) <= least:
        raise InputError(
            f"{tendon.title}: between {a.at:g} and {b.at:g} it has no length, as so much is lost "
            "beside the kink on the inner side of the axis; set its points farther apart"
        )
    # chord + 4 bow s (L - s) / L^2
    across = np.array([x0, (x1 - x0 + 4 * b.bow) / length, -4 * b.bow / length**2])
    up = np.array([y0, (y1 - y0 - 4 * b.sag) / length, 4 * b.sag / length**2])
    found = []
    for start, end in pairwise([a.at, *inner, b.at]):
        s = start - first
        moved = [np.array([c[0] + s * c[1] + s**2 * c[2], c[1] + 2 * s * c[2], c[2]])
                 for c in (across, up)]  # fmt: skip
        kappa = float(member.axis.curvature([(start + end) / 2])[0])
        z = np.linspace(first if start == a.at else start, last if end == b.at else end, _FINE)
        kink = opening if start == a.at else None
        found.append(TendonRun(start, end, moved[0], moved[1], kappa, z, np.ones(_FINE), kink))
    return found


def _passed(point: TendonPoint, member: Member, tendon: Tendon) -> Kink | None:
    """The kink at a point that is no anchor."""
    least = SAME_STATION * member.length
    if min(point.at - tendon.start, tendon.end - point.at) <= least:
        return None
    return next((k for k in member.axis.kinks if abs(k.at - point.at) <= least), None)


def _mitre(kink: Kink | None, x: float, at: float, other: float, member: Member) -> float:
    """Length along the axis between a kink and where a line at x meets its bisecting plane, on the
    side of another station; negative beyond the kink."""
    if kink is None:
        return 0.0
    beside = at + (1 if other > at else -1) * 1e-6 * member.length
    kappa = float(member.axis.curvature([beside])[0])
    return x * kink.slant / 2 / (1 - kappa * x)


def _turned(angle: float, vector: Array) -> Array:
    """A vector (3,) of a frame that is turned by an angle toward +x, in the frame before it."""
    sin, cos = math.sin(angle), math.cos(angle)
    x, y, z = vector
    return np.array([cos * x + sin * z, y, cos * z - sin * x])


def _summed(rate: Array, z: Array) -> Array:
    """Integral from the first station, by trapezia corrected at their ends."""
    step = np.diff(z)
    slope = np.gradient(rate, z, edge_order=2)
    parts = step * (rate[1:] + rate[:-1]) / 2 - step**2 / 12 * np.diff(slope)
    return np.concatenate([[0.0], np.cumsum(parts)])


def _angle(a: Array, b: Array) -> float:
    return float(np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b))
