"""Tendons that leave the material of the member: where, and what that means."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.polygons import region_polygons
from ....geometry.outline.tapering import intermediate, matches
from ....geometry.section import Section
from ..model.member import Member, Segment
from ..model.tendon_path import TendonRun, tendon_runs

if TYPE_CHECKING:
    from shapely import Polygon

Array = NDArray[np.float64]
Shape = tuple[Section, "list[Polygon]"]
"""An outline and the polygons of its regions."""

#: Stations of a run that are looked at.
_STATIONS = 41
#: Chords of arcs leave the outline by this share of its size; nearer to it a tendon lies on it.
_CHORDS, _ON = 1e-4, 1e-3


def off_course(member: Member, unit: str) -> Iterator[str]:
    """One sentence for each stretch of a tendon outside the material."""
    shapes: dict[int, Shape] = {}
    for tendon in member.tendons:
        for run in tendon_runs(tendon, member):
            z = np.linspace(run.start, run.end, _STATIONS)
            out = np.array([not _inside(member, run, float(s), shapes) for s in z])
            for a, b in _stretches(out):
                x, y = run.line(z[[(a + b) // 2]])[0][0] + np.asarray(member.line)
                x, y = (0.0 if abs(v) < 1e-9 * member.length else float(v) for v in (x, y))
                where = (
                    f"at {z[a]:.4g} {unit}" if a == b else f"from {z[a]:.4g} to {z[b]:.4g} {unit}"
                )
                yield (
                    f"{tendon.title} runs outside the material {where}, at ({x:.4g}, {y:.4g}) "
                    "halfway; if it is an external one, its runs are straight between anchors and "
                    "deviators in the material"
                )


def _stretches(out: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], out.astype(int), [0]])))
    for a, b in edges.reshape(-1, 2):
        yield int(a), int(b) - 1


def _inside(member: Member, run: TendonRun, z: float, shapes: dict[int, Shape]) -> bool:
    """Whether a tendon lies in the material at a station; where the outline is not known, yes.
    `shapes` holds what is known by the outlines' identity."""
    from shapely import Point

    nudge = 1e-9 * member.length
    segment = member.segment_at(min(max(z, run.start + nudge), run.end - nudge))
    outline = _outline(segment, z)
    if outline is None:
        return True
    x, y = run.line(np.array([z]))[0][0] + np.asarray(member.line)
    size = outline.size()
    if id(outline) not in shapes:
        shapes[id(outline)] = outline, region_polygons(outline, _CHORDS * size)
    point = Point(float(x), float(y))
    return any(polygon.distance(point) <= _ON * size for polygon in shapes[id(outline)][1])


def _outline(segment: Segment, z: float) -> Section | None:
    first = segment.section.outline
    if segment.section_end is None or first is None:
        return first
    last = segment.section_end.outline
    if last is None or not matches(first, last):
        return None
    share = (z - segment.start) / (segment.end - segment.start)
    return intermediate(first, last, min(max(share, 0.0), 1.0), "between")
