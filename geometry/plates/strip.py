"""A strip: the two faces of a plate and its end cuts, ready to be lengthened, cut and outlined."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..outline.contour import Contour
from .carrier import Edge, meeting_points
from .path import Path, place

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """The material between a left and a right face that run the same way.

    Attributes
    ----------
    line, left, right : Path
        The line the plate follows and its faces, from the first point to the last.
    ring : bool
        True when the faces return to their starts: two closed contours.
    seam : bool
        True for a ring whose ends touch but are not joined.
    start_cap, end_cap : Path, optional
        End cuts that are not straight: from the left face to the right at the start, from the right
        face to the left at the end.
    """

    line: Path
    left: Path
    right: Path
    ring: bool = False
    seam: bool = False
    start_cap: Path | None = None
    end_cap: Path | None = None

    def reversed(self) -> Strip:
        """The same strip run the other way."""
        return Strip(
            self.line.reversed(), self.right.reversed(), self.left.reversed(), self.ring, self.seam,
            self.end_cap, self.start_cap,
        )  # fmt: skip

    def contours(self) -> tuple[Contour, ...]:
        """The outline, and the hole of a ring."""
        if self.ring:
            loops = [Contour(face.points[:-1], face.bulges) for face in (self.left, self.right)]
            loops.sort(key=lambda c: -abs(c.area()))
            return tuple(loops)
        parts = [
            self.right,
            self.end_cap or Path([self.right.points[-1], self.left.points[-1]]),
            self.left.reversed(),
            self.start_cap or Path([self.left.points[0], self.right.points[0]]),
        ]
        points = np.vstack([part.points[:-1] for part in parts])
        return (Contour(points, np.concatenate([part.bulges for part in parts])),)

    def seam_line(self) -> Path:
        """The cut between the unjoined ends of a ring."""
        return Path([self.left.points[0], self.right.points[0]])

    def end_direction(self) -> Array:
        """Unit vector in which the line leaves the strip at its last point."""
        direction: Array = self.line.directions()[1][-1]
        return direction

    def thickness_at_end(self) -> float:
        """Distance between the faces' last points."""
        return float(np.hypot(*(self.left.points[-1] - self.right.points[-1])))

    def holds(self, point: Array, foot: Array, normal: Array, tolerance: float) -> bool:
        """Whether a point with this foot on the line (left normal there) is in the material."""
        if min(_distance(face, point) for face in (self.left, self.right)) <= tolerance:
            return True
        face = self.left if (point - foot) @ normal > 0 else self.right
        # Between the line and a face the point's and the foot's distances from that face shrink
        # together.
        return bool(np.hypot(*(point - foot)) < _distance(face, foot))

    def cut_by(self, face: Path, end: Array) -> Strip:
        """The strip with its last end shaped to another plate's face.

        Both faces are lengthened or cut back along their own line or circle to where they cross
        `face`, at the crossing nearest to `end`; the end cap is the stretch of `face` between the
        two crossings.

        Raises
        ------
        GeometryError
            When a face misses the other plate or the cut would take away its whole last segment.
        """
        left, on_left = _trimmed(self.left, face, end)
        right, on_right = _trimmed(self.right, face, end)
        cap = _between(face, on_right, on_left)
        if cap is not None:
            points = cap.points.copy()
            points[0], points[-1] = right.points[-1], left.points[-1]  # to the last bit
            cap = Path(points, cap.bulges)
        return replace(self, left=left, right=right, end_cap=cap)

    def ended_at(self, left_end: Edge, right_end: Edge) -> Strip:
        """The strip whose faces' last edges are replaced."""
        return replace(
            self, left=_with_last(self.left, left_end), right=_with_last(self.right, right_end)
        )


def lengthened(path: Path, start: float, end: float) -> Path:
    """The path with straight tangents added at its two ends."""
    first, last = path.directions()
    points, bulges = path.points.copy(), path.bulges
    # A straight edge is moved, so that no vertex stays in the middle of a face; an arc gets a
    # tangent.
    if start > 0 and bulges[0] == 0.0:
        points[0] = points[0] - start * first[0]
    elif start > 0:
        points = np.vstack([points[:1] - start * first[0], points])
        bulges = np.concatenate([[0.0], bulges])
    if end > 0 and bulges[-1] == 0.0:
        points[-1] = points[-1] + end * last[-1]
    elif end > 0:
        points = np.vstack([points, points[-1:] + end * last[-1]])
        bulges = np.concatenate([bulges, [0.0]])
    return Path(points, bulges)


def _between(face: Path, start: float, end: float) -> Path | None:
    """The stretch of a face between two distances along it, the shorter one of a ring."""
    if start == end:
        return None
    low, high = sorted((start, end))
    if face.returns and high - low > face.length / 2:
        pieces = [face.part(high, face.length)] if high < face.length else []
        pieces += [face.part(0.0, low)] if low > 0 else []
        points = [pieces[0].points, *(piece.points[1:] for piece in pieces[1:])]
        stretch = Path(np.vstack(points), np.concatenate([piece.bulges for piece in pieces]))
        return stretch if start > end else stretch.reversed()
    stretch = face.part(low, high)
    return stretch if start < end else stretch.reversed()


def _with_last(path: Path, edge: Edge) -> Path:
    points, bulges = path.points.copy(), path.bulges.copy()
    points[-1], bulges[-1] = edge.end, edge.bulge
    return Path(points, bulges)


def _trimmed(path: Path, face: Path, end: Array) -> tuple[Path, float]:
    """A face brought to its crossing with another nearest to `end`, and the distance along it.

    A straight last edge is lengthened or cut back; an arc is cut back, or goes on along its
    tangent.
    """
    last = Edge.of(path, -1)
    found = _crossings(last, face, longest=np.inf if last.bulge == 0.0 else 1.0)
    if not found and last.bulge != 0.0:
        path = lengthened(path, 0.0, path.edge_lengths[-1])
        last = Edge.of(path, -1)
        found = _crossings(last, face, longest=np.inf)
    if not found:
        raise GeometryError(
            f"its end at {place(end)} does not meet the face of the plate it touches there; end it "
            "on that plate's line, or give the last segment a length that reaches it"
        )
    point, along = min(found, key=lambda f: float(np.hypot(*(f[0] - end))))
    return _with_last(path, last.moved(last.start, point)), along


def _crossings(last: Edge, face: Path, longest: float) -> list[tuple[Array, float]]:
    """Places where an edge, up to `longest` of itself, crosses a face, and how far along that."""
    reached = np.concatenate([[0.0], np.cumsum(face.edge_lengths)])
    found = []
    for k in range(len(face)):
        edge = Edge.of(face, k)
        for point in meeting_points(last, edge):
            fraction = edge.fraction(point)
            if -1e-9 <= fraction <= 1 + 1e-9 and 1e-9 < last.fraction(point) <= longest + 1e-9:
                along = reached[k] + float(np.clip(fraction, 0, 1)) * face.edge_lengths[k]
                found.append((point, float(along)))
    return found


def _distance(path: Path, point: Array) -> float:
    """Distance of a point from a path."""
    feet = [Edge.of(path, k).nearest(point)[0] for k in range(len(path))]
    return min(float(np.hypot(*(foot - point))) for foot in feet)
