"""What supports and point restraints do: each holds one direction of movement at one node.

A contact pushes with force r on the member along its direction c when the movement c . d reaches
the end of its play: c . d + r / k = -below with r >= 0, or c . d + r / k = +above with r <= 0;
between the two r = 0. Held without play: below = above = 0. A bearing that only pushes up: below =
0, above infinite. (One-sided contact as a complementarity problem.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..model.held_point import held_point
from ..model.member import Member
from ..model.restraint import LateralSpring, TwistSpring
from ..model.secondary_beam import SecondaryBeam
from ..model.support import Hold, Support
from .mesh import Mesh
from .settled import ground_motion

Array = NDArray[np.float64]

BOTH, BELOW, OPEN, ABOVE = 2, -1, 0, 1


@dataclass(frozen=True, slots=True)
class Contact:
    """One held direction.

    Attributes
    ----------
    node : int
    direction : tuple of 7 floats
        c, acting on (u, v, w, theta_x, theta_y, phi, tau) of the axis point O.
    softness : float
        1 / k; zero for a rigid hold.
    below, above : float
        Play toward either side.
    owner : str
        Title of the support or restraint.
    freedom : str
        "x", "y", "z", "bend_x", "bend_y", "twist", "warping", "bearing n", or "connection" of a
        secondary beam, which feels twist and deflection.
    point : (x, y)
        Seen from O; where a force acts.
    shift : tuple of float
        Movement at which it carries nothing, by combination; none is zero everywhere.
    """

    node: int
    direction: tuple[float, ...]
    softness: float
    below: float
    above: float
    owner: str
    freedom: str
    point: tuple[float, float]
    shift: tuple[float, ...] = ()

    @property
    def one_sided(self) -> bool:
        """Whether it has play or only pushes."""
        return self.below > 0 or self.above > 0

    @property
    def force(self) -> Array:
        """Unit force vector (3,) for a contact that holds a deflection, zero otherwise."""
        return np.asarray(self.direction[:3]) if self.freedom not in _ROTATIONS else np.zeros(3)


_ROTATIONS = ("bend_x", "bend_y", "twist", "warping")

#: Freedoms whose force is a torque.
TURNING = ("twist", "connection")


def deflection_row(axis: str, point: tuple[float, float]) -> tuple[float, ...]:
    """Row c of the movement along x, y or z of a point of the section: d + theta x r."""
    x, y = point
    rows = {
        "x": (1.0, 0.0, 0.0, 0.0, 0.0, -y, 0.0),
        "y": (0.0, 1.0, 0.0, 0.0, 0.0, x, 0.0),
        "z": (0.0, 0.0, 1.0, y, -x, 0.0, 0.0),
    }
    return rows[axis]


def rotation_row(freedom: str) -> tuple[float, ...]:
    """Row c of a rotation or of the rate of twist."""
    row = [0.0] * 7
    row[3 + _ROTATIONS.index(freedom)] = 1.0
    return tuple(row)


def contacts_of(mesh: Mesh) -> list[Contact]:
    """All contacts of a mesh's member, in order of supports, then restraints."""
    found: list[Contact] = []
    for support in mesh.member.supports:
        found += _settled(mesh, support, list(_support(mesh, support)))
    for item in mesh.member.restraints:
        if isinstance(item, TwistSpring) and item.stiffness > 0:
            node, row = mesh.node_of(item.at), rotation_row("twist")
            soft = 1 / item.stiffness
            play = item.slip
            shift = _standing(mesh, item.turned)
            found.append(
                Contact(node, row, soft, play, play, item.title, "twist", (0.0, 0.0), shift)
            )
        elif isinstance(item, LateralSpring) and item.stiffness > 0:
            section = mesh.member.section_at(item.at)
            level = section.shear_centre[1] if item.level is None else section.height(item.level)
            point = (0.0, level - mesh.member.line[1])
            row, node = deflection_row("x", point), mesh.node_of(item.at)
            found.append(Contact(node, row, 1 / item.stiffness, 0, 0, item.title, "x", point))
        elif isinstance(item, SecondaryBeam):
            found += _secondary(mesh, item)
    return found


