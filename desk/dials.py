"""The numbers beside the drawing, at either accuracy: each to the digits that it supports."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.checks.validate import checked_map
from ..geometry.planar.planar_map import PlanarMap
from ..geometry.section import Section
from ..report.section.table import place_uncertainty
from ..report.text.number import bounds, near_zero, number, supported, unit_power
from ..solver.section.area.properties import (
    AreaProperties,
    area_properties,
    modulus_ratios,
    shear_ratios,
)
from ..solver.section.mesh.following_mesh import FollowingMesh
from ..solver.section.mesh.triangulation import triangulate
from ..solver.section.result import SectionResult
from ..solver.section.torsion.adaptive import refine_torsion
from ..solver.section.torsion.interval import TorsionField, solve_torsion
from ..solver.section.torsion.lever_arm import mean_lever_arm
from ..solver.section.torsion.peak import TorsionModulus
from ..solver.section.torsion.sharp_corner import SharpCorner, unbounded_corners
from ..solver.section.torsion.warping import WarpingProperties, warping_properties

Array = NDArray[np.float64]
Reading = dict[str, Any]

#: Relative width asked of J's interval while the hand moves: well below what a drawing shows.
COARSE = 1e-2


@dataclass(frozen=True, slots=True, eq=False)
class SolvedTorsion:
    """What is shown of a section in torsion, at either accuracy.

    Attributes
    ----------
    section : Section
    area : AreaProperties
    field : TorsionField
    warping : WarpingProperties
    lever_arm, lever_arm_change : float
        Mean lever arm, and how well it is known, a length.
    corners : tuple of SharpCorner
    modulus : TorsionModulus, optional
        Not sought while the hand moves.
    result : SectionResult, optional
        At full accuracy.
    following : FollowingMesh, optional
        The mesh, to follow the outline while the hand moves.
    """

    section: Section
    area: AreaProperties
    field: TorsionField
    warping: WarpingProperties
    lever_arm: float
    lever_arm_change: float
    corners: tuple[SharpCorner, ...]
    modulus: TorsionModulus | None = None
    result: SectionResult | None = None
    following: FollowingMesh | None = None

    @classmethod
    def coarse(cls, section: Section, last: SolvedTorsion | None = None) -> SolvedTorsion:
        """Check, mesh and solve, with what no full result needs left out.

        Parameters
        ----------
        section : Section
        last : SolvedTorsion, optional
            Of a section much like this one: its mesh follows the outline where it can, which takes
            a tenth of the time of a new one.

        Raises
        ------
        GeometryError, SolveError
            As `solve_section` does.
        """
        plan, shear = checked_map(section), shear_ratios(section)
        area = area_properties(section)
        field, following = _followed(plan, area.centroid, shear, last)
        if field is None:
            field = refine_torsion(triangulate(plan), area.centroid, shear, COARSE)
            following = FollowingMesh.of(plan, field.mesh)
        corners = unbounded_corners(field.mesh, shear, plan)
        arm, change = mean_lever_arm(field, coarsely=True)
        warping = warping_properties(field, area, modulus_ratios(section))
        return cls(section, area, field, warping, arm, arm * change, corners, following=following)

    @classmethod
    def full(cls, result: SectionResult) -> SolvedTorsion:
        """Of a section's result."""
        return cls(
            result.section,
            result.area_properties,
            result.field,
            result.warping_properties,
            result.mean_lever_arm,
            result.mean_lever_arm_change * result.mean_lever_arm,
            result.corners,
            result.torsion_modulus,
            result,
        )

    @property
    def torsion_constant(self) -> float:
        """The middle of J's interval."""
        return (self.field.lower + self.field.upper) / 2


def _followed(
    plan: PlanarMap, origin: Array, shear: Array, last: SolvedTorsion | None
) -> tuple[TorsionField | None, FollowingMesh | None]:
    """The field on the last mesh moved along; None where that cannot be, or is not good enough."""
    following = None if last is None else last.following
    mesh = None if following is None else following.onto(plan)
    if last is None or mesh is None:
        return None, None
    field = solve_torsion(mesh, last.field.order, origin, shear)
    return (field, following) if field.relative_width <= COARSE else (None, None)


