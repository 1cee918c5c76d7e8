"""A deformed member as faces in space, for a sketch: its outline carried along the moved axis.

Plan coordinates are those of `Axis.plan`: Z along the start, X across, and Y up. Sections are drawn
`thick` times their size, twist and deflection larger still by factors of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.section import Section

if TYPE_CHECKING:
    from ...solver.member.model.axis import Axis
    from ...solver.member.model.member import Segment
    from ...solver.member.model.solved_section import SolvedSection
    from ...solver.member.review.assessment import Assessment

Array = NDArray[np.float64]

#: Chords of arcs leave them by this share of the section's size: invisible in a sketch.
_DEVIATION = 4e-3
#: Faces around a section, about.
_PIECES = 48
#: Points around an outline that is matched with another one in a taper.
_MATCHED = 120


@dataclass(frozen=True, slots=True)
class Drawn:
    """How much larger than real things are drawn, relative to lengths along the member.

    `twist` and `move` come on top of `thick`.
    """

    thick: float
    twist: float
    move: float


@dataclass(frozen=True, slots=True)
class Shell:
    """One outline along one segment.

    Attributes
    ----------
    space : (k, m, 3)
        X, Y, Z of m points of the outline at k stations.
    stress : (k, m) or None
        Von Mises stress there.
    closed : bool
        The m points run around; always true for outlines of sections.
    """

    space: Array
    stress: Array | None


@dataclass(frozen=True, slots=True)
class Carrier:
    """Moves points of sections into space.

    Attributes
    ----------
    axis : Axis
    line : (x, y)
        Point of the section on the axis.
    z, u, v, phi : (n,)
        Displacement of the shear centre and twist along the member.
    drawn : Drawn
    """

    axis: Axis
    line: tuple[float, float]
    z: Array
    u: Array
    v: Array
    phi: Array
    drawn: Drawn

    def carried(self, z: Array, points: Array, centre: Array, *, moved: bool = True) -> Array:
        """(k, m, 3) places of points (k, m, 2) of the section at stations z (k,).

        `centre` (k, 2) is the shear centre, about which the section turns.
        """
        size = 1.0 if moved else 0.0
        u, v, phi = (size * np.interp(z, self.z, w) for w in (self.u, self.v, self.phi))
        turn = self.drawn.twist * phi
        cos, sin = np.cos(turn)[:, None], np.sin(turn)[:, None]
        r = points - centre[:, None, :]
        shift = self.drawn.move * np.stack([u, v], axis=1)[:, None, :]
        local = np.stack(
            [cos * r[..., 0] - sin * r[..., 1], sin * r[..., 0] + cos * r[..., 1]], axis=-1
        )
        local = (local + centre[:, None, :] + shift - np.asarray(self.line)) * self.drawn.thick
        across, along, heading = self.axis.plan(z)
        # Right in a kink the section lies in the bisecting plane, and is wider there.
        local[..., 0] *= self.axis.stretch(z)[:, None]
        x = across[:, None] + np.cos(heading)[:, None] * local[..., 0]
        y = local[..., 1]
        depth = along[:, None] - np.sin(heading)[:, None] * local[..., 0]
        return np.stack([x, y, depth], axis=-1)


def shells(assessment: Assessment, carrier: Carrier, combination: int, count: int) -> list[Shell]:
    """Every outline of every segment, with the stress of a combination on it where there is any."""
    member = assessment.solution.mesh.member
    found = []
    for segment in member.segments:
        share = (segment.end - segment.start) / member.length
        z = np.linspace(segment.start, segment.end, max(3, round(count * share) + 1))
        inner = [k.at for k in member.axis.kinks if segment.start < k.at < segment.end]
        z = np.union1d(z, inner)
        # A little inside, so that a jump at the joint belongs to its own segment.
        inside = np.clip(z, segment.start, segment.end - 1e-6 * member.length)
        actions = assessment.solution.at(inside).actions[:, combination]
        for outlines in _outlines(segment, assessment.request.sections):
            place = (z - segment.start) / (segment.end - segment.start)
            points = _blend(outlines, place)
            centre = np.array([segment.section_at(float(s)).shear_centre for s in z])
            stress = _stress(segment, assessment.request.sections, outlines, actions, place)
            found.append(Shell(carrier.carried(z, points, centre), stress))
    return found


def end_outlines(section: Section) -> list[list[Array]]:
    """Each region's contours as points (n, 2): the outline, then the holes."""
    step = _DEVIATION * section.size()
    return [[contour.polyline(step) for contour in r.contours] for r in section.regions]


