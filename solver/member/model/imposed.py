"""Imposed deformations: temperature, shrinkage, and supports that move. They load a member only as
far as something hinders them.

Temperature and shrinkage are strains e(x, y) of the section, positive longer; where materials
differ, each has its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from .constants import SectionConstants
from .faces import Height

#: Differences of temperature that a structure may see, in kelvin, and strains by shrinkage; those
#: of fires and of plastics are far below.
_HOTTEST, _SHORTEST = 3000.0, 0.1

Array = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Temperature:
    """Differences of temperature from that at which the member was built, in kelvin; those given
    add up.

    Attributes
    ----------
    start, end : float
        Along the member.
    uniform : float
    heights : tuple of (y or Height, dT)
        Linear between heights, in any order; constant beyond the outermost.
    across : (left, right) or None
        At the outermost points of the section, linear between.
    expansion : float, optional
        Strain per kelvin in place of the materials' own.
    source : str
        The standard that the difference over the depth is taken from.
    """

    start: float
    end: float
    uniform: float = 0.0
    heights: tuple[tuple[float | Height, float], ...] = ()
    across: tuple[float, float] | None = None
    expansion: float | None = None
    case: str = "temperature"
    name: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        values = (self.uniform, *(t for _, t in self.heights), *(self.across or ()))
        _check(self.title, (self.start, self.end, *values, self.expansion or 0.0))
        if max(abs(t) for t in values) > _HOTTEST:
            raise InputError(
                f"{self.title}: a difference of {max(values, key=abs):g} K is no temperature of a "
                f"structure; give kelvin, up to {_HOTTEST:g} either way"
            )
        _check_reach(self)

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or self.case


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """A strain by which material becomes shorter.

    Attributes
    ----------
    strain : float
        Positive shortens.
    of : tuple of str
        Names of the materials or regions that shrink; all without names.
    """

    start: float
    end: float
    strain: float
    of: tuple[str, ...] = ()
    case: str = "shrinkage"
    name: str = ""

    def __post_init__(self) -> None:
        _check(self.title, (self.start, self.end, self.strain))
        if abs(self.strain) > _SHORTEST:
            raise InputError(
                f"{self.title}: a strain of {self.strain:g} is none of a small one, to which the "
                "theory holds; give a share of the length, like 0.0003"
            )
        _check_reach(self)

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or self.case


@dataclass(frozen=True, slots=True)
class Settlement:
    """A support that moves.

    Attributes
    ----------
    support : str
        Its title.
    motion : (x, y, z, bend_x, bend_y, twist)
        Of the support's point, and rotations about it, in the member's frame there: y is positive
        upward.
    """

    support: str
    motion: tuple[float, float, float, float, float, float]
    case: str = "settlement"
    name: str = ""

    def __post_init__(self) -> None:
        _check(self.title, self.motion)

    @property
    def title(self) -> str:
        """Name for messages and tables."""
        return self.name or f"settlement of {self.support}"


Strained = Temperature | Shrinkage
Imposed = Temperature | Shrinkage | Settlement


@dataclass(frozen=True, slots=True, eq=False)
class StrainField:
    """e(x, y) of one section: the factor of a region times a sum of polylines in y and in x.

    Attributes
    ----------
    factors : (r,)
        By region of the outline; one where there is no outline.
    levels, values : (k,)
        Polyline over y, from the lowest to the highest point of the section; or one value.
    sides, across : (2,)
        Line over x.
    """

    factors: Array
    levels: Array
    values: Array
    sides: Array
    across: Array

    def shape(self, x: Array, y: Array) -> Array:
        """The sum alone, without the factor."""
        slope = (self.across[1] - self.across[0]) / (self.sides[1] - self.sides[0])
        along = self.across[0] + slope * (x - self.sides[0])
        return np.asarray(np.interp(y, self.levels, self.values) + along)

    @property
    def kinks(self) -> Array:
        """Levels at which the polyline turns."""
        return self.levels[1:-1]

    @property
    def plane(self) -> bool:
        """Whether it leaves the section plane, so that nothing is restrained within it."""
        return not len(self.kinks) and bool(np.all(self.factors == self.factors[0]))


def strain_field(
    action: Strained, section: SectionConstants, made_of: SectionConstants | None = None
) -> StrainField:
    """The strain that an action is in a section.

    Parameters
    ----------
    made_of : SectionConstants, optional
        Whose materials it has, where it is one between the sections of a taper.

    Raises
    ------
    InputError
        No coefficient of expansion; no outline where one is needed; a name that nothing bears.
    """
    made_of = made_of or section
    none = np.zeros(2)
    unit = np.array([0.0, 1.0])
    if isinstance(action, Shrinkage):
        one = np.array([-action.strain])
        return StrainField(_shrinking(action, made_of), np.zeros(1), one, unit, none)
    factors = _expansions(action, made_of)
    levels, values = np.zeros(1), np.array([action.uniform])
    if action.heights:
        _, low, _, high = _box(action, section)
        table = sorted((section.height(y), t) for y, t in action.heights)
        levels = np.array([y for y, _ in table])
        if np.any(np.diff(levels) <= 0):
            raise InputError(
                f"{action.title}: two temperatures are given for the height {levels[0]:g} of "
                f"section {section.name!r}; give each height once"
            )
        values = np.array([t for _, t in table]) + action.uniform
        levels, values = _within(levels, values, low, high)
    if action.across is None:
        return StrainField(factors, levels, values, unit, none)
    x0, _, x1, _ = _box(action, section)
    return StrainField(factors, levels, values, np.array([x0, x1]), np.array(action.across))


def _expansions(action: Temperature, section: SectionConstants) -> Array:
    if section.outline is None:
        if action.expansion is None:
            raise InputError(
                f"{action.title}: section {section.name!r} is given by its figures; give the "
                'coefficient here, thermal_expansion = "1.2e-5 1/K"'
            )
        return np.array([action.expansion])
    found = []
    for region in section.outline.regions:
        own = region.material.thermal_expansion if action.expansion is None else action.expansion
        if own is None:
            raise InputError(
                f"{action.title}: material {region.material.name!r} of section {section.name!r} "
                'states no thermal_expansion; give it, like thermal_expansion = "1.2e-5 1/K"'
            )
        found.append(own)
    return np.array(found)


def _shrinking(action: Shrinkage, section: SectionConstants) -> Array:
    if section.outline is None:
        if action.of:
            raise InputError(f"{action.title}: {_no_outline(section)}")
        return np.ones(1)
    regions = section.outline.regions
    if not action.of:
        return np.ones(len(regions))
    names = [{r.name, r.material.name, r.material.name.split(", long-term")[0]} for r in regions]
    return np.array([float(not own.isdisjoint(action.of)) for own in names])


def _within(levels: Array, values: Array, low: float, high: float) -> tuple[Array, Array]:
    """The polyline between the lowest and the highest point, without levels where it runs on."""
    inner = levels[(levels > low) & (levels < high)]
    new = np.concatenate([[low], inner, [high]])
    at = np.interp(new, levels, values)
    slope = np.diff(at) / np.diff(new)
    least = 1e-12 * float(np.ptp(at)) / (high - low)
    kept = np.concatenate([[True], np.abs(np.diff(slope)) > least, [True]])
    return new[kept], at[kept]


def _box(action: Strained, section: SectionConstants) -> tuple[float, float, float, float]:
    if section.faces is None:
        raise InputError(f"{action.title}: {_no_outline(section)}")
    return section.faces.box


def _no_outline(section: SectionConstants) -> str:
    return f"section {section.name!r} is given by its figures alone; give its outline"


def _check(title: str, values: tuple[float, ...]) -> None:
    for value in values:
        if not math.isfinite(value):
            raise InputError(f"{title}: every figure must be a finite number, got {value}")


def _check_reach(action: Strained) -> None:
    if not action.start < action.end:
        raise InputError(
            f"{action.title}: start must lie before end, got {action.start:g} and {action.end:g}"
        )
