"""Generic materials by name: elastic constants, density and nominal strength of common grades.

All figures are written from memory of the source each grade names; they are nominal ones for a
first analysis. Give a material of your own where a project's documents say otherwise.
"""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass, replace

from .errors import InputError
from .material import Material
from .section import Section
from .units import Units

FROM_MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Grade:
    """One generic grade, in the units its source uses.

    Attributes
    ----------
    name : str
    kind : str
        "structural steel", "aluminium", "concrete", "timber" or "sheet plastic".
    elastic_modulus : str
    poisson_ratio : float
    density, strength : str
    strength_of : str
        Which strength the figure is.
    source : str
    shear_modulus : str, optional
        Where it does not follow from E and Poisson's ratio, or the source states it.
    thermal_expansion : float, optional
        Per kelvin; None where it varies too much to be named.
    """

    name: str
    kind: str
    elastic_modulus: str
    poisson_ratio: float
    density: str
    strength: str
    strength_of: str
    source: str
    shear_modulus: str | None = None
    thermal_expansion: float | None = None

    def material(self, units: Units) -> Material:
        """The grade in a section's own units."""
        what = f"material {self.name}"
        shear = self.shear_modulus
        return Material(
            self.name,
            units.read(self.elastic_modulus, "stress", what=what),
            self.poisson_ratio,
            None if shear is None else units.read(shear, "stress", what=what),
            units.read(self.density, "density", what=what),
            units.read(self.strength, "stress", what=what),
            f"{self.source}, {FROM_MEMORY}; strength: {self.strength_of}",
            self.thermal_expansion,
        )


def _steel(name: str, strength: int) -> Grade:
    return Grade(
        name, "structural steel", "210 GPa", 0.3, "7850 kg/m^3", f"{strength} MPa",
        "yield strength up to 40 mm thickness", "EN 1993-1-1:2005, 3.2.6 and Table 3.1",
        thermal_expansion=12e-6,
    )  # fmt: skip


def _steel_us(name: str, strength: int) -> Grade:
    return Grade(
        name, "structural steel", "29000 ksi", 0.3, "490 lb/ft^3", f"{strength} ksi",
        "minimum yield stress", "ANSI/AISC 360-16, symbols list and Table 2-4 of its manual",
        "11200 ksi", 11.7e-6,
    )  # fmt: skip


def _aluminium(name: str, strength: int, form: str) -> Grade:
    return Grade(
        name, "aluminium", "70 GPa", 0.3, "2700 kg/m^3", f"{strength} MPa",
        f"0.2 % proof strength, {form}", "EN 1999-1-1:2007, 3.2.5 and Table 3.2", "27 GPa",
        23e-6,
    )  # fmt: skip


def _concrete(cylinder: int, cube: int) -> Grade:
    """E_cm = 22 (f_cm / 10)^0.3 in GPa, f_cm = f_ck + 8 in MPa (EN 1992-1-1, Table 3.1)."""
    modulus = 22 * ((cylinder + 8) / 10) ** 0.3
    return Grade(
        f"C{cylinder}/{cube}", "concrete", f"{modulus:.6f} GPa", 0.2, "2400 kg/m^3",
        f"{cylinder} MPa", "characteristic cylinder strength, in compression",
        "EN 1992-1-1:2004, Table 3.1: E_cm = 22 (f_cm/10)^0.3 GPa; uncracked, plain",
        thermal_expansion=10e-6,
    )  # fmt: skip


def _concrete_us(strength: int) -> Grade:
    """E_c = 57000 sqrt(f'_c) in psi (ACI 318)."""
    return Grade(
        f"concrete {strength} psi", "concrete", f"{57000 * math.sqrt(strength):.4f} psi", 0.2,
        "145 lb/ft^3", f"{strength} psi", "specified strength, in compression",
        "ACI 318-14, 19.2.2.1: E_c = 57000 sqrt(f'_c) psi; uncracked, plain",
        thermal_expansion=10e-6,
    )  # fmt: skip


def _timber(name: str, modulus: int, shear: int, density: int, source: str) -> Grade:
    # Timber is orthotropic: G is no function of E, and strains across the grain do not couple.
    return Grade(
        name, "timber", f"{modulus} MPa", 0.0, f"{density} kg/m^3", "24 MPa",
        "characteristic bending strength along the grain", f"{source}, mean values", f"{shear} MPa",
    )  # fmt: skip


