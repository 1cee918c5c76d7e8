"""What decks hold: the reaction of springs spread along the member, and its sum."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.model.restraint import Deck

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DeckReaction:
    """Sum of what one deck exerts on the member.

    `torque` (c,) about the shear centre and `lateral` (c,) force across, in the local frame of each
    station, for c combinations; `largest_torque` (c,) is the largest torque per length.
    """

    title: str
    torque: Array
    lateral: Array
    largest_torque: Array


def deck_intensity(solution: Solution, deck: Deck, z: ArrayLike) -> tuple[Array, Array]:
    """Force across and torque about the shear centre, per length, on the member at stations (m, c).

    Force -k (u - y phi) at the deck's level, torque -k_t phi plus that of the force.
    """
    z = np.atleast_1d(np.asarray(z, float))
    member = solution.mesh.member
    centre = np.array([member.section_at(float(s)).shear_centre[1] for s in z])
    level = centre if deck.level is None else np.full(len(z), deck.level)
    _, state = solution.states_at(z)
    phi = state[:, 5]
    across = state[:, 0] - (level - member.line[1])[:, None] * phi
    force = -deck.lateral_stiffness * across
    return force, -deck.twist_stiffness * phi - (level - centre)[:, None] * force


def deck_reactions(solution: Solution, parts: int = 10) -> tuple[DeckReaction, ...]:
    """One row per deck, by Gauss quadrature of `parts` points in every element."""
    x, weight = np.polynomial.legendre.leggauss(parts)
    mesh = solution.mesh
    rows = []
    for deck in mesh.member.restraints:
        if not isinstance(deck, Deck):
            continue
        middle = (mesh.nodes[1:] + mesh.nodes[:-1]) / 2
        on = (middle > deck.start) & (middle < deck.end)
        z = (mesh.nodes[:-1][on, None] + mesh.length[on, None] * (1 + x) / 2).ravel()
        step = (mesh.length[on, None] * weight / 2).ravel()
        force, torque = deck_intensity(solution, deck, z)
        rows.append(
            DeckReaction(deck.title, step @ torque, step @ force, np.abs(torque).max(axis=0))
        )
    return tuple(rows)
