"""A cross-section made ready for a member: its constants, and its unit stresses where it has an
outline."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

from ....geometry.errors import InputError
from ....geometry.section import Section
from ...accuracy import ACCURACY
from ...section import solve_section
from ...section.result import SectionResult
from ...section.stress.extremes import Search
from ...section.stress.unit_stress import unit_stress
from .constants import SectionConstants
from .section_source import sheared_constants

#: How a member's sections are solved: section, name, accuracy.
Solving = Callable[[Section, str, float], "SolvedSection"]


@dataclass(frozen=True, eq=False)
class SolvedSection:
    """A section as a member uses it.

    Attributes
    ----------
    name : str
        What the member calls it.
    constants : SectionConstants
    result : SectionResult or None
        None for a section given by its figures alone: then there are no stresses.
    search : Search or None
        Unit stresses sampled over the section.
    made : bool
        True for one between two others in a taper, which nobody named.
    torsion_factor : float
        By which its torsion constant was lowered, as concrete does when it cracks.
    """

    name: str
    constants: SectionConstants
    result: SectionResult | None = None
    search: Search | None = None
    made: bool = False
    torsion_factor: float = 1.0

    @cached_property
    def strengths(self) -> tuple[float | None, ...]:
        """Strength of each region's material."""
        if self.result is None:
            return ()
        return tuple(region.material.strength for region in self.result.section.regions)

    @property
    def has_strength(self) -> bool:
        """Whether stresses can be compared with a strength everywhere."""
        return bool(self.strengths) and None not in self.strengths

    def renamed(self, name: str) -> SolvedSection:
        """The same section under another name."""
        constants = replace(self.constants, name=name)
        return replace(self, name=name, constants=constants)

    def softened(self, factor: float) -> SolvedSection:
        """The same with its torsion constant times `factor`; the classical theory alone can take
        it."""
        if factor == 1:
            return self
        torsion = self.constants.torsion_constant * factor
        constants = replace(self.constants, torsion_constant=torsion)
        return replace(self, constants=constants, torsion_factor=factor)


def solved_section(section: Section, name: str = "", accuracy: float = ACCURACY) -> SolvedSection:
    """Solve a section with all that a member needs of it, shear areas by energy included.

    Raises
    ------
    InputError
        Without a material: a member needs E and G.
    """
    if not all(region.material.specified for region in section.regions):
        raise InputError(
            f"section {section.name!r} names no material; a member needs E and G: "
            "give the section a material"
        )
    return ready_section(solve_section(section, accuracy), name)


def ready_section(result: SectionResult, name: str = "") -> SolvedSection:
    """A solved section with all that a member needs of it."""
    units = unit_stress(result)
    name = name or result.section.name
    constants = replace(sheared_constants(units), name=name)
    return SolvedSection(name, constants, result, Search.over(units))
