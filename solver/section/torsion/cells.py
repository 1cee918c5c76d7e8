"""Closed cells: the void, and the area within the middle of its wall that Bredt's formula needs.

phi = phi_o + sum of phi_k h_k: h_k is 1 on hole k, 0 on all other borders, and div (grad h_k / G)
vanishes between; phi_o is what open walls carry. The torque per twist is then the open walls' part
and 2 sum of phi_k (A_k + int h_k dA), so that A_k + int h_k dA is the area of q = T / (2 A): across
a thin wall h_k falls evenly, and the area ends in the wall's middle (R. Bredt, Z. VDI 40 (1896)
785). By Green's identity int h_k dA is the flux into hole k of z, div (grad z / G) = -1 and 0 on
all borders: one system serves all cells.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.integrals import element_integrals
from ..elements.system import condense, factor
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField

#: Order of the auxiliary field: its flux is good to a part in a thousand of the wall's share.
_ORDER = 4


@dataclass(frozen=True, slots=True)
class Cell:
    """A closed cell.

    Attributes
    ----------
    void_area : float
        Of the hole, length^2.
    centre : (x, y)
        Middle of the hole's box.
    shear_flow_per_torque : float
        Shear flow (force per length) around the cell by the torque, 1/length^2: the difference of
        the stress function between the hole and the outer border.
    """

    void_area: float
    centre: tuple[float, float]
    shear_flow_per_torque: float


def cells_of(field: TorsionField, torque: float) -> tuple[Cell, ...]:
    """Holes of the section, largest first, with the difference of stress function across their
    walls under a `torque` per unit twist."""
    border, mesh = field.border, field.mesh
    cells = []
    for k in _holes(field):
        points = mesh.vertices[border.start[border.loop == k]]
        x, y = (points.min(axis=0) + points.max(axis=0)) / 2
        area = float(-border.loop_areas[k])
        flow = float(field.hole_values[k] / torque)
        cells.append(Cell(area, (float(x), float(y)), flow))
    return tuple(sorted(cells, key=lambda c: -c.void_area))


def mid_wall_areas(field: TorsionField) -> list[float]:
    """Area within the middle of the wall around each cell, in the order of `cells_of`: A of Bredt's
    q = T / (2 A)."""
    border = field.border
    holes = _holes(field)
    if not holes.size:
        return []
    voids = -border.loop_areas[holes]
    areas = voids + _wall_shares(field)[holes]
    return [float(a) for a in areas[np.argsort(-voids, kind="stable")]]


def _holes(field: TorsionField) -> Ints:
    """Loops of the border around voids: a slit inside the material is a loop too, of no area but
    rounding."""
    areas = field.border.loop_areas
    return np.flatnonzero(areas < -1e-13 * areas.max())


def _wall_shares(field: TorsionField) -> Array:
    """(k,) int h dA of each loop of the border."""
    mesh, border = field.mesh, field.border
    order = min(_ORDER, field.order)
    integrals = element_integrals(mesh, order, field.origin)
    condensed = condense(mesh, order, integrals, integrals.area_load[..., None])
    fixed = np.zeros(condensed.count, dtype=bool)
    fixed[border.start] = True
    on_edges = border.edges[:, None] * (order - 1) + np.arange(order - 1) + len(mesh.vertices)
    fixed[on_edges.ravel()] = True
    unknown = np.where(fixed, -1, np.cumsum(~fixed) - 1)
    compliance = 1 / field.shear
    system = factor(condensed, compliance, unknown, int((~fixed).sum()))
    z = system.solve(condensed.gathered(0))[condensed.freedoms]
    held = (condensed.stiffness[condensed.kind] @ z[..., None])[..., 0] * compliance[:, None]
    flux = condensed.loads[..., 0] - held
    total = np.bincount(condensed.freedoms.ravel(), flux.ravel(), condensed.count)
    return np.bincount(border.loop, total[border.start], len(border.loop_areas)).astype(float)
