"""Saint-Venant torsion of one mesh: stress function, warping, and the interval that holds J.

Per unit twist, G varying by region:

* stress function (Prandtl): phi = 0 on the outer border, an unknown constant on each hole; for
every such phi
  2 l(phi) - a(phi, phi) <= G J, with a = int |grad phi|^2 / G and l = 2 int phi + 2 sum phi_k A_k;
* warping: for every omega, int G |grad omega + (-y, x)|^2 >= G J.

The difference of the two is, for any admissible pair, exactly the energy of their disagreement,

    upper - lower = int G |grad omega + (-y, x) - (phi_y, -phi_x)/G|^2,

(Prager & Synge, Quart. Appl. Math. 5 (1947) 241), which is summed as a square: it cannot turn
negative, loses no digits for thin sections, and tells which triangles the error comes from.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..elements.integrals import (
    CURVED_EXTRA,
    TrianglePoints,
    element_integrals,
    rule_stations,
)
from ..elements.system import (
    Condensed,
    Factored,
    Summed,
    condense,
    factor,
    numbered,
    summed,
)
from ..mesh.section_mesh import Array, Border, Ints, SectionMesh, border_of
from .bounds import bounds_of

#: Polar moment over J from which on the warping is corrected for rounding, and how often at most.
SLENDER, MOST_CORRECTIONS = 1e6, 6
#: Edges deep in the layers toward a corner keep this order at least.
LEAST_ORDER = 3
_ALL = slice(None)


@dataclass(frozen=True, slots=True, eq=False)
class TorsionField:
    """The two fields of a section in torsion, per unit twist, and what they bound.

    Attributes
    ----------
    mesh, border, order
        What they live on.
    origin : (2,)
        Point the warping refers to.
    shear : (t,)
        Shear modulus of each triangle (relative to the reference material).
    phi, omega : (t, n)
        Coefficients of stress function and warping.
    hole_values : (k,)
        Stress function on each loop of the border (0 on the outer one).
    lower, upper : float
        Bounds of the torsion constant, allowances included.
    gap : (t,)
        Each triangle's part of upper - lower.
    unknowns : int
        Unknowns of the two sparse systems together.
    """

    mesh: SectionMesh
    border: Border
    order: int
    origin: Array
    shear: Array
    phi: Array
    omega: Array
    hole_values: Array
    lower: float
    upper: float
    gap: Array
    unknowns: int
    condensed: Condensed
    warping_system: Factored

    @property
    def relative_width(self) -> float:
        """(upper - lower) / their mean."""
        return 2 * (self.upper - self.lower) / (self.upper + self.lower)

    def stress_from_phi(self, stations: TrianglePoints, triangles: Ints | slice = _ALL) -> Array:
        """(t, q, 2) shear stress per unit twist from the stress function, (phi_y, -phi_x), at
        stations of some triangles."""
        g = stations.gradients(self.phi[triangles])
        stress = np.empty_like(g)
        stress[..., 0] = g[..., 1]
        np.negative(g[..., 0], out=stress[..., 1])
        return stress

    def stress_from_omega(self, stations: TrianglePoints, triangles: Ints | slice = _ALL) -> Array:
        """(t, q, 2) shear stress per unit twist from the warping, G (grad omega + (-y, x)), at
        stations of some triangles."""
        g = stations.gradients(self.omega[triangles])
        g[..., 0] -= stations.points[..., 1] - self.origin[1]
        g[..., 1] += stations.points[..., 0] - self.origin[0]
        g *= self.shear[triangles, None, None]
        return g


def solve_torsion(
    mesh: SectionMesh, order: int, origin: Array, shear_by_region: Array
) -> TorsionField:
    """Solve both problems on one mesh with one order.

    Parameters
    ----------
    mesh : SectionMesh
    order : int
        Polynomial order, 2..12.
    origin : (2,)
        Point the warping refers to; the centroid keeps most digits.
    shear_by_region : (r,)
        Shear moduli of the regions relative to the reference.
    """
    border = border_of(mesh)
    shear = shear_by_region[mesh.region]
    integrals = element_integrals(mesh, order, origin)
    loads = np.stack([2 * integrals.area_load, -integrals.spin_load], axis=2)
    condensed = condense(mesh, order, integrals, loads)

    spare = spare_functions(mesh, order, condensed.count)
    phi_unknown, holes = phi_unknowns(mesh, border, order, spare)
    size = int(phi_unknown.max()) + 1
    hole_load = np.zeros(size)
    hole_load[holes[holes >= 0]] = -2 * border.loop_areas[holes >= 0]
    compliance = 1 / shear
    sums = summed(condensed, compliance, ~spare)
    stress_system = Factored(sums.upper(phi_unknown, size), phi_unknown)
    if not np.all(shear == 1):
        sums = summed(condensed, shear, ~spare)
    warping_system = _warping_system(sums, spare)
    phi_global = stress_system.solve(condensed.gathered(0), hole_load)
    phi = condensed.expand(phi_global, 0, compliance)
    omega = _warping(condensed, loads, shear, warping_system, 1)
    first = np.unique(border.loop, return_index=True)[1]
    hole_values = phi_global[border.start[first]]
    warping_size = warping_system.upper.shape[0]
    hole_term = float(-2 * hole_values @ border.loop_areas)
    lower, gap, allowance = bounds_of(mesh, order, origin, shear, phi, omega, hole_term)
    field = TorsionField(
        mesh,
        border,
        order,
        origin,
        shear,
        phi,
        omega,
        hole_values,
        lower - allowance,
        lower + float(gap.sum()) + allowance,
        gap,
        size + warping_size,
        condensed,
        warping_system,
    )
    largest = float(np.sum((mesh.vertices - origin) ** 2, axis=1).max())
    most = largest * float(shear @ integrals.area_load[:, :3].sum(axis=1))
    if most > SLENDER * abs(lower) and _polar_moment(field) > SLENDER * abs(lower):
        field = _corrected(field)
    return field


def stress_system(field: TorsionField) -> tuple[Factored, Ints]:
    """The stress function's system, factored anew, and the unknown of each border loop (-1: the
    outer one, where it is 0)."""
    spare = spare_functions(field.mesh, field.order, field.condensed.count)
    unknown, holes = phi_unknowns(field.mesh, field.border, field.order, spare)
    system = factor(field.condensed, 1 / field.shear, unknown, int(unknown.max()) + 1)
    return system, holes


def _warping_system(sums: Summed, spare: NDArray[np.bool_]) -> Factored:
    """The warping's system: free up to a constant, so that one vertex is held."""
    held = spare.copy()
    held[0] = True
    unknown = numbered(held)
    return Factored(sums.upper(unknown, int((~held).sum())), unknown)