def _plastic(name: str, modulus: str, poisson: float, density: int, strength: int) -> Grade:
    return Grade(
        name, "sheet plastic", modulus, poisson, f"{density} kg/m^3", f"{strength} MPa",
        "short-term tensile strength", "typical values of extruded sheet at room temperature",
    )  # fmt: skip


GRADES: dict[str, Grade] = {
    grade.name: grade
    for grade in (
        _steel("S235", 235),
        _steel("S275", 275),
        _steel("S355", 355),
        _steel_us("A36", 36),
        _steel_us("A992", 50),
        _aluminium("6061-T6", 240, "extruded profiles"),
        _aluminium("6082-T6", 250, "extruded profiles up to 5 mm"),
        *(_concrete(f, c) for f, c in (
            (20, 25), (25, 30), (30, 37), (35, 45), (40, 50), (45, 55), (50, 60)
        )),
        *(_concrete_us(f) for f in (3000, 4000, 5000, 6000)),
        _timber("C24", 11000, 690, 420, "EN 338:2016"),
        _timber("GL24h", 11500, 650, 420, "EN 14080:2013"),
        _plastic("acrylic", "3.2 GPa", 0.37, 1190, 70),
        _plastic("PETG", "2.1 GPa", 0.38, 1270, 50),
    )
}  # fmt: skip


def is_grade(name: str) -> bool:
    """Whether a generic grade has this name."""
    return _plain(name) in {_plain(key) for key in GRADES}


def grade(name: str) -> Grade:
    """A grade by name, in any case and spacing.

    Raises
    ------
    InputError
        For an unknown name, with the nearest ones.

    Examples
    --------
    >>> grade("s355").strength
    '355 MPa'
    """
    known = {_plain(key): key for key in GRADES}
    plain = _plain(name[:60])
    if plain in known:
        return GRADES[known[plain]]
    near = [known[word] for word in difflib.get_close_matches(plain, known, n=3, cutoff=0.5)]
    raise InputError(
        f"material {name[:40]!r} is not known; use {', '.join(near or GRADES)}, "
        "or give its elastic modulus and Poisson's ratio yourself"
    )


def generic_material(name: str, units: Units) -> Material:
    """A generic grade as a material in a section's units.

    Examples
    --------
    >>> generic_material("A992", Units("in")).elastic_modulus
    29000.0
    """
    return grade(name).material(units)


def long_term(material: Material, creep_factor: float) -> Material:
    """The material with its stiffness under sustained load (creep): E and G over 1 + creep factor.

    Parameters
    ----------
    material : Material
    creep_factor : float
        0 or more: the creep coefficient, times a factor for the kind of load where the design rules
        ask for one. The user's figure; nothing here estimates it.

    Raises
    ------
    InputError
        For a factor that is negative or not a number.

    Notes
    -----
    The effective-modulus method: exact for stresses that do not change with time.
    """
    if not 0 <= creep_factor < math.inf:
        raise InputError(
            f"material {material.name!r}: the creep factor is 0 or more, got {creep_factor}"
        )
    if creep_factor == 0:
        return material
    softer = 1 / (1 + creep_factor)
    shear = material.shear_modulus
    return replace(
        material,
        name=f"{material.name}, long-term",
        elastic_modulus=material.elastic_modulus * softer,
        shear_modulus=None if shear is None else shear * softer,
        source=f"{material.source}; creep factor {creep_factor:g}".removeprefix("; "),
    )


def modular_ratio(material: Material, other: Material) -> float:
    """How many times stiffer `material` is than `other`: n = E / E_other."""
    return material.elastic_modulus / other.elastic_modulus


def _plain(name: str) -> str:
    return "".join(name.split()).upper()


def with_material(section: Section, grade: str | None) -> Section:
    """The section with a generic grade on the parts that name no material.

    Raises
    ------
    InputError
        For an unknown grade, or a section without a unit.
    """
    if grade is None:
        return section
    if all(r.material.specified for r in section.regions):
        generic_material(grade, Units(section.unit or "mm"))  # known, though not used
        return section
    if not section.unit:
        raise InputError("a material needs the section's length unit; give --unit, or unit=")
    material = generic_material(grade, Units(section.unit))
    regions = tuple(
        r if r.material.specified else replace(r, material=material) for r in section.regions
    )
    return replace(section, regions=regions)
