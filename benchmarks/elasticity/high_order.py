"""The same elasticity by a general finite-element library of any order: hexahedra of NGSolve.

Shape functions, quadrature, condensation of inner functions and factorisation are the library's;
the grid of the section, fine toward its corners, and the planes along the member are those of the
chain of slabs. Straight prismatic cases of one material, held in plane at both ends.
"""

from __future__ import annotations

from itertools import pairwise, product

import ngsolve as ng
import numpy as np
from netgen.meshing import (
    Element2D,
    Element3D,
    FaceDescriptor,
    Mesh,
    MeshPoint,
    Pnt,
)

from .case import Case, LineLoad
from .chain import cuts
from .grid import grid

#: A spring in N/mm^3 at the ends, against the free motion along the axis: a millionth of the
#: walls' own stiffness, and no force passes it.
_SPRING = 1e-5
#: Points are read so far inside the material, as a share of their distance from the axis.
_INSIDE = 1e-9


def displacements(case: Case, order: int) -> tuple[np.ndarray, int]:
    """(points, 3) at the points of the case, and the number of unknowns."""
    mesh = ng.Mesh(_mesh(case))
    space = ng.VectorH1(mesh, order=order, dirichletx="ends", dirichlety="ends")
    u, v = space.TnT()
    (material,) = case.materials
    shear = material.modulus / (2 * (1 + material.poisson))
    lame = 2 * shear * material.poisson / (1 - 2 * material.poisson)
    strain, other = ng.Sym(ng.Grad(u)), ng.Sym(ng.Grad(v))
    stress = 2 * shear * strain + lame * ng.Trace(strain) * ng.Id(3)
    stiffness = ng.BilinearForm(space, symmetric=True, condense=True)
    stiffness += ng.InnerProduct(stress, other) * ng.dx
    stiffness += _SPRING * u[2] * v[2] * ng.ds("ends")
    stiffness.Assemble()
    load = ng.LinearForm(space).Assemble()
    for line in case.loads:
        assert isinstance(line, LineLoad)
        _add(load.vec, mesh, space, line, case, order)
    found = ng.GridFunction(space)
    inverse = stiffness.mat.Inverse(space.FreeDofs(coupling=True), inverse="sparsecholesky")
    load.vec.data += stiffness.harmonic_extension_trans * load.vec
    found.vec.data = inverse * load.vec
    found.vec.data += stiffness.harmonic_extension * found.vec
    found.vec.data += stiffness.inner_solve * load.vec
    at = [mesh(*_inward(point)) for point in case.displacements]
    return np.array([found(place) for place in at]), space.ndof


def _inward(point: tuple[float, float, float]) -> tuple[float, float, float]:
    x, y, z = point
    return x * (1 - _INSIDE), y * (1 - _INSIDE), z


def _add(
    vector: ng.BaseVector, mesh: ng.Mesh, space: ng.VectorH1, load: LineLoad, case: Case, order: int
) -> None:
    """Work of a line load on the shape functions, by Gauss points of every edge along it."""
    points, weights = np.polynomial.legendre.leggauss(order + 1)
    for a, b in pairwise(cuts(case)):
        if not load.start < (a + b) / 2 < load.end:
            continue
        for share, weight in zip((1 + points) / 2, weights * (b - a) / 2, strict=True):
            place = mesh(*_inward((load.x, load.y, a + (b - a) * share)))
            element = ng.ElementId(ng.VOL, place.nr)
            for k, force in enumerate(load.force):
                if not force:
                    continue
                own = space.components[k]
                shape = own.GetFE(element).CalcShape(*place.pnt)
                first = space.Range(k).start
                for number, value in zip(own.GetDofNrs(element), shape, strict=True):
                    vector[first + number] += weight * force * value


def _mesh(case: Case) -> Mesh:
    """Hexahedra, the ends as boundary."""
    plan = grid(case.plates, case.lines, 2, case.corner, case.thin)
    x, y, z = plan.x[:, 0], plan.y[:, 0], cuts(case)
    mesh = Mesh(dim=3)
    corners = sorted(
        {(c.column + i, c.row + j) for c in plan.cells for i, j in product((0, 1), repeat=2)}
    )
    point = {
        (i, j, k): mesh.Add(MeshPoint(Pnt(x[i], y[j], z[k])))
        for k in range(len(z))
        for i, j in corners
    }
    ends = mesh.Add(FaceDescriptor(surfnr=1, domin=1, domout=0, bc=1))
    mesh.SetBCName(0, "ends")
    mesh.SetMaterial(1, "steel")
    for cell in plan.cells:
        i, j = cell.column, cell.row
        round_ = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)]
        for k in range(len(z) - 1):
            corner = [point[(*c, level)] for level in (k, k + 1) for c in round_]
            mesh.Add(Element3D(1, corner))
        for k in (0, len(z) - 1):
            mesh.Add(Element2D(ends, [point[(*c, k)] for c in round_]))
    return mesh
