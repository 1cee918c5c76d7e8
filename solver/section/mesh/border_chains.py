"""The pieces of broken borders in chains: runs that begin and end where borders branch or end.

A mesh generator takes a chain for one curve; an outline of ten thousand vertices is then three of
them, whose points are the nodes of its mesh.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.planar.planar_map import PlanarMap
from .breakpoints import BrokenEdges
from .section_mesh import Ints

#: A closed run is cut into so many chains: a curve that ends where it begins bounds nothing.
_OF_A_LOOP = 3


@dataclass(frozen=True, slots=True, eq=False)
class BorderChains:
    """Chains numbered from 1.

    Attributes
    ----------
    runs : list of (k,) int arrays
        Points of each chain in order.
    faces : list of list of list of int
        Loops of each face as signed numbers of chains.
    embedded : list of list of int
        BorderChains inside each face.
    """

    runs: list[Ints]
    faces: list[list[list[int]]]
    embedded: list[list[int]]


def chains_of(plan: PlanarMap, broken: BrokenEdges) -> BorderChains:
    """The chains of a planar map whose edges are broken into pieces."""
    loops = loops_of(plan, broken)
    joint = np.bincount(broken.pieces.ravel(), minlength=len(broken.points)) != 2
    for run in (run for face in loops for run in face):
        if np.count_nonzero(joint[run]) < _OF_A_LOOP:
            joint[run[np.arange(_OF_A_LOOP) * len(run) // _OF_A_LOOP]] = True
    runs: list[Ints] = []
    number: dict[tuple[int, int], int] = {}
    faces = [[_signed(run, joint, runs, number) for run in face] for face in loops]
    first = _first_pieces(plan, broken)
    embedded = [_loose(inner, first, broken, runs) for inner in plan.embedded]
    return BorderChains(runs, faces, embedded)


def loops_of(plan: PlanarMap, broken: BrokenEdges) -> list[list[Ints]]:
    """Points around each loop of each face."""
    first = _first_pieces(plan, broken)
    return [[_points_of(loop, first, broken) for loop in face] for face in plan.faces]


def _first_pieces(plan: PlanarMap, broken: BrokenEdges) -> Ints:
    """Where the pieces of each edge begin, and where the last ones end."""
    return np.searchsorted(broken.edge, np.arange(len(plan.edges) + 1))


def _points_of(loop: Ints, first: Ints, broken: BrokenEdges) -> Ints:
    """Points around a loop of signed edges (numbered from 1), without the last, which is the
    first."""
    out = []
    for signed in loop:
        k = abs(int(signed)) - 1
        pieces = broken.pieces[first[k] : first[k + 1]]
        out.append(pieces[:, 0] if signed > 0 else pieces[::-1, 1])
    return np.concatenate(out)


def _signed(
    loop: Ints, joint: NDArray[np.bool_], runs: list[Ints], number: dict[tuple[int, int], int]
) -> list[int]:
    """A loop's chains, new ones added to `runs`; a chain is known by its first two points, seen
    from either end."""
    start = int(np.argmax(joint[loop]))
    around = np.append(np.roll(loop, -start), loop[start])
    cuts = np.flatnonzero(joint[around])
    signed = []
    for a, b in zip(cuts[:-1].tolist(), cuts[1:].tolist(), strict=True):
        run = around[a : b + 1]
        key = int(run[0]), int(run[1])
        if key not in number:
            runs.append(run)
            number[key] = len(runs)
            number[int(run[-1]), int(run[-2])] = -len(runs)
        signed.append(number[key])
    return signed


def _loose(edges: Ints, first: Ints, broken: BrokenEdges, runs: list[Ints]) -> list[int]:
    """BorderChains of edges that bound no face: one an edge."""
    out = []
    for k in edges:
        pieces = broken.pieces[first[k] : first[k + 1]]
        runs.append(np.append(pieces[:, 0], pieces[-1, 1]))
        out.append(len(runs))
    return out
