"""Places that a section's own shape names: its faces, its web, heights below its top.

A place by coordinates stays where it is when the section is exchanged for a deeper one; one by a
face follows it.

- "left", "right", "top", "bottom": the sides of the box around the section; the left face is the
  plane that touches the section from the left, whatever stands behind it.
- "web": the middle of the wall that a horizontal line at that height crosses, of the inner one of
  three; "left web" and "right web" are the first and the last of several; each has a left and a
  right face.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ....geometry.outline.contour import arc_extremes

if TYPE_CHECKING:
    from ....geometry.section import Section

Array = NDArray[np.float64]

#: A wall wider than this share of the section is no web: the line runs along a flange, or through
#: a solid section.
WIDEST = 0.5

#: Chords of arcs leave the outline by at most this share of its size.
_CHORD = 1e-6

Reference = Literal["top", "bottom", "middle", "shear_centre", "centroid"]


@dataclass(frozen=True, slots=True)
class Height:
    """A height of the section: `up` from a reference."""

    reference: Reference
    up: float = 0.0


@dataclass(frozen=True, slots=True)
class Face:
    """A place on a face.

    Attributes
    ----------
    kind : str
        "left", "right", "top", "bottom"; "web", "left web", "right web", and each with " left face"
        or " right face" for its surface.
    height : Height
        On a vertical face.
    across : float or None
        On the top or the bottom: from the middle of the box to +x where `side` is "middle", from
        its left or right edge inward; None is the middle of the material there.
    side : "middle", "left" or "right"
    words : str
        As the user wrote it.
    """

    kind: str
    height: Height = Height("middle")
    across: float | None = None
    side: Literal["middle", "left", "right"] = "middle"
    words: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Faces:
    """The faces of one outline.

    Attributes
    ----------
    box : (x0, y0, x1, y1)
    chords : (n, 2, 2)
        Its edges, arcs in short chords, material on their left.
    name : str
        Of the section, for messages.
    """

    box: tuple[float, float, float, float]
    chords: Array
    name: str = "section"

    @classmethod
    def of(cls, section: Section) -> Faces:
        """Faces of a section's outline."""
        size = section.size()
        rings = [contour.polyline(_CHORD * size) for contour in section.contours()]
        chords = [np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings]
        # Where an arc touches the box no chord need end: its extremes are chords without length.
        for contour in section.contours():
            extremes = arc_extremes(contour.points, contour.ends, contour.bulges).reshape(-1, 2)
            chords.append(np.stack([extremes, extremes], axis=1))
        return cls(section.bounds(), np.concatenate(chords), section.name)

    def height(self, height: Height, centres: dict[str, float]) -> float:
        """y of a height; `centres` are those of the shear centre and the centroid."""
        _, low, _, high = self.box
        ends = {"top": high, "bottom": low, "middle": (low + high) / 2, **centres}
        return ends[height.reference] + height.up

    def point(self, face: Face, centres: dict[str, float]) -> tuple[float, float]:
        """(x, y) of a place on a face.

        Raises
        ------
        InputError
            For a web that the section has not, or a height outside it.
        """
        x0, y0, x1, y1 = self.box
        if face.kind in ("top", "bottom"):
            y = y1 if face.kind == "top" else y0
            return self._across(face, y), y
        y = self.height(face.height, centres)
        if not y0 <= y <= y1:
            raise InputError(
                f"{face.words!r} lies outside section {self.name!r}, which is {y1 - y0:.6g} deep"
            )
        if face.kind in ("left", "right"):
            return (x0 if face.kind == "left" else x1), y
        return self._web(face, y), y

    def _across(self, face: Face, y: float) -> float:
        x0, y0, x1, y1 = self.box
        if face.across is not None:
            base = {"left": x0, "right": x1, "middle": (x0 + x1) / 2}[face.side]
            x = base + (-face.across if face.side == "right" else face.across)
            if not x0 <= x <= x1:
                raise InputError(
                    f"{face.words!r} lies outside section {self.name!r}, which is "
                    f"{x1 - x0:.6g} wide"
                )
            return x
        near = np.abs(self.chords[..., 1] - y) <= 1e-9 * (y1 - y0)
        touching = self.chords[..., 0][near]
        return float((touching.min() + touching.max()) / 2)

    def _web(self, face: Face, y: float) -> float:
        walls = self.walls(y)
        x0, _, x1, _ = self.box
        which, _, surface = face.kind.partition("web")
        which, surface = which.strip(), surface.strip()
        if not walls or max(b - a for a, b in walls) > WIDEST * (x1 - x0):
            raise InputError(
                f"section {self.name!r} has no web at {face.words!r}: at that height its material "
                "runs across most of its width; take another height, or the left or right face"
            )
        if len(walls) % 2 == 0 and not which:
            raise InputError(
                f"section {self.name!r} has {len(walls)} walls at {face.words!r}; write "
                '"left web" or "right web"'
            )
        a, b = walls[{"left": 0, "right": -1}.get(which, len(walls) // 2)]
        return {"": (a + b) / 2, "left face": a, "right face": b}[surface]

    def walls(self, y: float) -> list[tuple[float, float]]:
        """(start, end) in x of the material along a horizontal line."""
        _, low, _, high = self.box
        # Off the vertices: a line just inside tells the same walls.
        y = float(np.clip(y, low, high)) + 1e-7 * (high - low) * (1 if y < (low + high) / 2 else -1)
        (a_x, a_y), (b_x, b_y) = (self.chords[:, k].T for k in (0, 1))
        on = (a_y <= y) != (b_y <= y)
        x = a_x[on] + (y - a_y[on]) / (b_y[on] - a_y[on]) * (b_x[on] - a_x[on])
        # Material lies on the left of every edge: one that runs down opens it, one up closes it.
        opens = b_y[on] < a_y[on]
        found: list[tuple[float, float]] = []
        depth, start = 0, 0.0
        for at, more in sorted(zip(x.tolist(), opens.tolist(), strict=True), key=_first):
            depth += 1 if more else -1
            if more and depth == 1:
                start = at
            elif not more and depth == 0:
                found.append((start, at))
        return _joined(found, 1e-6 * (self.box[2] - self.box[0]))


def _first(item: tuple[float, bool]) -> float:
    return item[0]


def _joined(walls: list[tuple[float, float]], gap: float) -> list[tuple[float, float]]:
    """Walls of touching regions as one."""
    found: list[tuple[float, float]] = []
    for a, b in walls:
        if found and a - found[-1][1] <= gap:
            found[-1] = (found[-1][0], max(b, found[-1][1]))
        else:
            found.append((a, b))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class BlendedFaces:
    """Faces of a section between two others, `share` of the way."""

    first: Faces | BlendedFaces
    last: Faces | BlendedFaces
    share: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """As `Faces.box`."""
        a, b, c, d = (
            (1 - self.share) * p + self.share * q
            for p, q in zip(self.first.box, self.last.box, strict=True)
        )
        return (a, b, c, d)

    def height(self, height: Height, centres: dict[str, float]) -> float:
        """As `Faces.height`."""
        a, b = self.first.height(height, centres), self.last.height(height, centres)
        return (1 - self.share) * a + self.share * b

    def point(self, face: Face, centres: dict[str, float]) -> tuple[float, float]:
        """As `Faces.point`."""
        a, b = self.first.point(face, centres), self.last.point(face, centres)
        x, y = ((1 - self.share) * p + self.share * q for p, q in zip(a, b, strict=True))
        return (x, y)
