"""Diaphragms as energy on the n functions at their node, and what they carry.

A rigid diaphragm makes the rows of distortion zero. A plate welded all round a cell has its own
stiffness in plane stress (see `panel`); its bending out of its plane, by which it would hold a
little of the warping, is left out. A frame has the energy of its bars, E A / L / 2 times the square
of their stretch; they act between the material points nearest to their ends.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError
from ...section.deforming.outline import nearest_material
from ...section.deforming.reduced import ReducedSection
from ..model.diaphragm import Bar, Diaphragm
from ..model.member import Member
from .course import Course
from .node_places import node_at
from .panel import cell_area, cells_of, panel_of

Array = NDArray[np.float64]

#: How far from the material a bar may end, by the section's size: on a gusset.
GUSSET = 0.15


@dataclass(frozen=True, slots=True, eq=False)
class Brace:
    """A diaphragm made ready for one section.

    Attributes
    ----------
    rows : (r, n)
        Its strains: the distortions of a rigid one and of a plate, stretches of bars.
    stiffness : (r, r) or None
        Energy 1/2 e^T K e; None for a rigid one.
    flow : (r,) or None
        Mean shear per length: of a plate by its rows, of a rigid one by the forces on them.
    """

    diaphragm: Diaphragm
    rows: Array
    stiffness: Array | None
    flow: Array | None = None

    @property
    def energy(self) -> Array:
        """(n, n)."""
        assert self.stiffness is not None
        return np.asarray(self.rows.T @ self.stiffness @ self.rows)


def brace_of(diaphragm: Diaphragm, section: ReducedSection) -> Brace:
    """A diaphragm on a section."""
    if diaphragm.plate is not None:
        panel = panel_of(diaphragm.plate, section, diaphragm.title)
        return Brace(diaphragm, section.in_plane, panel.energy, panel.flow)
    if diaphragm.bars:
        rows = np.stack(
            [
                _stretch(bar, section, f"{diaphragm.title}: bar {k}")
                for k, bar in enumerate(diaphragm.bars, 1)
            ]
        )
        stiffness = np.diag([b.elastic_modulus * b.area / b.length for b in diaphragm.bars])
        return Brace(diaphragm, rows, stiffness)
    return Brace(diaphragm, section.in_plane, None, _rigid_flow(section))


def braces_on(member: Member, course: Course, nodes: Array) -> tuple[tuple[int, Brace], ...]:
    """Diaphragms at their nodes; those alike in one section are made once."""
    made: dict[tuple[int, float, Diaphragm], Brace] = {}
    found = []
    for diaphragm in member.diaphragms:
        part = course.part(diaphragm.at)
        section = part.shape(diaphragm.at)
        if part.tapered is None:  # parts curved unlike have one straight section
            key = (id(section), 0.0, replace(diaphragm, at=0.0, name=""))
        else:
            key = (id(part), diaphragm.at, replace(diaphragm, at=0.0, name=""))
        if key not in made:
            made[key] = brace_of(diaphragm, section)
        brace = replace(made[key], diaphragm=diaphragm)
        found.append((node_at(nodes, diaphragm.at, member), brace))
    return tuple(found)


def _rigid_flow(section: ReducedSection) -> Array | None:
    """Mean shear per length by the forces on the rows of distortion: their work on a unit of pure
    shear of the section, (y, x)/2, over the area of the cells; None without a cell."""
    cells = cells_of(section)
    if not cells:
        return None
    mesh = section.fields.placed()
    vertices = np.unique(mesh.triangles[section.elastic.solid])
    moved = section.fields.coefficients[vertices, :2]
    pure = mesh.vertices[vertices][:, ::-1] / 2
    fit = np.linalg.lstsq(moved.reshape(-1, moved.shape[-1]), pure.ravel(), rcond=None)[0]
    return np.asarray(section.in_plane @ fit / sum(cell_area(loop) for loop in cells))


def _stretch(bar: Bar, section: ReducedSection, title: str) -> Array:
    """(n,) lengthening of a bar between the material points nearest to its ends.

    Raises
    ------
    ArrangementError
        An end is far from the material.
    """
    mesh = section.material
    ends = np.array([nearest_material(mesh, bar.start), nearest_material(mesh, bar.end)])
    size = float(np.ptp(mesh.vertices, axis=0).max())
    for word, asked, met in zip(("begins", "ends"), (bar.start, bar.end), ends, strict=True):
        off = float(np.hypot(*(met - asked)))
        if off > GUSSET * size:
            raise ArrangementError(
                f"{title} {word} at ({asked[0]:g}, {asked[1]:g}), {off:.4g} off the section's "
                "material; give a point of the section or of a gusset on it"
            )
    rows = section.displacement_rows(ends)[:, :2]
    along = ends[1] - ends[0]
    along = along / np.hypot(*along)
    return np.asarray(along @ (rows[1] - rows[0]))
