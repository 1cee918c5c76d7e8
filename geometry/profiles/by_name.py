"""Every parametric profile under its name in ISO 16739-1 (IFC4), and how to build one by name.

"IShape" is IfcIShapeProfileDef, "RectangleHollow" IfcRectangleHollowProfileDef, and so on; the
attributes are the standard's (OverallWidth, FilletRadius, ...), the Python functions have the same
words in snake case.
"""

from __future__ import annotations

import difflib
import inspect
import re
from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from typing import NamedTuple

from ..errors import GeometryError, InputError
from .dimension import DimensionError
from .open import c_shape, l_shape, u_shape, z_shape
from .profile import Profile
from .solid import (
    circle,
    circle_hollow,
    ellipse,
    rectangle,
    rectangle_hollow,
    rounded_rectangle,
    trapezium,
)
from .symmetric import asymmetric_i_shape, i_shape, t_shape

PROFILES: dict[str, Callable[..., Profile]] = {
    "Rectangle": rectangle,
    "RoundedRectangle": rounded_rectangle,
    "RectangleHollow": rectangle_hollow,
    "Circle": circle,
    "CircleHollow": circle_hollow,
    "Ellipse": ellipse,
    "Trapezium": trapezium,
    "IShape": i_shape,
    "AsymmetricIShape": asymmetric_i_shape,
    "TShape": t_shape,
    "UShape": u_shape,
    "LShape": l_shape,
    "ZShape": z_shape,
    "CShape": c_shape,
}
#: Words of the trade for the standard's letters.
_TRADE = {"channel": "UShape", "angle": "LShape", "lippedchannel": "CShape"}


class Attribute(NamedTuple):
    """One attribute of a profile: its name in files, in Python, and whether it must be given."""

    ifc: str
    python: str
    required: bool

    @property
    def is_angle(self) -> bool:
        """True for slopes; every other attribute is a length."""
        return self.python.endswith("slope")


def ifc_name(python: str) -> str:
    """Attribute name in the standard's writing: OverallWidth for overall_width.

    The two parameters that are not the standard's keep their own.
    """
    if python in ("deviation", "thickness_at"):
        return python
    return "".join(word[:1].upper() + word[1:] for word in python.split("_"))


def profile_named(name: str) -> str:
    """Key of `PROFILES` for a name: "I", "i-shape" and "IfcIShapeProfileDef" are all "IShape".

    Raises
    ------
    InputError
        For an unknown name, with the nearest ones.
    """
    known = {_plain(key): key for key in PROFILES} | _TRADE
    plain = _plain(name)
    if plain in known:
        return known[plain]
    if re.search(r"\d", name):
        raise InputError(
            f"profile {name[:60]!r} is not a kind of profile; a rolled shape is written "
            f'shape = "{name[:60]}"'
        )
    near = [known[word] for word in difflib.get_close_matches(plain, known, n=3)]
    hint = ", ".join(dict.fromkeys(near)) or ", ".join(PROFILES)
    raise InputError(
        f"profile {name[:60]!r} is not known; use {'for example ' if near else ''}{hint}"
    )


@cache
def profile_attributes(key: str) -> tuple[Attribute, ...]:
    """Attributes of a profile (a key of `PROFILES`), in the standard's order."""
    parameters = inspect.signature(PROFILES[key]).parameters.values()
    return tuple(
        Attribute(ifc_name(p.name), p.name, p.default is inspect.Parameter.empty)
        for p in parameters
    )


def build_profile(name: str, values: Mapping[str, float], unit: str = "") -> Profile:
    """A profile from its name and its IFC attributes.

    Parameters
    ----------
    name : str
        As `profile_named` reads it.
    values : mapping of str to float
        IFC attribute names with lengths in one unit, slopes in radians.
    unit : str
        Length unit, for messages.

    Raises
    ------
    InputError
        For a missing or unknown attribute (with the nearest valid one).
    GeometryError
        For a dimension that does not fit, in the standard's spelling.

    Examples
    --------
    >>> build_profile("I", {"OverallWidth": 150, "OverallDepth": 300, "WebThickness": 7.1,
    ...                     "FlangeThickness": 10.7}).outline
    Contour(12 edges, 0 arcs, box (-75, -150) to (75, 150))
    """
    key = profile_named(name)
    attributes = {a.ifc: a for a in profile_attributes(key)}
    for given in values:
        if given not in attributes:
            near = difflib.get_close_matches(given, attributes, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"it has {', '.join(attributes)}"
            raise InputError(f"{key} has no attribute {given!r}; {hint}")
    missing = [a.ifc for a in attributes.values() if a.required and a.ifc not in values]
    if missing:
        raise InputError(f"{key} needs {' and '.join(missing)}; give a length for each")
    try:
        return PROFILES[key](**{attributes[ifc].python: value for ifc, value in values.items()})
    except DimensionError as error:
        raise GeometryError(error.say(ifc_name, unit)) from error


@lru_cache(maxsize=256)
def _plain(name: str) -> str:
    """Lower-case letters of a name without what only marks it as a profile."""
    word = re.sub(r"[^a-z]", "", name.lower())
    return word.removeprefix("ifc").removesuffix("profiledef").removesuffix("shape")
