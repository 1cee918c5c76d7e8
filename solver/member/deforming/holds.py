"""Supports and restraints as what they hold of the n functions at a node.

Rigid holds are rows whose product with a is zero. Springs, bearings and what has play are contacts
(see `contact`), each a row with a force of its own.

- What holds x and y rigidly and twist too, rigidly, by a spring or after play (a fork, a fixed
  end), holds the in-plane shape of the section: it is a plate or a frame.
- What holds warping rigidly holds all axial motion but that of a plane section.
- Everything held: a = 0.
- The movement of a support's point is that of the material there if the point is given, else of the
  section as a whole; rotations are mean rotations (see `grip`). Springs across and decks whose
  level is given hold the material there.
- A bearing whose level is not given stands under the lowest material at its x.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.outline import lowest_material
from ..beam.contact import Contact
from ..model.member import Member
from ..model.restraint import Deck, LateralSpring
from ..model.secondary_beam import SecondaryBeam
from ..model.support import Bearing, Support
from .element import Element, element_of
from .grip import Grips
from .lobatto import sampled
from .passing import acting_side, facing

Array = NDArray[np.float64]

_ROTATIONS = ("bend_x", "bend_y", "twist")


@dataclass(frozen=True, slots=True, eq=False)
class Holds:
    """What holds the member.

    Attributes
    ----------
    held : dict of node to (r, n)
        Rigid holds.
    shapes : dict of node to (r, n)
        Those of them that hold the in-plane shape.
    fixed : dict of node to (r, n)
        All others; n of them hold everything.
    rows : dict of contact number to (node, (n,))
        Contacts with forces of their own, by their number in the list of contacts.
    plain : dict of title to (node, (r, n))
        Rows of each support's rigid holds, for its reaction.
    clamped : frozenset of node
        Where a support holds the section's shape or its warping: stress has no bound at the corners
        of such a face.
    """

    held: dict[int, Array]
    shapes: dict[int, Array]
    fixed: dict[int, Array]
    rows: dict[int, tuple[int, Array]]
    plain: dict[str, tuple[int, Array]]
    clamped: frozenset[int]


def holds_of(
    member: Member,
    contacts: list[Contact],
    stations: list[float],
    grips: Grips,
    nodes: Array,
) -> Holds:
    """Rigid holds and contacts.

    Parameters
    ----------
    contacts : list of Contact
        Of the classical member, with what was said of each freedom.
    stations : list of float
        Where each of them stands.
    nodes : (k,)
    """
    n = grips.course.size
    rigid: dict[tuple[str, int], list[tuple[str, Array]]] = {}
    turned: set[tuple[str, int]] = set()
    rows: dict[int, tuple[int, Array]] = {}
    for number, (contact, z) in enumerate(zip(contacts, stations, strict=True)):
        node = int(np.argmin(abs(nodes - z)))
        if member.axis.closed and node == len(nodes) - 1:
            node = 0
        support = next((s for s in member.supports if s.title == contact.owner), None)
        own = contact.softness > 0 or contact.one_sided or contact.freedom.startswith("bearing")
        if contact.freedom == "warping" and not own:
            row = grips.course.part(z).shape(z).axial
        else:
            row = _row(member, contact, support, z, grips)
        if contact.freedom == "twist":
            turned.add((contact.owner, node))
        if own:
            rows[number] = (node, row[0])
        else:
            rigid.setdefault((contact.owner, node), []).append((contact.freedom, row))
    held: dict[int, list[Array]] = {}
    fixed: dict[int, list[Array]] = {}
    shapes: dict[int, Array] = {}
    plain: dict[str, tuple[int, Array]] = {}
    for (owner, node), parts in rigid.items():
        stack = [row for _, row in parts]
        words = {word for word, _ in parts}
        if {"x", "y", "z", "bend_x", "bend_y", "twist", "warping"} <= words:
            stack = [np.eye(n)]
        fixed.setdefault(node, []).extend(stack)
        if {"x", "y"} <= words and (owner, node) in turned and len(stack[0]) < n:
            z = float(nodes[node])
            shapes[node] = grips.course.part(z).shape(z).in_plane
            stack.append(shapes[node])
        plain[owner] = (node, np.vstack(stack))
        held.setdefault(node, []).append(plain[owner][1])
    clamped = frozenset(
        node
        for (owner, node), parts in rigid.items()
        if (owner, node) in turned or any(word == "warping" for word, _ in parts)
    )
    whole = {k: np.vstack(v) for k, v in held.items()}
    others = {k: np.vstack(v) for k, v in fixed.items()}
    return Holds(whole, shapes, others, rows, plain, clamped)


def _row(
    member: Member, contact: Contact, support: Support | None, z: float, grips: Grips
) -> Array:
    """(1, n) the motion that a contact feels."""
    side = acting_side(member, z)
    word = contact.freedom
    if word in _ROTATIONS:
        k = _ROTATIONS.index(word)
        return facing(member, z, grips.moment(z, side))[k : k + 1]
    if word == "warping":
        return grips.warping(z, side)
    beam = next((r for r in member.restraints if r.title == contact.owner), None)
    if isinstance(beam, SecondaryBeam):
        up = grips.force(z, beam.place, side)[1:2]
        if word == "y":
            return up
        return facing(member, z, grips.moment(z, side))[2:3] + beam.leverage * up
    point = (contact.point[0] + member.line[0], contact.point[1] + member.line[1])
    if isinstance(beam, LateralSpring) and beam.level is not None:
        rows = np.array(grips.spread_force(z, point, side))
        rows[0] = grips.level(z, point[1], side)[0]
        return facing(member, z, rows)[:1]
    if word.startswith("bearing"):
        assert support is not None
        bearing = support.bearings[int(word.split()[1]) - 1]
        rows = grips.point_force(z, bearing_point(grips, z, bearing, point, side), side)
        return plumbed(member, support, facing(member, z, rows))[1:2]
    k = "xyz".index(word)
    if support is not None and support.point is not None:
        rows = facing(member, z, grips.point_force(z, point, side))
    else:
        rows = facing(member, z, grips.spread_force(z, point, side))
    return plumbed(member, support, rows)[k : k + 1]


def plumbed(member: Member, support: Support | None, rows: Array) -> Array:
    """Rows (3, n) of x, y and z as a support means them."""
    if support is None or not support.plumb:
        return rows
    return np.asarray(member.pitch.plumb @ rows)


def bearing_point(
    grips: Grips, z: float, bearing: Bearing, point: tuple[float, float], side: str
) -> tuple[float, float]:
    """Where a bearing touches the section."""
    if bearing.y is not None:
        return point
    part = grips.course.part(z, side)
    section = part.shape(z)
    return lowest_material(section.material, bearing.x) or point


def deck_energy(member: Member, grips: Grips, a: float, b: float, order: int) -> Array | None:
    """((p + 1) n, (p + 1) n) that decks add to an element from a to b; None where there is none."""
    middle = (a + b) / 2
    found: Array | None = None
    for deck in member.restraints:
        if not isinstance(deck, Deck) or not deck.start < middle < deck.end:
            continue
        x, w, value, _ = sampled(order, order + 1 + 2)
        n = grips.course.size
        total = np.zeros(((order + 1) * n, (order + 1) * n))
        part = grips.course.part(middle)
        for share, weight, shape in zip(x, w, value, strict=True):
            z = a + (b - a) * (1 + share) / 2 if part.tapered is not None else middle
            for row, stiffness in deck_rows(member, grips, deck, z):
                line = np.kron(shape, row)
                total += stiffness * weight * (b - a) / 2 * np.outer(line, line)
        found = total if found is None else found + total
    return found


def deck_rows(member: Member, grips: Grips, deck: Deck, z: float) -> list[tuple[Array, float]]:
    """What a deck feels at a station, and its stiffness per length: twist, and across at its level;
    of the material there, of the section as a whole where no level is given."""
    section = member.section_at(z)
    if deck.level is None:
        turn = grips.moment(z)[2]
        across = grips.spread_force(z, (member.line[0], section.shear_centre[1]))[0]
    else:
        across, turn = grips.level(z, section.height(deck.level))
    rows = [(turn, deck.twist_stiffness), (across, deck.lateral_stiffness)]
    return [(row, k) for row, k in rows if k > 0]


def with_decks(
    elements: Sequence[Element], member: Member, grips: Grips, nodes: Array, order: int
) -> list[Element]:
    """The elements between nodes (k,), those that kept their stiffness with the decks on them."""
    found = []
    made: dict[tuple[int, float, bytes], Element] = {}
    for element, a, b in zip(elements, nodes[:-1], nodes[1:], strict=True):
        more = deck_energy(member, grips, float(a), float(b), order)
        if more is None or a == b:
            found.append(element)
            continue
        key = (id(element), round(float(b - a), 12), more.tobytes()[:4096])
        if key not in made:
            assert element.stiffness is not None
            made[key] = element_of(order, element.stiffness + more)
        found.append(made[key])
    return found