def _warping(
    condensed: Condensed, loads: Array, shear: Array, system: Factored, column: int
) -> Array:
    """Coefficients (t, n) of the warping; `column` of the loads is its own, and carries the
    modulus, as the stiffness does."""
    if not np.all(shear == 1):
        condensed = condensed.with_loads(loads * shear[:, None, None])
    return condensed.expand(system.solve(condensed.gathered(column)), column, shear)


def lower_warping(field: TorsionField) -> Array:
    """Coefficients (t, n) of the warping on the same mesh with one order less."""
    mesh, order = field.mesh, field.order - 1
    if _polar_moment(field) > SLENDER * abs(field.lower):
        by_region = np.zeros(int(mesh.region.max()) + 1)
        by_region[mesh.region] = field.shear
        return solve_torsion(mesh, order, field.origin, by_region).omega
    integrals = element_integrals(mesh, order, field.origin)
    loads = -integrals.spin_load[..., None]
    condensed = condense(mesh, order, integrals, loads)
    spare = spare_functions(mesh, order, condensed.count)
    shear = field.shear
    system = _warping_system(summed(condensed, shear, ~spare), spare)
    return _warping(condensed, loads, shear, system, 0)


def _polar_moment(field: TorsionField) -> float:
    """int G r^2 dA about the origin, roughly: the middle of each triangle stands for it."""
    a, b = (field.mesh.corners[:, k] - field.mesh.corners[:, 0] for k in (1, 2))
    area = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / 2
    middle = field.mesh.corners.mean(axis=1) - field.origin
    return float(np.sum(field.shear * area * np.sum(middle**2, axis=1)))


