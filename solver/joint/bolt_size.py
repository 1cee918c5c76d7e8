"""Bolts by size and grade: areas, strengths, holes.

ISO metric coarse threads: tensile stress area pi/4 (d - 0.9382 P)^2 (ISO 898-1). Unified coarse
threads: pi/4 (d - 0.9743/n)^2 (ASME B1.1). Property classes by ISO 898-1: the first figure times
100 MPa is the nominal tensile strength, times the second over 10 the yield strength. ASTM F3125
grades A325 (120 ksi) and A490 (150 ksi); their yields, 92 and 130 ksi, are from memory. Holes:
normal clearance by EN 1090-2 Table 11, and standard holes by AISC 360-16 Table J3.3 (from memory).
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from types import MappingProxyType

from ...geometry.errors import InputError

#: Pitch of the coarse thread by diameter, both in mm.
_PITCH = MappingProxyType(
    {12: 1.75, 14: 2.0, 16: 2.0, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3.0, 27: 3.0, 30: 3.5, 33: 3.5,
     36: 4.0}
)  # fmt: skip
#: From the diameter to the mean of pitch and root diameter, in pitches: 0.9382 as printed.
_MEAN = 13 / 24 * math.sqrt(3)
#: Threads per inch of the coarse thread, by name; the diameter in inches follows.
_THREADS = MappingProxyType(
    {"1/2": (0.5, 13), "5/8": (0.625, 11), "3/4": (0.75, 10), "7/8": (0.875, 9), "1": (1.0, 8),
     "1 1/8": (1.125, 7), "1 1/4": (1.25, 7), "1 3/8": (1.375, 6), "1 1/2": (1.5, 6)}
)  # fmt: skip
_CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "10.9")
#: Tensile and yield strength in ksi.
_GRADES = MappingProxyType({"A325": (120.0, 92.0), "A490": (150.0, 130.0)})
_INCH = 25.4
_KSI = 6.894757293168361
#: Standard holes by AISC 360-16 Table J3.3 above the diameter, in inches.
_ABOVE = ((1.0, 1 / 16), (math.inf, 1 / 8))

GRADES = (*_CLASSES, *_GRADES)
SIZES = (*(f"M{d}" for d in _PITCH), *(f"{name} in" for name in _THREADS))


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt; lengths in mm, strengths in MPa.

    Attributes
    ----------
    size, grade : str
    diameter : float
    stress_area : float
        Tensile stress area (mm^2).
    tensile, yield_strength : float
        Nominal.
    hole : float
        Diameter of the usual hole.
    """

    size: str
    grade: str
    diameter: float
    stress_area: float
    tensile: float
    yield_strength: float
    hole: float


def bolt_of(size: str, grade: str) -> Bolt:
    """The bolt of a size like "M20" or "3/4 in" and a grade like "8.8" or "A325".

    Raises
    ------
    InputError
        For one that is not in the tables; the nearest is offered.

    Examples
    --------
    >>> round(bolt_of("M20", "8.8").stress_area), bolt_of("M20", "8.8").hole
    (245, 22.0)
    """
    diameter, area, hole = _size(size)
    tensile, strength = strengths(grade)
    return Bolt(_tidy(size), grade.strip(), diameter, area, tensile, strength, hole)


def strengths(grade: str) -> tuple[float, float]:
    """Nominal tensile and yield strength (MPa) of a grade."""
    name = grade.strip()
    if name in _CLASSES:
        first, second = name.split(".")
        return 100.0 * int(first), 10.0 * int(first) * int(second)
    if name.upper() in _GRADES:
        ultimate, start = _GRADES[name.upper()]
        return ultimate * _KSI, start * _KSI
    raise InputError(f"bolt grade {grade[:40]!r} is not known; {_nearest(name, GRADES)}")


def _size(size: str) -> tuple[float, float, float]:
    name = _tidy(size)
    if name.startswith("M") and name[1:].isdigit() and int(name[1:]) in _PITCH:
        d = float(name[1:])
        area = math.pi / 4 * (d - _MEAN * _PITCH[int(d)]) ** 2
        return d, area, d + (1.0 if d <= 14 else 2.0 if d <= 24 else 3.0)
    if name.removesuffix(" in") in _THREADS:
        inches, threads = _THREADS[name.removesuffix(" in")]
        area = math.pi / 4 * (inches - 0.9743 / threads) ** 2 * _INCH**2
        above = next(more for last, more in _ABOVE if inches < last)
        return inches * _INCH, area, (inches + above) * _INCH
    raise InputError(f"bolt size {size[:40]!r} is not known; {_nearest(name, SIZES)}")


def _tidy(size: str) -> str:
    text = re.sub(r"\s+", " ", size.strip()).replace('"', " in").replace("  ", " ")
    return text.upper() if text[:1] in "mM" else text


def _nearest(name: str, known: tuple[str, ...]) -> str:
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.3)
    return f"did you mean {near[0]!r}?" if near else f"known are {', '.join(known)}"
