"""Torsion of a section by scikit-fem: quadratic elements on a gmsh mesh graded at corners.

A general finite-element library used as an independent reference, the way one would use it from a
textbook: isoparametric quadratic triangles, element size h (r/R)^(1 - grading) at distance r from a
re-entrant corner, one sparse direct solve for each of the two problems. Regions may differ
in their elastic constants; results are in terms of the first region's.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import pairwise

import gmsh
import numpy as np
import scipy.sparse as sp
import shapely
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementTriP2, Functional, LinearForm, MeshTri, MeshTri2
from soapfilm.geometry.outline.contour import arc_circles, split_long_arcs
from soapfilm.geometry.section import Section

from .region_plan import RegionPlan, region_plan

#: Order of quadrature: exact for straight elements, close for the curved ones along arcs.
_QUADRATURE = 6


@dataclass(frozen=True, slots=True)
class MeshSize:
    """What a user of the library chooses.

    Attributes
    ----------
    size : float
        Element size away from corners, in the section's unit.
    grading : float
        Exponent of the mesh toward re-entrant corners: 1 is uniform; quadratic elements keep their
        full order when it is below half the corner's exponent, 1/3 for a right angle.
    """

    size: float
    grading: float = 0.3


def solve(section: Section | RegionPlan, mesh_size: MeshSize) -> dict:
    """Torsion constant from both sides, warping constant and shear centre.

    Returns
    -------
    dict with J_lower, J_upper, warping_constant, shear_centre [x, y], area, unknowns (of the two
    problems together), elements and seconds (mesh included).
    """
    plan = section if isinstance(section, RegionPlan) else region_plan(section)
    start = time.perf_counter()
    mesh, region, outline, holes = section_mesh(plan, mesh_size)
    basis = Basis(mesh, ElementTriP2(), intorder=_QUADRATURE)
    shear = plan.shear[region][:, None]
    stiffness = laplace.assemble(basis, factor=shear).tocsc()
    flexibility = stiffness
    if not np.all(plan.shear == 1.0):
        flexibility = laplace.assemble(basis, factor=1 / shear).tocsc()
    lower, unknowns = stress_function_bound(plan, basis, flexibility, outline, holes)
    omega = warping_function(basis, stiffness, shear)
    upper = shear_energy.assemble(basis, omega=omega, factor=shear)
    result = {"J_lower": lower, "J_upper": float(upper)}
    result |= shear_centre(basis, omega, plan.modulus[region][:, None])
    result |= {"unknowns": int(unknowns + basis.N - 1), "elements": int(mesh.nelements)}
    return result | {"seconds": time.perf_counter() - start}


# -- weak forms: factor is G or 1/G of each element ------------------------------------------------
@BilinearForm
def laplace(u, v, w):
    """int factor grad u . grad v"""
    return w["factor"] * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1])


@LinearForm
def film_load(v, w):
    """2 int v"""
    return 2.0 * v


@LinearForm
def warping_load(v, w):
    """int G (y, -x) . grad v"""
    return w["factor"] * (w.x[1] * v.grad[0] - w.x[0] * v.grad[1])


@Functional
def shear_energy(w):
    """int G |grad omega + (-y, x)|^2, as it stands: its expansion cancels in thin walls."""
    slide_x, slide_y = w["omega"].grad[0] - w.x[1], w["omega"].grad[1] + w.x[0]
    return w["factor"] * (slide_x**2 + slide_y**2)


# -- the two problems ------------------------------------------------------------------------------
def stress_function_bound(
    plan: RegionPlan,
    basis: Basis,
    flexibility: sp.csc_matrix,
    outline: np.ndarray,
    holes: list[np.ndarray],
) -> tuple[float, int]:
    """J >= L^2 / int |grad phi|^2/G, L = 2 int phi + 2 sum phi_k A_k; and the number of unknowns.

    Every hole's nodes share one unknown (columns of `tie`), the outline's have none.
    """
    fixed = np.concatenate([outline, *holes])
    free = np.setdiff1d(np.arange(basis.N), fixed)
    rows = np.concatenate([free, *holes])
    sizes = [len(h) for h in holes]
    cols = np.concatenate(
        [np.arange(len(free)), len(free) + np.repeat(np.arange(len(holes)), sizes)]
    ).astype(int)
    shape = (basis.N, len(free) + len(holes))
    tie = sp.csc_matrix((np.ones(len(rows)), (rows, cols)), shape=shape)
    load = tie.T @ film_load.assemble(basis)
    load[len(free) :] += 2 * plan.hole_areas
    matrix = (tie.T @ flexibility @ tie).tocsc()
    phi = solve_symmetric(matrix, load)
    return float(load @ phi) ** 2 / float(phi @ (matrix @ phi)), shape[1]


def warping_function(basis: Basis, stiffness: sp.csc_matrix, shear: np.ndarray) -> np.ndarray:
    """Nodal values of omega with the first vertex held at zero."""
    omega = np.zeros(basis.N)
    load = warping_load.assemble(basis, factor=shear)
    omega[1:] = solve_symmetric(stiffness[1:, 1:].tocsc(), load[1:])
    return omega


def solve_symmetric(matrix: sp.csc_matrix, load: np.ndarray) -> np.ndarray:
    """Direct solve with the ordering that serves scipy's factorisation best here."""
    factor = splu(
        matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    return factor.solve(load)


def shear_centre(basis: Basis, omega: np.ndarray, modulus: np.ndarray) -> dict:
    """Trefftz's shear centre and C_w: pole and constant make E omega orthogonal to 1, x, y."""
    x, y = basis.global_coordinates().value
    area = basis.dx.sum()
    weight = modulus * basis.dx
    x0, y0 = (x * basis.dx).sum() / area, (y * basis.dx).sum() / area
    monomials = [np.ones_like(x), x - x0, y - y0]
    field = basis.interpolate(omega).value
    gram = np.array([[(p * q * weight).sum() for q in monomials] for p in monomials])
    shift = np.linalg.solve(gram, [(p * field * weight).sum() for p in monomials])
    reduced = field - sum(s * p for s, p in zip(shift, monomials, strict=True))
    # omega about (a, b) is omega - b x + a y: the fitted slopes are b and -a.
    return {
        "area": float(area),
        "warping_constant": float((reduced**2 * weight).sum()),
        "shear_centre": [-float(shift[2]), float(shift[1])],
    }


# -- mesh ------------------------------------------------------------------------------------------
def section_mesh(
    plan: RegionPlan, mesh_size: MeshSize
) -> tuple[MeshTri2, np.ndarray, np.ndarray, list[np.ndarray]]:
    """Graded quadratic mesh, region of each element, freedoms on the outline and on each hole."""
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setNumber("General.NumThreads", 1)
        curves = add_edges(plan)
        surfaces = []
        for loops in plan.faces:
            rings = [
                gmsh.model.geo.addCurveLoop([c for k in loop for c in run_of(curves, int(k))])
                for loop in loops
            ]
            surfaces.append(gmsh.model.geo.addPlaneSurface(rings))
        gmsh.model.geo.synchronize()
        set_sizes(plan, mesh_size)
        gmsh.model.mesh.generate(2)
        gmsh.model.mesh.setOrder(2)
        borders = [
            [c for k in np.flatnonzero(plan.loop == loop) for c in curves[k]]
            for loop in (0, *plan.holes)
        ]
        return read_mesh(surfaces, borders)
    finally:
        gmsh.finalize()


def add_edges(plan: RegionPlan) -> list[list[int]]:
    """gmsh lines and circle arcs (cut to a quarter turn) of each edge."""
    geo = gmsh.model.geo
    ids = [geo.addPoint(x, y, 0.0) for x, y in plan.nodes]
    curves: list[list[int]] = []
    for (a, z), bulge in zip(plan.edges, plan.bulges, strict=True):
        if bulge == 0.0:
            curves.append([geo.addLine(ids[a], ids[z])])
            continue
        start, end, part = split_long_arcs(
            plan.nodes[[a]], plan.nodes[[z]], np.array([bulge]), np.pi / 2
        )
        centre = geo.addPoint(*arc_circles(start[:1], end[:1], part[:1])[0][0], 0.0)
        run = [ids[a], *(geo.addPoint(x, y, 0.0) for x, y in start[1:]), ids[z]]
        curves.append([geo.addCircleArc(i, centre, j) for i, j in pairwise(run)])
    return curves


def run_of(curves: list[list[int]], signed: int) -> list[int]:
    """gmsh curves of a signed edge of the plan."""
    run = curves[abs(signed) - 1]
    return run if signed > 0 else [-c for c in reversed(run)]


def set_sizes(plan: RegionPlan, mesh_size: MeshSize) -> None:
    """Size fields: uniform, but h (r/R)^(1 - grading) near re-entrant corners."""
    for name in ("FromPoints", "FromCurvature", "ExtendFromBoundary"):
        gmsh.option.setNumber(f"Mesh.MeshSize{name}", 0)
    field = gmsh.model.mesh.field
    mins = [field.add("MathEval")]
    field.setString(mins[0], "F", repr(mesh_size.size))
    for (x, y), radius in reentrant_corners(plan):
        f = field.add("MathEval")
        r = f"Sqrt((x-({x!r}))^2+(y-({y!r}))^2)/{radius!r}"
        # The element at the corner itself spans r = (h/R)^(1/grading) R.
        least = (mesh_size.size / radius) ** (1 / mesh_size.grading)
        power = 1 - mesh_size.grading
        field.setString(f, "F", f"{mesh_size.size!r}*({r}+{least!r})^{power!r}")
        mins.append(f)
    smallest = field.add("Min")
    field.setNumbers(smallest, "FieldsList", mins)
    field.setAsBackgroundMesh(smallest)


def reentrant_corners(plan: RegionPlan) -> list[tuple[tuple[float, float], float]]:
    """Corners of more than half a turn of material, each with the distance R to the next wall."""
    chords = [shapely.LineString(plan.nodes[e]) for e in plan.edges]
    found = []
    for x, y in plan.nodes[plan.corners("re-entrant")]:
        corner = shapely.Point(x, y)
        distance = min(d for c in chords if (d := corner.distance(c)) > 0)
        found.append(((float(x), float(y)), float(distance)))
    return found


def read_mesh(
    surfaces: list[int], borders: list[list[int]]
) -> tuple[MeshTri2, np.ndarray, np.ndarray, list[np.ndarray]]:
    """gmsh's six-node triangles as scikit-fem's mesh, midside nodes on their arcs."""
    mesh = gmsh.model.mesh
    tags, coordinates, _ = mesh.getNodes()
    place = np.zeros(int(tags.max()) + 1, dtype=np.int64)
    place[tags.astype(np.int64)] = np.arange(len(tags))
    xy = coordinates.reshape(-1, 3)[:, :2]
    parts = [place[mesh.getElements(2, s)[2][0].astype(np.int64)].reshape(-1, 6) for s in surfaces]
    six = np.vstack(parts)
    region = np.repeat(np.arange(len(parts)), [len(p) for p in parts])

    corners, triangles = np.unique(six[:, :3], return_inverse=True)
    triangles = np.ascontiguousarray(triangles.reshape(-1, 3).T)
    straight = MeshTri(np.ascontiguousarray(xy[corners].T), triangles, sort_t=False)
    quadratic = MeshTri2.from_mesh(straight)
    # Midside nodes sit on edges 12, 23, 31 of a triangle in both numberings.
    freedom = np.full(len(xy), -1)
    freedom[six.T] = quadratic.dofs.element_dofs
    doflocs = quadratic.doflocs.copy()
    doflocs[:, freedom[freedom >= 0]] = xy[freedom >= 0].T
    boundary = []
    for curves in borders:
        ends = [mesh.getNodes(1, c, includeBoundary=True)[0].astype(np.int64) for c in curves]
        boundary.append(np.unique(freedom[place[np.concatenate(ends)]]))
    return replace(quadratic, doflocs=doflocs), region, boundary[0], boundary[1:]
