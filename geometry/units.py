"""Units at the edge: "12 kN*m" or "2 in" read into the consistent units of a section.

Inside, everything is a plain number in one length unit, one force unit and (for densities and
masses per length only) one mass unit: kg with SI forces, lb with US ones. `Units.read` brings
quantities in, `Units.display` and `Units.factor` take them out.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from numbers import Real

from .errors import UnitError
from .quantity import FORCES, GRAVITY, LENGTHS, MASSES, split, unit_size

_DEFAULT_FORCE = {"mm": "N", "cm": "N", "m": "N", "in": "kip", "ft": "kip"}

#: Powers of (force, length, mass) of every quantity that is read or shown, and an example to write.
QUANTITIES: dict[str, tuple[tuple[int, int, int], str]] = {
    "angle": ((0, 0, 0), "30 deg"),
    "length": ((0, 1, 0), "12 mm"),
    "area": ((0, 2, 0), "1200 mm^2"),
    "section modulus": ((0, 3, 0), "5.6e5 mm^3"),
    "second moment": ((0, 4, 0), "8.4e7 mm^4"),
    "warping constant": ((0, 6, 0), "1.3e11 mm^6"),
    "force": ((1, 0, 0), "12 kN"),
    "moment": ((1, 1, 0), "12 kN*m"),
    "bimoment": ((1, 2, 0), "0.5 kN*m^2"),
    "axial rigidity": ((1, 0, 0), "2.1e6 kN"),
    "bending rigidity": ((1, 2, 0), "1.8e4 kN*m^2"),
    "warping rigidity": ((1, 4, 0), "270 kN*m^4"),
    "line load": ((1, -1, 0), "0.3 kN/m"),
    "line moment": ((1, 0, 0), "0.3 kN*m/m"),
    "stress": ((1, -2, 0), "350 MPa"),
    "density": ((0, -3, 1), "7850 kg/m^3"),
    "mass per length": ((0, -1, 1), "42 kg/m"),
    "mass": ((0, 0, 1), "250 kg"),
    "rotary inertia": ((0, 2, 1), "40 kg*m^2"),
    "twist rate": ((0, -1, 0), "0.2 deg/m"),
    "spring": ((1, -1, 0), "5 kN/mm"),
    "rotational spring": ((1, 1, 0), "900 kN*m/rad"),
    "warping spring": ((1, 3, 0), "20 kN*m^3"),
    "spring per length": ((1, -2, 0), "2 kN/mm/m"),
    "rotational spring per length": ((1, 0, 0), "60 kN*m/rad/m"),
}
#: What engineers read, where it is not the consistent unit itself. {} is in or ft, the length unit.
_METRIC = {
    "angle": "deg",
    "force": "kN",
    "moment": "kN*m",
    "bimoment": "kN*m^2",
    "axial rigidity": "kN",
    "bending rigidity": "kN*m^2",
    "warping rigidity": "kN*m^4",
    "line load": "kN/m",
    "line moment": "kN*m/m",
    "stress": "MPa",
    "density": "kg/m^3",
    "mass per length": "kg/m",
    "mass": "kg",
    "rotary inertia": "kg*m^2",
    "twist rate": "deg/m",
    "spring": "kN/m",
    "rotational spring": "kN*m/rad",
    "warping spring": "kN*m^3",
    "spring per length": "kN/m/m",
    "rotational spring per length": "kN*m/rad/m",
}
#: The same for a desk model.
_SMALL = {
    "force": "N",
    "moment": "N*m",
    "bimoment": "N*m^2",
    "bending rigidity": "N*m^2",
    "warping rigidity": "N*m^4",
    "line load": "N/m",
    "line moment": "N*m/m",
    "spring": "N/mm",
    "rotational spring": "N*m/rad",
}
_AMERICAN = {
    "angle": "deg",
    "force": "kip",
    "moment": "kip*{}",
    "bimoment": "kip*{}^2",
    "axial rigidity": "kip",
    "bending rigidity": "kip*{}^2",
    "warping rigidity": "kip*{}^4",
    "line load": "kip/ft",
    "line moment": "kip*{0}/{0}",
    "stress": "ksi",
    "density": "lb/ft^3",
    "mass per length": "lb/ft",
    "mass": "lb",
    "rotary inertia": "lb*ft^2",
    "twist rate": "deg/{}",
    "spring": "kip/{}",
    "rotational spring": "kip*{}/rad",
    "warping spring": "kip*{}^3",
    "spring per length": "kip/{0}/{0}",
    "rotational spring per length": "kip*{0}/rad/{0}",
}
_NAMED = {"N/mm^2": "MPa", "N/m^2": "Pa", "kN/m^2": "kPa", "kip/in^2": "ksi", "lbf/in^2": "psi"}


@dataclass(frozen=True, slots=True)
class Units:
    """The consistent units of one section or member.

    Parameters
    ----------
    length : str
        "mm", "cm", "m", "in" or "ft".
    force : str, optional
        "N", "kN", "MN", "lbf" or "kip"; left out: N with metric lengths, kip with in and ft.
    written : str, optional
        Length unit of a file's bare numbers, where it is read into another one than its own.
    small : bool, optional
        Of a desk model: engineers read its forces in N and its moments in N*m.

    Examples
    --------
    >>> Units("mm").read("12 kN*m", "moment")
    12000000.0
    >>> Units("in").read("1 1/2 ft", "length")
    18.0
    >>> Units("m").display("stress")
    ('MPa', 1e-06)
    """

    length: str = "mm"
    force: str = ""
    written: str = ""
    small: bool = False

    def __post_init__(self) -> None:
        for unit in (self.length, self.written or self.length):
            if unit not in LENGTHS:
                raise UnitError(
                    f"length unit {unit!r} is not known; use one of {', '.join(LENGTHS)}"
                )
        if not self.force:
            object.__setattr__(self, "force", _DEFAULT_FORCE[self.length])
        if self.force not in FORCES:
            raise UnitError(
                f"force unit {self.force!r} is not known; use one of {', '.join(FORCES)}"
            )

    @property
    def bare(self) -> str:
        """Length unit in which a file's bare numbers are understood."""
        return self.written or self.length

    @property
    def metric(self) -> bool:
        """True when the force unit is an SI one."""
        return self.force in ("N", "kN", "MN")

    @property
    def mass(self) -> str:
        """Mass unit of densities and masses per length: kg with SI forces, lb with US ones."""
        return "kg" if self.metric else "lb"

    @property
    def gravity(self) -> float:
        """Standard weight of one mass unit in force units (9.80665 N a kg, 0.001 kip a lb)."""
        return float(MASSES[self.mass] * GRAVITY / FORCES[self.force])

    @property
    def inertia(self) -> float:
        """Force unit that one mass unit takes for one length unit per second squared (0.001 N for
        a kg and mm)."""
        return float(MASSES[self.mass] * LENGTHS[self.length] / FORCES[self.force])

    # -- in --
    def read(
        self, value: object, quantity: str, *, what: str = "", bare: str | None = None
    ) -> float:
        """A quantity as a plain number in these units (angles in radians).

        Parameters
        ----------
        value : str, int, float or pint quantity
            "12 kN*m", "3/8 in", or a bare number where `bare` allows one.
        quantity : str
            A key of `QUANTITIES`: what dimension the value must have.
        what : str
            Name of the value, for the error message ("material steel: E").
        bare : str, optional
            Unit in which a bare number is understood; left out: a bare number is an error.

        Raises
        ------
        UnitError
            For a missing, unknown or wrong-dimension unit, or when the number is not a finite one.
        """
        example = f'write it like "{QUANTITIES[quantity][1]}"'
        value = _written(value)
        shown = f"{what or quantity}: {_shown(value)}"
        parts = split(value) if isinstance(value, str) else _bare(value)
        if parts is None:
            raise UnitError(
                f"{shown} is not a number with a unit; {example} (decimals with a point)"
            )
        number, unit = parts
        if not math.isfinite(number):
            raise UnitError(f"{shown} is not a finite number; give a real {quantity}")
        if not unit and bare is None:
            raise UnitError(f"{shown} has no unit; {example}")
        result = _float(Fraction(number) * self._size(unit or str(bare), quantity, shown))
        if not math.isfinite(result):
            raise UnitError(f"{shown} is too large; give a real {quantity}")
        return result

    # -- out --
    def factor(self, quantity: str, unit: str) -> float:
        """What a number in these units is multiplied by to be in `unit` ("kN*m", "in^4")."""
        return _float(1 / self._size(unit, quantity, f"unit {unit!r}"))

    def label(self, quantity: str) -> str:
        """Name of the consistent unit of a quantity: "mm^4", "N*mm", "MPa"."""
        if quantity == "angle":
            return "rad"
        units = (self.force, self.length, self.mass)
        parts = tuple(zip(units, QUANTITIES[quantity][0], strict=True))
        over = "*".join(unit if n == 1 else f"{unit}^{n}" for unit, n in parts if n > 0)
        under = "/".join(unit if n == -1 else f"{unit}^{-n}" for unit, n in parts if n < 0)
        text = f"{over or '1'}/{under}" if under else over
        return _NAMED.get(text, text)

    def display(self, quantity: str) -> tuple[str, float]:
        """Unit in which engineers read a quantity, and the factor that takes a number there.

        Lengths and section properties stay in the section's own unit.
        """
        read = _METRIC | (_SMALL if self.small else {}) if self.metric else _AMERICAN
        unit = read.get(quantity, self.label(quantity))
        unit = unit.format("ft" if self.length == "ft" else "in")
        return unit, self.factor(quantity, unit)

    def _size(self, unit: str, quantity: str, shown: str) -> Fraction:
        """Size of `unit` in these units, checked for the dimension of the quantity."""
        force, length, mass = QUANTITIES[quantity][0]
        try:
            size, dimension = unit_size(unit)
        except UnitError as error:
            raise UnitError(f"{shown}: {error}") from error
        if dimension != (force + mass, force + length, -2 * force):
            article = "an" if quantity[0] in "ao" else "a"
            pound = force and re.search(r"\blbs?\b", unit)
            raise UnitError(
                f'{shown} is not {article} {quantity}; write it like "{QUANTITIES[quantity][1]}"'
                + ("; lb is a mass here, lbf the force" if pound else "")
            )
        own = FORCES[self.force] ** force * LENGTHS[self.length] ** length
        return size / (own * MASSES[self.mass] ** mass)


def _shown(value: object) -> str:
    try:
        return repr(str(value)[:60])
    except ValueError:  # Python does not print whole numbers of thousands of digits
        return "a number of thousands of digits"


def _written(value: object) -> object:
    """A pint quantity as the text that it stands for; pint itself is not needed."""
    magnitude, unit = getattr(value, "magnitude", None), getattr(value, "units", None)
    if magnitude is None or unit is None:
        return value
    return f"{float(magnitude)!r} {unit:~C}"


def _bare(value: object) -> tuple[float, str] | None:
    """A number without a unit, of Python or numpy; True and False are none."""
    if isinstance(value, bool) or not isinstance(value, Real):
        return None
    return _float(value), ""


def _float(value: Real | Fraction) -> float:
    """float(value), infinity when it is too large for one."""
    try:
        return float(value)
    except OverflowError:
        return math.inf
