"""The classical beam made ready to vibrate: seven functions, sections that keep their shape.

Functions are u, v, w, theta_x, theta_y, phi of the axis point O and the rate of warping tau. The
strains e = d' - A d (see `beam.element`) and the law f = S (e - offset tau) give the energy per
length 1/2 (e - offset tau)^T S (e - offset tau) + 1/2 k G J tau^2 + 1/2 E C_w tau'^2, of the same
form as that of sections that deform. What the beam takes as rigid (shear where no shear area is
given, the difference of tau and the rate of twist where no secondary torsion constant is) is 1e-8
as soft as the whole member: frequencies keep their digits.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.moments import contour_moments
from ..beam.contact import deflection_row, rotation_row
from ..beam.element import blocks
from ..beam.junction import Junction, kink_matrix
from ..beam.mesh import Mesh, mesh_of
from ..beam.preparation import active_contacts
from ..beam.twopoint import elements_of as classical_elements
from ..deforming.element import Element, element_of, null_element, stiffness_of
from ..deforming.energy import Energy
from ..model.constants import SectionConstants
from ..model.load import Where
from ..model.member import Member
from ..model.solved_section import SolvedSection
from .attached import Carried
from .contact_state import contact_notes, joined, states_of
from .moving_member import MassAlong, MovingMember, gauss_of

Array = NDArray[np.float64]

#: Softness of what counts as rigid, over that of the member.
RIGID = 1e-8

#: No element is longer than this share of the member.
LONGEST = 1 / 12

#: Distances, in characteristic lengths of torsion, of nodes beside what disturbs.
LAYERS = (1.0, 4.0)

_PLANAR = np.array([True, True, False, False, False, True, False])
_TAU = 6


@dataclass(frozen=True, slots=True)
class BeamRows:
    """Rows of forces and moments on the seven functions."""

    member: Member

    def force(self, z: float, place: Where, side: str = "right") -> Array:
        """(3, 7) of a place of the section."""
        x, y = self.member.locate(place, self.member.section_at(z))
        point = (x - self.member.line[0], y - self.member.line[1])
        return np.array([deflection_row(axis, point) for axis in "xyz"])

    def moment(self, z: float, side: str = "right") -> Array:
        """(3, 7): the rotations."""
        return np.array([rotation_row(word) for word in ("bend_x", "bend_y", "twist")])


def beam_member(
    member: Member,
    carried: Carried,
    sections: Mapping[str, SolvedSection],
    *,
    order: int,
    inertia: float,
    slip_open: bool = False,
    like: Mesh | None = None,
) -> tuple[MovingMember, BeamRows, list[str]]:
    """K and M, the rows of forces, and notes; see `deforming_member`. `like` is the mesh of a
    member whose numbers differ a little."""
    mesh = vibrating_mesh(member, carried, like)
    contacts, notes = active_contacts(mesh, classical_elements(mesh))
    state = states_of(mesh, contacts, slip_open=slip_open)
    notes += contact_notes(contacts, slip_open=slip_open)
    rows = {k: (c.node, np.asarray(c.direction)) for k, c in enumerate(contacts)}
    held, springs = joined(contacts, state, rows)
    grips = BeamRows(member)
    points: dict[int, Array] = {}

    def carry(z: float, mass: Array) -> None:
        node = mesh.node_of(z)
        points[node] = points.get(node, 0.0) + inertia * mass

    for point in carried.points:
        own = grips.force(point.at, point.place)
        turn = grips.moment(point.at)[2]
        carry(point.at, point.mass * own.T @ own + point.rotary * np.outer(turn, turn))
    for diaphragm in member.diaphragms:
        if diaphragm.mass:
            own = grips.force(diaphragm.at, member.section_at(diaphragm.at).centroid)
            carry(diaphragm.at, diaphragm.mass * own.T @ own)
    along = _masses(mesh, grips, carried, sections, order, inertia)
    return (
        MovingMember(
            mesh.nodes, 7, mesh.closed, _PLANAR, tuple(_elements(mesh, order)), tuple(along),
            {k: np.vstack(v) for k, v in held.items()}, springs, points, _ties(mesh),
        ),
        grips,
        notes,
    )  # fmt: skip


def vibrating_mesh(member: Member, carried: Carried, like: Mesh | None = None) -> Mesh:
    """Elements short enough for the lowest modes."""
    extra = _extra(member, carried)
    return mesh_of(member, extra=extra, longest=LONGEST * member.length, like=like)


def _extra(member: Member, carried: Carried) -> list[float]:
    """Stations that need a node, and those of the layers of warping beside what holds it."""
    found = [p.at for p in carried.points] + [d.at for d in member.diaphragms if d.mass]
    for line in carried.lines:
        found += [line.start, line.end]
    for z in (0.0, member.length, *(s.at for s in member.supports)):
        layer = member.section_at(z).characteristic_length
        near = [z + side * share * layer for share in LAYERS for side in (-1, 1)]
        found += [s for s in near if 0 < s < member.length]
    return found


def _elements(mesh: Mesh, order: int) -> list[Element]:
    made: dict[tuple[object, ...], Element] = {}
    found = []
    for k, h in enumerate(mesh.length):
        if mesh.joint[k] >= 0:
            found.append(null_element(order, _sprung(mesh, k), keep=True))
            continue
        passed = (float(mesh.inclination[0][k]), float(mesh.inclination[1][k]))
        key = (
            int(mesh.kind[k]), round(h / mesh.member.length, 13), float(mesh.curvature[k]),
            *mesh.foundation[k].tolist(), *passed,
        )  # fmt: skip
        if key not in made:
            stiffness = stiffness_of(order, float(h), _energy(mesh, k))
            for end, factor in enumerate(passed):
                stiffness[7 * end + _TAU] *= factor
                stiffness[:, 7 * end + _TAU] *= factor
            made[key] = element_of(order, stiffness, keep=True)
        found.append(made[key])
    return found


def _ties(mesh: Mesh) -> dict[int, Array]:
    """Rows (r, 14) on the movements of both nodes of every hinge and half of a kink."""
    found = {}
    for k in np.flatnonzero(mesh.joint >= 0):
        junction = mesh.junctions[mesh.joint[k]]
        across = _across(junction)[np.isinf(junction.springs)]
        tau = np.zeros((2, 14))
        if junction.warping == "continuous":
            tau[0, [_TAU, 7 + _TAU]] = -1.0, 1.0
        elif junction.warping == "held":
            tau[0, _TAU] = tau[1, 7 + _TAU] = 1.0
        elif junction.warping == "held behind":
            tau[1, 7 + _TAU] = 1.0
        found[int(k)] = np.vstack([across, tau[tau.any(axis=1)]])
    return found


def _sprung(mesh: Mesh, k: int) -> Array:
    """(14, 14) energy of the springs of a hinge."""
    junction = mesh.junctions[mesh.joint[k]]
    across = _across(junction)
    stiffness = np.where(np.isinf(junction.springs), 0.0, junction.springs)
    return np.asarray(across.T @ (stiffness[:, None] * across))


def _across(junction: Junction) -> Array:
    """(6, 14) relative movements, see `junction`."""
    back = np.linalg.inv(junction.movements)
    found = np.zeros((6, 14))
    found[:, :6] = -back @ np.kron(np.eye(2), kink_matrix(junction.turn))
    found[:, 7:13] = back
    return found


def _energy(mesh: Mesh, k: int) -> Energy:
    """Energy per length of an element on its seven functions."""
    stiffness = mesh.stiffness.take(mesh.kind[k : k + 1])
    b = blocks(stiffness, mesh.curvature[k : k + 1], mesh.foundation[k : k + 1])
    length = mesh.member.length
    compliance = stiffness.compliance[0].copy()
    bending, torsion = float(stiffness.bending[0]), float(stiffness.torsion[0])
    warping, offset = float(stiffness.warping[0]), stiffness.offset[0]
    for row in (0, 1):
        if _unsaid(mesh, k, row):
            compliance[row, row] += RIGID * length**2 / bending
    plain = not warping
    if plain:
        compliance += np.outer(offset, offset) / torsion
    elif stiffness.share[0] == 1:
        compliance += RIGID / (torsion + warping / length**2) * np.outer(offset, offset)
    law = np.linalg.inv(compliance)
    law = (law + law.T) / 2
    back = np.zeros((6, 7))  # e - offset tau = d' - back (d, tau)
    back[:, :6] = b.motion[0]
    if not plain:
        back[:, 6] = offset
    c = back.T @ law @ back
    c[:6, :6] += b.foundation[0]
    cross, m = np.zeros((2, 7, 7))
    cross[:6] = -law @ back
    m[:6, :6] = law
    if plain:
        # tau is no freedom of such a section: it stays zero by itself.
        c[_TAU, _TAU], m[_TAU, _TAU] = torsion, torsion * length**2
    else:
        c[_TAU, _TAU] += torsion
        m[_TAU, _TAU] = warping
    return Energy(c, cross, m)


def _unsaid(mesh: Mesh, k: int, row: int) -> bool:
    section = mesh.sections[int(mesh.kind[k])]
    return (section.shear_area_x, section.shear_area_y)[row] is None


def _masses(
    mesh: Mesh,
    grips: BeamRows,
    carried: Carried,
    sections: Mapping[str, SolvedSection],
    order: int,
    inertia: float,
) -> list[MassAlong]:
    member = mesh.member
    rigid = np.eye(7, 6)[None]
    own: dict[tuple[int, float], Array] = {}
    along = []
    for k, (a, b) in enumerate(zip(mesh.nodes[:-1], mesh.nodes[1:], strict=True)):
        middle = float(a + b) / 2
        kind, kappa = int(mesh.kind[k]), float(mesh.curvature[k])
        if (kind, kappa) not in own:
            constants = mesh.sections[kind]
            moments = section_moments(constants, sections.get(constants.name), member.line)
            own[kind, kappa] = mass_matrix(moments, constants, kappa)
        z, weight, value = gauss_of(float(a), float(b), order, order + 1)
        mass = np.repeat(own[kind, kappa][None] * carried.own, len(z), axis=0)
        for line in carried.lines:
            if not line.start < middle < line.end:
                continue
            rows = grips.force(middle, line.place)
            point = member.locate(line.place, member.section_at(middle))
            per = 1 - kappa * (point[0] - member.line[0]) if line.own_line else 1.0
            share = np.array([line.at(float(s)) * per for s in z])
            mass = mass + share[:, None, None] * (rows.T @ rows)
        along.append(MassAlong(z, weight, value, inertia * mass, rigid))
    return along


def section_moments(
    constants: SectionConstants, section: SolvedSection | None, line: tuple[float, float]
) -> Array:
    """(4, 4) moments int density x^a y^b dA about the axis point; of a section known by its
    figures alone as if its mass were spread over its area, and without the third ones."""
    if section is not None and section.result is not None:
        total = np.zeros((4, 4))
        for region in section.result.section.regions:
            total += (region.material.density or 0.0) * contour_moments(region.contours, line, 3)
        return total
    mass = constants.mass_per_length or 0.0
    density = mass / constants.area
    x, y = constants.centroid[0] - line[0], constants.centroid[1] - line[1]
    found = np.zeros((4, 4))
    found[0, 0], found[1, 0], found[0, 1] = mass, mass * x, mass * y
    found[2, 0] = density * constants.second_moment_y + mass * x * x
    found[0, 2] = density * constants.second_moment_x + mass * y * y
    found[1, 1] = density * constants.product_moment + mass * x * y
    return found


def mass_matrix(moments: Array, constants: SectionConstants, curvature: float) -> Array:
    """(7, 7) of a section from its moments; outer fibres of a curve are longer, 1 - kappa x."""
    m = moments.copy()
    m[:3] -= curvature * moments[1:]
    x, y, xx, yy, xy = m[1, 0], m[0, 1], m[2, 0], m[0, 2], m[1, 1]
    out = np.zeros((7, 7))
    out[0, 0] = out[1, 1] = out[2, 2] = m[0, 0]
    out[0, 5], out[1, 5] = -y, x
    out[2, 3], out[2, 4] = y, -x
    out[3, 3], out[4, 4], out[3, 4], out[5, 5] = yy, xx, -xy, xx + yy
    upper = np.triu(out)
    out = upper + np.triu(out, 1).T
    density = moments[0, 0] / constants.area
    out[6, 6] = density * constants.warping_constant
    return out
