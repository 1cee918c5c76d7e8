"""Nodes and elements of a member: where something changes, and where exactness asks for more."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..model.constants import SectionConstants
from ..model.imposed import Settlement
from ..model.load import LineLoad, SelfWeight
from ..model.member import SAME_STATION, Member
from ..model.restraint import Deck
from .element import foundation_rate, warping_left_out
from .inclination import warping_passed_on
from .junction import Junction, junctions_of
from .stiffness import Stiffness, stiffness_of

Array = NDArray[np.float64]
Index = NDArray[np.intp]

# Angle an element may turn through: the series of the turning frame then needs few terms.
LARGEST_TURN = 0.5

# Elements of a transition at least: loads per length of their own line, which are quadratic there,
# are taken as linear between their ends.
TRANSITION_PARTS = 16

# Elements a tapered segment is cut into: the error of piecewise constants falls with its square.
TAPER_PARTS = 40

# Elements a tendon's run is cut into: between them its forces are taken as linear.
TENDON_PARTS = 12


@dataclass(frozen=True, slots=True)
class Mesh:
    """Elements in order along the member.

    Attributes
    ----------
    nodes : (n + 1,)
        Stations; a closed member's last node is its first.
    length, curvature : (n,)
        The curvature is that of the middle.
    bend : (n,)
        By how much the curvature grows from start to end: not zero in transitions.
    kind : (n,)
        Index into `sections` and `stiffness`.
    foundation : (n, 3)
        Deck springs per length: across, across-twist coupling, twist, about O.
    inclination : (2, n)
        Warping of each element over that of its first and its last node, see `inclination`.
    parts : (m,)
        Elements between neighbouring stations, junctions left out.
    joint : (n,)
        Index into `junctions` of elements without length, -1 for all others. Their two nodes stand
        at one station.
    junctions : tuple of Junction
    """

    member: Member
    nodes: Array
    length: Array
    curvature: Array
    kind: Index
    sections: tuple[SectionConstants, ...]
    stiffness: Stiffness
    foundation: Array
    inclination: Array
    joint: Index
    bend: Array
    parts: Index
    junctions: tuple[Junction, ...] = ()

    @property
    def curvatures(self) -> Array:
        """(2, n) at the starts and ends of elements."""
        return np.array([self.curvature - self.bend / 2, self.curvature + self.bend / 2])

    @property
    def closed(self) -> bool:
        """Whether the last node is the first."""
        return self.member.axis.closed

    @property
    def count(self) -> int:
        """Number of distinct nodes."""
        return len(self.nodes) - self.closed

    def node_of(self, z: float) -> int:
        """Node at station z, which must be one: of a hinge that of the piece before it, of a kink
        the one between its halves."""
        k = int(np.argmin(abs(self.nodes - z)))
        last = k
        while last < len(self.joint) and self.joint[last] >= 0:
            last += 1
        return (k + last) // 2 % self.count

    def locate(self, z: Array, side: str = "right") -> tuple[Index, Array]:
        """Element index and distance from its start for stations z (m,).

        At a node, `side` "right" takes the element that starts there, "left" the one that ends
        there.
        """
        tolerance = SAME_STATION * self.member.length
        shift = tolerance if side == "right" else -tolerance
        element = np.searchsorted(self.nodes, z + shift, side="right") - 1
        element = np.clip(element, 0, len(self.length) - 1)
        s = np.clip(z - self.nodes[element], 0.0, self.length[element])
        return element, s


def mesh_of(
    member: Member,
    *,
    extra: Iterable[float] = (),
    longest: float = math.inf,
    taper_parts: int = TAPER_PARTS,
    like: Mesh | None = None,
) -> Mesh:
    """Cut a member into elements.

    Parameters
    ----------
    extra : positions
        Further nodes.
    longest : float
        Upper bound of element length.
    taper_parts : int
        Pieces per tapered segment.
    like : Mesh, optional
        Of a member whose numbers differ a little, with the same elements.

    Raises
    ------
    SolveError
        Stations merge or part between that member and this one.
    """
    nodes = _merge(_stations(member, extra, taper_parts), member.length)
    middle = (nodes[1:] + nodes[:-1]) / 2
    sections, kind = _sections(member, middle)
    stiffness = stiffness_of(sections, member.line)
    curvature = member.axis.curvature(middle)
    foundation = _foundation(member, middle, sections, stiffness, kind)

    length = np.diff(nodes)
    rate = np.abs(curvature) / LARGEST_TURN
    held = np.flatnonzero(foundation.any(axis=1))
    rate[held] = np.maximum(
        rate[held], foundation_rate(stiffness.take(kind[held]), foundation[held], member.length)
    )
    bend = _bend(member, nodes)
    bent = np.flatnonzero(bend)
    rate[bent] = np.maximum(rate[bent], _bent_rate(member, nodes, stiffness.take(kind), bent))
    parts = np.maximum(np.ceil(length * rate - 1e-9), np.ceil(length / longest - 1e-9))
    parts = np.maximum(parts, 1).astype(int)
    if like is not None:
        if len(parts) != len(like.parts):
            raise SolveError("loads, supports or changes of section meet at one station there")
        parts = like.parts
    of = np.repeat(np.arange(len(parts)), parts)
    step = (np.arange(len(of)) - np.repeat(np.cumsum(parts) - parts, parts)) / parts[of]
    cut = np.append(nodes[of] + step * length[of], nodes[-1])
    inclination = np.array(warping_passed_on(member, cut, middle[of]))
    mesh = Mesh(
        member,
        cut,
        length[of] / parts[of],
        curvature[of] + (bend[of] * (step + 0.5 / parts[of] - 0.5)),
        kind[of],
        sections,
        stiffness,
        foundation[of],
        inclination,
        np.full(len(of), -1),
        (bend / parts)[of],
        parts,
    )
    return _with_junctions(mesh, junctions_of(member))


def _with_junctions(mesh: Mesh, junctions: list[Junction]) -> Mesh:
    """The mesh with an element without length for each junction, before the element that starts
    there."""
    if not junctions:
        return mesh
    at = np.array([int(np.argmin(abs(mesh.nodes - j.at))) for j in junctions])
    return replace(
        mesh,
        nodes=np.insert(mesh.nodes, at, mesh.nodes[at]),
        length=np.insert(mesh.length, at, 0.0),
        curvature=np.insert(mesh.curvature, at, 0.0),
        bend=np.insert(mesh.bend, at, 0.0),
        kind=np.insert(mesh.kind, at, mesh.kind[at]),
        foundation=np.insert(mesh.foundation, at, 0.0, axis=0),
        inclination=np.insert(mesh.inclination, at, 1.0, axis=1),
        joint=np.insert(mesh.joint, at, np.arange(len(at))),
        junctions=tuple(junctions),
    )


def _bend(member: Member, nodes: Array) -> Array:
    """(n,) change of curvature between neighbouring stations, which lie in one piece."""
    breaks = member.axis.breaks
    index = np.searchsorted(breaks, (nodes[1:] + nodes[:-1]) / 2, side="right") - 1
    index = np.clip(index, 0, len(breaks) - 2)
    first, last = np.array([p.ends for p in member.axis.pieces])[index].T
    return np.asarray((last - first) * np.diff(nodes) / np.diff(breaks)[index])


def _bent_rate(member: Member, nodes: Array, stiffness: Stiffness, bent: Index) -> Array:
    """How finely transitions are cut: their boundary layers are not split off, so that elements
    are no longer than these; loads that follow the curvature are linear along them."""
    pieces, breaks = member.axis.pieces, member.axis.breaks
    middle = (nodes[1:] + nodes[:-1])[bent] / 2
    index = np.clip(np.searchsorted(breaks, middle, side="right") - 1, 0, len(pieces) - 1)
    tightest = np.array([p.tightest for p in pieces])[index] / LARGEST_TURN
    own = stiffness.take(bent)
    plain = warping_left_out(own, member.length, np.ones(len(bent), bool))
    layers = np.where(plain, 0.0, own.rate)
    least = TRANSITION_PARTS / np.diff(breaks)[index]
    return np.asarray(np.maximum.reduce([tightest, layers, least]))


def _stations(member: Member, extra: Iterable[float], taper_parts: int) -> list[float]:
    stations = [*member.axis.breaks.tolist(), *extra]
    for segment in member.segments:
        stations += [segment.start, segment.end]
        if segment.section_end is not None:
            stations += np.linspace(segment.start, segment.end, taper_parts + 1).tolist()
    for item in (*member.supports, *member.restraints, *member.loads, *member.hinges):
        if isinstance(item, SelfWeight):
            continue
        stations += [item.start, item.end] if isinstance(item, LineLoad | Deck) else [item.at]
    for strained in member.imposed:
        if not isinstance(strained, Settlement):
            stations += [strained.start, strained.end]
    for tendon in member.tendons:
        for a, b in pairwise(point.at for point in tendon.points):
            stations += np.linspace(a, b, TENDON_PARTS + 1).tolist()
    return stations


def _merge(stations: list[float], length: float) -> Array:
    """Sorted stations without near repeats; the ends of the member exactly."""
    z = np.unique(np.clip(stations, 0.0, length))
    z = z[np.append(True, np.diff(z) > SAME_STATION * length)]
    if length - z[-1] <= SAME_STATION * length:
        z[-1] = length
    return np.asarray(z)


def _sections(member: Member, middle: Array) -> tuple[tuple[SectionConstants, ...], Index]:
    """Distinct sections and the index of each element's: one per prismatic segment, one per tapered
    piece."""
    ends = np.array([s.end for s in member.segments])
    segment = np.minimum(np.searchsorted(ends, middle), len(ends) - 1)
    sections: list[SectionConstants] = []
    kind = np.zeros(len(middle), np.intp)
    for n, item in enumerate(member.segments):
        mine = np.flatnonzero(segment == n)
        if item.section_end is None:
            kind[mine] = len(sections)
            sections.append(item.section)
        else:
            kind[mine] = len(sections) + np.arange(len(mine))
            sections += [item.section_at(float(z)) for z in middle[mine]]
    return tuple(sections), kind


def _foundation(
    member: Member,
    middle: Array,
    sections: tuple[SectionConstants, ...],
    stiffness: Stiffness,
    kind: Index,
) -> Array:
    """Deck springs (n, 3): energy 1/2 k_u (u - y phi)^2 + 1/2 k_t phi^2 with y the deck's level
    above O."""
    springs = np.zeros((len(middle), 3))
    for deck in member.restraints:
        if not isinstance(deck, Deck):
            continue
        on = (middle > deck.start) & (middle < deck.end)
        if deck.level is None:
            level = stiffness.shear_centre[kind, 1]
        else:
            heights = np.array([s.height(deck.level) for s in sections])
            level = heights[kind] - member.line[1]
        k = deck.lateral_stiffness
        springs += on[:, None] * np.column_stack(
            [np.full(len(middle), k), -k * level, k * level**2 + deck.twist_stiffness]
        )
    return springs
