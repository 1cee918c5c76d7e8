"""Torsion of a section by NGSolve: hp refinement toward corners, curved elements, both bounds of J.

A general finite-element library used as an independent reference. Regions may differ in their
elastic constants; results are in terms of the first region's.

The stress function (zero on the outline, an unknown constant on each hole) bounds J from below, the
warping function from above; see `bounds` for the two quotients, which hold for whatever field they
are given, so that an inexact linear solve cannot break them.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import ngsolve as ng
import numpy as np
from netgen.geom2d import SplineGeometry
from soapfilm.geometry.outline.contour import split_long_arcs
from soapfilm.geometry.section import Section

from .region_plan import RegionPlan, region_plan


@dataclass(frozen=True, slots=True)
class Accuracy:
    """What a user of the library chooses.

    Attributes
    ----------
    order : int
        Polynomial degree of all elements.
    layers : int
        Geometric layers toward the refined corners.
    factor : float
        Ratio between layers.
    corners : {"re-entrant", "sharp", "all"}
        Which vertices get layers: those with an unbounded stress, every one with a kink, or arc
        ends too.
    maxh : float
        Largest element size, relative to the diagonal of the section.
    grading : float
        How fast netgen lets the element size grow.
    arc_step : float
        Largest angle of an arc piece in radians (netgen holds circles exactly as rational splines;
        the elements follow them as polynomials of degree `order`).
    """

    order: int = 8
    layers: int = 6
    factor: float = 0.15
    corners: str = "re-entrant"
    maxh: float = 1.0
    grading: float = 0.9
    arc_step: float = np.pi / 2


def solve(
    section: Section | RegionPlan, accuracy: Accuracy | None = None, *, properties: bool = True
) -> dict:
    """Torsion constant from both sides, warping constant and shear centre.

    Returns
    -------
    dict with J_lower, J_upper, warping_constant, shear_centre [x, y], area, unknowns (of the two
    problems together), elements and seconds (mesh included). Without `properties`, J alone.
    """
    accuracy = accuracy or Accuracy()
    plan = section if isinstance(section, RegionPlan) else region_plan(section)
    start = time.perf_counter()
    mesh = section_mesh(plan, accuracy)
    shear = by_region(plan.shear)
    warping_operator = film_operator = Laplacian(mesh, accuracy.order, shear)
    if not isinstance(shear, float):
        film_operator = Laplacian(mesh, accuracy.order, 1 / shear)
    phi, unknowns = stress_function(film_operator, plan)
    omega, more = warping_function(warping_operator)
    result = bounds(mesh, plan, phi, omega, accuracy.order)
    if properties:
        result |= shear_centre(mesh, by_region(plan.modulus), omega, accuracy.order)
    result |= {"unknowns": unknowns + more, "elements": mesh.ne}
    return result | {"seconds": time.perf_counter() - start}


def by_region(ratio: np.ndarray) -> float | ng.CoefficientFunction:
    """A coefficient that is constant in each region; plain 1.0 when they are alike."""
    return 1.0 if np.all(ratio == 1.0) else ng.CF([float(v) for v in ratio])


# -- mesh ------------------------------------------------------------------------------------------
def section_mesh(plan: RegionPlan, accuracy: Accuracy) -> ng.Mesh:
    """Netgen triangulation with layers toward corners, curved along arcs."""
    geometry = SplineGeometry()
    marked = plan.corners(accuracy.corners)
    ids = [
        geometry.AppendPoint(*p, hpref=1.0 if m else 0.0)
        for p, m in zip(plan.nodes, marked, strict=True)
    ]
    for k in range(len(plan.edges)):
        add_edge(geometry, ids, plan, k, accuracy)
    mesh = ng.Mesh(geometry.GenerateMesh(maxh=accuracy.maxh * plan.size, grading=accuracy.grading))
    if accuracy.layers:
        mesh.RefineHP(accuracy.layers, factor=accuracy.factor)
    if not plan.is_polygon:
        mesh.Curve(accuracy.order)
    return mesh


def add_edge(
    geometry: SplineGeometry, ids: list[int], plan: RegionPlan, k: int, accuracy: Accuracy
) -> None:
    """Append one edge, its arc cut to the largest angle asked for."""
    sides = {
        "leftdomain": int(plan.left[k]) + 1,
        "rightdomain": int(plan.right[k]) + 1,
        "bc": border_name(plan.loop[k]),
    }
    (a, z), bulge = plan.edges[k], plan.bulges[k : k + 1]
    if bulge[0] == 0.0:
        geometry.Append(["line", ids[a], ids[z]], **sides)
        return
    start, end, part = split_long_arcs(plan.nodes[[a]], plan.nodes[[z]], bulge, accuracy.arc_step)
    inner = [
        geometry.AppendPoint(*p, hpref=1.0 if accuracy.corners == "all" else 0.0) for p in start[1:]
    ]
    run = [ids[a], *inner, ids[z]]
    for p, q, b, i, j in zip(start, end, part, run[:-1], run[1:], strict=True):
        # Control point of the circle as a rational quadratic: where the end tangents meet.
        d = q - p
        c = (p + q) / 2 + np.array([d[1], -d[0]]) * np.tan(2 * np.arctan(b)) / 2
        geometry.Append(["spline3", i, geometry.AppendPoint(*c), j], **sides)


def border_name(loop: int) -> str:
    """Name of a border in the mesh."""
    return "between" if loop < 0 else f"hole{loop}" if loop else "outline"


# -- the two problems ------------------------------------------------------------------------------
class Laplacian:
    """int c grad u . grad v with inner freedoms condensed; with c = 1 it serves both problems."""

    def __init__(
        self, mesh: ng.Mesh, order: int, coefficient: float | ng.CoefficientFunction
    ) -> None:
        self.mesh = mesh
        self.space = ng.H1(mesh, order=order)
        u, v = self.space.TnT()
        form = ng.grad(u) * ng.grad(v)
        if not isinstance(coefficient, float):
            form = coefficient * form
        self.form = ng.BilinearForm(form * ng.dx, condense=True).Assemble()
        self.coefficient = coefficient
        self.test = v

    def inverse(self, fixed: ng.BitArray) -> ng.BaseMatrix:
        """Factorised condensed matrix with some freedoms held at their value."""
        free = self.space.FreeDofs(coupling=True) & ~fixed
        return self.form.mat.Inverse(free, inverse="sparsecholesky")

    def solve(self, inverse: ng.BaseMatrix, u: ng.GridFunction, load: ng.BaseVector | None) -> None:
        """Solve a(u, v) = load(v) in place; held freedoms keep the values u comes with."""
        residual = u.vec.CreateVector()
        residual.data = -(self.form.mat * u.vec)
        if load is not None:
            residual.data += load + self.form.harmonic_extension_trans * load
        u.vec.data += inverse * residual
        u.vec.data += self.form.harmonic_extension * u.vec
        if load is not None:
            u.vec.data += self.form.inner_solve * load


def stress_function(operator: Laplacian, plan: RegionPlan) -> tuple[ng.GridFunction, int]:
    """Prandtl's function, -div(grad(phi)/G) = 2, constant on each hole with circulation 2 A_k.

    The film under load that is zero on all contours, plus a plateau for each hole: discretely
    harmonic, one on that hole, zero on the other contours. Both kinds are orthogonal in energy, so
    the plateaus' heights solve a small system of their own.
    """
    space, mesh = operator.space, operator.mesh
    contours = space.GetDofs(mesh.Boundaries("outline|hole.*"))
    inverse = operator.inverse(contours)
    f = ng.LinearForm(2 * operator.test * ng.dx).Assemble()
    phi = ng.GridFunction(space)
    plateaus = []
    for k in plan.holes:
        plateau = ng.GridFunction(space)
        # The vertex functions of a contour add up to one on it; its edge functions are not needed.
        for i in np.flatnonzero(list(space.GetDofs(mesh.Boundaries(f"hole{k}")))):
            if i < mesh.nv:
                plateau.vec[int(i)] = 1.0
        operator.solve(inverse, plateau, None)
        plateaus.append(plateau.vec)
    operator.solve(inverse, phi, f.vec)
    if plateaus:
        reaction = [operator.form.mat * p for p in plateaus]
        gram = np.array([[ng.InnerProduct(p, r.Evaluate()) for r in reaction] for p in plateaus])
        load = [
            2 * float(a) + ng.InnerProduct(f.vec, p)
            for a, p in zip(plan.hole_areas, plateaus, strict=True)
        ]
        for height, p in zip(np.linalg.solve(gram, load), plateaus, strict=True):
            phi.vec.data += float(height) * p
    return phi, space.ndof - contours.NumSet() + len(plateaus)


def warping_function(operator: Laplacian) -> tuple[ng.GridFunction, int]:
    """The omega that makes int G |grad omega + (-y, x)|^2 smallest; one vertex held."""
    space = operator.space
    spin = operator.coefficient * ng.CF((ng.y, -ng.x))
    f = ng.LinearForm(spin * ng.grad(operator.test) * ng.dx).Assemble()
    held = ng.BitArray(space.ndof)
    held.Clear()
    held[0] = True
    omega = ng.GridFunction(space)
    operator.solve(operator.inverse(held), omega, f.vec)
    return omega, space.ndof - 1


# -- results ---------------------------------------------------------------------------------------
def bounds(
    mesh: ng.Mesh, plan: RegionPlan, phi: ng.GridFunction, omega: ng.GridFunction, order: int
) -> dict:
    """J from below and above.

    For any phi that vanishes on the outline and is constant on holes, J >= L^2 / int |grad phi|^2/G
    with L = 2 int phi + 2 sum phi_k A_k (Cauchy-Schwarz). For any omega, J is at most
    int G |grad omega + (-y, x)|^2; the integral is taken as it stands, since its expansion into I_p
    and a work term cancels in thin walls.
    """
    load = 2 * ng.Integrate(phi, mesh, order=order + 4)
    for k, area in zip(plan.holes, plan.hole_areas, strict=True):
        edge = mesh.Boundaries(f"hole{k}")
        value = ng.Integrate(phi * ng.ds(edge), mesh) / ng.Integrate(ng.CF(1.0) * ng.ds(edge), mesh)
        load += 2 * value * float(area)
    shear = by_region(plan.shear)
    energy = ng.Integrate(ng.grad(phi) * ng.grad(phi) / shear, mesh, order=2 * order + 2)
    slide = ng.grad(omega) + ng.CF((-ng.y, ng.x))
    upper = ng.Integrate(shear * slide * slide, mesh, order=2 * order + 2)
    return {"J_lower": load**2 / energy, "J_upper": upper}


def shear_centre(
    mesh: ng.Mesh, modulus: float | ng.CoefficientFunction, omega: ng.GridFunction, order: int
) -> dict:
    """Trefftz's shear centre and C_w: pole and constant make E omega orthogonal to 1, x, y."""
    area = ng.Integrate(ng.CF(1.0), mesh)
    cx, cy = (ng.Integrate(c, mesh) / area for c in (ng.x, ng.y))
    basis = [ng.CF(1.0), ng.x - cx, ng.y - cy]
    high = order + 4
    gram = np.array(
        [[ng.Integrate(modulus * p * q, mesh, order=high) for q in basis] for p in basis]
    )
    shift = np.linalg.solve(
        gram, [ng.Integrate(modulus * omega * p, mesh, order=high) for p in basis]
    )
    reduced = omega - sum(float(s) * p for s, p in zip(shift, basis, strict=True))
    # omega about (a, b) is omega - b x + a y: the fitted slopes are b and -a.
    return {
        "area": area,
        "warping_constant": ng.Integrate(modulus * reduced * reduced, mesh, order=2 * order + 2),
        "shear_centre": [-float(shift[2]), float(shift[1])],
    }
