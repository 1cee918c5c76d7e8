"""Exact relations between the states at the two ends of an element: G Y_i + H Y_j = P_i q_i + P_j
q_j.

q (6,) is the load per length about O, linear from end to end. Three families:

- series: sections that warp, elements not longer than a; Y_j = exp(A h) Y_i + load; so are all
  elements of transitions, where A grows along the element;
- layer: sections that warp, longer elements, see `layer`;
- plain: sections that do not warp; rows 6 and 13 stay empty and are set where neighbours are known;

and junctions without length, of which those that pass no warping on count as plain.

Together they hold from h/a = 0 to infinity without loss of digits, and no element is ever longer or
shorter than the load and the section ask for. Between two nodes the same relations give the state
at any station.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .boundary_layer import Layer, layer_of
from .element import (
    Blocks,
    blocks,
    full_growth,
    full_matrix,
    plain_growth,
    plain_matrix,
    warping_left_out,
)
from .junction import plain, relations
from .mesh import Mesh
from .series import fundamental
from .stiffness import Stiffness

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SERIES, LAYER, PLAIN, JUNCTION, PLAIN_JUNCTION = 0, 1, 2, 3, 4

# h/a above which the layers are split off: both forms keep all digits near 1.
SPLIT_ABOVE = 1.0

# Rows and columns of the twelve states without tau and B.
SLOW = np.array([0, 1, 2, 3, 4, 5, 7, 8, 9, 10, 11, 12])


@dataclass(frozen=True, slots=True)
class Elements:
    """Distinct elements of a mesh and which of them each element is.

    `of` (n,) points into the m distinct ones; `family` (m,), `length` (m,); `start`, `end` (m, 14,
    14) are G and H, `load_start`, `load_end` (m, 14, 6) are P_i and P_j.
    """

    of: Index
    family: Index
    length: Array
    stiffness: Stiffness
    blocks: Blocks
    start: Array
    end: Array
    load_start: Array
    load_end: Array

    @property
    def warps(self) -> NDArray[np.bool_]:
        """(n,) whether each element has freedoms of warping."""
        return np.asarray(~np.isin(self.family[self.of], (PLAIN, PLAIN_JUNCTION)))

    @property
    def kinds(self) -> Index:
        """(n,) what each element is: by series and with its layers split off it says the same."""
        return np.where(self.family == LAYER, SERIES, self.family)[self.of]


def elements_of(mesh: Mesh) -> Elements:
    """Find the distinct elements of a mesh and solve each once."""
    key = np.column_stack(
        [mesh.length, mesh.curvature, mesh.kind, mesh.foundation, mesh.joint, mesh.bend]
    )
    # Lengths that differ in rounding only are one element: equal pieces of a span rarely differ by
    # zero bits.
    key[:, 0] = np.round(key[:, 0] / mesh.member.length, 14)
    _, first, of = np.unique(key, axis=0, return_index=True, return_inverse=True)
    stiffness = mesh.stiffness.take(mesh.kind[first])
    length, bend = mesh.length[first], mesh.bend[first]
    rate = np.divide(bend, length, out=np.zeros_like(bend), where=bend != 0)
    b = blocks(stiffness, mesh.curvature[first] - bend / 2, mesh.foundation[first], rate)

    rate = stiffness.rate
    family = np.full(len(first), SERIES)
    on_deck = np.asarray(mesh.foundation[first].any(axis=1)) | (bend != 0)
    # Junctions have no length, and rates may be infinite.
    long = length > 0
    family[long & ~on_deck] = np.where(
        rate[long & ~on_deck] * length[long & ~on_deck] > SPLIT_ABOVE, LAYER, SERIES
    )
    family[warping_left_out(stiffness, mesh.member.length, on_deck)] = PLAIN

    start, end = np.zeros((2, len(first), 14, 14))
    load_start, load_end = np.zeros((2, len(first), 14, 6))
    family[mesh.joint[first] >= 0] = JUNCTION
    for kind, solve in ((SERIES, _series), (LAYER, _layer), (PLAIN, _plain)):
        mine = np.flatnonzero(family == kind)
        if len(mine):
            part = Blocks(*(getattr(b, name)[mine] for name in Blocks.__slots__))
            found = solve(stiffness.take(mine), part, length[mine])
            start[mine], end[mine], load_start[mine], load_end[mine] = found
    of = of.reshape(-1)
    for e in np.flatnonzero(mesh.joint >= 0):
        junction = mesh.junctions[mesh.joint[e]]
        warped = [bool(family[of[k]] != PLAIN) for k in _neighbours(mesh, int(e))]
        family[of[e]] = PLAIN_JUNCTION if plain(junction, *warped) else JUNCTION
        start[of[e]], end[of[e]] = relations(junction, *warped)
    return Elements(of, family, length, stiffness, b, start, end, load_start, load_end)


def _neighbours(mesh: Mesh, e: int) -> tuple[int, int]:
    """The elements with a length before and after a junction."""
    n = len(mesh.length)
    before, after = (e - 1) % n, (e + 1) % n
    while mesh.joint[before] >= 0:
        before = (before - 1) % n
    while mesh.joint[after] >= 0:
        after = (after + 1) % n
    return before, after


def series_rate(stiffness: Stiffness, length: Array, warps: bool) -> float:
    """Bound of |eigenvalue| h for the series: deck springs are cut to 1 by the mesh, turns to
    1/2."""
    return max(1.0, float((stiffness.rate * length).max())) if warps else 1.0


def _series(stiffness: Stiffness, b: Blocks, h: Array) -> tuple[Array, Array, Array, Array]:
    matrix = full_matrix(stiffness, b)
    rate = series_rate(stiffness, h, True)
    total, once, twice = fundamental(matrix, full_growth(b), h, rate)
    end = np.broadcast_to(np.eye(14), matrix.shape)
    slope = twice[:, :, 7:13] / h[:, None, None]
    return -total, end, -(once[:, :, 7:13] - slope), -slope


def _plain(stiffness: Stiffness, b: Blocks, h: Array) -> tuple[Array, Array, Array, Array]:
    return _slow_rows(plain_matrix(stiffness, b), h, plain_growth(b))


def _slow_rows(
    matrix: Array, h: Array, growth: Array | None = None
) -> tuple[Array, Array, Array, Array]:
    """Two-point form of the twelve slow states, embedded in fourteen."""
    total, once, twice = fundamental(matrix, growth, h, 1.0)
    start, end = np.zeros((2, len(h), 14, 14))
    load_start, load_end = np.zeros((2, len(h), 14, 6))
    start[:, SLOW[:, None], SLOW] = -total
    end[:, SLOW, SLOW] = 1.0
    slope = twice[:, :, 6:] / h[:, None, None]
    load_start[:, SLOW], load_end[:, SLOW] = -(once[:, :, 6:] - slope), -slope
    return start, end, load_start, load_end


def _layer(stiffness: Stiffness, b: Blocks, h: Array) -> tuple[Array, Array, Array, Array]:
    layer = layer_of(stiffness, b)
    start, end, load_start, load_end = _slow_rows(layer.slow, h)
    decay = np.exp(-layer.rate * h)
    start[:, 6, 6], end[:, 6, 6] = -decay, 1.0
    start[:, 13, 13], end[:, 13, 13] = 1.0, -decay
    whole, first = layer_integrals(layer.rate, h)
    slope = (h - whole) / layer.rate / h
    load_start[:, 6] = layer.ahead * (whole - slope)[:, None]
    load_end[:, 6] = layer.ahead * slope[:, None]
    load_start[:, 13] = -layer.behind * (whole - first / h)[:, None]
    load_end[:, 13] = -layer.behind * (first / h)[:, None]
    rows = layer.rows()
    return start @ rows, end @ rows, load_start, load_end


def layer_integrals(rate: Array, h: Array) -> tuple[Array, Array]:
    """int_0^h exp(-r s) ds and int_0^h s exp(-r s) ds."""
    whole = -np.expm1(-rate * h) / rate
    return whole, (whole - h * np.exp(-rate * h)) / rate


def interior_states(
    elements: Elements,
    element: Index,
    s: Array,
    ends: tuple[Array, Array],
    loads: tuple[Array, Array],
) -> Array:
    """States at distance s (k,) from the start of elements (k,).

    Parameters
    ----------
    ends : two (k, 14, c) arrays
        States at both ends of those elements, for c load combinations.
    loads : two (k, 6, c) arrays
        Loads per length there.

    Returns
    -------
    (k, 14, c) array.
    """
    distinct = elements.of[element]
    family = elements.family[distinct]
    out = np.zeros_like(ends[0])
    here = np.flatnonzero(family >= JUNCTION)
    out[here] = ends[0][here]
    for kind in (SERIES, LAYER, PLAIN):
        mine = np.flatnonzero(family == kind)
        if not len(mine):
            continue
        which = distinct[mine]
        _, *alike = np.unique(which, return_index=True, return_inverse=True)
        stiffness = elements.stiffness.take(which)
        b = Blocks(*(getattr(elements.blocks, name)[which] for name in Blocks.__slots__))
        h = elements.length[which]
        state = (ends[0][mine], ends[1][mine])
        q = loads[0][mine]
        slope = (loads[1][mine] - q) / h[:, None, None]
        if kind == LAYER:
            out[mine] = _inside_layer(layer_of(stiffness, b), alike, s[mine], h, state, q, slope)
        elif kind == SERIES:
            matrix = full_matrix(stiffness, b)
            size = series_rate(stiffness, s[mine], True)
            growth = full_growth(b)
            out[mine] = _follow(matrix, alike, s[mine], size, state[0], q, slope, 7, growth)
        else:
            matrix = plain_matrix(stiffness, b)
            before = state[0][:, SLOW]
            growth = plain_growth(b)
            slow = _follow(matrix, alike, s[mine], 1.0, before, q, slope, 6, growth)
            out[np.ix_(mine, SLOW)] = slow
            torque = np.einsum("ni,nic->nc", stiffness.lever, slow[:, 6:])
            out[mine, 6] = torque / stiffness.torsion[:, None]
    return out


def _follow(
    matrix: Array,
    alike: list[Index],
    s: Array,
    rate: float,
    state: Array,
    q: Array,
    slope: Array,
    force: int,
    growth: Array | None = None,
) -> Array:
    """exp(A s) Y_i plus the load's part; forces start at row `force`. What is alike: the first of
    every kind, and the kind of each."""
    first, of = alike
    growth = None if growth is None else growth[first]
    total, once, twice = fundamental(matrix[first], growth, s, rate, of)
    forces = slice(force, force + 6)
    return total @ state - once[:, :, forces] @ q - twice[:, :, forces] @ slope


def _inside_layer(
    layer: Layer,
    alike: list[Index],
    s: Array,
    h: Array,
    ends: tuple[Array, Array],
    q: Array,
    slope: Array,
) -> Array:
    rows = layer.rows()
    first, last = rows @ ends[0], rows @ ends[1]
    slow = _follow(layer.slow, alike, s, 1.0, first[:, SLOW], q, slope, 6)
    whole, _ = layer_integrals(layer.rate, s)
    linear = (s - whole) / layer.rate
    push = q * whole[:, None, None] + slope * linear[:, None, None]
    ahead = first[:, 6] * np.exp(-layer.rate * s)[:, None]
    ahead = ahead + np.einsum("ni,nic->nc", layer.ahead, push)
    rest = h - s
    whole, linear = layer_integrals(layer.rate, rest)
    here = q + slope * s[:, None, None]
    push = here * whole[:, None, None] + slope * linear[:, None, None]
    behind = last[:, 13] * np.exp(-layer.rate * rest)[:, None]
    behind = behind - np.einsum("ni,nic->nc", layer.behind, push)
    return layer.restore(slow[:, :6], slow[:, 6:], ahead, behind)
