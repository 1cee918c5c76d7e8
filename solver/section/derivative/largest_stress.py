"""The largest stresses of a section under load cases, and how fast they change with a number of its
outline: each at its place, which moves with the mesh (see `stress_rate`), beside the other places
that are nearly as high (see `largest`)."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from ..mesh.section_mesh import Array
from ..stress.actions import Actions
from ..stress.components import COMPONENTS, Component
from ..stress.extremes import Extreme, Search, Spot
from ..stress.load_cases import StressResult
from ..stress.unit_stress import UnitStress
from .difference import STEPS
from .largest import EQUAL, NEAR, PeakRate, Rates
from .mesh_rate import MovedOutline
from .section_motion import section_motion
from .section_rate import FollowedSection
from .stress_rate import spot_refused, unit_at

#: Factors on how far two orders put a derivative apart, and on how far the value has not converged
#: while the outline moves by its own size: of 968 elasticities of 24 random sections, 220 of these
#: of composites, beside sections solved anew to 1e-9 no error was more than 0.95 of what follows
#: and the reference's own doubt together (ten where two places tie apart; 30 November 2026).
ORDERS_APART, AMPLE = 10.0, 10.0
#: The place of a peak is found to so much of a triangle, however exact the stress.
LEAST = 1e-6
#: So far the stresses' change between orders is to fall first: derivatives are less exact.
SETTLED = 2e-4


@dataclass(frozen=True, slots=True)
class LargestStress:
    """An extreme of a stress component under a load case.

    Attributes
    ----------
    actions : Actions
    component : Component
    side : int
        +1 for the largest, -1 for the smallest value.
    extreme : Extreme
    spots : tuple of Spot
        Its place and others within `largest.NEAR` of it, the highest first; their values are times
        the side, so that the largest counts.
    refused : str
        Why it has no derivative; "" where it has one.
    """

    actions: Actions
    component: Component
    side: int
    extreme: Extreme
    spots: tuple[Spot, ...]
    refused: str = ""

    @property
    def value(self) -> float:
        """The extreme, as it is reported."""
        return self.extreme.value

    @property
    def equal(self) -> float:
        """Places within this share of it may be as high."""
        return min(max(EQUAL, self.extreme.change), NEAR)


def largest_stresses(stress: StressResult) -> tuple[LargestStress, ...]:
    """All that a section's stresses report, but what is rounding."""
    search, found = Search.over(stress.units), []
    for case in stress.cases:
        for extreme in case.extremes:
            if not case.counts(extreme):
                continue
            component, side = COMPONENTS[extreme.component], extreme.side
            spots = [
                replace(spot, value=side * spot.value)
                for spot in search.peaks(case.vector, component, side, NEAR)
            ]
            refused = partial(spot_refused, search, actions=case.vector, component=component)
            why = refused(extreme.at) or refused(spots[0].at)
            kept = (spots[0], *(spot for spot in spots[1:] if not refused(spot.at)))
            one = LargestStress(case.actions, component, side, extreme, kept, why)
            found.append(one)
    return tuple(found)


@dataclass(frozen=True, eq=False)
class MovingStresses:
    """The largest stresses of a section whose mesh follows its outline.

    Attributes
    ----------
    stresses : tuple of LargestStress
    moving : FollowedSection
        Of the section that the stresses were solved on.
    units : UnitStress
        Its unit stresses; those by one order less tell how far derivatives have converged.
    """

    stresses: tuple[LargestStress, ...]
    moving: FollowedSection
    units: UnitStress

    def rates(self, outline: MovedOutline) -> tuple[Rates[Spot] | None, ...]:
        """Derivatives of all the stresses to a number that changes the section's outline, times
        their side; None where one is refused."""
        lower = self.units.lower_order
        less = FollowedSection(lower.result, self.moving.following)
        one = _Moved.by(self.moving, self.units, outline)
        two = _Moved.by(less, lower, outline)
        speed = float(np.abs(outline.central_rate.vertices).max()) / lower.result.section.size()
        return tuple(
            None if stress.refused else _rates(stress, one, two, speed) for stress in self.stresses
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Moved:
    """A section moved to first order at every step, and the unit stresses at places asked for."""

    units: tuple[UnitStress, ...]
    step: float
    known: dict[Spot, list[tuple[Array, Array]]] = field(default_factory=dict)

    @classmethod
    def by(cls, moving: FollowedSection, units: UnitStress, outline: MovedOutline) -> _Moved:
        motion, step = section_motion(moving, units, outline), outline.step
        moved = [motion.at(k * step, one) for k, one in zip(STEPS, outline.sections, strict=True)]
        return cls(tuple(moved), step)

    def rate(self, stress: LargestStress, spot: Spot) -> PeakRate[Spot]:
        """Derivative of a stress at a place."""
        place = replace(spot, value=0.0)
        if place not in self.known:
            self.known[place] = [unit_at(one, spot) for one in self.units]
        values = []
        for one, (sigma, tau) in zip(self.units, self.known[place], strict=True):
            # the shear's line stands still, the shear centre does not
            vector = stress.actions.vector(one.result.shear_centre)
            value = stress.component.of(vector @ sigma, vector @ tau)
            values.append(stress.side * float(value))
        return PeakRate.of(spot, values, self.step)


def _rates(stress: LargestStress, own: _Moved, lower: _Moved, speed: float) -> Rates[Spot]:
    each = []
    for spot in stress.spots:
        found = own.rate(stress, spot)
        apart = abs(found.rate - lower.rate(stress, spot).rate)
        missed = abs(stress.spots[0].value - stress.side * stress.value) / abs(stress.value)
        off = max(stress.extreme.change, missed, LEAST)
        unsettled = off * (abs(found.rate) + speed * abs(spot.value))
        doubt = found.doubt + ORDERS_APART * apart + AMPLE * unsettled
        each.append(replace(found, doubt=doubt))
    return Rates(tuple(each), stress.equal)
