"""The stress of a section at a place that moves with its mesh, under any actions.

Where it is bounded the largest stress lies in the section's inside or along an edge where it is
stationary, or at an end of an edge that moves along: so its derivative is that of the stress at the
place as it moves with the mesh, whichever way the mesh is moved (see `section_motion`; for the
envelope of places see `largest`).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..elements.basis import places_at
from ..elements.integrals import stations_of
from ..mesh.section_mesh import Array
from ..stress.components import Component
from ..stress.extremes import Search, Spot
from ..stress.unit_stress import UnitStress
from .peak_rate import edge_refused


def unit_at(units: UnitStress, spot: Spot) -> tuple[Array, Array]:
    """sigma (8,) and tau (8, 2) of the unit actions at a place of the mesh."""
    one = np.array([spot.triangle])
    places = places_at(units.field.order, np.array([spot.xi]), np.array([spot.eta]))
    arrays = units.evaluate(stations_of(units.field.mesh, one, *places), one)
    return arrays.sigma[:, 0, 0], arrays.tau[:, 0, 0]


def stress_at(units: UnitStress, spot: Spot, actions: Array, component: Component) -> Array:
    """(...) the component at a place of the mesh under actions (..., 8)."""
    sigma, tau = unit_at(units, spot)
    return component.of(actions @ sigma, actions @ tau)


def spot_refused(search: Search, at: Sequence[float], actions: Array, component: Component) -> str:
    """Why the largest stress at a place (x, y) has no derivative; "" where it has one."""
    if not search.leaves_out(actions, component):
        return ""
    return edge_refused(at, search.corners)
