"""Finding rolled shapes: by designation, or by what they should be like."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import lru_cache

from ..errors import InputError
from ..material import Material
from ..section import Section
from ..units import Units
from .designation import Key, designation_key
from .family import FAMILIES, ShapeFamily
from .table import Row, table_rows

#: A pound per foot in kilograms per metre: 0.45359237 / 0.3048.
POUND_PER_FOOT = 0.45359237 / 0.3048
#: Nearest matches that an error offers.
_OFFERED = 4
Range = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True, eq=False)
class Listing:
    """One rolled shape as its table has it, in powers of the family's length unit.

    Attributes
    ----------
    designation : str
    family : ShapeFamily
    dimensions : mapping of str to float
        The table's row.
    depth, width : float
    weight : float
        Mass per length, lb/ft for inches and kg/m for millimetres: the table's, or area times that
        of steel.
    area, second_moment_x, second_moment_y : float
        As tabulated; the second moments None where the table has none.
    torsion_constant, warping_constant : float or None
        As tabulated, for comparison with the solved values.
    """

    designation: str
    family: ShapeFamily
    dimensions: Row
    depth: float
    width: float
    weight: float
    area: float
    second_moment_x: float | None
    second_moment_y: float | None
    torsion_constant: float | None
    warping_constant: float | None

    @property
    def unit(self) -> str:
        """Length unit."""
        return self.family.unit

    def section(self, material: Material | None = None) -> Section:
        """The shape's outline as a section, named by its designation."""
        profile = self.family.build(self.dimensions)
        return profile.section(material=material, name=self.designation, unit=self.unit)


def listing(designation: str) -> Listing:
    """The catalogue's entry for a designation.

    Parameters
    ----------
    designation : str
        Any case, with or without blanks, fractions or decimals (see `designation`).

    Raises
    ------
    InputError
        With the nearest designations, when there is none of this name.
    """
    key = designation_key(designation)
    found = _index().get(key) if key else None
    if found is None:
        shown = designation if len(designation) <= 40 else designation[:37] + "..."
        near = nearest(designation)
        hint = f"did you mean {', '.join(near)}?" if near else f"families are {', '.join(FAMILIES)}"
        raise InputError(f"shape {shown!r} is not in the catalogue; {hint}")
    return found


def shape(designation: str, material: Material | None = None) -> Section:
    """The section of a rolled shape: inches for American, millimetres for European designations.

    Raises
    ------
    InputError
        With the nearest designations, when there is none of this name.

    Examples
    --------
    >>> section = shape("w 10 x 49")
    >>> section.name, section.unit
    ('W10X49', 'in')
    """
    return listing(designation).section(material)


def nearest(designation: str) -> list[str]:
    """Designations most like a misspelt one: of the same letters the nearest numbers, else alike
    in spelling."""
    key = designation_key(designation)
    if key is not None:
        same = [k for k in _index() if k[0] == key[0]]
        if key[2] in {k[2] for k in same}:  # else a letter was typed for a digit
            same.sort(key=lambda k: _distance(k, key))
            return [_index()[k].designation for k in same[:_OFFERED]]
    plain = "".join(designation[:60].upper().split())
    names = {entry.designation: None for entry in _index().values()}
    return difflib.get_close_matches(plain, names, n=_OFFERED, cutoff=0.6)


def search(
    family: str | None = None,
    *,
    depth: Range = (None, None),
    torsion_constant: Range = (None, None),
    weight: Range = (None, None),
    unit: str = "in",
) -> list[Listing]:
    """Shapes whose tabulated values lie in all given ranges, lightest first.

    Parameters
    ----------
    family : str, optional
        Name of a family, any case; left out: all.
    depth, torsion_constant, weight : (low, high)
        Bounds included, None for open. Depth in `unit`, J in its fourth power, weight in lb/ft when
        `unit` is in or ft, else kg/m. Shapes whose table has no J are left out when J is bounded.
    unit : str
        Length unit of the bounds.

    Raises
    ------
    InputError
        For an unknown family.
    """
    units = Units(unit)
    chosen = None if family is None else _family(family)
    mass = 1.0 if units.metric else 1 / POUND_PER_FOOT
    found = []
    for entry in _index().values():
        if chosen is not None and entry.family is not chosen:
            continue
        length = Units(entry.unit).factor("length", unit)
        own = mass * (1.0 if entry.unit == "mm" else POUND_PER_FOOT)
        j = entry.torsion_constant
        if (
            _within(entry.depth * length, depth)
            and _within(entry.weight * own, weight)
            and _within(None if j is None else j * length**4, torsion_constant)
        ):
            found.append((entry.weight * own, entry))
    return [entry for _, entry in sorted(found, key=lambda pair: pair[0])]


def _within(value: float | None, bounds: Range) -> bool:
    low, high = bounds
    if value is None:
        return low is None and high is None
    return (low is None or value >= low) and (high is None or value <= high)


def _family(name: str) -> ShapeFamily:
    known = {_plain(key): family for key, family in FAMILIES.items()}
    if _plain(name) not in known:
        near = difflib.get_close_matches(_plain(name), known, n=3)
        offered = ", ".join(known[word].name for word in near) or ", ".join(FAMILIES)
        raise InputError(f"shape family {name[:40]!r} is not known; use {offered}")
    return known[_plain(name)]


def _plain(text: str) -> str:
    return "".join(text.split()).upper()


def _distance(known: Key, asked: Key) -> tuple[bool, bool, bool, float]:
    """Order of likeness: the first number right, as many numbers, the same ending, numbers near."""
    pairs = zip(known[1], asked[1], strict=False)
    gap = sum(abs(a - b) / max(a, b, 1e-9) for a, b in pairs)
    other_size = known[1][0] != asked[1][0]
    return other_size, len(known[1]) != len(asked[1]), known[2] != asked[2], gap


@lru_cache(maxsize=1)
def _index() -> dict[Key, Listing]:
    """Every listing under its designation's key, in the families' order."""
    index = {}
    for family in FAMILIES.values():
        for designation, row in table_rows(family.table):
            key = designation_key(designation)
            if key is None or key in index:
                raise AssertionError(f"catalogue table {family.table}: {designation}")
            index[key] = _entry(designation, family, row)
    return index


def _entry(designation: str, family: ShapeFamily, row: Row) -> Listing:
    scale = family.scale
    area = row["area" if family.unit == "in" else "A"] * scale["A"]

    def value(column: str, kind: str) -> float | None:
        return row[column] * scale[kind] if column in row else None

    return Listing(
        designation,
        family,
        row,
        row[family.depth],
        row[family.width],
        row["weight"] if "weight" in row else area * family.weight_of_area,
        area,
        value("Ix", "I"),
        value("Iy", "I"),
        value("J", "J"),
        value("Cw", "Cw"),
    )
