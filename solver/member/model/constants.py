"""The numbers of a cross-section that a member needs, in any consistent units.

x to the right, y up, z along the member; second moments about the centroid, positions in the
section's own axes. A composite section gives modulus-weighted values with one reference modulus.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING

from ....geometry.errors import InputError
from .faces import BlendedFaces, Face, Faces, Height

if TYPE_CHECKING:
    from ....geometry.section import Section

Point = tuple[float, float]

# Names of constants that may be zero or of either sign; every other number must be positive.
_FREE_SIGN = {"product_moment", "monosymmetry_x", "monosymmetry_y", "weight_x", "weight_y"}
_MAY_VANISH = {"warping_constant"}


@dataclass(frozen=True, slots=True)
class SectionConstants:
    """Stiffness figures of one cross-section.

    Attributes
    ----------
    elastic_modulus, shear_modulus : float
        E and G.
    area : float
        A.
    second_moment_x, second_moment_y, product_moment : float
        I_x = int y^2 dA, I_y = int x^2 dA, I_xy = int x y dA about the centroid, axes x and y of
        the section.
    torsion_constant : float
        J (I_T).
    warping_constant : float
        C_w (I_w) about the shear centre; 0 for a section that does not warp.
    centroid, shear_centre : (x, y)
        In the axes in which the section is drawn.
    shear_area_x, shear_area_y : float, optional
        A_sx, A_sy; shear deformation is left out where they are not given. The coupling term of an
        unsymmetric section's shear compliance is not represented.
    monosymmetry_x, monosymmetry_y : float
        beta_x = int sigma rho^2 dA per unit M_x and beta_y = - int sigma rho^2 dA per unit M_y, rho
        from the shear centre; for principal axes int y (x^2 + y^2) dA / I_x - 2 y_S, x and y from
        the centroid, and likewise for y.
    mass_per_length : float, optional
        Needed by self-weight only.
    weight_x, weight_y, weight_spread : float, optional
        Centre of mass and int rho (x - weight_x)^2 dA / m where several materials have their own
        densities; left out, the weight acts at the centroid and is spread as the area.
    width : float, optional
        Extent in x; a plan radius below it is refused.
    secondary_torsion_constant : float, optional
        J_s = T_w^2 / int tau_w^2 dA of the shear that restrained warping brings: it lets the
        amount of warping differ from the rate of twist, which rules closed sections (Benscoter).
        Left out, warping follows the rate of twist (Vlasov).
    mean_lever_arm : float, optional
        a = T / int |tau| dA of Saint-Venant torsion, for the diagnosis only.
    name : str
    faces : Faces, optional
        Of the outline, for places and heights that name them.
    outline : Section, optional
        For strains that differ from point to point, as those of temperature.
    """

    elastic_modulus: float
    shear_modulus: float
    area: float
    second_moment_x: float
    second_moment_y: float
    torsion_constant: float
    warping_constant: float = 0.0
    product_moment: float = 0.0
    centroid: Point = (0.0, 0.0)
    shear_centre: Point = (0.0, 0.0)
    shear_area_x: float | None = None
    shear_area_y: float | None = None
    monosymmetry_x: float = 0.0
    monosymmetry_y: float = 0.0
    mass_per_length: float | None = None
    weight_x: float | None = None
    weight_y: float | None = None
    weight_spread: float | None = None
    width: float | None = None
    secondary_torsion_constant: float | None = None
    mean_lever_arm: float | None = None
    name: str = "section"
    faces: Faces | BlendedFaces | None = field(default=None, compare=False, repr=False)
    outline: Section | None = field(default=None, compare=False, repr=False)

    def __post_init__(self) -> None:
        for name in _NUMBERS:
            value = getattr(self, name)
            if value is None:
                continue
            lowest_allowed = value >= 0 if name in _MAY_VANISH else value > 0
            if not math.isfinite(value) or not (name in _FREE_SIGN or lowest_allowed):
                word = "zero or positive" if name in _MAY_VANISH else "positive"
                raise InputError(f"section {self.name!r}: {name} must be {word}, got {value}")
        for name in _POINTS:
            value = getattr(self, name)
            if not all(math.isfinite(c) for c in value):
                raise InputError(f"section {self.name!r}: {name} must be two numbers, got {value}")
        if self.product_moment**2 >= self.second_moment_x * self.second_moment_y:
            raise InputError(
                f"section {self.name!r}: product_moment {self.product_moment:g} is too large; "
                "I_xy^2 stays below I_x I_y"
            )

    @property
    def weight_place(self) -> Point:
        """(x, y) through which the section's own weight acts."""
        x, y = self.weight_x, self.weight_y
        return self.centroid if x is None or y is None else (x, y)

    @property
    def spread_of_weight(self) -> float:
        """int rho (x - x_m)^2 dA / m, x_m the place of the weight."""
        spread = self.weight_spread
        return self.second_moment_y / self.area if spread is None else spread

    @property
    def characteristic_length(self) -> float:
        """a = sqrt(E C_w / (k G J)): the length over which restrained warping dies out, k as
        `warping_share`."""
        return math.sqrt(
            self.elastic_modulus
            * self.warping_constant
            / (self.warping_share * self.shear_modulus * self.torsion_constant)
        )

    @property
    def warping_share(self) -> float:
        """k = J_s / (J_s + J): share of a torque that restrained warping carries where it is held
        entirely; 1 where warping follows the rate of twist."""
        secondary = self.secondary_torsion_constant
        if secondary is None:
            return 1.0
        return secondary / (secondary + self.torsion_constant)

    @property
    def warping_arm(self) -> float:
        """sqrt(C_w / I) with I the smaller principal second moment: half the distance of a
        symmetric I's flanges, and in proportion to it in any section that warps by its flanges."""
        moments = self.second_moment_x, self.second_moment_y, self.product_moment
        return math.sqrt(self.warping_constant / _least_moment(*moments))

    @property
    def polar_radius_squared(self) -> float:
        """r_0^2 = (I_x + I_y) / A + squared distance from centroid to shear centre."""
        dx = self.shear_centre[0] - self.centroid[0]
        dy = self.shear_centre[1] - self.centroid[1]
        return (self.second_moment_x + self.second_moment_y) / self.area + dx * dx + dy * dy

    def height(self, level: float | Height) -> float:
        """y of a level of the section.

        Raises
        ------
        InputError
            A level by name in a section without an outline.
        """
        if not isinstance(level, Height):
            return level
        centres = self._centre_heights()
        if level.reference in centres:
            return centres[level.reference] + level.up
        return self._outline(level.reference).height(level, centres)

    def face_point(self, face: Face) -> tuple[float, float]:
        """(x, y) of a place on a face of the section.

        Raises
        ------
        InputError
            A face that the section has not, or a section without an outline.
        """
        return self._outline(face.words).point(face, self._centre_heights())

    def inner_reach(self, curvature: float, x: float) -> float | None:
        """How far the section goes from its place x toward the centre of a curve in plan, whose
        curvature is positive where that lies on the side of +x; half the width without an outline,
        None where not even that is known."""
        if isinstance(self.faces, Faces):
            left, _, right, _ = self.faces.box
            return right - x if curvature > 0 else x - left
        return None if self.width is None else self.width / 2

    def _centre_heights(self) -> dict[str, float]:
        return {"shear_centre": self.shear_centre[1], "centroid": self.centroid[1]}

    def _outline(self, words: str) -> Faces | BlendedFaces:
        if self.faces is None:
            raise InputError(
                f"{words!r} needs the outline of section {self.name!r}, which is given by its "
                "figures alone; give coordinates"
            )
        return self.faces

    def blended(self, other: SectionConstants, share: float) -> SectionConstants:
        """Constants `share` of the way to `other`, for a tapered segment.

        Lengths to the power n are interpolated as the n-th root where that is the natural measure
        of size (A: 2, I: 4, J: 4), and C_w by its arm, so that a section scaled linearly along z is
        met exactly, and an I of varying depth too; positions, moduli and monosymmetry linearly.
        A constant that is zero or missing at one end falls back to linear, or stays missing.
        """
        values: dict[str, object] = {"name": f"{self.name} to {other.name} at {share:.3g}"}
        for name in _POINTS:
            here, there = getattr(self, name), getattr(other, name)
            values[name] = tuple(
                (1 - share) * p + share * q for p, q in zip(here, there, strict=True)
            )
        for name in _NUMBERS:
            here, there = getattr(self, name), getattr(other, name)
            if here is None or there is None:
                values[name] = None
            elif name in _POWERS and here > 0 and there > 0:
                power = _POWERS[name]
                root = 1.0 / power
                values[name] = ((1 - share) * here**root + share * there**root) ** power
            else:
                values[name] = (1 - share) * here + share * there
        if self.faces is not None and other.faces is not None:
            values["faces"] = BlendedFaces(self.faces, other.faces, share)
        arm = (1 - share) * self.warping_arm + share * other.warping_arm
        moments = (values[name] for name in _MOMENTS)
        values["warping_constant"] = arm**2 * _least_moment(*moments)  # type: ignore[arg-type]
        return SectionConstants(**values)  # type: ignore[arg-type]


def _least_moment(i_x: float, i_y: float, i_xy: float) -> float:
    """The smaller principal second moment."""
    return (i_x + i_y) / 2 - math.hypot((i_x - i_y) / 2, i_xy)


_MOMENTS = ("second_moment_x", "second_moment_y", "product_moment")
_POINTS = ("centroid", "shear_centre")
_NUMBERS = tuple(
    f.name for f in fields(SectionConstants) if f.name not in ("name", "faces", "outline", *_POINTS)
)
#: See `SectionConstants.blended`.
_POWERS = {
    "area": 2, "second_moment_x": 4, "second_moment_y": 4, "torsion_constant": 4,
    "secondary_torsion_constant": 4, "shear_area_x": 2, "shear_area_y": 2, "mass_per_length": 2,
}  # fmt: skip
