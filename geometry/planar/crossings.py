"""Where edges meet: crossing points, touching points and overlapping stretches of lines and arcs.

The carrier function of one edge (see `edges`) along another one is a quadratic in that one's
parameter, whose Bernstein coefficients are its values at the two ends and one mixed term
(derivation: insert z(t) and multiply by the squared denominator). Lines and arcs need no cases.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..outline.edges import Array, Bools, Complex, Edges, Ints
from .near_boxes import edge_pairs

#: Points closer than this share of the section's size are one point. Far above the rounding of
#: coordinates that were moved and turned (about 1e-15), far below any real gap: a hole 1e-6 of the
#: size away from the edge stays a hole with a wall.
RELATIVE_TOLERANCE = 1e-9
#: Rounding of a coordinate, in units of its last place, that survives a few moves and turns. It
#: rules over the tolerance above when a section lies very far from the origin.
_ROUNDING = 32 * np.finfo(float).eps
#: Where an overlap is probed between two contacts: D along an edge is a sinusoid of the angle, and
#: one that vanishes at both contacts and at two further places vanishes altogether.
_PROBES = (0.5, 0.29)
#: Pairs handled at once: bounds the memory to some tens of megabytes.
_CHUNK = 200_000

CROSSING, TOUCHING, END = 0, 1, 2


def length_tolerance(points: Array) -> float:
    """Distance below which points are taken as one, from the extent of the (n, 2) points (see
    `RELATIVE_TOLERANCE`)."""
    extent = float(np.hypot(*np.ptp(points, axis=0)))
    return max(RELATIVE_TOLERANCE * extent, _ROUNDING * float(np.abs(points).max()))


@dataclass(frozen=True, slots=True, eq=False)
class Meetings:
    """Points where two edges meet.

    Attributes
    ----------
    first, second : (k,) int arrays
        The edges, first < second.
    at_first, at_second : (k,) float arrays
        Place on each edge, as a fraction of its length; exactly 0 or 1 at its ends.
    points : (k, 2) float array
        The place; the vertex itself, unchanged, where an end is involved.
    kind : (k,) int array
        `CROSSING`: from one side to the other, inside both edges. `TOUCHING`: tangent, inside both.
        `END`: an end of at least one of the two.
    stretches : (l, 2) int array
        Pairs of rows (both `END`) between which the two edges run together.
    """

    first: Ints
    second: Ints
    at_first: Array
    at_second: Array
    points: Array
    kind: Ints
    stretches: Ints


def meetings(start: Array, end: Array, bulge: Array, tolerance: float) -> Meetings:
    """All places where two of the edges come within the tolerance of each other.

    Parameters
    ----------
    start, end : (n, 2) float arrays
    bulge : (n,) float array
    tolerance : float
        Length (see `length_tolerance`); edges must be longer than it.

    Returns
    -------
    Meetings
        Neighbours in a contour appear with their common vertex, as `END`.
    """
    pairs = edge_pairs(start, end, bulge, tolerance)
    edges = Edges.of(start, end, bulge)
    starts = range(0, max(len(pairs), 1), _CHUNK)
    parts = [_pair_meetings(edges, pairs[k : k + _CHUNK], tolerance) for k in starts]
    return parts[0] if len(parts) == 1 else _joined(parts)


def _joined(parts: list[Meetings]) -> Meetings:
    rows = np.cumsum([0, *(len(part.first) for part in parts[:-1])])
    return Meetings(
        np.concatenate([part.first for part in parts]),
        np.concatenate([part.second for part in parts]),
        np.concatenate([part.at_first for part in parts]),
        np.concatenate([part.at_second for part in parts]),
        np.concatenate([part.points for part in parts]),
        np.concatenate([part.kind for part in parts]),
        np.concatenate([part.stretches + row for part, row in zip(parts, rows, strict=True)]),
    )


def _pair_meetings(edges: Edges, pairs: Ints, tolerance: float) -> Meetings:
    # The shorter edge is the one walked along: its D-quadratic then has the smaller coefficients.
    length = edges.lengths()
    swap = length[pairs[:, 0]] > length[pairs[:, 1]]
    ia, ib = np.where(swap, pairs[:, 1], pairs[:, 0]), np.where(swap, pairs[:, 0], pairs[:, 1])
    a, b = edges[ia], edges[ib]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        ends_on, ends_ta, ends_tb, ends_z = _end_contacts(a, b, tolerance)
        roots_on, roots_ta, roots_tb, roots_z, tangent = _inner_contacts(
            a, b, ends_on, ends_ta, tolerance
        )
        lower, upper, together = _stretches(a, b, ends_on, ends_ta, ends_z, tolerance)
    on = np.concatenate([ends_on, roots_on])
    ta, tb = np.concatenate([ends_ta, roots_ta]), np.concatenate([ends_tb, roots_tb])
    z = np.concatenate([ends_z, roots_z])
    kind = np.full(on.shape, END)
    kind[4:] = np.where(tangent, TOUCHING, CROSSING)
    row = np.cumsum(on.ravel()).reshape(on.shape) - 1
    columns = np.arange(len(ia))
    stretch = np.stack([row[lower, columns], row[upper, columns]], axis=2)[together]
    _, pair = np.nonzero(on)
    ea, eb = edges[ia[pair]], edges[ib[pair]]
    sa, sb = ea.fraction(ta[on]), eb.fraction(tb[on])
    flip = swap[pair]
    point = z[on]
    return Meetings(
        pairs[pair, 0],
        pairs[pair, 1],
        np.where(flip, sb, sa),
        np.where(flip, sa, sb),
        np.stack([point.real, point.imag], axis=1),
        kind[on],
        stretch.astype(np.int64),
    )


def _end_contacts(a: Edges, b: Edges, tolerance: float) -> tuple[Bools, Array, Array, Complex]:
    """Four slots a pair: the start and end of a on b, the start and end of b on a."""
    zero, one = np.zeros(len(a.b)), np.ones(len(a.b))
    on0, t0 = b.reach(a.p, tolerance)
    on1, t1 = b.reach(a.q, tolerance)
    on2, t2 = a.reach(b.p, tolerance)
    on3, t3 = a.reach(b.q, tolerance)
    # An end of b at an end of a already stands in the first two slots.
    on2 &= (t2 > 0) & (t2 < 1)
    on3 &= (t3 > 0) & (t3 < 1)
    on = np.stack([on0, on1, on2, on3])
    return (
        on,
        np.stack([zero, one, t2, t3]),
        np.stack([t0, t1, zero, one]),
        np.stack([a.p, a.q, b.p, b.q]),
    )


def _inner_contacts(
    a: Edges, b: Edges, ends_on: Bools, ends_ta: Array, tolerance: float
) -> tuple[Bools, Array, Array, Complex, Bools]:
    """Two slots a pair: the roots of D_b along a, away from every end, and whether they are
    tangent."""
    f0, f2 = b.carrier(a.p), b.carrier(a.q)
    f1 = f0 * a.m.real + 0.5 * (b.gradient(a.p).conj() * a.m * a.d).real
    # A negative discriminant is a near miss: the double root is then the place of closest approach.
    root = np.sqrt(np.maximum(f1 * f1 - f0 * f2, 0.0))
    h = -(f1 + np.copysign(root, f1))
    t = np.stack([h / (h + f2), f0 / (f0 + h)])
    z = a.at(t)
    tb = b.parameter(z)
    on = (t > 0) & (t < 1) & (tb > 0) & (tb < 1) & (np.abs(b.distance(z)) <= tolerance)
    for corner in (a.p, a.q, b.p, b.q):
        on &= np.abs(z - corner) > tolerance
    # Where the edges stay within the tolerance from an end contact to the root, the contact says it
    # all.
    for slot in range(4):
        near = np.abs(b.distance(a.at((t + ends_ta[slot]) / 2))) <= tolerance
        on &= ~(near & ends_on[slot])
    middle = (t[0] + t[1]) / 2
    graze = on[0] & on[1] & (np.abs(b.distance(a.at(middle))) <= tolerance)
    t[0] = np.where(graze, middle, t[0])
    on[1] &= ~graze
    z = a.at(t)
    return on, t, b.parameter(z), z, np.stack([graze, np.zeros_like(graze)])


def _stretches(
    a: Edges, b: Edges, on: Bools, ta: Array, z: Complex, tolerance: float
) -> tuple[Ints, Ints, Bools]:
    """Slots (3, n) of end contacts that follow each other along a, and whether a and b run together
    there."""
    order = np.argsort(np.where(on, ta, np.inf), axis=0, kind="stable")
    columns = np.arange(on.shape[1])
    lower, upper = order[:-1], order[1:]
    together = on[lower, columns] & on[upper, columns]
    if together.any():
        together &= np.abs(z[lower, columns] - z[upper, columns]) > tolerance
        t0, t1 = ta[lower, columns], ta[upper, columns]
        for share in _PROBES:
            probe = a.at(t0 + share * (t1 - t0))
            tb = b.parameter(probe)
            together &= (np.abs(b.distance(probe)) <= tolerance) & (tb > 0) & (tb < 1)
    return lower, upper, together
