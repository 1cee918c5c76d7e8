"""Loops of a border: directed pieces with the material on their left, joined to closed runs.

Where several pieces meet in a node, the loops take the turn that keeps to the same material, so
parts that touch only in a point become loops of their own; a run that comes back to a node is
closed there.
"""

from __future__ import annotations

import numpy as np

from ..outline.contour import edge_lengths, edge_points
from ..outline.edges import Array, Ints

#: Directions at a node are compared at this share of the shortest piece there: short enough that
#: curves leaving it keep their order, long enough that a tangent arc is told from its line.
_PROBE = 1e-2


def loops(nodes: Array, tail: Ints, head: Ints, bulge: Array) -> list[Ints]:
    """Closed runs of pieces.

    Parameters
    ----------
    nodes : (n, 2) float array
    tail, head : (m,) int arrays
        Start and end node of each piece; as many start at a node as end there.
    bulge : (m,) float array

    Returns
    -------
    list of int arrays
        Indices of pieces, each loop visiting a node once.
    """
    following = _following(nodes, tail, head, bulge).tolist()
    starts = tail.tolist()
    used = [False] * len(starts)
    found: list[Ints] = []
    for first in range(len(starts)):
        run: list[int] = []
        position: dict[int, int] = {}
        k = first
        while not used[k]:
            used[k] = True
            if starts[k] in position:
                cut = position[starts[k]]
                found.append(np.array(run[cut:]))
                for dropped in run[cut:]:
                    del position[starts[dropped]]
                del run[cut:]
            position[starts[k]] = len(run)
            run.append(k)
            k = following[k]
        if run:
            found.append(np.array(run))
    return found


def _following(nodes: Array, tail: Ints, head: Ints, bulge: Array) -> Ints:
    """The piece that follows each piece in its loop."""
    by_tail = np.argsort(tail, kind="stable")
    first = np.searchsorted(tail[by_tail], head)
    following = by_tail[first]
    busy = np.bincount(tail, minlength=len(nodes)) > 1
    for node in np.flatnonzero(busy):
        leaving, arriving = np.flatnonzero(tail == node), np.flatnonzero(head == node)
        here = np.concatenate([leaving, arriving])
        p, q = nodes[tail[here]], nodes[head[here]]
        length = edge_lengths(p, q, bulge[here])
        share = _PROBE * length.min() / length
        share[len(leaving) :] = 1 - share[len(leaving) :]
        probe = edge_points(p, q, bulge[here], share[:, None])[:, 0] - nodes[node]
        angle = np.arctan2(probe[:, 1], probe[:, 0])
        matched = _brackets(np.argsort(-angle), len(leaving))
        following[arriving] = leaving[matched]
    return following


def _brackets(clockwise: Ints, count: int) -> Ints:
    """Which of the `count` leaving pieces follows each arriving one, numbered after them.

    Seen from the node, the material of an arriving piece lies clockwise of it, up to the next
    piece, which leaves. Matched like brackets, each is followed, and follows, once, whatever the
    rounding.
    """
    matched = np.full(count, -1)
    waiting: list[int] = []
    free: list[int] = []
    for k in clockwise:
        if k >= count:
            waiting.append(k - count)
        elif waiting:
            matched[waiting.pop()] = k
        else:
            free.append(k)
    for k in free:
        matched[waiting.pop()] = k
    return matched
