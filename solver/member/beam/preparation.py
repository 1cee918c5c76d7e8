"""A member made ready for its equations: contacts that mean something, loads by combination."""

from __future__ import annotations

import numpy as np

from ....geometry.errors import InputError
from .contact import BOTH, Contact, contacts_of, held_row, support_point
from .loading import Loading, loading_of
from .mechanism import check_held
from .mesh import Mesh
from .system import warping_nodes
from .twopoint import Elements


def combined_loading(mesh: Mesh, elements: Elements) -> Loading:
    """Loads of every combination on a mesh."""
    member = mesh.member
    cases = loading_of(mesh)
    bare = ~warping_nodes(mesh, elements)
    if np.any(cases.nodal[bare, 6]):
        raise InputError(
            "a bimoment is applied where the section does not warp; give C_w or drop it"
        )
    combinations = member.combined
    factors = [[c.factors.get(case, 0.0) for c in combinations] for case in member.cases]
    return cases.combined(tuple(c.name for c in combinations), np.array(factors, float))


def active_contacts(mesh: Mesh, elements: Elements) -> tuple[list[Contact], list[str]]:
    """Contacts of the member, and notes on what was changed.

    Holds of warping where no section warps are left out. A member that nobody said how to hold
    along its length is held at its first support. Mechanisms raise `InputError`.
    """
    member = mesh.member
    warping = warping_nodes(mesh, elements)
    notes: list[str] = []
    contacts: list[Contact] = []
    for contact in contacts_of(mesh):
        if contact.freedom == "warping" and not warping[contact.node]:
            notes.append(
                f"{contact.owner}: warping is held where the section does not warp; no effect"
            )
        else:
            contacts.append(contact)
    unsaid = [s for s in member.supports if s.z is None]
    if unsaid and all(s.z in (None, "free", 0) for s in member.supports):
        first = min(unsaid, key=lambda s: s.at)
        point = support_point(mesh, first)
        row = held_row(member, first, "z", point)
        node = mesh.node_of(first.at)
        contacts.append(Contact(node, row, 0.0, 0.0, 0.0, first.title, "z", point))
        notes.append(f"no support is said to hold the member along its length: {first.title} does")
    check_held(mesh, contacts, [BOTH] * len(contacts))
    return contacts, notes
