"""Torsion of many sections on one mesh that follows each of them.

The triangles of all sections stand in one list, section after section, and are integrated,
condensed and summed as those of one large mesh would be; only the two sparse systems are solved one
after another, in one order of elimination. Every bound is summed on the section's own triangles, as
`torsion.bounds` does for one section: it holds whatever the mesh is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ....geometry.outline.contour import segment_area
from ..elements.integrals import element_integrals
from ..elements.system import Condensed, Factored, condense, functions_of, numbered
from ..mesh.section_mesh import Array, Border, Ints, SectionMesh, border_of
from ..torsion.bounds import summed_bounds, triangle_parts
from ..torsion.interval import TorsionField, phi_unknowns, spare_functions
from ..torsion.stress_modes import StressModes, stress_modes
from .shared_pattern import SharedPattern


@dataclass(frozen=True, slots=True, eq=False)
class Template:
    """What the meshes of a family have in common.

    Attributes
    ----------
    mesh, border
        Those of the section it began with.
    order : int
    functions : (t, f) int
        Functions of each triangle.
    stress, warping : SharedPattern
        The two systems.
    holes : (l,) int
        Unknown of each border loop in the first of them, -1 for the outer one.
    """

    mesh: SectionMesh
    border: Border
    order: int
    functions: Ints
    stress: SharedPattern
    warping: SharedPattern
    holes: Ints

    @classmethod
    def of(cls, mesh: SectionMesh, order: int) -> Template:
        """Number the unknowns as `solve_torsion` does."""
        border, functions = border_of(mesh), functions_of(mesh, order)
        spare = spare_functions(mesh, order, len(mesh.vertices) + len(mesh.edges) * (order - 1))
        unknown, holes = phi_unknowns(mesh, border, order, spare)
        stress = SharedPattern.of(functions, unknown, int(unknown.max()) + 1)
        held = spare.copy()
        held[0] = True
        warping = SharedPattern.of(functions, numbered(held), int((~held).sum()))
        return cls(mesh, border, order, functions, stress, warping, holes)

    def solved(self, vertices: Array, bulges: Array, origin: Array) -> StackedField:
        """Solve k sections by the vertices (k, v, 2) and bulges (k, e) of their meshes, warping
        about `origin` (k, 2)."""
        k, mesh = len(vertices), stacked(self.mesh, vertices - origin[:, None], bulges)
        integrals = element_integrals(mesh, self.order, np.zeros(2))
        loads = np.stack([2 * integrals.area_load, -integrals.spin_load], axis=2)
        condensed = condense(mesh, self.order, integrals, loads)
        entries, weight = condensed.upper_entries().reshape(k, -1), np.ones(len(mesh.triangles))
        areas = self._loop_areas(vertices, bulges)
        inner = self.holes >= 0
        extra = np.zeros((k, self.stress.size))
        extra[:, self.holes[inner]] = -2 * areas[:, inner]
        solutions, systems = [], []
        for column, pattern in enumerate((self.stress, self.warping)):
            right = pattern.gathered(self._apart(condensed.gathered(column), k))
            right = right if column else right + extra
            found, made = pattern.solved(entries, right)
            solutions.append(np.append(found, np.zeros((k, 1)), axis=1)[:, pattern.unknown])
            systems.append(made)
        first = np.unique(self.border.loop, return_index=True)[1]
        heights = solutions[0][:, self.border.start[first]]
        phi, omega = condensed.expand_all([self._together(part) for part in solutions], weight)
        fields = mesh, self.order, np.zeros(2), weight, phi, omega
        modes = stress_modes(*fields)
        parts = triangle_parts(*fields, modes)
        parts = parts.reshape(4, k, -1).transpose(1, 0, 2)
        lower, allowance = summed_bounds(parts, -2 * np.sum(heights * areas, axis=1))
        gap = parts[:, 2]
        return StackedField(
            self,
            mesh,
            vertices,
            bulges,
            origin,
            areas,
            phi,
            omega,
            heights,
            lower - allowance,
            lower + gap.sum(axis=1) + allowance,
            gap,
            modes,
            condensed,
            systems[1],
        )

    def _apart(self, values: Array, k: int) -> Array:
        """(k, count) values of each section's functions, from those of the stacked mesh, which
        numbers all vertices first."""
        split = k * len(self.mesh.vertices)
        return np.concatenate(
            [values[:split].reshape(k, -1), values[split:].reshape(k, -1)], axis=1
        )

    def _together(self, values: Array) -> Array:
        """The inverse of `_apart`."""
        v = len(self.mesh.vertices)
        return np.concatenate([values[:, :v].ravel(), values[:, v:].ravel()])

    def border_bulges(self, bulges: Array) -> Array:
        """(..., b) bulges of the border's edges in its own direction, from the mesh's (..., e)."""
        along = self.mesh.edges[self.border.edges, 0] == self.border.start
        return np.asarray(np.where(along, 1.0, -1.0) * bulges[..., self.border.edges])

    def _loop_areas(self, vertices: Array, bulges: Array) -> Array:
        """(k, l) signed area inside each border loop."""
        border = self.border
        middle = vertices.mean(axis=1, keepdims=True)
        p, q = vertices[:, border.start] - middle, vertices[:, border.end] - middle
        bulge = self.border_bulges(bulges)
        swept = (p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]) / 2
        swept += segment_area(np.sum((q - p) ** 2, axis=2), bulge)
        of_loop = border.loop[:, None] == np.arange(len(border.loop_areas))
        return np.asarray(swept @ of_loop.astype(float))


@dataclass(frozen=True, slots=True, eq=False)
class StackedField:
    """Solved sections of a family.

    Attributes
    ----------
    template : Template
    mesh : SectionMesh
        All triangles, each section's about its own origin.
    vertices, bulges, origin
        Of each section's mesh, as they were given.
    loop_areas, hole_values : (k, l)
    phi, omega : (k * t, n)
    lower, upper : (k,)
    gap : (k, t)
    modes : StressModes
        Of all straight triangles.
    condensed : Condensed
        Of all triangles.
    warping_systems : list of Factored
    """

    template: Template
    mesh: SectionMesh
    vertices: Array
    bulges: Array
    origin: Array
    loop_areas: Array
    phi: Array
    omega: Array
    hole_values: Array
    lower: Array
    upper: Array
    gap: Array
    modes: StressModes
    condensed: Condensed
    warping_systems: list[Factored]

    def __len__(self) -> int:
        return len(self.lower)

    def whole(self) -> TorsionField:
        """All of them as one field about the origin, to be sampled: it has no bounds."""
        t = self.template
        one = np.ones(len(self.mesh.triangles))
        none = np.empty(0)
        return TorsionField(
            self.mesh, t.border, t.order, np.zeros(2), one, self.phi, self.omega,
            none, np.nan, np.nan, none, 0, self.condensed, self.warping_systems[0],
        )  # fmt: skip

    def field(self, k: int) -> TorsionField:
        """That of one section, as `solve_torsion` would give it."""
        t = self.template
        size = len(t.mesh.triangles)
        own = slice(k * size, (k + 1) * size)
        mesh = replace(t.mesh, vertices=self.vertices[k], bulges=self.bulges[k])
        bulges = t.border_bulges(self.bulges[k])
        border = replace(t.border, bulges=bulges, loop_areas=self.loop_areas[k])
        all_of = self.condensed
        condensed = replace(
            all_of,
            freedoms=t.functions,
            count=len(t.stress.unknown),
            kind=all_of.kind[own],
            loads=all_of.loads[own],
            bubble_loads=all_of.bubble_loads[own],
        )
        return TorsionField(
            mesh, border, t.order, self.origin[k], np.ones(size), self.phi[own], self.omega[own],
            self.hole_values[k], float(self.lower[k]), float(self.upper[k]), self.gap[k],
            t.stress.size + t.warping.size, condensed, self.warping_systems[k],
        )  # fmt: skip


def stacked(mesh: SectionMesh, vertices: Array, bulges: Array) -> SectionMesh:
    """One mesh of k copies that do not touch, with vertices (k, v, 2) and bulges (k, e)."""
    k = len(vertices)
    step = np.arange(k)[:, None, None]
    return SectionMesh(
        vertices.reshape(-1, 2),
        (mesh.triangles + step * len(mesh.vertices)).reshape(-1, 3),
        np.tile(mesh.region, k),
        np.tile(mesh.depth, k),
        (mesh.edges + step * len(mesh.vertices)).reshape(-1, 2),
        bulges.ravel(),
        (mesh.triangle_edges + step * len(mesh.edges)).reshape(-1, 3),
    )
