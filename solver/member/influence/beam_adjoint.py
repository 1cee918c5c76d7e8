"""Adjoint fields of the classical beam: exact elements, so exact influence lines.

- Twist, displacement: the movement that a unit action there produces (Maxwell, Betti).
- A reaction: the movement when its support moves by one, unloaded.
- An internal force: the movement when a unit jump opens there (Mueller-Breslau).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.contact import BOTH, deflection_row
from ..beam.factor import factorised
from ..beam.mesh import Mesh, mesh_of
from ..beam.preparation import active_contacts
from ..beam.system import States, system_of
from ..beam.twopoint import Elements, elements_of, interior_states
from ..deforming.amplitude import Amplitudes
from ..model.load import Where
from ..model.member import SAME_STATION, Member
from .asked import DISPLACEMENTS, ROTATIONS, AskedResult, motion_of
from .line_ordinates import LineOrdinates, above, across, fitted

Array = NDArray[np.float64]

#: Orders of the polynomials that stand for exact lines in searches, and how near they must be, as a
#: share of each line's largest.
ORDERS, NEAR = (8, 20, 40), 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class BeamField:
    """Influence of a vertical unit load, downward, on c results: `sign` (c,) of the movement."""

    mesh: Mesh
    elements: Elements
    states: States
    sign: Array
    quantities: tuple[str, ...]
    notes: tuple[str, ...]
    _known: dict[Where, BeamLine] = field(default_factory=dict)

    @property
    def nodes(self) -> Array:
        """Stations between which the lines are smooth."""
        return self.mesh.nodes

    def on(self, place: Where) -> BeamLine:
        """The lines of all results for a load at a place of stations."""
        if place not in self._known:
            self._known[place] = BeamLine(self, place, self._fitted(place))
        return self._known[place]

    def _fitted(self, place: Where) -> LineOrdinates | None:
        """Polynomials, where they follow the lines to rounding: not over many characteristic
        lengths of warping."""
        nodes = self.nodes

        def values(z: Array) -> Array:
            return self.ordinates(z, place)

        z = (nodes[:-1, None] + np.diff(nodes)[:, None] * np.array([0.013, 0.31, 0.987])).ravel()
        exact = values(z)
        size = np.abs(exact).max(axis=0)
        # What is none beside others of its quantity is rounding.
        kind = np.array(self.quantities)
        size = np.array([size[kind == own].max() for own in kind])
        for order in ORDERS:
            own = fitted(nodes, order, values)[:, :, None]
            found = LineOrdinates(Amplitudes(nodes, own))
            if (np.abs(found.at(z) - exact) <= NEAR * size).all():
                return found
        return None

    def ordinates(self, z: Array, place: Where, side: str = "right") -> Array:
        """(m, c) results of a load at a place of stations z (m,)."""
        element, s = self.mesh.locate(z, side)
        none = np.zeros((len(z), 6, len(self.sign)))
        state = interior_states(
            self.elements, element, s,
            (self.states.start[element], self.states.end[element]), (none, none),
        )  # fmt: skip
        member = self.mesh.member
        x = (across(member, place, z) - member.line[0])[:, None]
        up = state[:, 1] + x * state[:, 5]
        if not member.pitch.level:
            y = (above(member, place, z) - member.line[1])[:, None]
            moved = (
                state[:, 0] - y * state[:, 5],
                up,
                state[:, 2] + y * state[:, 3] - x * state[:, 4],
            )
            up = -np.einsum("d,dmc->mc", member.pitch.down, moved)
        return np.asarray(up * self.sign)


@dataclass(frozen=True, slots=True, eq=False)
class BeamLine:
    """Ordinates of c results on a line of the section."""

    field: BeamField
    place: Where
    polynomials: LineOrdinates | None

    def at(self, z: Array, side: str = "right") -> Array:
        """(m, c) results of a unit load, downward, at stations z (m,)."""
        return self.field.ordinates(z, self.place, side)

    def single(self, z: Array, result: NDArray[np.intp], side: str = "right") -> Array:
        """(m,) one result at each station."""
        if self.polynomials is not None:
            return self.polynomials.single(z, result, side)
        return np.asarray(self.at(z, side)[np.arange(len(z)), result])


def beam_field(member: Member, asked: Sequence[AskedResult]) -> BeamField:
    """One factorisation, one solve a result.

    Bearings that may lift and connections with slip are taken as shut.

    Raises
    ------
    InputError
        A stress, or a bimoment where the section does not warp.
    """
    mesh = mesh_of(member, extra=[one.at for one in asked])
    elements = elements_of(mesh)
    contacts, notes = active_contacts(mesh, elements)
    count, n = len(asked), len(mesh.length)
    nodal = np.zeros((mesh.count, 7, count))
    jump = np.zeros((n, 7, count))
    shift = np.zeros((len(contacts), count))
    sign = np.full(count, -1.0)
    line = np.asarray(member.line)
    for c, one in enumerate(asked):
        section = member.section_at(one.at)
        node = mesh.node_of(one.at)
        beyond = int(mesh.locate(np.array([one.at]))[0][0])
        centres = np.asarray(section.centroid) - line, np.asarray(section.shear_centre) - line
        if one.kind in ("action", "seat"):
            if one.at >= member.length * (1 - SAME_STATION) and not mesh.closed:
                raise InputError(
                    f"{one.title}: ask for it a little before the member's end, where loads come "
                    "from both sides; at the end itself it is the support's reaction"
                )
            if one.component == "B":
                if not elements.warps[beyond]:
                    raise InputError(f"{one.title}: the section does not warp there, B is zero")
                jump[beyond, 6, c] = -1.0
            else:
                jump[beyond, :6, c] = motion_of(member, one, *centres)
        elif one.kind in ("reaction", "bearing"):
            sign[c] = 1.0
            motion = np.append(motion_of(member, one, *centres), 0.0)
            for k, contact in enumerate(contacts):
                if contact.owner != one.owner:
                    continue
                if one.kind == "reaction":
                    shift[k, c] = float(np.dot(contact.direction, motion))
                elif contact.freedom == f"bearing {one.number}":
                    shift[k, c] = 1.0
        elif one.kind == "twist":
            nodal[node, 5, c] = 1.0
        elif one.kind == "rotation":
            nodal[node, 3 + ROTATIONS.index(one.component), c] = 1.0
        elif one.kind == "displacement":
            x, y = np.subtract(member.locate(one.place, section), line)
            axis = "xyz"[DISPLACEMENTS.index(one.component)]
            nodal[node, :, c] = deflection_row(axis, (float(x), float(y)))
        else:
            raise InputError(
                f"{one.title}: influence lines of stress need sections that deform; "
                "ask for M_x, T or B instead"
            )
    still = np.zeros((n, 6, count))
    factor = factorised(system_of(mesh, elements, contacts), [BOTH] * len(contacts))
    # Contacts with play are taken as shut in both directions, at the middle of their play.
    states = factor.solve(still, still, nodal, shift, jump)
    quantities = tuple(one.quantity for one in asked)
    return BeamField(mesh, elements, states, sign, quantities, tuple(notes))
