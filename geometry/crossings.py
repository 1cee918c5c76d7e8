"""Where edges meet: crossing points, touching points and overlapping stretches of lines and arcs.

One formula serves straight edges and arcs. In complex numbers an edge from p to q with bulge b is the image
of t in [0, 1] under

    z(t) = ((1 - t) p + t m q) / ((1 - t) + t m),    m = (1 - i b)^2 / (1 + b^2),

a Moebius map (b = 0 gives the straight line), and its carrier, line or circle, is the zero set of

    D(z) = (2 b (|w|^2 - Re(w conj(d))) - (1 - b^2) Im(w conj(d))) / (|d| (1 + b^2)),   w = z - p, d = q - p,

scaled so that D is the distance to first order, positive on the right. D along another edge is a quadratic
in t whose Bernstein coefficients are D at its two ends and one mixed term (derivation: insert z(t), multiply
by the squared denominator). Nothing divides by the bulge, so nearly straight arcs keep their digits.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .candidates import box_pairs, edge_boxes

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Complex = NDArray[np.complex128]

#: Points closer than this share of the section's size are one point. Far above the rounding of coordinates
#: that were moved and turned (about 1e-15), far below any real gap: a hole 1e-6 of the size away from the
#: edge stays a hole with a wall.
RELATIVE_TOLERANCE = 1e-9
#: Rounding of a coordinate, in units of its last place, that survives a few moves and turns. It rules over the
#: tolerance above when a section lies very far from the origin.
_ROUNDING = 32 * np.finfo(float).eps
#: Where an overlap is probed between two contacts: D along an edge is a sinusoid of the angle, and one
#: that vanishes at both contacts and at two further places vanishes altogether.
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
    low, high = edge_boxes(start, end, bulge)
    pairs = box_pairs(low, high, tolerance)
    edges = _Edges.of(start, end, bulge)
    parts = [_pair_meetings(edges, pairs[k : k + _CHUNK], tolerance) for k in _starts(len(pairs))]
    offsets = np.cumsum([0] + [len(part.first) for part in parts])
    return Meetings(
        *(np.concatenate([getattr(part, word) for part in parts]) for word in Meetings.__slots__[:-1]),
        np.concatenate([part.stretches + k for part, k in zip(parts, offsets[:-1], strict=True)]),
    )


def _starts(count: int) -> Iterator[int]:
    yield from range(0, max(count, 1), _CHUNK)


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """Edges as complex numbers: ends p and q, chord d and its length c, bulge b, the unit number m."""

    p: Complex
    q: Complex
    d: Complex
    c: Array
    b: Array
    m: Complex

    @classmethod
    def of(cls, start: Array, end: Array, bulge: Array) -> _Edges:
        p, q = start[:, 0] + 1j * start[:, 1], end[:, 0] + 1j * end[:, 1]
        return cls(p, q, q - p, np.abs(q - p), bulge, (1 - 1j * bulge) ** 2 / (1 + bulge**2))

    def __getitem__(self, index: Ints) -> _Edges:
        return _Edges(*(getattr(self, word)[index] for word in self.__slots__))

    def lengths(self) -> Array:
        return self.c / np.sinc(2 * np.arctan(np.abs(self.b)) / np.pi)

    def at(self, t: Array) -> Complex:
        """The point z(t), relative to p so that no digits are lost far from the origin."""
        return self.p + self.m * self.d * t / ((1 - t) + self.m * t)

    def carrier(self, z: Complex) -> Array:
        """D(z)."""
        w = z - self.p
        square = w.real**2 + w.imag**2
        along = w * self.d.conj()
        return (2 * self.b * (square - along.real) - (1 - self.b**2) * along.imag) / (
            self.c * (1 + self.b**2)
        )

    def gradient(self, z: Complex) -> Complex:
        """dD/dx + i dD/dy."""
        b = self.b
        return (2 * b * (2 * (z - self.p) - self.d) - 1j * (1 - b**2) * self.d) / (self.c * (1 + b**2))

    def distance(self, z: Complex) -> Array:
        """Signed distance to the carrier: with curvature k, 2 D / (1 + sqrt(1 + 2 k D))."""
        value = self.carrier(z)
        curvature = 4 * self.b / ((1 + self.b**2) * self.c)
        return 2 * value / (1 + np.sqrt(np.maximum(1 + 2 * curvature * value, 0.0)))

    def parameter(self, z: Complex) -> Array:
        """t of the point of the carrier nearest to z (exact on the carrier, first order beside it)."""
        w = z - self.p
        whole = w + self.m * (self.q - z)
        return np.asarray((w * whole.conj()).real / (whole.real**2 + whole.imag**2))

    def fraction(self, t: Array) -> Array:
        """Fraction of the length at t: tan(s a) = t sin a / (1 - t + t cos a), a = half the included angle."""
        a = 2 * np.arctan(np.abs(self.b))
        s = np.arctan2(t * np.sin(a), (1 - t) + t * np.cos(a)) / np.where(a > 0, a, 1.0)
        return np.where((a > 0) & (t > 0) & (t < 1), s, t)

    def reach(self, z: Complex, tolerance: float) -> tuple[NDArray[np.bool_], Array]:
        """Whether z lies within the tolerance of the edge, and at which t (0 or 1 when at an end)."""
        t = self.parameter(z)
        at_p, at_q = np.abs(z - self.p) <= tolerance, np.abs(z - self.q) <= tolerance
        inside = (t > 0) & (t < 1) & (np.abs(self.distance(z)) <= tolerance)
        return at_p | at_q | inside, np.where(at_p, 0.0, np.where(at_q, 1.0, t))


def _pair_meetings(edges: _Edges, pairs: Ints, tolerance: float) -> Meetings:
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


def _end_contacts(
    a: _Edges, b: _Edges, tolerance: float
) -> tuple[NDArray[np.bool_], Array, Array, Complex]:
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
    return on, np.stack([zero, one, t2, t3]), np.stack([t0, t1, zero, one]), np.stack([a.p, a.q, b.p, b.q])


def _inner_contacts(
    a: _Edges, b: _Edges, ends_on: NDArray[np.bool_], ends_ta: Array, tolerance: float
) -> tuple[NDArray[np.bool_], Array, Array, Complex, NDArray[np.bool_]]:
    """Two slots a pair: the roots of D_b along a, away from every end, and whether they are tangent."""
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
    # Where the edges stay within the tolerance from an end contact to the root, the contact says it all.
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
    a: _Edges, b: _Edges, on: NDArray[np.bool_], ta: Array, z: Complex, tolerance: float
) -> tuple[Ints, Ints, NDArray[np.bool_]]:
    """Slots (3, n) of end contacts that follow each other along a, and whether a and b run together there."""
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
