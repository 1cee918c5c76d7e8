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
from ..area.properties import AreaProperties
from ..elements.system import Factored
from ..mesh.following_mesh import FollowingMesh
from ..mesh.section_mesh import Ints
from ..result import SectionResult
from ..solve import one_order_less
from ..torsion.interval import stress_system
from ..torsion.warping import WarpingProperties
from .difference import STEPS, derivative
from .largest import PeakRate, Rates
from .mesh_rate import MeshRate, MovedOutline, followed, mesh_rate
from .outline_numbers import outline_numbers
from .peak_rate import TorsionPeak, modulus_rate, peak_refused, torsion_peaks
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

    def moved(self, sections: Sequence[Section], step: float) -> MovedOutline:
        """Its outline moved by a number.

        Parameters
        ----------
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
        plans = tuple(checked_map(one) for one in sections)
        rate = mesh_rate(self.following, plans, step)
        return MovedOutline(tuple(sections), plans, step, rate)

    @cached_property
    def stress_system(self) -> tuple[Factored, Ints]:
        """Of the stress function, for all numbers."""
        return stress_system(self.result.field)

    @cached_property
    def torsion_peaks(self) -> list[TorsionPeak]:
        """Where the torsional stress is largest, and other places where it nearly is."""
        return torsion_peaks(self.result)

    @cached_property
    def one_order_less(self) -> WarpingProperties:
        """The warping by one order less, with its own system: what it says of the derivatives
        tells how far they have converged."""
        return one_order_less(self.result).warping_properties


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
    modulus : Rates of TorsionPeak, optional
        Of -W_T, so that the place of the largest stress counts; that of `rates` first, then places
        that may come to rule after a small change, where the derivative is another. Of those as
        high as far as is known, the difference is in the doubt of W_T.
    """

    rates: Mapping[str, float]
    doubts: Mapping[str, float]
    refused: Mapping[str, str]
    modulus: Rates[TorsionPeak] | None = None


def section_rate(moving: FollowedSection, outline: MovedOutline) -> SectionRate:
    """Derivatives of a solved section to a number that changes its outline."""
    result, rate, step = moving.result, outline.rate, outline.step
    torsion = torsion_rate(result.warping_properties, rate)
    speed = float(np.abs(rate.vertices).max()) / result.section.size()
    every = []
    for section, plan, away in zip(outline.sections, outline.plans, STEPS, strict=True):
        own, area = outline_numbers(section, _perimeter(plan))
        own |= _warped_numbers(result, area, torsion, away * step)
        every.append(own)
    rates = {name: float(derivative([own[name] for own in every], step)) for name in every[0]}
    rates["torsion_constant"] = torsion.torsion_constant
    rates["warping_constant"] = torsion.warping_constant
    rates["shear_centre_x"], rates["shear_centre_y"] = (float(c) for c in torsion.shear_centre)
    lower = torsion_rate(moving.one_order_less, rate)
    doubts = rate_doubts(result, torsion, lower, speed)
    name = "torsion_modulus" if not result.corners else "torsion_modulus_away"
    if why := peak_refused(result):
        return SectionRate(rates, doubts, {name: why})
    modulus = _modulus_rates(moving, rate, torsion, speed)
    first = modulus.each[0]
    rates[name] = -first.rate
    doubts[name] = first.doubt + max(modulus.rises - first.rate, first.rate - modulus.falls)
    return SectionRate(rates, doubts, {}, modulus)


def _modulus_rates(
    moving: FollowedSection, rate: MeshRate, torsion: TorsionRate, speed: float
) -> Rates[TorsionPeak]:
    """Of -W_T, by the largest stress and by others whose derivative is another."""
    result, known = moving.result, moving.result.torsion_modulus.doubt
    phi = stress_function_rate(result.field, moving.stress_system, rate)
    each: list[PeakRate[TorsionPeak]] = []
    for peak in moving.torsion_peaks:
        there, doubt = modulus_rate(result, rate, torsion, phi, peak.at)
        if not each:
            doubt += known * (abs(there) + speed * peak.modulus)
            each.append(PeakRate(peak, -there, AMPLE * doubt))
        own = each[0]
        least = max(own.doubt + AMPLE * doubt, _OTHER * speed * own.peak.modulus)
        if all(abs(there + one.rate) > least for one in each):
            each.append(PeakRate(peak, -there, AMPLE * doubt))
    return Rates(tuple(each), 2 * known)


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
