"""Torsion of a section by scikit-fem: quadratic elements on a gmsh mesh graded at corners.

A general finite-element library used as an independent reference, the way one would use it from a
textbook: isoparametric quadratic triangles, element size h (r/R)^(1 - grading) at distance r from a
re-entrant corner, one sparse direct solve for each of the two problems. One region, one material
with G = 1.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace

import gmsh
import numpy as np
import scipy.sparse as sp
import shapely
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementTriP2, Functional, LinearForm, MeshTri, MeshTri2
from soapfilm.geometry.contour import split_long_arcs
from soapfilm.geometry.section import Section

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


def solve(section: Section, mesh_size: MeshSize) -> dict:
    """Torsion constant from both sides, warping constant and shear centre.

    Returns
    -------
    dict with J_lower, J_upper, warping_constant, shear_centre [x, y], area, unknowns (of the two
    problems together), elements and seconds (mesh included).
    """
    start = time.perf_counter()
    mesh, outline, holes = section_mesh(section, mesh_size)
    basis = Basis(mesh, ElementTriP2(), intorder=_QUADRATURE)
    stiffness = laplace.assemble(basis).tocsc()
    lower, unknowns = stress_function_bound(section, basis, stiffness, outline, holes)
    omega = warping_function(basis, stiffness)
    result = {"J_lower": lower, "J_upper": float(shear_energy.assemble(basis, omega=omega))}
    result |= shear_centre(basis, omega)
    result |= {"unknowns": int(unknowns + basis.N - 1), "elements": int(mesh.nelements)}
    return result | {"seconds": time.perf_counter() - start}


# -- weak forms ------------------------------------------------------------------------------------
@BilinearForm
def laplace(u, v, w):
    """int grad u . grad v"""
    return u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1]


@LinearForm
def film_load(v, w):
    """2 int v"""
    return 2.0 * v


@LinearForm
def warping_load(v, w):
    """int (y, -x) . grad v"""
    return w.x[1] * v.grad[0] - w.x[0] * v.grad[1]


@Functional
def shear_energy(w):
    """int |grad omega + (-y, x)|^2, as it stands: its expansion cancels in thin walls."""
    return (w["omega"].grad[0] - w.x[1]) ** 2 + (w["omega"].grad[1] + w.x[0]) ** 2


# -- the two problems ------------------------------------------------------------------------------
def stress_function_bound(
    section: Section,
    basis: Basis,
    stiffness: sp.csc_matrix,
    outline: np.ndarray,
    holes: list[np.ndarray],
) -> tuple[float, int]:
    """J >= L^2 / int |grad phi|^2 with L = 2 int phi + 2 sum phi_k A_k, and the number of unknowns.

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
    load[len(free) :] += [2 * abs(h.area()) for h in section.regions[0].holes]
    matrix = (tie.T @ stiffness @ tie).tocsc()
    phi = solve_symmetric(matrix, load)
    return float(load @ phi) ** 2 / float(phi @ (matrix @ phi)), shape[1]


def warping_function(basis: Basis, stiffness: sp.csc_matrix) -> np.ndarray:
    """Nodal values of the harmonic omega with the first vertex held at zero."""
    omega = np.zeros(basis.N)
    load = warping_load.assemble(basis)
    omega[1:] = solve_symmetric(stiffness[1:, 1:].tocsc(), load[1:])
    return omega


def solve_symmetric(matrix: sp.csc_matrix, load: np.ndarray) -> np.ndarray:
    """Direct solve with the ordering that serves scipy's factorisation best here."""
    factor = splu(
        matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    return factor.solve(load)


def shear_centre(basis: Basis, omega: np.ndarray) -> dict:
    """Trefftz's shear centre and C_w: pole and constant make omega orthogonal to 1, x, y."""
    x, y = basis.global_coordinates().value
    weight = basis.dx
    area = weight.sum()
    x0, y0 = (x * weight).sum() / area, (y * weight).sum() / area
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
    section: Section, mesh_size: MeshSize
) -> tuple[MeshTri2, np.ndarray, list[np.ndarray]]:
    """Graded quadratic mesh, and the freedoms on the outline and on each hole."""
    (region,) = section.regions
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setNumber("General.NumThreads", 1)
        loops, curves = [], []
        for contour in region.contours:
            lines = add_contour(contour)
            loops.append(gmsh.model.geo.addCurveLoop(lines))
            curves.append(lines)
        gmsh.model.geo.addPlaneSurface(loops)
        gmsh.model.geo.synchronize()
        set_sizes(section, mesh_size)
        gmsh.model.mesh.generate(2)
        gmsh.model.mesh.setOrder(2)
        return read_mesh(curves)
    finally:
        gmsh.finalize()


