"""What a secondary beam brings to the member, and what its connection does to the beam itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.solution import Solution
from ..deforming.solution import DeformingSolution
from ..model.secondary_beam import SecondaryBeam

Array = NDArray[np.float64]

#: Places along a secondary beam at which its moment and deflection are looked for.
PLACES = 401


@dataclass(frozen=True, slots=True, eq=False)
class SecondaryState:
    """One secondary beam under c combinations; every array is (c,).

    Attributes
    ----------
    title : str
    at : float
    force : upward force on the member at the connection, negative where the beam bears on it
    moment : M about z on the member at the connection
    elastic : the part of `force` that comes of the end moment and of the member's deflection
    end_moment : moment in the beam at the connection, sagging positive
    far_moment : the same at its far end
    span_moment : largest sagging moment of the beam
    pinned_span_moment : the same if the connection were a pin at the same deflection
    deflection, pinned_deflection : largest deflection from the line between its ends
    far_force : upward reaction at its far end
    """

    title: str
    at: float
    force: Array
    moment: Array
    elastic: Array
    end_moment: Array
    far_moment: Array
    span_moment: Array
    pinned_span_moment: Array
    deflection: Array
    pinned_deflection: Array
    far_force: Array


def secondary_states(solution: Solution | DeformingSolution) -> tuple[SecondaryState, ...]:
    """One row per secondary beam that has its span and load."""
    if isinstance(solution, Solution):
        member, push = solution.mesh.member, solution.states.push
    else:
        member, push = solution.member, solution.push
    found = []
    for beam in member.restraints:
        if not isinstance(beam, SecondaryBeam):
            continue
        load = np.array([beam.load_of(c.factors) for c in member.combined])
        moment, elastic = np.zeros(len(load)), np.zeros(len(load))
        for contact, force in zip(solution.contacts, push, strict=True):
            if contact.owner == beam.title:
                elastic += contact.direction[1] * force
                if contact.freedom == "connection":
                    moment += force
        v = solution.movement(beam.place, [beam.at])[1][0]
        found.append(state_of(beam, load, moment, elastic, v))
    return tuple(found)


def state_of(
    beam: SecondaryBeam, load: Array, moment: Array, elastic: Array, v: Array
) -> SecondaryState:
    """From the uniform load, the actions on the member and its deflection at the connection."""
    force = elastic - beam.pinned_reaction(1.0) * load
    span, end, deflection = _bent(beam, load, beam.sign * moment, -force)
    loose = beam.pinned_reaction(1.0) * load + beam.vertical_stiffness * v
    free, _, pinned = _bent(beam, load, np.zeros_like(load), loose)
    return SecondaryState(
        beam.title,
        beam.at,
        force,
        moment,
        elastic,
        beam.sign * moment,
        end,
        span,
        free,
        deflection,
        pinned,
        load * beam.length + force,
    )


def _bent(
    beam: SecondaryBeam, load: Array, first: Array, shear: Array
) -> tuple[Array, Array, Array]:
    """Largest sagging moment, far moment, and largest deflection from the chord.

    From the near end m = m_0 + V x - w x^2 / 2 and E I y'' = m; the chord takes out v and the
    slope, so that y - chord = (m_0 x (x - L) / 2 + V x (x^2 - L^2) / 6 - w x (x^3 - L^3) / 24)
    / (E I).
    """
    length = beam.length
    x = np.linspace(0.0, length, PLACES)[:, None]
    bending = first + shear * x - load * x**2 / 2
    bow = first * x * (x - length) / 2 + shear * x * (x**2 - length**2) / 6
    bow = (bow - load * x * (x**3 - length**3) / 24) / beam.rigidity
    worst = np.abs(bow).argmax(axis=0)
    return bending.max(axis=0), bending[-1], bow[worst, np.arange(bow.shape[1])]