def _corrected(field: TorsionField) -> TorsionField:
    """The field after iterative refinement of its warping.

    In a wall a million times thinner than the section the warping's slope and the twist cancel to
    a part in a million, and of what the factored system leaves nothing is right. The residual is
    summed from the strain, in which they have cancelled, so that a few corrections find every
    digit (Wilkinson, Rounding Errors in Algebraic Processes, 1963, ch. 3).
    """
    curved = field.mesh.curved
    for _ in range(MOST_CORRECTIONS):
        residual = np.empty_like(field.omega)
        for some, extra in ((np.flatnonzero(~curved), 0), (np.flatnonzero(curved), CURVED_EXTRA)):
            stations = rule_stations(field.mesh, field.order, field.order + extra, some)
            residual[some] = -stations.tested(field.stress_from_omega(stations, some))
        load = field.condensed.with_loads(residual[..., None])
        step = field.warping_system.solve(load.gathered(0))
        omega = field.omega + load.expand(step, 0, field.shear)
        holes = float(-2 * field.hole_values @ field.border.loop_areas)
        lower, gap, allowance = bounds_of(
            field.mesh, field.order, field.origin, field.shear, field.phi, omega, holes
        )
        upper = lower + float(gap.sum()) + allowance
        if not upper < field.upper:
            break
        settled = upper - lower > 0.9 * (field.upper - lower)
        field = replace(field, omega=omega, upper=upper, gap=gap)
        if settled:
            break
    return field


def unknowns_of(mesh: SectionMesh, order: int) -> int:
    """Unknowns of the pair of systems, but for a few: the stress function has none on the border,
    which among needles is half of all edges."""
    kept = np.minimum(order, np.maximum(LEAST_ORDER, order - mesh.edge_depth())) - 1
    border = mesh.edge_triangles()[:, 1] < 0
    vertices = len(mesh.vertices) - int(border.sum())
    return len(mesh.vertices) + int(kept.sum()) + vertices + int(kept[~border].sum())


def spare_functions(mesh: SectionMesh, order: int, count: int) -> NDArray[np.bool_]:
    """(count,) edge functions left out: toward a corner the energy falls by RATIO^(2 lambda) a
    layer, and the order that edges need falls by about one (Babuska & Guo's linear degree
    vector)."""
    spare = np.zeros(count, dtype=bool)
    lowered = np.maximum(LEAST_ORDER, order - mesh.edge_depth())
    degree = np.arange(2, order + 1)
    spare[len(mesh.vertices) :] = (degree > lowered[:, None]).ravel()
    return spare


def phi_unknowns(
    mesh: SectionMesh, border: Border, order: int, spare: NDArray[np.bool_]
) -> tuple[Ints, Ints]:
    """Unknown of each function (-1: zero) and of each border loop (-1: the outer one)."""
    fixed = spare.copy()
    fixed[border.start] = True
    edge = border.edges[:, None] * (order - 1) + np.arange(order - 1) + len(mesh.vertices)
    fixed[edge.ravel()] = True
    unknown = numbered(fixed)
    # not by the sign of the area: a slit inside the material is a loop of area zero
    inner = np.arange(len(border.loop_areas)) != np.argmax(border.loop_areas)
    holes = np.where(inner, int((~fixed).sum()) + np.cumsum(inner) - 1, -1)
    unknown[border.start] = holes[border.loop]
    return unknown, holes
