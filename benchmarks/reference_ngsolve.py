"""Torsion of a section by NGSolve: hp refinement toward corners, curved elements, both bounds of J.

A general finite-element library used as an independent reference. One region, one material with G =
1.

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
from soapfilm.geometry.contour import Contour, split_long_arcs
from soapfilm.geometry.section import Section

#: A corner counts as sharp when its edges meet at more than this from straight (tangent arcs do
#: not).
_SHARP = 1e-6


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


def solve(section: Section, accuracy: Accuracy | None = None, *, properties: bool = True) -> dict:
    """Torsion constant from both sides, warping constant and shear centre.

    Returns
    -------
    dict with J_lower, J_upper, warping_constant, shear_centre [x, y], area, unknowns (of the two
    problems together), elements and seconds (mesh included). Without `properties`, J alone.
    """
    accuracy = accuracy or Accuracy()
    start = time.perf_counter()
    mesh = section_mesh(section, accuracy)
    operator = Laplacian(mesh, accuracy.order)
    phi, unknowns = stress_function(operator, section)
    omega, more = warping_function(operator)
    result = bounds(mesh, section, phi, omega, accuracy.order)
    if properties:
        result |= shear_centre(mesh, omega, accuracy.order)
    result |= {"unknowns": unknowns + more, "elements": mesh.ne}
    return result | {"seconds": time.perf_counter() - start}


# -- mesh ------------------------------------------------------------------------------------------
def section_mesh(section: Section, accuracy: Accuracy) -> ng.Mesh:
    """Netgen triangulation with layers toward corners, curved along arcs."""
    (region,) = section.regions
    geometry = SplineGeometry()
    for k, contour in enumerate(region.contours):
        add_contour(geometry, contour, f"hole{k}" if k else "outline", accuracy)
    size = accuracy.maxh * section.size()
    mesh = ng.Mesh(geometry.GenerateMesh(maxh=size, grading=accuracy.grading))
    if accuracy.layers:
        mesh.RefineHP(accuracy.layers, factor=accuracy.factor)
    if not all(c.is_polygon for c in region.contours):
        mesh.Curve(accuracy.order)
    return mesh


def add_contour(geometry: SplineGeometry, contour: Contour, name: str, accuracy: Accuracy) -> None:
    """Append one contour, material on its left (holes run clockwise), its corners marked."""
    start, end, bulge = split_long_arcs(
        contour.points, contour.ends, contour.bulges, accuracy.arc_step
    )
    marked = marked_corners(start, end, bulge, accuracy.corners)
    ids = [
        geometry.AppendPoint(*p, hpref=1.0 if m else 0.0)
        for p, m in zip(start, marked, strict=True)
    ]
    for i, b in enumerate(bulge):
        a, z = ids[i], ids[(i + 1) % len(ids)]
        shape: list = ["line", a, z]
        if b != 0.0:
            # Control point of the circle as a rational quadratic: where the end tangents meet.
            d, half = end[i] - start[i], 2 * np.arctan(b)
            c = (start[i] + end[i]) / 2 + np.array([d[1], -d[0]]) * np.tan(half) / 2
            shape = ["spline3", a, geometry.AppendPoint(*c), z]
        geometry.Append(shape, leftdomain=1, rightdomain=0, bc=name)


def marked_corners(
    start: np.ndarray, end: np.ndarray, bulge: np.ndarray, corners: str
) -> np.ndarray:
    """Which start points get geometric layers."""
    if corners == "all":
        return np.ones(len(start), dtype=bool)
    chord = np.arctan2(*(end - start).T[::-1])
    half = 2 * np.arctan(bulge)
    turn = (chord - half) - np.roll(chord + half, 1)
    turn = (turn + np.pi) % (2 * np.pi) - np.pi
    return turn < -_SHARP if corners == "re-entrant" else abs(turn) > _SHARP


# -- the two problems ------------------------------------------------------------------------------
class Laplacian:
    """int grad u . grad v, assembled once with inner freedoms condensed, for both problems."""

    def __init__(self, mesh: ng.Mesh, order: int) -> None:
        self.mesh = mesh
        self.space = ng.H1(mesh, order=order)
        u, v = self.space.TnT()
        self.form = ng.BilinearForm(ng.grad(u) * ng.grad(v) * ng.dx, condense=True).Assemble()
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


def stress_function(operator: Laplacian, section: Section) -> tuple[ng.GridFunction, int]:
    """Prandtl's function, -lap(phi) = 2, constant on each hole with circulation 2 A_k.

    The film under load that is zero on all contours, plus a plateau for each hole: discretely
    harmonic, one on that hole, zero on the other contours. Both kinds are orthogonal in energy, so
    the plateaus' heights solve a small system of their own.
    """
    space, mesh, holes = operator.space, operator.mesh, section.regions[0].holes
    contours = space.GetDofs(mesh.Boundaries(".*"))
    inverse = operator.inverse(contours)
    f = ng.LinearForm(2 * operator.test * ng.dx).Assemble()
    phi = ng.GridFunction(space)
    plateaus = []
    for k in range(1, len(holes) + 1):
        plateau = ng.GridFunction(space)
        # The vertex functions of a contour add up to one on it; its edge functions are not needed.
        for i in np.flatnonzero(list(space.GetDofs(mesh.Boundaries(f"hole{k}")))):
            if i < mesh.nv:
                plateau.vec[int(i)] = 1.0
        operator.solve(inverse, plateau, None)
        plateaus.append(plateau.vec)
    operator.solve(inverse, phi, f.vec)
    if holes:
        reaction = [operator.form.mat * p for p in plateaus]
        gram = np.array([[ng.InnerProduct(p, r.Evaluate()) for r in reaction] for p in plateaus])
        load = [
            2 * abs(h.area()) + ng.InnerProduct(f.vec, p)
            for h, p in zip(holes, plateaus, strict=True)
        ]
        for height, p in zip(np.linalg.solve(gram, load), plateaus, strict=True):
            phi.vec.data += float(height) * p
    return phi, space.ndof - contours.NumSet() + len(holes)


def warping_function(operator: Laplacian) -> tuple[ng.GridFunction, int]:
    """The harmonic function that makes |grad omega + (-y, x)|^2 smallest; one vertex held."""
    space = operator.space
    f = ng.LinearForm(ng.CF((ng.y, -ng.x)) * ng.grad(operator.test) * ng.dx).Assemble()
    held = ng.BitArray(space.ndof)
    held.Clear()
    held[0] = True
    omega = ng.GridFunction(space)
    operator.solve(operator.inverse(held), omega, f.vec)
    return omega, space.ndof - 1


# -- results ---------------------------------------------------------------------------------------
def bounds(
    mesh: ng.Mesh, section: Section, phi: ng.GridFunction, omega: ng.GridFunction, order: int
) -> dict:
    """J from below and above.

    For any phi that vanishes on the outline and is constant on holes, J >= L^2 / int |grad phi|^2
    with L = 2 int phi + 2 sum phi_k A_k (Cauchy-Schwarz). For any omega, J <= int |grad omega +
    (-y, x)|^2; the integral is taken as it stands, since its expansion into I_p and a work term
    cancels in thin walls.
    """
    load = 2 * ng.Integrate(phi, mesh, order=order + 4)
    for k, hole in enumerate(section.regions[0].holes, start=1):
        edge = mesh.Boundaries(f"hole{k}")
        value = ng.Integrate(phi * ng.ds(edge), mesh) / ng.Integrate(ng.CF(1.0) * ng.ds(edge), mesh)
        load += 2 * value * abs(hole.area())
    energy = ng.Integrate(ng.grad(phi) * ng.grad(phi), mesh, order=2 * order + 2)
    shear = ng.grad(omega) + ng.CF((-ng.y, ng.x))
    upper = ng.Integrate(shear * shear, mesh, order=2 * order + 2)
    return {"J_lower": load**2 / energy, "J_upper": upper}


def shear_centre(mesh: ng.Mesh, omega: ng.GridFunction, order: int) -> dict:
    """Trefftz's shear centre and C_w: pole and constant make omega orthogonal to 1, x, y."""
    area = ng.Integrate(ng.CF(1.0), mesh)
    cx, cy = (ng.Integrate(c, mesh) / area for c in (ng.x, ng.y))
    basis = [ng.CF(1.0), ng.x - cx, ng.y - cy]
    high = order + 4
    gram = np.array([[ng.Integrate(p * q, mesh, order=high) for q in basis] for p in basis])
    shift = np.linalg.solve(gram, [ng.Integrate(omega * p, mesh, order=high) for p in basis])
    reduced = omega - sum(float(s) * p for s, p in zip(shift, basis, strict=True))
    # omega about (a, b) is omega - b x + a y: the fitted slopes are b and -a.
    return {
        "area": area,
        "warping_constant": ng.Integrate(reduced * reduced, mesh, order=2 * order + 2),
        "shear_centre": [-float(shift[2]), float(shift[1])],
    }
