"""What a cross-section is: regions of one material each, with holes, in one plane.

x to the right, y up, z along the member; a positive torque turns x toward y.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from .errors import GeometryError
from .joint import JointLine
from .material import Material
from .notebook_table import notebook_table
from .outline.contour import Contour
from .outline.placement import Placement
from .plain_record import plain_record


@dataclass(frozen=True, slots=True)
class Region:
    """One outline with its holes, filled with one material.

    Orientation is repaired silently: the outline is stored anticlockwise, holes clockwise.
    """

    outline: Contour
    holes: tuple[Contour, ...] = ()
    material: Material = Material()  # noqa: RUF009 - frozen, so one shared default is safe
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "outline", self.outline.oriented(True))
        object.__setattr__(self, "holes", tuple(h.oriented(False) for h in self.holes))

    @property
    def contours(self) -> tuple[Contour, ...]:
        """The outline (anticlockwise) and the holes (clockwise)."""
        return (self.outline, *self.holes)

    def area(self) -> float:
        """Area between outline and holes."""
        return sum(c.area() for c in self.contours)

    def placed(self, placement: Placement) -> Region:
        """The region's image under a placement."""
        return self.within([c.placed(placement) for c in self.contours])

    def within(self, contours: Sequence[Contour]) -> Region:
        """The same material within other contours: the outline, then the holes."""
        return replace(self, outline=contours[0], holes=tuple(contours[1:]))

    def __repr__(self) -> str:
        holes = f", {len(self.holes)} holes" if len(self.holes) > 1 else ", 1 hole"
        return (
            f"Region({self.name!r}, area {self.area():.6g}, {len(self.outline)} edges"
            f"{holes if self.holes else ''}, {self.material.name})"
        )


@dataclass(frozen=True, slots=True)
class Slit:
    """An open run of edges along which the material is separated, with zero width: an unwelded
    contact.

    `points` (n, 2) in order, `bulges` (n - 1) of the edges between them.
    """

    points: tuple[tuple[float, float], ...]
    bulges: tuple[float, ...] = ()
    name: str = ""

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise GeometryError(
                f"slit {self.name!r} needs two points at least, got {len(self.points)}"
            )
        if not self.bulges:
            object.__setattr__(self, "bulges", (0.0,) * (len(self.points) - 1))
        if len(self.bulges) != len(self.points) - 1:
            raise GeometryError(
                f"slit {self.name!r}: {len(self.points)} points need {len(self.points) - 1} "
                f"bulges, "
                f"got {len(self.bulges)}"
            )

    def placed(self, placement: Placement) -> Slit:
        """The slit's image under a placement."""
        sign = -1.0 if placement.mirrors else 1.0
        points = tuple((float(x), float(y)) for x, y in placement.apply(self.points))
        return replace(self, points=points, bulges=tuple(sign * b for b in self.bulges))


@dataclass(frozen=True, slots=True)
class Section:
    """A cross-section: regions that may share edges (then they are bonded) but do not overlap.

    Attributes
    ----------
    regions : tuple of Region
    name : str
    unit : str
        Length unit of the coordinates ("mm", "m", "in", "ft", ...); "" means any consistent unit.
    slits : tuple of Slit
        Lines along which touching material is not joined.
    notes : tuple of str
        What a reader or a shape wants said beside every result (a closed gap, a recognised arc).
    joints : tuple of JointLine
        Named lines, as the throats of welds, across which results give the shear flow.
    deviation : float
        Largest distance between borders and the drawn curves that their arcs follow; 0 where all
        borders are exact.
    """

    regions: tuple[Region, ...]
    name: str = "section"
    unit: str = ""
    slits: tuple[Slit, ...] = ()
    notes: tuple[str, ...] = field(default=())
    joints: tuple[JointLine, ...] = ()
    deviation: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "regions", tuple(self.regions))
        if not self.regions:
            raise GeometryError(f"section {self.name!r} has no region; give at least one outline")

    @classmethod
    def single(
        cls,
        outline: Contour,
        holes: Sequence[Contour] = (),
        *,
        material: Material | None = None,
        name: str = "section",
        unit: str = "",
    ) -> Section:
        """A section of one region."""
        region = Region(outline, tuple(holes), material or Material())
        return cls((region,), name, unit)

    def contours(self) -> Iterator[Contour]:
        """All contours of all regions, outlines anticlockwise and holes clockwise."""
        for r in self.regions:
            yield from r.contours

    def bounds(self) -> tuple[float, float, float, float]:
        """(xmin, ymin, xmax, ymax) over all outlines."""
        boxes = [r.outline.bounds() for r in self.regions]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    def size(self) -> float:
        """Diagonal of the bounding box: the length tolerances are relative to."""
        x0, y0, x1, y1 = self.bounds()
        return float(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)

    def placed(self, placement: Placement) -> Section:
        """The section's image under a placement; the unit keeps its name."""
        if placement.stays:
            return self
        return replace(
            self,
            regions=tuple(r.placed(placement) for r in self.regions),
            slits=tuple(s.placed(placement) for s in self.slits),
            joints=tuple(j.placed(placement) for j in self.joints),
            deviation=self.deviation * placement.stretch,
        )

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: every vertex, bulge and material; `format` tells the version."""
        return {"format": "soapfilm section outline 1", **plain_record(self)}

    def __repr__(self) -> str:
        size, area, count, materials = (value for _, _, value in self._facts())
        of = "region" if count == "1" else "regions"
        return f"Section({self.name!r}, {size}, area {area}, {count} {of} of {materials})"

    def _repr_html_(self) -> str:
        return notebook_table(self.name, self._facts())

    def _facts(self) -> list[tuple[str, str, str]]:
        """Words, symbol and value of what a reader wants to see first."""
        x0, y0, x1, y1 = self.bounds()
        unit, squared = (f" {self.unit}", f" {self.unit}^2") if self.unit else ("", "")
        materials = ", ".join(dict.fromkeys(r.material.name for r in self.regions))
        return [
            ("size", "", f"{x1 - x0:.6g} x {y1 - y0:.6g}{unit}"),
            ("area", "A", f"{sum(r.area() for r in self.regions):.6g}{squared}"),
            ("regions", "", str(len(self.regions))),
            ("material", "", materials),
        ]
