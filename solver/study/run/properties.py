"""The numbers of a solved section without its fields: what studies store, compare and send."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError
from ...plane_section import warps
from ...section.torsion.drawn_curves import curve_effect

if TYPE_CHECKING:
    from ...section.result import SectionResult


@dataclass(frozen=True, slots=True)
class Properties:
    """Properties of a solved section, in powers of its length unit; angles in degrees.

    Composite sections are transformed to the reference material of their `SectionResult`. A number
    that does not exist (the torsion modulus at a sharp corner) is None; the field
    `torsion_modulus_away` then holds outside the corners' surroundings only.

    Attributes
    ----------
    name, length_unit, material : str
        `material` is the reference's name.
    width, depth : float
        Of the bounding box.
    elastic_modulus, shear_modulus : float
        Of the reference material; 1 where none is given.
    strength : float or None
        The least of the materials', None where one has none.
    cells, sharp_corners : int
    drawn_curves : float or None
        What arcs in place of drawn curves may change of J, to first order: 0 where there are none,
        None where no bound of it is known.
    reached : float
        Relative width of J's interval.
    """

    name: str
    length_unit: str
    material: str
    width: float
    depth: float
    area: float
    gross_area: float
    perimeter: float
    mass_per_length: float | None
    centroid_x: float
    centroid_y: float
    second_moment_x: float
    second_moment_y: float
    product_moment: float
    second_moment_major: float
    second_moment_minor: float
    principal_angle: float
    elastic_modulus_top: float
    elastic_modulus_bottom: float
    elastic_modulus_right: float
    elastic_modulus_left: float
    plastic_modulus_x: float | None
    plastic_modulus_y: float | None
    torsion_constant: float
    torsion_constant_lower: float
    torsion_constant_upper: float
    drawn_curves: float | None
    torsion_modulus: float | None
    torsion_modulus_away: float | None
    plastic_torque: float | None
    mean_lever_arm: float
    warping_constant: float
    shear_centre_x: float
    shear_centre_y: float
    polar_radius: float
    monosymmetry_x: float
    monosymmetry_y: float
    elastic_modulus: float
    shear_modulus: float
    strength: float | None
    cells: int
    sharp_corners: int
    reached: float

    @classmethod
    def of(cls, result: SectionResult) -> Properties:
        """The numbers of a result."""
        section, material = result.section, result.reference
        x0, y0, x1, y1 = section.bounds()
        moments, moduli = result.second_moments, result.elastic_moduli
        strengths = [r.material.strength for r in section.regions]
        known = [s for s in strengths if s is not None]
        return cls(
            name=section.name,
            length_unit=section.unit,
            material=material.name,
            width=x1 - x0,
            depth=y1 - y0,
            area=float(result.area),
            gross_area=float(result.area_properties.gross_area),
            perimeter=float(result.perimeter),
            mass_per_length=result.mass_per_length,
            centroid_x=float(result.centroid[0]),
            centroid_y=float(result.centroid[1]),
            second_moment_x=float(moments.x),
            second_moment_y=float(moments.y),
            product_moment=float(moments.xy),
            second_moment_major=float(moments.major),
            second_moment_minor=float(moments.minor),
            principal_angle=moments.angle_deg,
            elastic_modulus_top=float(moduli.x_top),
            elastic_modulus_bottom=float(moduli.x_bottom),
            elastic_modulus_right=float(moduli.y_right),
            elastic_modulus_left=float(moduli.y_left),
            plastic_modulus_x=_number(result.plastic_moduli.x),
            plastic_modulus_y=_number(result.plastic_moduli.y),
            torsion_constant=float(result.torsion_constant),
            torsion_constant_lower=float(result.torsion_constant_lower),
            torsion_constant_upper=float(result.torsion_constant_upper),
            drawn_curves=_number(curve_effect(result.field, section.deviation)),
            torsion_modulus=_number(result.torsion_modulus.value),
            torsion_modulus_away=_number(result.torsion_modulus.away),
            plastic_torque=_number(result.plastic_torque.value),
            mean_lever_arm=float(result.mean_lever_arm),
            warping_constant=float(result.warping_constant),
            shear_centre_x=float(result.shear_centre[0]),
            shear_centre_y=float(result.shear_centre[1]),
            polar_radius=float(result.polar_radius),
            monosymmetry_x=float(result.monosymmetry[0]),
            monosymmetry_y=float(result.monosymmetry[1]),
            elastic_modulus=float(material.elastic_modulus),
            shear_modulus=float(material.shear),
            strength=min(known) if len(known) == len(strengths) else None,
            cells=len(result.cells),
            sharp_corners=len(result.corners),
            reached=float(result.solver.reached),
        )

    def record(self) -> dict[str, Any]:
        """Plain numbers, texts and None under the attributes' names."""
        return asdict(self)

    @classmethod
    def from_record(cls, record: Mapping[str, Any]) -> Properties:
        """The inverse of `record`.

        Raises
        ------
        InputError
            If a field is missing, unknown or of another kind: the record is not one of ours.
        """
        known = {f.name: f for f in fields(cls)}
        if set(record) != set(known):
            odd = sorted(set(record) ^ set(known))
            raise InputError(f"not a record of section properties: {', '.join(odd[:4])}")
        for name, value in record.items():
            kind = str(known[name].type)
            text = kind == "str"
            missing = value is None and "None" in kind
            number = isinstance(value, (int, float)) and not isinstance(value, bool)
            if not (missing or (isinstance(value, str) if text else number)):
                raise InputError(f"not a record of section properties: {name} is {value!r}")
        found = cls(**record)
        if wrong := found._impossible():
            raise InputError(f"not a record of section properties: {wrong}")
        return found

    def _impossible(self) -> str:
        """The first number that contradicts another one, "" where none does."""
        lower, upper = self.torsion_constant_lower, self.torsion_constant_upper
        room = 1e-9 * abs(upper)  # rounding
        checks = {
            "torsion_constant": lower - room <= self.torsion_constant <= upper + room,
            "torsion_constant_lower": lower > 0,
            "area": self.area > 0 and self.gross_area > 0,
            "second_moment_minor": 0 < self.second_moment_minor <= self.second_moment_major,
            "warping_constant": self.warping_constant >= 0,
            "width": self.width > 0 and self.depth > 0,
            "reached": self.reached >= 0,
        }
        return next((name for name, holds in checks.items() if not holds), "")

    @property
    def warps(self) -> bool:
        """False for sections that stay plane in torsion."""
        return warps(self.warping_constant, self.second_moment_x, self.second_moment_y, self.area)

    @property
    def torsional_stiffness(self) -> float:
        """G J (J alone where no material is given)."""
        return self.shear_modulus * self.torsion_constant


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)