def _secondary(mesh: Mesh, beam: SecondaryBeam) -> Iterator[Contact]:
    """A secondary beam: its end moment, and what its near end resists of the deflection."""
    member, node = mesh.member, mesh.node_of(beam.at)
    x, y = member.locate(beam.place, member.section_at(beam.at))
    point = (x - member.line[0], y - member.line[1])
    across = np.array(deflection_row("y", point))
    if beam.stiffness > 0:
        row = np.array(rotation_row("twist")) + beam.leverage * across
        shift = tuple(
            beam.free_turn(beam.load_of(c.factors)) - beam.turned for c in member.combined
        )
        yield Contact(
            node, tuple(row.tolist()), 1 / beam.stiffness, beam.slip, beam.slip, beam.title,
            "connection", point, shift,
        )  # fmt: skip
    if beam.vertical_stiffness > 0:
        soft = 1 / beam.vertical_stiffness
        yield Contact(node, tuple(across.tolist()), soft, 0.0, 0.0, beam.title, "y", point)


def _settled(mesh: Mesh, support: Support, contacts: list[Contact]) -> list[Contact]:
    """The contacts of a support on ground that moves: they carry nothing where they follow it."""
    ground = ground_motion(mesh.member, support.title, support_point(mesh, support))
    if not ground.any():
        return contacts
    shifts = shifts_of(contacts, ground.shape[1])
    shifts = shifts + np.array([c.direction[:6] for c in contacts]).reshape(-1, 6) @ ground
    return [replace(c, shift=tuple(row.tolist())) for c, row in zip(contacts, shifts, strict=True)]


def _standing(mesh: Mesh, moved: float) -> tuple[float, ...]:
    """Motion at which a contact carries nothing, where it has moved before these loads come."""
    return (-moved,) * len(mesh.member.combined) if moved else ()


def shifts_of(contacts: Sequence[Contact], count: int) -> Array:
    """(m, c) movements at which the contacts carry nothing."""
    return np.array([c.shift or (0.0,) * count for c in contacts]).reshape(len(contacts), count)


def support_point(mesh: Mesh, support: Support) -> tuple[float, float]:
    """Point of the section, seen from O, where a support's reaction acts."""
    x, y = held_point(mesh.member, support)
    return (x - mesh.member.line[0], y - mesh.member.line[1])


def _support(mesh: Mesh, support: Support) -> Iterator[Contact]:
    node = mesh.node_of(support.at)
    point = support_point(mesh, support)
    for axis in ("x", "y", "z"):
        soft = _softness(getattr(support, axis))
        if soft is not None:
            row = held_row(mesh.member, support, axis, point)
            yield Contact(node, row, soft, 0.0, 0.0, support.title, axis, point)
    for freedom in _ROTATIONS:
        soft = _softness(getattr(support, freedom))
        if soft is not None:
            play = support.twist_slip if freedom == "twist" else 0.0
            shift = _standing(mesh, support.turned) if freedom == "twist" else ()
            row = rotation_row(freedom)
            yield Contact(node, row, soft, play, play, support.title, freedom, point, shift)
    for n, bearing in enumerate(support.bearings, 1):
        level = support_level(mesh, support)
        if bearing.y is not None:
            level = mesh.member.section_at(support.at).height(bearing.y)
        place = (bearing.x - mesh.member.line[0], level - mesh.member.line[1])
        soft = 0.0 if bearing.stiffness is None else 1 / bearing.stiffness
        above = 0.0 if bearing.holds_down else math.inf
        row = held_row(mesh.member, support, "y", place)
        shift = _standing(mesh, bearing.moved)
        yield Contact(node, row, soft, 0.0, above, support.title, f"bearing {n}", place, shift)


def held_row(
    member: Member, support: Support, axis: str, point: tuple[float, float]
) -> tuple[float, ...]:
    """Row c of a support's x, y or z at a point: the member's own, or plumb."""
    if not support.plumb:
        return deflection_row(axis, point)
    rows = np.array([deflection_row(word, point) for word in "xyz"])
    return tuple((member.pitch.plumb["xyz".index(axis)] @ rows).tolist())


def support_level(mesh: Mesh, support: Support) -> float:
    """Height of a bearing whose level is not given: that of the support's point."""
    return support_point(mesh, support)[1] + mesh.member.line[1]


def _softness(hold: Hold | None) -> float | None:
    if hold is None or hold == "free" or hold == 0:
        return None
    return 0.0 if isinstance(hold, str) else 1.0 / hold
