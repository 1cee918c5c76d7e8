"""The text of a quantity: "12 kN*m" taken apart into a number and its unit's size and dimension.

Sizes are exact fractions of SI base units. The common units are a table here, so that ordinary
files never wait for pint to start (a quarter of a second); a name that is not in the table is
looked up by pint.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Any

from .errors import UnitError

#: Powers of mass, length and time.
Dimension = tuple[int, int, int]

#: International foot and pound of 1959, standard gravity 9.80665 m/s^2: exact by definition.
POUND = Fraction(45359237, 10**8)
GRAVITY = Fraction(980665, 10**5)
LENGTHS = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "in": Fraction(254, 10000),
    "ft": Fraction(3048, 10000),
}
FORCES = {
    "N": Fraction(1),
    "kN": Fraction(10**3),
    "MN": Fraction(10**6),
    "lbf": POUND * GRAVITY,
    "kip": 1000 * POUND * GRAVITY,
}
MASSES = {"kg": Fraction(1), "lb": POUND}
_STRESSES = {
    "Pa": Fraction(1),
    "kPa": Fraction(10**3),
    "MPa": Fraction(10**6),
    "GPa": Fraction(10**9),
    "psi": FORCES["lbf"] / LENGTHS["in"] ** 2,
    "ksi": FORCES["kip"] / LENGTHS["in"] ** 2,
}
_WORDS: dict[str, tuple[Fraction, Dimension]] = {
    **{name: (size, (1, 0, 0)) for name, size in MASSES.items()},
    **{name: (size, (0, 1, 0)) for name, size in LENGTHS.items()},
    **{name: (size, (1, 1, -2)) for name, size in FORCES.items()},
    **{name: (size, (1, -1, -2)) for name, size in _STRESSES.items()},
    "rad": (Fraction(1), (0, 0, 0)),
    "deg": (Fraction(math.pi) / 180, (0, 0, 0)),
}
#: Site spellings. Without these pint takes "kNm" for a textile unit, and does not know the others.
_SPELLINGS = {
    "Nmm": "N*mm",
    "Nm": "N*m",
    "kNm": "kN*m",
    "MNm": "MN*m",
    "kips": "kip",
    "lbs": "lb",
    "psf": "lbf/ft^2",
    "ksf": "kip/ft^2",
    "plf": "lbf/ft",
    "klf": "kip/ft",
    "pcf": "lb/ft^3",
}

_NUMBER = re.compile(
    r"[+-]?(?:\d+\s+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(?![\d,.])", re.ASCII
)
_WORD = r"[A-Za-zµμ°]+"
_FACTOR = re.compile(rf"({_WORD})(?:\^(-?[1-9]))?(?:\s*([*/-])\s*|\s+|$)")
_POWERS = re.compile("([²³⁴⁵⁶])")
_PLAIN = str.maketrans("²³⁴⁵⁶·⋅−", "23456**-")
_LONGEST = 80


def split(text: str) -> tuple[float, str] | None:
    """Number and unit of a quantity ("" when there is none), or None when it starts with no number.

    Numbers are decimals with a point, fractions ("3/8") or mixed fractions ("1 1/2").
    """
    text = _POWERS.sub(r"^\1", text.strip()).translate(_PLAIN)
    match = _NUMBER.match(text) if len(text) <= _LONGEST else None
    return None if match is None else (_value(match.group()), text[match.end() :].strip())


def _value(number: str) -> float:
    if "/" not in number:
        return float(number)
    *whole, fraction = number.lstrip("+-").split()
    over, under = (int(part) for part in fraction.split("/"))
    if under == 0:
        return math.nan
    size = (int(whole[0]) if whole else 0) + Fraction(over, under)
    return float(-size if number.startswith("-") else size)


def unit_word(word: str) -> tuple[Fraction, Dimension] | None:
    """Exact SI size and dimension of one common unit's name; None when it is none."""
    if word in _WORDS:
        return _WORDS[word]
    return unit_size(_SPELLINGS[word]) if word in _SPELLINGS else None


@lru_cache(maxsize=256)
def unit_size(unit: str) -> tuple[Fraction, Dimension]:
    """Exact SI size and dimension of a unit: a product or quotient of names with whole powers.

    Raises
    ------
    UnitError
        When the text is not such a product, or a name in it is not known.
    """
    text = _POWERS.sub(r"^\1", unit.strip()).translate(_PLAIN).replace("**", "^")
    text = re.sub(_WORD, lambda word: _SPELLINGS.get(word.group(), word.group()), text)
    size, dimension, at, divide = Fraction(1), (0, 0, 0), 0, False
    if re.match(r"1/\S", text):
        at, divide = 2, True
    while at < len(text) or not at:
        match = _FACTOR.match(text, at) if len(text) <= _LONGEST else None
        if match is None or (match.group(3) and match.end() == len(text)):
            likely = re.sub(r"([A-Za-z])([2-9])(?![0-9])", r"\1^\2", unit[:_LONGEST])
            cure = "write it like kN*m, kg/m^3 or N/mm^2"
            if likely != unit[:_LONGEST]:
                cure = f"did you mean {likely}?"
            raise UnitError(f"cannot read the unit {unit[:_LONGEST]!r}; {cure}")
        word, power, joint = match.groups()
        n = int(power or 1) * (-1 if divide else 1)
        one, powers = _WORDS.get(word) or _looked_up(word)
        size *= one**n
        dimension = tuple(d + n * p for d, p in zip(dimension, powers, strict=True))  # type: ignore[assignment]
        at, divide = match.end(), joint == "/"
    return size, dimension


def _looked_up(word: str) -> tuple[Fraction, Dimension]:
    """Size and dimension of one name, by pint."""
    import pint

    try:
        one = _registry().Quantity(1.0, word).to_base_units()
    except (pint.errors.PintError, ValueError, TypeError) as error:
        raise UnitError(
            f"the unit {word!r} is not known; use for example "
            f"{', '.join([*LENGTHS, *FORCES])}, MPa, ksi, kg, deg"
        ) from error
    powers = {name: power for name, power in one.dimensionality.items() if power}
    mass, length, time = (powers.pop(name, 0) for name in ("[mass]", "[length]", "[time]"))
    if powers or any(p != int(p) for p in (mass, length, time)):
        raise UnitError(f"the unit {word!r} measures nothing that a section or a member has")
    return Fraction(float(one.magnitude)), (int(mass), int(length), int(time))


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()
