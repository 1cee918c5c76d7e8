"""Sections of rectangular plates whose buckling is compared: sharp corners, steel, mm."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import box
from shapely.ops import unary_union
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section

STEEL = Material("steel", 210_000.0, 0.3)
#: x0, y0, x1, y1.
Plate = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Case:
    """A section, the strains of its actions (mean, by x, by y; compression negative), and the
    half-wavelengths at which it is solved in 3D.

    The stress is E (mean + x by_x + y by_y) in the axes of the plates.
    """

    name: str
    plates: tuple[Plate, ...]
    strain: tuple[float, float, float]
    half_wavelengths: tuple[float, ...]

    def section(self) -> Section:
        """The union of the plates."""
        whole = unary_union([box(*plate) for plate in self.plates])
        holes = [Contour(list(ring.coords)[:-1]) for ring in whole.interiors]
        outline = Contour(list(whole.exterior.coords)[:-1])
        return Section.single(outline, holes, material=STEEL, name=self.name, unit="mm")


def _lipped(h: float, b: float, lip: float, t: float, *, z: bool) -> tuple[Plate, ...]:
    """Outer depth and width, lips at right angles; the upper flange to the right."""
    side = ((-b + t, t), (-b + t, -b + 2 * t)) if z else ((0.0, b), (b - t, b))
    (low_flange, low_lip) = side
    return (
        (0.0, 0.0, t, h),
        (0.0, h - t, b, h),
        (b - t, h - lip, b, h),
        (low_flange[0], 0.0, low_flange[1], t),
        (low_lip[0], 0.0, low_lip[1], lip),
    )


COMPRESSION = (-1.0, 0.0, 0.0)
CASES = (
    Case(
        "lipped channel 101x51x5.5x1", _lipped(101, 51, 5.5, 1, z=False), COMPRESSION,
        (81.8, 270.5),
    ),
    Case(
        "lipped channel 202x77x21x2", _lipped(202, 77, 21, 2, z=False), COMPRESSION,
        (154.8, 701.0),
    ),
    Case("lipped Z 202x76x21x2", _lipped(202, 76, 21, 2, z=True), COMPRESSION, (154.8, 682.4)),
    Case(
        "plain channel 104x42x4",
        ((0.0, 0.0, 4.0, 104.0), (0.0, 0.0, 42.0, 4.0), (0.0, 100.0, 42.0, 104.0)),
        COMPRESSION,
        (119.1,),
    ),
    Case(
        "square tube 200x4",
        (
            (0.0, 0.0, 200.0, 4.0), (0.0, 196.0, 200.0, 200.0),
            (0.0, 0.0, 4.0, 200.0), (196.0, 0.0, 200.0, 200.0),
        ),
        COMPRESSION,
        (195.8,),
    ),
    Case(
        "I 300x160x8x5 in bending",
        ((-80.0, 0.0, 80.0, 8.0), (-80.0, 292.0, 80.0, 300.0), (-2.5, 0.0, 2.5, 300.0)),
        (150.0, 0.0, -1.0),
        (323.1, 3000.0),
    ),
    Case(
        "monosymmetric I 400 deep in bending",
        ((-100.0, 388.0, 100.0, 400.0), (-50.0, 0.0, 50.0, 8.0), (-3.0, 0.0, 3.0, 400.0)),
        (240.0, 0.0, -1.0),
        (447.0, 4000.0),
    ),
    Case(
        "unequal I 300 deep in compression",
        ((-80.0, 292.0, 80.0, 300.0), (-45.0, 0.0, 45.0, 8.0), (-2.5, 0.0, 2.5, 300.0)),
        COMPRESSION,
        (215.0,),
    ),
    Case(
        "unequal I 300 deep, narrow flange pressed",
        ((-80.0, 294.0, 80.0, 300.0), (-45.0, 0.0, 45.0, 8.0), (-3.0, 0.0, 3.0, 300.0)),
        (-180.0, 0.0, 1.0),
        (240.0,),
    ),
    Case(
        "angle 80x60x3",
        ((0.0, 0.0, 3.0, 80.0), (0.0, 0.0, 60.0, 3.0)),
        COMPRESSION,
        (300.0, 1500.0),
    ),
    Case(
        "hat 120x80x1.5 with a rib",
        (
            (-60.0, 78.5, 60.0, 80.0), (-60.0, 0.0, -58.5, 80.0), (58.5, 0.0, 60.0, 80.0),
            (-90.0, 0.0, -58.5, 1.5), (58.5, 0.0, 90.0, 1.5), (-0.75, 66.0, 0.75, 80.0),
        ),
        COMPRESSION,
        (78.4,),
    ),
)  # fmt: skip
