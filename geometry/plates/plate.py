"""A plate: the line it follows and its thickness; its outline is exact."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..material import Material
from .bend import bent_path
from .offset import offset_path
from .path import Path, place
from .strip import Strip

Array = NDArray[np.float64]

#: Which line of the plate its points describe: share of the thickness to the left and to the right
#: of it.
LINES = {"centre": (0.5, 0.5), "left": (0.0, 1.0), "right": (1.0, 0.0)}
CORNERS = ("lap", "mitre")
#: Segments shorter than this part of the thickness, and thicknesses below this part of the line,
#: are slips of the keyboard; products of such lengths would lose their digits.
_SLIP = 1e-6
#: Lengths whose products stay far from underflow and overflow.
_SMALLEST, _LARGEST = 1e-50, 1e50


@dataclass(frozen=True, slots=True)
class Plate:
    """A plate (or a cold-formed strip) seen in section.

    Attributes
    ----------
    name : str
        Welds call the plate by this name.
    points : tuple of (x, y)
        The line it follows.
    thickness : float
    bulges : tuple of float
        One an edge (0 straight, see `contour`), the closing edge included when `closed`; empty: all
        straight.
    end_thickness : float, optional
        Thickness at the last point of a tapered plate, linear along the line from `thickness` at
        the first.
    closed : bool
        True: the line returns to its first point and the plate is one ring without a seam. An open
        line whose last point repeats the first is a ring with an unjoined seam there, mitred; weld
        the plate to itself.
    bend_radius : float, optional
        Inner radius of the plate's own corners; left out: they are sharp on both faces (mitred).
    line : str
        "centre", "left" or "right": which line of the plate the points describe (faces as seen
        along it).
    corner : str
        How this plate's end meets the end of one listed before it: "lap" (the earlier runs through
        to the outer face) or "mitre" (both are cut along the line through the inner and the outer
        corner).
    material : Material
    """

    name: str
    points: tuple[tuple[float, float], ...]
    thickness: float
    bulges: tuple[float, ...] = ()
    end_thickness: float | None = None
    closed: bool = False
    bend_radius: float | None = None
    line: str = "centre"
    corner: str = "lap"
    material: Material = field(default_factory=Material)

    def __post_init__(self) -> None:
        if not self.name:
            raise GeometryError("every plate needs a name, for welds and results to call it by")
        for word, value in (("thickness", self.thickness), ("end thickness", self.end_thickness)):
            if value is not None and not _SMALLEST < value < _LARGEST:
                raise GeometryError(
                    f"plate {self.name!r}: {word} must be positive, of a size to build, got {value}"
                )
        if self.bend_radius is not None and not 0 <= self.bend_radius < np.inf:
            raise GeometryError(
                f"plate {self.name!r}: the bend radius is that of the inner face, 0 or more, "
                f"got {self.bend_radius}"
            )
        if self.line not in LINES:
            raise GeometryError(
                f"plate {self.name!r}: line is one of {', '.join(LINES)}, got {self.line!r}"
            )
        if self.corner not in CORNERS:
            raise GeometryError(
                f"plate {self.name!r}: corner is one of {', '.join(CORNERS)}, got {self.corner!r}"
            )

    @property
    def tapered(self) -> bool:
        """True when the two ends differ in thickness."""
        return self.end_thickness is not None and self.end_thickness != self.thickness

    def strip(self) -> Strip:
        """The plate's two faces and ends, before it meets other plates.

        Raises
        ------
        GeometryError
            Naming the plate, when its line cannot carry this thickness.
        """
        try:
            return self._strip()
        except GeometryError as error:
            raise GeometryError(f"plate {self.name!r}: {error}") from error

    def _strip(self) -> Strip:
        points, bulges = list(self.points), list(self.bulges) or None
        if self.closed and len(points) > 1:
            if tuple(points[0]) == tuple(points[-1]):
                raise GeometryError(
                    "a closed line does not repeat its first point; drop the last one"
                )
            points.append(points[0])
        line = Path(points, bulges)
        self._check_proportions(line)
        ring = self.closed or line.returns
        share_left, share_right = LINES[self.line]
        if self.tapered:
            if ring or line.bulges.any() or self.bend_radius is not None:
                raise GeometryError(
                    "a tapered plate follows straight open lines without bends; split it into a "
                    "straight "
                    "tapered plate and bent ones of constant thickness"
                )
        elif self.bend_radius is not None:
            left, right = share_left * self.thickness, share_right * self.thickness
            line = bent_path(line, self.bend_radius, left, right, closed=self.closed)
        t = self._thickness_along(line)
        faces = (
            offset_path(line, share_left * t, closed=ring),
            offset_path(line, -share_right * t, closed=ring),
        )
        return Strip(line, *faces, ring=ring, seam=ring and not self.closed)

    def _check_proportions(self, line: Path) -> None:
        thick = max(self.thickness, self.end_thickness or 0.0)
        thin = min(self.thickness, self.end_thickness or np.inf)
        k = int(np.argmin(line.edge_lengths))
        if line.edge_lengths[k] < _SLIP * thick:
            raise GeometryError(
                f"points {k + 1} and {k + 2} of the line, at {place(line.points[k])}, are closer "
                "than a millionth of the thickness; drop one"
            )
        if not line.length < thin / _SLIP:
            raise GeometryError(
                f"its thickness {thin:.3g} vanishes beside its length {line.length:.3g}; "
                "check the numbers and the unit"
            )

    def _thickness_along(self, line: Path) -> Array:
        """(n,) thickness at the vertices of the line."""
        reached = np.concatenate([[0.0], np.cumsum(line.edge_lengths)])
        last = self.thickness if self.end_thickness is None else self.end_thickness
        return np.asarray(self.thickness + (last - self.thickness) * reached / reached[-1])
