"""A section made ready for its waves: mesh, matrices, Saint-Venant's solutions, what is refused."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ....geometry.section import Section
from ...plane_section import warps
from ..deforming.chains import Chains, chains_of
from ..deforming.elasticity.elastic import Elastic, elastic_on
from ..deforming.elasticity.fields import Fields
from ..deforming.elasticity.linear import bare_fields
from ..deforming.elasticity.matrices import SectionMatrices, section_matrices
from ..deforming.union import union_of
from ..mesh.section_mesh import Array
from ..stress.actions import SYMBOLS, Actions
from .pencil import WavePencil
from .prestress import prestress, stress_of_actions

#: Shortest half-wavelength by the walls' mean thickness, longest by the section's diagonal.
SHORTEST, LONGEST = 4.0, 30.0
#: Shortest with shear, whose waves are longer than the walls are wide; longest under a shear force,
#: whose moment changes over longer waves.
OBLIQUE, SHEARED = 10.0, 3.0
#: Half-wavelengths beyond this multiple of the section's size bend and twist too little beside the
#: stiffness of its walls for numbers to hold: 1e-5 at twice as much, wrong at twenty times.
FARTHEST = 2000.0
#: Regions below this part of the area set no thickness.
_SMALL = 0.02
#: Compression below this part of the largest tension is rounding.
_NO_COMPRESSION = 1e-9
#: Strains of the actions between which numbers hold.
_SLIGHT, _VAST = 1e-30, 1e12


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """What every wave of a section needs."""

    section: Section
    fields: Fields
    elastic: Elastic
    matrices: SectionMatrices
    chains: Chains
    notes: tuple[str, ...]

    @property
    def thickness(self) -> float:
        """Twice the area over the perimeter: the walls' mean thickness where they are thin; of the
        region that has the smallest, those apart that are small themselves, such as welds."""
        total = sum(region.area() for region in self.section.regions)
        return float(
            min(
                2 * region.area() / sum(contour.length() for contour in region.contours)
                for region in self.section.regions
                if region.area() >= _SMALL * total
            )
        )

    def range(
        self, shortest: float | None, longest: float | None, actions: Array
    ) -> tuple[float, float]:
        """The half-wavelengths looked at under actions (8,).

        Raises
        ------
        InputError
            The range is empty, or reaches below the thickness of the walls.
        """
        least = OBLIQUE if actions[3:6].any() else SHORTEST
        low = least * self.thickness if shortest is None else shortest
        most = SHEARED if actions[3:5].any() else LONGEST
        high = max(most * self.section.size(), 2 * low) if longest is None else longest
        unit = self.section.unit
        if not (np.isfinite(low) and np.isfinite(high) and low > 0):
            raise InputError(
                f"half-wavelengths from {low:g} to {high:g} {unit}: give positive lengths"
            )
        if low >= high:
            raise InputError(
                f"the shortest half-wavelength, {low:.6g} {unit}, is not below the longest, "
                f"{high:.6g} {unit}; leave a range between them"
            )
        if high > FARTHEST * self.section.size():
            raise InputError(
                f"the longest half-wavelength, {high:.6g} {unit}, is beyond {FARTHEST:g} times the "
                f"section's size ({FARTHEST * self.section.size():.4g} {unit}), where numbers do "
                "not hold; give a shorter one: members so slender follow beam theory, by 1/length^2"
            )
        if low < self.thickness / 2:
            raise InputError(
                f"the shortest half-wavelength, {low:.6g} {unit}, is below half the walls' mean "
                f"thickness, {self.thickness:.4g} {unit}, where no wall buckles; give a longer one"
            )
        return low, high

    def actions_of(self, actions: Actions) -> Array:
        """(8,) actions, the shear through the shear centre.

        Raises
        ------
        InputError
            For an action that the theory here does not hold, or that the section cannot carry.
        """
        vector = actions.vector(self.chains.shear_centre)
        if not vector.any():
            raise InputError('no action; give at least one, like "N = -1 kN"')
        if vector[6]:
            raise InputError(
                "T_w: the shear of restrained warping changes along the member and is left out "
                "here; give the whole torque as T and the bimoment as B"
            )
        modulus = self.elastic.modulus.max()
        x, y = np.diag(self.chains.bending) / modulus
        area = self.chains.axial / modulus
        if vector[7] and not warps(self.chains.warping / modulus, float(y), float(x), area):
            raise InputError(
                f"{SYMBOLS[7]} = {vector[7]:g}: this section does not warp (C_w = 0) and can carry "
                "no bimoment"
            )
        return vector

    def pencil(self, actions: Array) -> WavePencil:
        """The eigenvalue problem under actions (8,).

        Raises
        ------
        InputError
            Under tension alone nothing buckles.
        """
        stress = stress_of_actions(self.fields, self.elastic, self.chains, actions)
        state = prestress(self.fields, stress)
        largest = max(state.compression, state.tension)
        if state.shear is None and state.compression <= _NO_COMPRESSION * largest:
            raise InputError(
                "these actions leave the whole section in tension: nothing buckles. Compression "
                "is negative N"
            )
        strain = max(largest, state.shearing) / float(self.elastic.modulus.max())
        if not _SLIGHT < strain < _VAST:
            raise InputError(
                f"the actions strain the section by {strain:.1e}, which no load factor brings to "
                "buckling in numbers; give actions of a size that the section meets"
            )
        return WavePencil(self.matrices, state)


def prepared(section: Section) -> Prepared:
    """Mesh a section and solve for what its waves need.

    Raises
    ------
    GeometryError
        The section is not valid.
    InputError
        A region has no material.
    """
    for k, region in enumerate(section.regions, 1):
        if not region.material.specified:
            named = f"region {region.name or k!s}" if len(section.regions) > 1 else "the section"
            raise InputError(
                f"{named} has no material: buckling needs its E; name a material in the file"
            )
    union = union_of([section])
    fields = bare_fields(union.mesh, union.order)
    elastic = elastic_on([section], union.region, 0)
    matrices = section_matrices(fields, elastic)
    return Prepared(
        section, fields, elastic, matrices, chains_of(fields, matrices, elastic), union.notes
    )
