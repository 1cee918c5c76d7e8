"""Sections whose parts are in contact only: what they have in common is the torsion constant.

Parts that a frame or a clamp makes twist by the same angle each carry their own torque, so their
torsion constants add up. How they bend together depends on friction and on what holds them, which
no section knows: there is no common second moment, shear centre or warping constant.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...geometry.checks.contact_only import contact_only_parts
from ...geometry.material import Material
from ...geometry.section import Section
from ..accuracy import ACCURACY
from .result import SectionResult
from .solve import solve_section


@dataclass(frozen=True, slots=True, eq=False)
class ContactOnlyResult:
    """The bodies of a section, solved one by one.

    Attributes
    ----------
    section : Section
    bodies : tuple of SectionResult
        Each relative to its own first material.
    """

    section: Section
    bodies: tuple[SectionResult, ...]

    @property
    def reference(self) -> Material:
        """Material of the section's first region, to which sums are transformed."""
        return self.section.regions[0].material

    def shares(self) -> tuple[float, ...]:
        """Part of a common torque that each body carries."""
        whole = self.torsion_constant
        stiffness = (b.torsion_constant * self._ratio(b) for b in self.bodies)
        return tuple(value / whole for value in stiffness)

    @property
    def torsion_constant(self) -> float:
        """J = I_T of all bodies under a common angle of twist."""
        return sum(b.torsion_constant * self._ratio(b) for b in self.bodies)

    @property
    def torsion_constant_lower(self) -> float:
        """Lower end of the interval that holds the exact sum."""
        return sum(b.torsion_constant_lower * self._ratio(b) for b in self.bodies)

    @property
    def torsion_constant_upper(self) -> float:
        """Upper end of the interval that holds the exact sum."""
        return sum(b.torsion_constant_upper * self._ratio(b) for b in self.bodies)

    @property
    def gross_area(self) -> float:
        """Area of all bodies, materials alike."""
        return sum(b.area_properties.gross_area for b in self.bodies)

    @property
    def mass_per_length(self) -> float | None:
        """Mass per length, None when a density is missing."""
        masses = [b.mass_per_length for b in self.bodies]
        known = [m for m in masses if m is not None]
        return sum(known) if len(known) == len(masses) else None

    def _ratio(self, body: SectionResult) -> float:
        return body.reference.shear / self.reference.shear


def solve_contact_only(section: Section, accuracy: float = ACCURACY) -> ContactOnlyResult:
    """Solve every body of a section whose parts are not all joined (see `contact_only_parts`).

    A section of one body is allowed: the sum has one term.

    Raises
    ------
    GeometryError, SolveError
        As `solve_section`.
    """
    return ContactOnlyResult(
        section, tuple(solve_section(body, accuracy) for body in contact_only_parts(section))
    )
