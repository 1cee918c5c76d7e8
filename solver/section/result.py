"""What a solved section is: one frozen object with every property, its accuracy, and the fields
behind it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.material import Material
from ...geometry.notebook_table import notebook_table
from ...geometry.section import Section
from .area.plastic import PlasticModuli
from .area.properties import AreaProperties, ElasticModuli, SecondMoments
from .torsion.cells import Cell
from .torsion.interval import TorsionField
from .torsion.peak import TorsionModulus
from .torsion.sand_heap import PlasticTorque
from .torsion.sharp_corner import SharpCorner
from .torsion.warping import WarpingProperties

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SolverReport:
    """How the result was obtained.

    Polynomial `order` on so many `elements`, `unknowns` of both systems together, wall-clock
    `seconds`; `accuracy` is the relative width asked for J's interval, `reached` the width reached.
    """

    order: int
    elements: int
    unknowns: int
    seconds: float
    accuracy: float
    reached: float

    @property
    def met(self) -> bool:
        """Whether the asked accuracy was reached."""
        return self.reached <= self.accuracy


@dataclass(frozen=True, slots=True, eq=False)
class SectionResult:
    """Properties of a solved section, in powers of its own length unit.

    Composite sections are transformed to the material of their first region (`reference`): A, I,
    C_w by E, J by G.

    Attributes
    ----------
    section : Section
    reference : Material
    area_properties : AreaProperties
        Area, centroid, second moments, moduli, radii.
    perimeter : float
        Length of the whole border, holes included.
    plastic_moduli : PlasticModuli
    plastic_torque : PlasticTorque
        Fully plastic torque per unit shear yield stress.
    torsion_constant, torsion_constant_lower, torsion_constant_upper : float
        J = I_T: the middle and the ends of the interval that holds the exact value.
    torsion_modulus : TorsionModulus
    mean_lever_arm : float
        T / int |tau| dA.
    mean_lever_arm_change : float
        Relative difference of its two estimates.
    warping_properties : WarpingProperties
        Shear centre, C_w = I_w, polar radius, monosymmetry parameters beta (Wagner constants).
    cells : tuple of Cell
    corners : tuple of SharpCorner
        Places where the elastic stress is unbounded.
    solver : SolverReport
    field : TorsionField
        Stress function and warping per unit twist.
    """

    section: Section
    reference: Material
    area_properties: AreaProperties
    perimeter: float
    plastic_moduli: PlasticModuli
    plastic_torque: PlasticTorque
    torsion_constant: float
    torsion_constant_lower: float
    torsion_constant_upper: float
    torsion_modulus: TorsionModulus
    mean_lever_arm: float
    mean_lever_arm_change: float
    warping_properties: WarpingProperties
    cells: tuple[Cell, ...]
    corners: tuple[SharpCorner, ...]
    solver: SolverReport
    field: TorsionField

    # -- the main numbers by their own names -------------------------------------------------------
    @property
    def unit(self) -> str:
        """Length unit of every figure ("" when the input named none)."""
        return self.section.unit

    @property
    def is_composite(self) -> bool:
        """True when the regions' materials differ."""
        return any(r.material != self.reference for r in self.section.regions)

    @property
    def area(self) -> float:
        """A (modulus-weighted in composite sections)."""
        return self.area_properties.area

    @property
    def mass_per_length(self) -> float | None:
        """Mass per length, None when a density is missing."""
        return self.area_properties.mass_per_length

    @property
    def centroid(self) -> Array:
        """(2,) centroid in the axes of the input."""
        return self.area_properties.centroid

    @property
    def second_moments(self) -> SecondMoments:
        """I_x, I_y, I_xy and the principal ones."""
        return self.area_properties.second_moments

    @property
    def elastic_moduli(self) -> ElasticModuli:
        """W_el to the extreme fibres."""
        return self.area_properties.elastic_moduli

    @property
    def radii_of_gyration(self) -> Array:
        """(4,) about x, y, major, minor."""
        return self.area_properties.radii_of_gyration

    @property
    def shear_centre(self) -> Array:
        """(2,) shear centre (Trefftz) in the axes of the input."""
        return self.warping_properties.shear_centre

    @property
    def warping_constant(self) -> float:
        """C_w = I_w about the shear centre."""
        return self.warping_properties.warping_constant

    @property
    def polar_radius(self) -> float:
        """Polar radius of gyration about the shear centre."""
        return self.warping_properties.polar_radius

    @property
    def monosymmetry(self) -> Array:
        """(2,) beta_x, beta_y."""
        return self.warping_properties.monosymmetry

    def __repr__(self) -> str:
        u = f" {self.unit}" if self.unit else ""
        c, s = self.centroid, self.shear_centre
        return "\n".join(
            [
                f"SectionResult({self.section.name!r}{', composite' if self.is_composite else ''})",
                f"  A = {self.area:.6g}{u}^2" if u else f"  A = {self.area:.6g}",
                f"  I_x, I_y = {self.second_moments.x:.6g}, {self.second_moments.y:.6g}",
                f"  J in [{self.torsion_constant_lower:.9g}, {self.torsion_constant_upper:.9g}]",
                f"  C_w = {self.warping_constant:.6g}, mean lever arm {self.mean_lever_arm:.4g}{u}",
                f"  centroid ({c[0]:.6g}, {c[1]:.6g}), shear centre ({s[0]:.6g}, {s[1]:.6g}){u}",
                f"  order {self.solver.order}, {self.solver.elements} elements, "
                f"{self.solver.seconds:.3f} s",
            ]
        )

    def _repr_html_(self) -> str:
        u = self.unit
        modulus = self.torsion_modulus
        strength = (
            f"{modulus.value:.6g} {u}^3" if modulus.value is not None else f"none: {modulus.reason}"
        )
        centre, shear = self.centroid, self.shear_centre
        lower, upper = self.torsion_constant_lower, self.torsion_constant_upper
        return notebook_table(
            self.section.name,
            [
                ("area", "A", f"{self.area:.6g} {u}^2"),
                ("second moment about x", "I_x", f"{self.second_moments.x:.6g} {u}^4"),
                ("second moment about y", "I_y", f"{self.second_moments.y:.6g} {u}^4"),
                ("torsion constant, guaranteed", "J", f"{lower:.9g} to {upper:.9g} {u}^4"),
                ("torsion section modulus", "W_T", strength),
                ("warping constant", "C_w", f"{self.warping_constant:.6g} {u}^6"),
                ("mean lever arm", "a", f"{self.mean_lever_arm:.4g} {u}"),
                ("centroid", "", f"({centre[0]:.6g}, {centre[1]:.6g}) {u}"),
                ("shear centre", "", f"({shear[0]:.6g}, {shear[1]:.6g}) {u}"),
            ],
        )
