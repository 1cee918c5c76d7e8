"""What decks exert on the member along their length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.restraint import Deck
from .equilibrium import about_start, gauss_stations
from .solution import Solution

Array = NDArray[np.float64]

#: Stations along a deck at which its forces are told.
STATIONS = 41


@dataclass(frozen=True, slots=True, eq=False)
class DeckReaction:
    """Forces per length that a deck exerts on the member, for c combinations.

    Attributes
    ----------
    title : str
    start, end : float
    z : (m,)
    torque : (m, c)
        Per length, about the shear centre: the deck's own moment and that of its lateral force.
    across : (m, c)
        Force per length along x, at the deck's level.
    total_torque, total_across : (c,)
        Summed along the deck.
    sums : (6, c)
        Force and moment about the member's start, in the frame there.
    """

    title: str
    start: float
    end: float
    z: Array
    torque: Array
    across: Array
    total_torque: Array
    total_across: Array
    sums: Array


def deck_reactions(solution: Solution) -> tuple[DeckReaction, ...]:
    """One row per deck of the classical member."""
    member = solution.mesh.member
    return tuple(_reaction(solution, d) for d in member.restraints if isinstance(d, Deck))


def _reaction(solution: Solution, deck: Deck) -> DeckReaction:
    mesh = solution.mesh
    z = np.linspace(deck.start, deck.end, STATIONS)
    across, twist, level = _acting(solution, deck, z)
    element, s, step = gauss_stations(mesh)
    middle = mesh.nodes[:-1] + mesh.length / 2
    own = np.flatnonzero(((middle > deck.start) & (middle < deck.end))[element])
    places = mesh.nodes[element[own]] + s[own]
    weight = step[own, None]
    force, moment, height = (a * weight for a in _acting(solution, deck, places))
    height = height / weight
    local = np.zeros((len(own), 6, len(solution.names)))
    local[:, 0] = force
    local[:, 5] = moment - (height - mesh.member.line[1]) * force
    centre, there = _centres(solution, z), _centres(solution, places)
    return DeckReaction(
        deck.title,
        deck.start,
        deck.end,
        z,
        twist - (level - centre) * across,
        across,
        (moment - (height - there) * force).sum(axis=0),
        force.sum(axis=0),
        about_start(mesh.member.axis, places, local).sum(axis=0),
    )


def _acting(solution: Solution, deck: Deck, z: Array) -> tuple[Array, Array, Array]:
    """Force across and own moment per length (m, c), and the deck's level (m, 1)."""
    member = solution.mesh.member
    element, state = solution.states_at(z)
    centre = solution.mesh.stiffness.shear_centre[solution.mesh.kind[element], 1]
    level = centre + member.line[1]
    if deck.level is not None:
        heights = np.array([s.height(deck.level) for s in solution.mesh.sections])
        level = heights[solution.mesh.kind[element]]
    arm = (level - member.line[1])[:, None]
    across = -deck.lateral_stiffness * (state[:, 0] - arm * state[:, 5])
    return across, -deck.twist_stiffness * state[:, 5], level[:, None]


def _centres(solution: Solution, z: Array) -> Array:
    """(m, 1) height of the shear centre."""
    member = solution.mesh.member
    return np.array([[member.section_at(float(s)).shear_centre[1]] for s in z])
