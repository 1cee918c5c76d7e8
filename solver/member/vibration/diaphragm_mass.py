"""The mass of diaphragms: stated, or that of their plates and bars.

A plate moves with the section as a whole (its own distortion is left out of its mass), about its
own centre with its own rotary inertia; each bar moves with the points of its ends. A rigid
diaphragm whose mass is not stated has none.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.outline import nearest_material
from ...section.deforming.reduced import ReducedSection
from ..deforming.brace import Brace
from ..deforming.course import Course
from ..deforming.grip import Grips
from ..deforming.panel import cell_area, cells_of
from ..model.member import SAME_STATION, Member
from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]


def diaphragm_masses(
    brace: Brace,
    member: Member,
    course: Course,
    grips: Grips,
    sections: Mapping[str, SolvedSection],
) -> list[Array]:
    """Mass matrices (n, n) of one diaphragm, in the mass unit of densities."""
    diaphragm = brace.diaphragm
    z = diaphragm.at
    side = "left" if z >= member.length * (1 - SAME_STATION) else "right"
    section = course.part(z, side).shape(z)
    density = diaphragm.density
    if density is None:
        density = _density(sections, member.section_at(z).name)
    if diaphragm.bars:
        weights = [density * b.area * b.length for b in diaphragm.bars]
        share = 1.0 if diaphragm.mass is None else diaphragm.mass / max(sum(weights), 1e-300)
        if not sum(weights) and diaphragm.mass:
            weights = [diaphragm.mass / len(diaphragm.bars)] * len(diaphragm.bars)
            share = 1.0
        mesh = section.material
        found = []
        for bar, weight in zip(diaphragm.bars, weights, strict=True):
            for end in (bar.start, bar.end):
                rows = section.displacement_rows(np.array([nearest_material(mesh, end)]))[0]
                found.append(share * weight / 2 * rows.T @ rows)
        return found
    if diaphragm.plate is None:
        if not diaphragm.mass:
            return []
        return [_plate(section, grips, z, side, diaphragm.mass)]
    opening = diaphragm.plate.opening or (0.0, 0.0)
    area = sum(cell_area(loop) for loop in cells_of(section)) - opening[0] * opening[1]
    mass = density * diaphragm.plate.thickness * area if diaphragm.mass is None else diaphragm.mass
    return [_plate(section, grips, z, side, mass)]


def _density(sections: Mapping[str, SolvedSection], name: str) -> float:
    """Of the reference material of a section, or of the first where a name is a taper's."""
    section = sections.get(name) or next(iter(sections.values()))
    density = None if section.result is None else section.result.reference.density
    return density or 0.0


def _plate(section: ReducedSection, grips: Grips, z: float, side: str, mass: float) -> Array:
    """A plate that fills the cells, or lies at the section's centre where there is none."""
    area, centre, inertia = _cells(section)
    if not area:
        weight = section.rigid.T @ section.weight
        total = max(float(weight[1, 1]), 1e-300)
        centre = np.array([weight[5, 1], -weight[5, 0]]) / total
    rows = grips.spread_force(z, (float(centre[0]), float(centre[1])), side)
    turn = grips.moment(z, side)
    found = mass * rows.T @ rows
    if area:
        i_x, i_y, i_xy = inertia / area
        tensor = np.array([[i_x, -i_xy, 0], [-i_xy, i_y, 0], [0, 0, i_x + i_y]])
        found = found + mass * turn.T @ tensor @ turn
    return np.asarray(found)


def _cells(section: ReducedSection) -> tuple[float, Array, Array]:
    """Area of all cells, their centroid, and second moments I_x, I_y, I_xy about it."""
    sums = np.zeros(6)
    for loop in cells_of(section):
        (x, y), (p, q) = loop.T, np.roll(loop, -1, axis=0).T
        cross = x * q - p * y
        sums += [
            cross.sum() / 2,
            ((x + p) * cross).sum() / 6,
            ((y + q) * cross).sum() / 6,
            ((y * y + y * q + q * q) * cross).sum() / 12,
            ((x * x + x * p + p * p) * cross).sum() / 12,
            ((x * q + 2 * x * y + 2 * p * q + p * y) * cross).sum() / 24,
        ]
    area = float(sums[0])
    if area <= 0:
        return 0.0, np.zeros(2), np.zeros(3)
    c_x, c_y = sums[1] / area, sums[2] / area
    about = sums[3:] - area * np.array([c_y**2, c_x**2, c_x * c_y])
    return area, np.array([c_x, c_y]), about