def add_contour(contour) -> list[int]:
    """gmsh lines and circle arcs (cut to a quarter turn) of one contour."""
    geo = gmsh.model.geo
    start, end, bulge = split_long_arcs(contour.points, contour.ends, contour.bulges, np.pi / 2)
    ids = [geo.addPoint(x, y, 0.0) for x, y in start]
    lines = []
    for i, b in enumerate(bulge):
        a, z = ids[i], ids[(i + 1) % len(ids)]
        if b == 0.0:
            lines.append(geo.addLine(a, z))
            continue
        d = end[i] - start[i]
        centre = (start[i] + end[i]) / 2 + np.array([-d[1], d[0]]) * (1 - b * b) / (4 * b)
        lines.append(geo.addCircleArc(a, geo.addPoint(*centre, 0.0), z))
    return lines


def set_sizes(section: Section, mesh_size: MeshSize) -> None:
    """Size fields: uniform, but h (r/R)^(1 - grading) near re-entrant corners."""
    for name in ("FromPoints", "FromCurvature", "ExtendFromBoundary"):
        gmsh.option.setNumber(f"Mesh.MeshSize{name}", 0)
    field = gmsh.model.mesh.field
    mins = [field.add("MathEval")]
    field.setString(mins[0], "F", repr(mesh_size.size))
    for (x, y), radius in reentrant_corners(section):
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


def reentrant_corners(section: Section) -> list[tuple[tuple[float, float], float]]:
    """Corners of more than half a turn of material, each with the distance R to the next wall."""
    (region,) = section.regions
    found = []
    edges = [
        shapely.LineString([p, q])
        for c in region.contours
        for p, q in zip(c.points, c.ends, strict=True)
    ]
    for c in region.contours:
        chord = np.arctan2(*(c.ends - c.points).T[::-1])
        half = 2 * np.arctan(c.bulges)
        turn = (chord - half) - np.roll(chord + half, 1)
        turn = (turn + np.pi) % (2 * np.pi) - np.pi
        for p in c.points[turn < -1e-6]:
            corner = shapely.Point(p)
            distance = min(d for e in edges if (d := corner.distance(e)) > 0)
            found.append(((float(p[0]), float(p[1])), float(distance)))
    return found


def read_mesh(curves: list[list[int]]) -> tuple[MeshTri2, np.ndarray, list[np.ndarray]]:
    """gmsh's six-node triangles as scikit-fem's mesh, midside nodes on their arcs."""
    mesh = gmsh.model.mesh
    tags, coordinates, _ = mesh.getNodes()
    place = np.zeros(int(tags.max()) + 1, dtype=np.int64)
    place[tags.astype(np.int64)] = np.arange(len(tags))
    xy = coordinates.reshape(-1, 3)[:, :2]
    (kind,), _, (nodes,) = mesh.getElements(2)
    assert kind == 9
    six = place[nodes.astype(np.int64)].reshape(-1, 6)
    corners, triangles = np.unique(six[:, :3], return_inverse=True)
    straight = MeshTri(
        np.ascontiguousarray(xy[corners].T), np.ascontiguousarray(triangles.reshape(-1, 3).T)
    )
    quadratic = MeshTri2.from_mesh(replace(straight, sort_t=False))
    # Both number midside nodes by edges 12, 23, 31; scikit-fem may have turned the triangles, so go
    # by node.
    freedom = np.full(len(xy), -1)
    freedom[corners] = np.arange(len(corners))
    middle = {}
    for a, b, m in ((0, 1, 3), (1, 2, 4), (2, 0, 5)):
        pairs = np.sort(freedom[six[:, [a, b]]], axis=1)
        middle[m] = (pairs, six[:, m])
    pairs = np.vstack([middle[m][0] for m in (3, 4, 5)])
    mids = np.concatenate([middle[m][1] for m in (3, 4, 5)])
    facets = np.sort(quadratic.facets.T, axis=1)
    size = len(corners)
    order = np.argsort(facets[:, 0].astype(np.int64) * size + facets[:, 1])
    keys = (facets[:, 0].astype(np.int64) * size + facets[:, 1])[order]
    facet = order[np.searchsorted(keys, pairs[:, 0].astype(np.int64) * size + pairs[:, 1])]
    freedom[mids] = quadratic.dofs.facet_dofs[0][facet]
    doflocs = quadratic.doflocs.copy()
    used = freedom >= 0
    doflocs[:, freedom[used]] = xy[used].T
    boundary = []
    for lines in curves:
        tags = np.concatenate([mesh.getNodes(1, t, includeBoundary=True)[0] for t in lines])
        boundary.append(np.unique(freedom[place[tags.astype(np.int64)]]))
    return replace(quadratic, doflocs=doflocs), boundary[0], boundary[1:]
