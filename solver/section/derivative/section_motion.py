"""A solved section moved to first order with a number: its own fields and what they gain, on the
mesh that moves along.

Anything that is worked out of fields (constants of a member, the stress of any actions at a place)
can be asked of it, at the number changed by either sign of a step: the differences are derivatives
without another solution, of the fields' own exact ones.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ....geometry.section import Section
from ..area.properties import area_properties
from ..mesh.section_mesh import Array
from ..stress.unit_stress import UnitStress
from ..torsion.warping import about_pole
from .flexure_rate import FIELDS, FlexureRate, flexure_rate
from .mesh_rate import MeshRate, MovedOutline
from .section_rate import FollowedSection
from .torsion_rate import TorsionRate, stress_function_rate, torsion_rate


@dataclass(frozen=True, slots=True, eq=False)
class SectionMotion:
    """What a number does to the fields of a solved section.

    Attributes
    ----------
    units : UnitStress
        As the number stands.
    rate : MeshRate
        Of its mesh, as seen from the centroid.
    torsion : TorsionRate
    phi : (t, n)
        Of the stress function's coefficients.
    flexure : FlexureRate
    """

    units: UnitStress
    rate: MeshRate
    torsion: TorsionRate
    phi: Array
    flexure: FlexureRate

    def at(self, change: float, section: Section) -> UnitStress:
        """The section with the number changed, to first order.

        Parameters
        ----------
        change : float
            Of the number.
        section : Section
            The outline there.
        """
        base, torsion = self.units, self.torsion
        result, field = base.result, base.field
        area, warping = area_properties(section), result.warping_properties
        moved = replace(
            field,
            mesh=replace(
                field.mesh,
                vertices=field.mesh.vertices + change * self.rate.vertices
                + (area.centroid - result.centroid),
                bulges=field.mesh.bulges + change * self.rate.bulges,
            ),
            origin=field.origin + (area.centroid - result.centroid),
            phi=field.phi + change * self.phi,
            omega=field.omega + change * torsion.omega,
        )  # fmt: skip
        pole = warping.shear_centre - result.centroid + change * torsion.shear_centre
        about = about_pole(
            moved, area, warping.modulus, pole, warping.constant + change * torsion.constant,
            warping.warping_constant + change * torsion.warping_constant,
        )  # fmt: skip
        flexure = {
            name: getattr(base.flexure, name) + change * getattr(self.flexure, name)
            for name in FIELDS
        }
        constant = result.torsion_constant + change * torsion.torsion_constant
        changed = replace(
            result, section=section, area_properties=area, field=moved, warping_properties=about,
            torsion_constant=constant,
        )  # fmt: skip
        return UnitStress(changed, replace(base.flexure, **flexure), base.modulus)


def section_motion(
    moving: FollowedSection, units: UnitStress, outline: MovedOutline
) -> SectionMotion:
    """Derivatives of all fields of a solved section.

    Parameters
    ----------
    moving : FollowedSection
    units : UnitStress
        Of its result.
    outline : MovedOutline
        How its outline changes with the number.
    """
    rate = outline.central_rate
    torsion = torsion_rate(moving.result.warping_properties, rate)
    phi = stress_function_rate(moving.result.field, moving.stress_system, rate)
    return SectionMotion(units, rate, torsion, phi, flexure_rate(units, rate, torsion))
