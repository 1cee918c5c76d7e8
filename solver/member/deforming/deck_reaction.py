"""What decks exert on a member whose sections deform."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..beam.deck_reaction import STATIONS, DeckReaction
from ..beam.equilibrium import about_start
from ..beam.loading import moment_of
from ..model.restraint import Deck
from .holds import deck_rows
from .lobatto import gauss
from .solution import DeformingSolution

Array = NDArray[np.float64]


def deck_reactions(solution: DeformingSolution) -> tuple[DeckReaction, ...]:
    """One row per deck, as the classical theory has them."""
    return tuple(_reaction(solution, d) for d in solution.member.restraints if isinstance(d, Deck))


def _reaction(solution: DeformingSolution, deck: Deck) -> DeckReaction:
    member, nodes = solution.member, solution.field.nodes
    z = np.linspace(deck.start, deck.end, STATIONS)
    along = _acting(solution, deck, z)
    x, weight = gauss(solution.field.order + 3)
    middle = (nodes[1:] + nodes[:-1]) / 2
    own = np.flatnonzero((middle > deck.start) & (middle < deck.end))
    half = np.diff(nodes)[own] / 2
    places = (middle[own, None] + half[:, None] * x).ravel()
    local = _acting(solution, deck, places) * (half[:, None] * weight).ravel()[:, None, None]
    about_axis = local.copy()
    moment = moment_of(np.asarray(member.line), np.moveaxis(local[:, :3], 1, 2))
    about_axis[:, 3:] -= np.moveaxis(moment, 1, 2)
    return DeckReaction(
        deck.title,
        deck.start,
        deck.end,
        z,
        _about_centre(solution, z, along),
        along[:, 0],
        _about_centre(solution, places, local).sum(axis=0),
        local[:, 0].sum(axis=0),
        about_start(member.axis, places, about_axis).sum(axis=0),
    )


def _acting(solution: DeformingSolution, deck: Deck, z: Array) -> Array:
    """(m, 6, c) force and moment per length about the section's origin."""
    _, a, _ = solution.functions(z)
    found = np.zeros((len(z), 6, a.shape[-1]))
    for k, s in enumerate(z):
        rigid = solution.course.part(float(s)).rigid(float(s))
        for row, stiffness in deck_rows(solution.member, solution.grips, deck, float(s)):
            found[k] -= stiffness * np.outer(rigid.T @ row, row @ a[k])
    return found


def _about_centre(solution: DeformingSolution, z: Array, local: Array) -> Array:
    """(m, c) torque about the shear centre."""
    centre = np.array([solution.member.section_at(float(s)).shear_centre for s in z])
    x, y = centre.T[:, :, None]
    return np.asarray(local[:, 5] - x * local[:, 1] + y * local[:, 0])
