"""Families of rolled shapes: which table, which unit, which outline."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..profiles.profile import Profile
from . import american, european
from .table import Row

#: Factors from the tables' units to the shape's length unit: A, I_x, I_y, J, C_w.
_INCH = {"A": 1.0, "I": 1.0, "J": 1.0, "Cw": 1.0}
_MILLIMETRE = {"A": 1e2, "I": 1e4, "J": 1e4, "Cw": 1e9}  # cm^2, cm^4, cm^4, 1000 cm^6
#: Structural steel in the tables' own convention: pounds per foot per square inch, kg/m per mm^2.
POUNDS_PER_FOOT, KILOGRAMS_PER_METRE = 490 / 144, 7.85e-3


@dataclass(frozen=True, slots=True)
class ShapeFamily:
    """One family of rolled shapes.

    Attributes
    ----------
    name : str
        "W", "HSS round", "IPE", ...
    prefix : str
        What its designations begin with.
    table : str
        Name of its table.
    unit : str
        Length unit, "in" or "mm".
    title : str
        In words.
    depth, width : str
        Columns of the overall dimensions.
    build : callable
        From a row to a profile.
    """

    name: str
    prefix: str
    table: str
    unit: str
    title: str
    depth: str
    width: str
    build: Callable[[Row], Profile]

    @property
    def scale(self) -> dict[str, float]:
        """Factors from the table's units to powers of `unit`."""
        return _INCH if self.unit == "in" else _MILLIMETRE

    @property
    def weight_of_area(self) -> float:
        """Mass per length (lb/ft with inches, kg/m with millimetres) of a unit of area in steel."""
        return POUNDS_PER_FOOT if self.unit == "in" else KILOGRAMS_PER_METRE


def _in(
    name: str, table: str, title: str, depth: str, width: str, build: Callable[[Row], Profile]
) -> ShapeFamily:
    return ShapeFamily(name, name.split()[0], table, "in", title, depth, width, build)


def _mm(
    name: str, title: str, depth: str, width: str, build: Callable[[Row], Profile]
) -> ShapeFamily:
    return ShapeFamily(name, name, name.lower(), "mm", title, depth, width, build)


_US, _EN = american, european
FAMILIES: dict[str, ShapeFamily] = {
    family.name: family
    for family in (
        _in("W", "w", "wide-flange beams and columns", "d", "bf", _US.wide_flange),
        _in("M", "m", "miscellaneous light beams", "d", "bf", _US.wide_flange),
        _in("S", "s", "standard beams, sloped flanges", "d", "bf", _US.standard_beam),
        _in("HP", "hp", "bearing piles", "d", "bf", _US.wide_flange),
        _in("C", "c", "standard channels, sloped flanges", "d", "bf", _US.standard_channel),
        _in("MC", "mc", "miscellaneous channels", "d", "bf", _US.miscellaneous_channel),
        _in("WT", "wt", "tees cut from W", "d", "bf", _US.structural_tee),
        _in("L", "l", "angles", "d", "b", _US.angle),
        _in("HSS", "hss", "square and rectangular tubes", "Ht", "B", _US.rectangular_tube),
        _in("HSS round", "hss_r", "round tubes", "OD", "OD", _US.round_tube),
        _in("PIPE", "pipe", "pipes", "OD", "OD", _US.round_tube),
        _mm("IPE", "European I beams", "h", "b", _EN.parallel_flange),
        _mm("HEA", "European wide-flange beams, light", "h", "b", _EN.parallel_flange),
        _mm("HEB", "European wide-flange beams", "h", "b", _EN.parallel_flange),
        _mm("HEM", "European wide-flange beams, heavy", "h", "b", _EN.parallel_flange),
        _mm("UPN", "European channels, sloped flanges", "h", "b", _EN.tapered_channel),
        _mm("HFSHS", "hot-finished square hollow sections, EN 10210", "h", "b", _EN.hollow),
        _mm("HFRHS", "hot-finished rectangular hollow sections, EN 10210", "h", "b", _EN.hollow),
        _mm("CFSHS", "cold-formed square hollow sections, EN 10219", "h", "b", _EN.hollow),
        _mm("CFRHS", "cold-formed rectangular hollow sections, EN 10219", "h", "b", _EN.hollow),
        _mm("CHS", "circular hollow sections, EN 10210 and EN 10219", "d", "d", _EN.round_hollow),
    )
}
