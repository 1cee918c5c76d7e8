"""Sections of the checks, of structural steel, in millimetres and newtons."""

from __future__ import annotations

from functools import cache

from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.section.deforming.reduced import ReducedSection
from soapfilm.solver.section.deforming.reduction import reduced_section

STEEL = Material("steel", 210_000.0, 0.3, density=7.85e-9)


def box(width: float, height: float, flange: float, web: float) -> Section:
    """A rectangular box by its outer measures."""
    x, y = width / 2, height / 2
    outline = Contour([(-x, -y), (x, -y), (x, y), (-x, y)])
    x, y = x - web, y - flange
    hole = Contour([(-x, -y), (x, -y), (x, y), (-x, y)])
    return Section((Region(outline, (hole,), STEEL),), unit="mm", name="box")


def rectangle(width: float, height: float) -> Section:
    """A solid rectangle."""
    x, y = width / 2, height / 2
    outline = Contour([(-x, -y), (x, -y), (x, y), (-x, y)])
    return Section((Region(outline, (), STEEL),), unit="mm", name="rectangle")


@cache
def reduced(make: str, *measures: float) -> ReducedSection:
    """The reduced section of `box` or `rectangle`, made once."""
    return reduced_section({"box": box, "rectangle": rectangle}[make](*measures))


@cache
def classical(make: str, *measures: float) -> SolvedSection:
    """The classical one."""
    section = {"box": box, "rectangle": rectangle}[make](*measures)
    return solved_section(section, make, 1e-4)