def _outlines(segment: Segment, sections: Mapping[str, SolvedSection]) -> list[tuple[Array, ...]]:
    """Outlines (m, 2) of the regions at the start, and at the end of a taper."""
    first = _regions(sections[segment.section.name])
    if segment.section_end is None:
        return [(outline,) for outline in first]
    last = _regions(sections[segment.section_end.name])
    return [
        (_spread(a), _spread(b))
        for a, b in zip(first, last, strict=False)  # regions that end somewhere are left out
    ]


def _regions(section: SolvedSection) -> list[Array]:
    if section.result is None:
        return [_stand_in(section)]
    return [_cut(contours[0]) for contours in end_outlines(section.result.section)]


def _cut(outline: Array) -> Array:
    """The outline with its long edges cut: a painter's order needs faces of like size."""
    edges = np.roll(outline, -1, axis=0) - outline
    length = np.hypot(*edges.T)
    parts = np.maximum(1, np.ceil(length / length.sum() * _PIECES)).astype(int)
    of = np.repeat(np.arange(len(outline)), parts)
    step = np.arange(len(of)) - np.repeat(np.cumsum(parts) - parts, parts)
    return np.asarray(outline[of] + (step / parts[of])[:, None] * edges[of])


def _stand_in(section: SolvedSection) -> Array:
    """A rectangle of the same radii of gyration for a section known by its figures alone."""
    s = section.constants
    w, h = (np.sqrt(12 * i / s.area) / 2 for i in (s.second_moment_y, s.second_moment_x))
    x, y = s.centroid
    return np.array([[x - w, y - h], [x + w, y - h], [x + w, y + h], [x - w, y + h]])


def _spread(outline: Array) -> Array:
    """The outline by equal steps along it, from its point farthest right and up."""
    first = int(np.argmax(outline.sum(axis=1)))
    run = np.vstack([np.roll(outline, -first, axis=0), outline[first]])
    length = np.append(0.0, np.cumsum(np.hypot(*np.diff(run, axis=0).T)))
    at = np.linspace(0.0, length[-1], _MATCHED, endpoint=False)
    return np.stack([np.interp(at, length, run[:, k]) for k in (0, 1)], axis=1)


def _blend(outlines: tuple[Array, ...], share: Array) -> Array:
    first = np.broadcast_to(outlines[0], (len(share), *outlines[0].shape))
    if len(outlines) == 1:
        return first
    return first + share[:, None, None] * (outlines[1] - outlines[0])


def _stress(
    segment: Segment,
    sections: Mapping[str, SolvedSection],
    outlines: tuple[Array, ...],
    actions: Array,
    share: Array,
) -> Array | None:
    """(k, m) von Mises stress at the outline's points, interpolated between the ends of a taper."""
    ends = [segment.section, segment.section_end or segment.section]
    if any(sections[s.name].search is None for s in ends):
        return None
    first = _mises(sections[ends[0].name], outlines[0], actions)
    if len(outlines) == 1:
        return first
    last = _mises(sections[ends[1].name], outlines[1], actions)
    return first + share[:, None] * (last - first)


def _mises(section: SolvedSection, outline: Array, actions: Array) -> Array:
    from scipy.spatial import cKDTree

    search = section.search
    assert search is not None
    keep = search.outside.ravel()
    points = search.stations.points.reshape(-1, 2)[keep]
    _, near = cKDTree(points).query(outline)
    sigma = actions @ search.arrays.sigma.reshape(8, -1)[:, keep][:, near]
    tau = np.einsum("ka,amd->kmd", actions, search.arrays.tau.reshape(8, -1, 2)[:, keep][:, near])
    return np.asarray(np.sqrt(sigma**2 + 3 * (tau**2).sum(axis=-1)))