def readings(solved: SolvedTorsion) -> list[Reading]:
    """Values with their bounds where there are any, in the section's own unit."""
    unit, size = solved.section.unit, solved.section.size()
    field, warping, area = solved.field, solved.warping, solved.area
    lower, upper, j = field.lower, field.upper, solved.torsion_constant
    moments, change = area.second_moments, warping.warping_constant_change
    doubt = (
        place_uncertainty(solved.result)
        if solved.result is not None
        else warping.shear_centre_change
    )
    cw = supported(warping.warping_constant, change)
    found = [
        _reading("J", "torsion constant", j, bounds(lower, upper), unit_power(unit, 4))
        | {"lower": lower, "upper": upper, "width": field.relative_width},
        _reading("C_w", "warping constant", warping.warping_constant, cw, unit_power(unit, 6))
        | {"change": change},
    ]
    for k, symbol in enumerate(("x_s", "y_s")):
        value = float(warping.shear_centre[k])
        found.append(
            _reading(symbol, f"shear centre, {'xy'[k]}", value, supported(value, doubt, 4), unit)
            | {"change": doubt}
        )
    arm = supported(solved.lever_arm, solved.lever_arm_change, 4)
    found.append(
        _reading("a", "mean lever arm", solved.lever_arm, arm, unit)
        | {"change": solved.lever_arm_change}
    )
    for symbol, words, value, power in (
        ("A", "area", area.area, 2),
        ("I_x", "second moment about x", moments.x, 4),
        ("I_y", "second moment about y", moments.y, 4),
    ):
        found.append(_reading(symbol, words, value, number(value), unit_power(unit, power)))
    for k, symbol in enumerate(("x_c", "y_c")):
        value = near_zero(float(area.centroid[k]), size)
        found.append(_reading(symbol, f"centroid, {'xy'[k]}", value, number(value), unit))
    if solved.modulus is not None:
        found.append(_modulus(solved.modulus, unit))
    return found


def part_readings(bodies: Sequence[SolvedTorsion]) -> list[Reading]:
    """Of parts that are in contact only: they twist together, and share nothing but that."""
    unit = bodies[0].section.unit
    lower, upper = (sum(getattr(b.field, end) for b in bodies) for end in ("lower", "upper"))
    area = sum(b.area.area for b in bodies)
    why = "the parts are in contact only, each warps by itself; weld them for a common one"
    return [
        _reading("J", "torsion constant of all parts", (lower + upper) / 2,
                 bounds(lower, upper), unit_power(unit, 4))
        | {"lower": lower, "upper": upper, "width": 2 * (upper - lower) / (upper + lower)},
        *(
            _reading(symbol, words, 0.0, "none", "") | {"value": None, "refusal": why}
            for symbol, words in (("C_w", "warping constant"), ("x_s", "shear centre, x"),
                                  ("y_s", "shear centre, y"), ("a", "mean lever arm"))
        ),
        _reading("A", "area", area, number(area), unit_power(unit, 2)),
    ]  # fmt: skip


def _reading(symbol: str, words: str, value: float, text: str, unit: str) -> Reading:
    return {"symbol": symbol, "words": words, "value": float(value), "lower": None, "upper": None,
            "text": text, "unit": unit, "refusal": None}  # fmt: skip


def _modulus(modulus: TorsionModulus, unit: str) -> Reading:
    """W_T, or why there is none."""
    cubed = unit_power(unit, 3)
    if modulus.value is not None:
        text = supported(modulus.value, modulus.doubt * modulus.value)
        return _reading("W_T", "torsion section modulus", modulus.value, text, cubed)
    return _reading("W_T", "torsion section modulus", 0.0, "none", "") | {
        "value": None,
        "refusal": modulus.reason,
    }
