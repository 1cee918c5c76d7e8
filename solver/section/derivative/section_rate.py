"""All derivatives of a solved section to one number of its outline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ....geometry.checks.validate import checked_map
from ....geometry.outline.contour import edge_lengths
from ....geometry.planar.planar_map import PlanarMap
from ....geometry.section import Section
from ..area.properties import AreaProperties, modulus_ratios, shear_ratios
from ..elements.system import Factored
from ..mesh.following_mesh import FollowingMesh
from ..mesh.section_mesh import Ints
from ..result import SectionResult
from ..torsion.interval import solve_torsion, stress_system
from ..torsion.warping import WarpingProperties, warping_properties
from .difference import STEPS, derivative
from .mesh_rate import followed, mesh_rate
from .outline_numbers import outline_numbers
from .peak_rate import largest_at, modulus_rate, peak_refused, rivals
from .rate_doubt import AMPLE, rate_doubts
from .torsion_rate import TorsionRate, stress_function_rate, torsion_rate

#: Derivatives of W_T at two places are two from this share on of W_T while the outline moves by its
#: own size.
_OTHER = 0.05


@dataclass(frozen=True, eq=False)
class FollowedSection:
    """A solved section whose mesh follows its outline.

    Attributes
    ----------
    result : SectionResult
    following : FollowingMesh
    """

    result: SectionResult
    following: FollowingMesh

    @classmethod
    def of(cls, result: SectionResult) -> FollowedSection:
        """A solved section made to follow.

        Raises
        ------
        SolveError
            Where it has too many edges for that.
        """
        return cls(result, followed(checked_map(result.section), result.field.mesh))

    @cached_property
    def stress_system(self) -> tuple[Factored, Ints]:
        """Of the stress function, for all numbers."""
        return stress_system(self.result.field)

    @cached_property
    def rivals(self) -> list[tuple[tuple[float, float], float]]:
        """Places with nearly the largest torsional stress."""
        return rivals(self.result)

    @cached_property
    def one_order_less(self) -> WarpingProperties:
        """The warping on the same mesh with one order less, with its own system: what it says of
        the derivatives tells how far they have converged."""
        result = self.result
        field, section = result.field, result.section
        lower = solve_torsion(field.mesh, field.order - 1, field.origin, shear_ratios(section))
        return warping_properties(lower, result.area_properties, modulus_ratios(section))


@dataclass(frozen=True, slots=True)
class OtherPlace:
    """A place (x, y) with nearly the largest torsional stress.

    Attributes
    ----------
    at : (x, y)
    share : float
        Of the largest stress.
    rate : float
        The derivative of W_T where that place rules.
    """

    at: tuple[float, float]
    share: float
    rate: float


@dataclass(frozen=True, slots=True, eq=False)
class SectionRate:
    """Derivatives to one number, by the names of `Properties`.

    Attributes
    ----------
    rates : mapping
        d(property)/d(number).
    doubts : mapping
        How far those of J, C_w and the shear centre may be off (see `rate_doubt`), and that of W_T.
    refused : mapping
        Names without a derivative, and why.
    others : tuple of OtherPlace
        Places that may come to have the largest stress after a small change, where the derivative
        of W_T is another; of those as high as far as is known, the difference is in its doubt.
    """

    rates: Mapping[str, float]
    doubts: Mapping[str, float]
    refused: Mapping[str, str]
    others: tuple[OtherPlace, ...] = ()


def section_rate(moving: FollowedSection, sections: Sequence[Section], step: float) -> SectionRate:
    """Derivatives of a solved section.

    Parameters
    ----------
    moving : FollowedSection
    sections : sequence of Section
        The same section with the number changed by `difference.STEPS` times the step.
    step : float

    Raises
    ------
    GeometryError
        A changed section is not valid.
    SolveError
        The outline's corners merge or part there.
    """
    result = moving.result
    plans = [checked_map(section) for section in sections]
    rate = mesh_rate(moving.following, plans, step)
    torsion = torsion_rate(result.warping_properties, rate)
    speed = float(np.abs(rate.vertices).max()) / result.section.size()
    every, areas = [], []
    for section, plan, away in zip(sections, plans, STEPS, strict=True):
        own, area = outline_numbers(section, _perimeter(plan))
        own |= _warped_numbers(result, area, torsion, away * step)
        every.append(own)
        areas.append(area)
    rates = {name: float(derivative([own[name] for own in every], step)) for name in every[0]}
    rates["torsion_constant"] = torsion.torsion_constant
    rates["warping_constant"] = torsion.warping_constant
    rates["shear_centre_x"], rates["shear_centre_y"] = (float(c) for c in torsion.shear_centre)
    lower = torsion_rate(moving.one_order_less, rate)
    doubts = rate_doubts(result, torsion, lower, speed)
    name = "torsion_modulus" if not result.corners else "torsion_modulus_away"
    why = peak_refused(result)
    others: list[OtherPlace] = []
    at = largest_at(result)
    if not why and at is not None:
        phi = stress_function_rate(result.field, moving.stress_system, rate)
        rates[name], doubts[name] = modulus_rate(result, rate, torsion, phi, at)
        modulus = result.torsion_modulus
        size = abs(modulus.value or modulus.away or 0.0)
        doubts[name] += modulus.doubt * (abs(rates[name]) + speed * size)
        doubts[name] *= AMPLE
        for place, share in moving.rivals:
            there, doubt = modulus_rate(result, rate, torsion, phi, place)
            least = max(doubts[name] + AMPLE * doubt, _OTHER * speed * size)
            if all(
                abs(there - known) > least for known in (rates[name], *(o.rate for o in others))
            ):
                others.append(OtherPlace(place, share, there))
        tied = [one for one in others if one.share >= 1 - 2 * modulus.doubt]
        doubts[name] += max((abs(one.rate - rates[name]) for one in tied), default=0.0)
    return SectionRate(rates, doubts, {name: why} if why else {}, tuple(others))


def _perimeter(plan: PlanarMap) -> float:
    """Length of the border: edges between regions are none, faces of slits count twice."""
    used = np.zeros(len(plan.edges))
    for loops in plan.faces:
        for loop in loops:
            np.add.at(used, np.abs(loop) - 1, 1)
    for embedded in plan.embedded:
        used[embedded] = 2
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    lengths = edge_lengths(start, end, plan.bulges)
    border = np.where(plan.slit, used, used % 2)
    return float(lengths @ border)


def _warped_numbers(
    result: SectionResult, area: AreaProperties, torsion: TorsionRate, change: float
) -> dict[str, float]:
    """Polar radius and monosymmetry parameters of a changed outline, its shear centre moved by its
    derivative."""
    pole = result.shear_centre + change * torsion.shear_centre - area.centroid
    m, (ux, uy) = area.second_moments, area.third_moments
    det = m.x * m.y - m.xy**2
    return {
        "polar_radius": float(np.sqrt((m.x + m.y) / area.area + pole @ pole)),
        "monosymmetry_x": float((m.y * uy - m.xy * ux) / det - 2 * pole[1]),
        "monosymmetry_y": float((m.x * ux - m.xy * uy) / det - 2 * pole[0]),
    }
