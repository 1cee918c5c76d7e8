"""Whether a member can move without straining, and which way, in words.

Every element strains under anything but a rigid movement of the whole, and of the pieces beyond
each hinge by what the hinge frees; so it is enough to ask which of these the contacts and decks let
pass.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..model.hinge import PASSED
from .contact import OPEN, TURNING, Contact, deflection_row, rotation_row
from .mesh import Mesh

Array = NDArray[np.float64]

# Rank decisions on rows of order one: far above rounding, far below any support geometry that is
# built.
RANK = 1e-9

_WORDS = {
    "twist": (
        "nothing restrains the twist at either end: the member would rotate freely about its "
        "length; restrain the twist at one support at least"
    ),
    "tip": (
        "nothing restrains the twist: the curved member would tip about the line through its "
        "supports; restrain the twist at one support at least, for example by two bearings"
    ),
    "y": "nothing holds the member up (y): add a support that holds y",
    "x": "nothing holds the member across (x): add a support that holds x",
    "z": "nothing holds the member along its length (z): hold z at one support",
    "bend_x": (
        "the member would swing up and down about what holds it up: "
        "hold y at a further station off that line, or bend_x at a support"
    ),
    "bend_y": (
        "the member would swing sideways: hold x at a second station, or bend_y at a support"
    ),
}

_PARTED = {
    "x": "sliding past each other sideways",
    "y": "sliding past each other up and down",
    "z": "moving apart along the member",
    "bend_x": "folding up and down",
    "bend_y": "folding sideways",
    "twist": "turning against each other about the member's length",
}


def rigid_movements(mesh: Mesh, nodes: NDArray[np.intp]) -> Array:
    """(6 + h, len(nodes), 7) local movements of nodes under the six rigid movements of the whole
    member and the h freedoms of its hinges.

    Three translations along x, y, z of the start's frame, three rotations about them through the
    start, the latter per member length so that all are comparable. A freedom of a hinge moves all
    nodes beyond it; the last node of a ring, `count`, is its first, reached along the ring.
    """
    length = mesh.member.length
    x, z, heading = mesh.member.axis.plan(mesh.nodes[nodes])
    cos, sin = np.cos(heading), np.sin(heading)
    zero, one = np.zeros_like(x), np.ones_like(x)
    frame = np.array([[cos, zero, -sin], [zero, one, zero], [sin, zero, cos]])
    place = np.array([x, zero, z]).T
    found = np.zeros((6, len(nodes), 7))
    for a in range(3):
        unit = np.zeros(3)
        unit[a] = 1.0
        found[a, :, :3] = np.einsum("ijn,j->ni", frame, unit)
        found[3 + a, :, :3] = np.einsum("ijn,nj->ni", frame, np.cross(unit, place)) / length
        found[3 + a, :, 3:6] = np.einsum("ijn,j->ni", frame, unit) / length
    opened = [_opened(mesh, e, row, nodes, frame, place) for e, row in _hinge_freedoms(mesh)]
    return np.concatenate([found, *(o[None] for o in opened)])


def _hinge_freedoms(mesh: Mesh) -> list[tuple[int, int]]:
    """(element, freedom) of all that hinges leave free."""
    return [
        (int(e), int(k))
        for e in np.flatnonzero(mesh.joint >= 0)
        for k in np.flatnonzero(mesh.junctions[mesh.joint[e]].springs == 0)
    ]


def _opened(
    mesh: Mesh, e: int, freedom: int, nodes: NDArray[np.intp], frame: Array, place: Array
) -> Array:
    """(len(nodes), 7) movements when all that lies beyond a hinge moves by one of its freedoms."""
    unit = mesh.junctions[mesh.joint[e]].movements[:, freedom]
    x, z, heading = (float(v[0]) for v in mesh.member.axis.plan(mesh.nodes[[e]]))
    cos, sin = np.cos(heading), np.sin(heading)
    back = np.array([[cos, 0.0, sin], [0.0, 1.0, 0.0], [-sin, 0.0, cos]])
    moved, turned = back @ unit[:3], back @ unit[3:]
    if freedom > 2:
        moved, turned = moved / mesh.member.length, turned / mesh.member.length
    beyond = np.flatnonzero(nodes > e)
    arm = place[beyond] - [x, 0.0, z]
    found = np.zeros((len(nodes), 7))
    own = frame[:, :, beyond]
    found[beyond, :3] = np.einsum("ijn,nj->ni", own, moved + np.cross(turned, arm))
    found[beyond, 3:6] = np.einsum("ijn,j->ni", own, turned)
    return found


def hold_matrix(mesh: Mesh, contacts: Sequence[Contact], engaged: Sequence[int]) -> Array:
    """(rows, 6 + h): what each engaged contact and each deck element feels of the rigid movements,
    and that a ring stays closed."""
    length = mesh.member.length
    shut = [c for c, s in zip(contacts, engaged, strict=True) if s != OPEN]
    rows = np.zeros((0, 6 + len(_hinge_freedoms(mesh))))
    if mesh.closed and rows.shape[1] > 6:
        rows = _gap(mesh)
    if shut:
        movement = rigid_movements(mesh, np.array([c.node for c in shut]))
        felt = np.einsum("anb,nb->na", movement, np.array([c.direction for c in shut]))
        # Rotations count per length already; bring deflections and rotations to one size.
        turns = np.array([c.freedom in ("bend_x", "bend_y", "warping", *TURNING) for c in shut])
        felt[turns] *= length
        rows = np.vstack([rows, felt])
    decks = np.flatnonzero(mesh.foundation.any(axis=1))
    if len(decks):
        movement = rigid_movements(mesh, decks[[0, -1]])
        springs = mesh.foundation[decks[[0, -1]]]
        for n in range(2):
            across, coupling, twist = springs[n]
            energy = np.array([[across, coupling / length], [coupling / length, twist / length**2]])
            energy /= np.abs(energy).max()
            seen = movement[:, n, [0, 5]] * [1.0, length]
            values, vectors = np.linalg.eigh(energy)
            rows = np.vstack([rows, (np.sqrt(np.maximum(values, 0.0)) * (seen @ vectors)).T])
    return rows


def _gap(mesh: Mesh) -> Array:
    """(6, 6 + h) by how much the end of a ring would leave its start."""
    found = rigid_movements(mesh, np.array([mesh.count]))[:, 0, :6].T
    found[:, :6] = 0.0
    found[3:] *= mesh.member.length
    return found


def missing_holds(mesh: Mesh, contacts: Sequence[Contact], engaged: Sequence[int]) -> list[str]:
    """Names of holds ("twist", "tip", "x", ...) that would stop the movements still free; empty
    when none is. What hinges let go comes after it, as (freedom, title of the hinge)."""
    everything = hold_matrix(mesh, contacts, engaged)
    rows = everything[:, :6]
    missing: list[str] = []
    supports = sorted(mesh.member.supports, key=lambda s: s.at)
    first = supports[0].at if supports else 0.0
    last = supports[-1].at if len(supports) > 1 else mesh.member.length
    nodes = np.array([mesh.node_of(first), mesh.node_of(last)])
    movement = rigid_movements(mesh, nodes)[:6]
    length = mesh.member.length
    # Twist first: a member that rolls would also be stopped by y or x off the line it rolls about,
    # which is not what its user forgot.
    candidates = [
        ("twist", 0, rotation_row("twist"), length),
        ("y", 0, deflection_row("y", (0.0, 0.0)), 1.0),
        ("x", 0, deflection_row("x", (0.0, 0.0)), 1.0),
        ("z", 0, deflection_row("z", (0.0, 0.0)), 1.0),
        ("bend_x", 1, deflection_row("y", (0.0, 0.0)), 1.0),
        ("bend_y", 1, deflection_row("x", (0.0, 0.0)), 1.0),
        ("bend_x", 0, rotation_row("bend_x"), length),
        ("bend_y", 0, rotation_row("bend_y"), length),
    ]
    for name, node, direction, size in candidates:
        rank = _rank(rows)
        if rank == 6:
            break
        row = movement[:, node] @ np.asarray(direction) * size
        longer = np.vstack([rows, row])
        if _rank(longer) > rank:
            rows = longer
            missing.append("tip" if name == "twist" and mesh.member.axis.curved else name)
    return missing or _parted(mesh, everything)


def _parted(mesh: Mesh, rows: Array) -> list[str]:
    """What hinges leave loose where the member as a whole is held: the freedoms that would have to
    be passed on, the last ones first since a piece beyond is more often the loose one."""
    freedoms = _hinge_freedoms(mesh)
    missing = []
    for n in reversed(range(len(freedoms))):
        rank = _rank(rows)
        if rank == rows.shape[1]:
            break
        shut = np.zeros((1, rows.shape[1]))
        shut[0, 6 + n] = 1.0
        if _rank(np.vstack([rows, shut])) > rank:
            rows = np.vstack([rows, shut])
            e, k = freedoms[n]
            missing.append(f"{PASSED[k]} {mesh.junctions[mesh.joint[e]].title}")
    return missing


def missing_words(word: str) -> str:
    """A missing hold in words."""
    if word in _WORDS:
        return _WORDS[word]
    freedom, title = word.split(" ", 1)
    return (
        f"{title} frees {freedom}, and nothing else stops the pieces it joins from "
        f"{_PARTED[freedom]} there; hold the loose piece at a further station or by a support that "
        f"holds {freedom}, or let the hinge pass {freedom} on"
    )


def check_held(mesh: Mesh, contacts: Sequence[Contact], engaged: Sequence[int]) -> None:
    """Raise `InputError` that names every free movement."""
    missing = missing_holds(mesh, contacts, engaged)
    if missing:
        raise InputError(f"mechanism: {'; '.join(missing_words(m) for m in missing)}")


def _rank(rows: Array) -> int:
    if not len(rows):
        return 0
    return int((np.linalg.svd(rows, compute_uv=False) > RANK).sum())
