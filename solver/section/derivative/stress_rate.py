"""Derivative of the largest stress of a section under any actions, where it is bounded.

The largest stress lies in the section's inside or along an edge where it is stationary, or at an
end of an edge that moves along: so its derivative is that of the stress at the place as it moves
with the mesh, whichever way the mesh is moved. (For the envelope of places see
`member.derivative.peak`.)
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ....geometry.section import Section
from ..elements.basis import places_at
from ..elements.integrals import stations_of
from ..mesh.section_mesh import Array
from ..stress.components import Component
from ..stress.extremes import Search, Spot
from ..stress.unit_stress import UnitStress
from ..torsion.peak import LEFT_OUT
from .difference import STEPS, derivative
from .section_motion import SectionMotion

#: A place this near to what is left out around a corner lies at its edge.
AT_EDGE = 1.05


def unit_stress_at(units: UnitStress, spot: Spot) -> tuple[Array, Array]:
    """sigma (8,) and tau (8, 2) of the unit actions at a place of the mesh."""
    one = np.array([spot.triangle])
    places = places_at(units.field.order, np.array([spot.xi]), np.array([spot.eta]))
    arrays = units.evaluate(stations_of(units.field.mesh, one, *places), one)
    return arrays.sigma[:, 0, 0], arrays.tau[:, 0, 0]


def stress_at(units: UnitStress, spot: Spot, actions: Array, component: Component) -> Array:
    """(...) the component at a place of the mesh under actions (..., 8)."""
    sigma, tau = unit_stress_at(units, spot)
    return component.of(actions @ sigma, actions @ tau)


def spot_refused(search: Search, spot: Spot, actions: Array, component: Component) -> str:
    """Why the stress at a place has no derivative; "" where it has one."""
    if not (component.sheared and np.any(actions[3:7])):
        return ""
    for corner in search.corners:
        apart = np.hypot(spot.at[0] - corner.point[0], spot.at[1] - corner.point[1])
        if apart < AT_EDGE * LEFT_OUT * corner.clearance:
            return (
                "the largest stress lies at the edge of what is left out around a sharp corner; "
                "enter the corner's real fillet"
            )
    return ""


def spot_rate(
    motion: SectionMotion,
    sections: Sequence[Section],
    step: float,
    spot: Spot,
    actions: Array,
    component: Component,
) -> float:
    """Derivative of the stress at a place that moves with the mesh, under an (8,) action vector
    that stays.

    Parameters
    ----------
    sections : sequence of Section
        As for `section_motion`.
    step : float
    """
    values = [
        float(stress_at(motion.at(k * step, one), spot, actions, component))
        for k, one in zip(STEPS, sections, strict=True)
    ]
    return float(derivative(values, step))
