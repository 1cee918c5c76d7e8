"""The same elasticity by a general finite-element library: quadratic hexahedra of scikit-fem.

Mesh, shape functions, quadrature, assembly, factorisation are the library's and scipy's; only the
case is shared. One element through each plate's thickness: agreement to about a
hundredth is what to expect.

Run: ``python -m benchmarks.elasticity.crosscheck``; writes crosscheck.json beside the records.
"""

from __future__ import annotations

import json
import time
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu
from skfem import Basis, ElementHex2, ElementVector, MeshHex
from skfem.models.elasticity import lame_parameters, linear_elasticity

from .case import Case, EndTorque, LineLoad
from .cases import CHANNEL, HOLLOW, TAPERED

TABLE = Path(__file__).parent / "crosscheck.json"
#: Case, elements along an interval between plates' sides, and along the member.
RUNS = ((HOLLOW, 6, 40), (CHANNEL, 6, 30), (TAPERED, 6, 30))


def displacements(case: Case, across: int, along: int) -> tuple[np.ndarray, int]:
    """(points, 3) at the points of the case, by quadratic hexahedra; and the number of unknowns."""
    mesh = _mesh(case, across, along)
    basis = Basis(mesh, ElementVector(ElementHex2()), intorder=5)
    material = case.materials[0]
    form = linear_elasticity(*lame_parameters(material.modulus, material.poisson))
    stiffness = form.assemble(basis)
    places = basis.doflocs
    free = _tie(case, basis.N, places)
    matrix = (free.T @ stiffness @ free).tocsc()
    factor = splu(
        matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    found = free @ factor.solve(free.T @ _load(case, places))
    picked = [_dofs(places, np.array(point)) for point in case.displacements]
    return found[np.array(picked)], matrix.shape[0]


def _mesh(case: Case, across: int, along: int) -> MeshHex:
    """The library's tensor mesh, without the cells that hold no material, tapered by its points."""
    thick = case.thin
    lines = []
    for axis in ("x", "y"):
        sides = sorted({float(s) for plate in case.plates for s in getattr(plate, axis)})
        parts = [
            np.linspace(a, b, 2 if b - a < thick else across + 1)[:-1] for a, b in pairwise(sides)
        ]
        lines.append(np.concatenate([*parts, sides[-1:]]))
    mesh = MeshHex.init_tensor(*lines, np.linspace(0, case.length, along + 1))
    x, y, _ = mesh.p[:, mesh.t].mean(axis=1)
    full = np.zeros(mesh.nelements, bool)
    for plate in case.plates:
        full |= (plate.x[0] < x) & (x < plate.x[1]) & (plate.y[0] < y) & (y < plate.y[1])
    mesh = mesh.remove_elements(np.flatnonzero(~full))
    moved = np.array(mesh.p)
    for row, axis in enumerate(("x", "y")):
        pairs = {}
        for plate in case.plates:
            start = getattr(plate, axis)
            pairs |= dict(zip(start, getattr(plate, f"{axis}_end") or start, strict=True))
        near = np.array(sorted(pairs.items()))
        end = np.interp(mesh.p[row], *near.T)
        share = mesh.p[2] / case.length
        moved[row] = mesh.p[row] * (1 - share) + end * share
    return MeshHex(moved, mesh.t)


def _dofs(places: np.ndarray, point: np.ndarray) -> list[int]:
    """The three freedoms of the node at a point, in the order x, y, z."""
    distance = np.abs(places - point[:, None]).max(axis=0)
    found = np.flatnonzero(distance < 1e-6)
    if len(found) != 3:
        raise ValueError(f"no node at {point}")
    return sorted(found.tolist())


def _tie(case: Case, count: int, places: np.ndarray) -> sp.csr_matrix:
    """Independent unknowns: nothing at a fixed section, three of the plane for a rigid one."""
    component = _components(places)
    keep = np.ones(count, bool)
    extra = []
    for station in case.stations:
        here = np.abs(places[2] - station.z) < 1e-6
        if station.kind == "fixed":
            keep[here] = False
            continue
        keep[here & (component < 2)] = False
        if station.kind == "in-plane held":
            continue
        for shift, turn in (((1, 0), 0), ((0, 1), 0), ((0, 0), 1e-2)):
            column = np.zeros(count)
            column[here & (component == 0)] = (shift[0] - turn * places[1])[here & (component == 0)]
            column[here & (component == 1)] = (shift[1] + turn * places[0])[here & (component == 1)]
            extra.append(column)
    if not any(station.kind == "fixed" for station in case.stations):
        keep[np.flatnonzero(keep & (component == 2))[0]] = False
    unit = sp.eye(count, format="csr")[:, np.flatnonzero(keep)]
    return sp.hstack([unit, sp.csr_matrix(np.array(extra).T)]).tocsr() if extra else unit


def _components(places: np.ndarray) -> np.ndarray:
    """0, 1 or 2 of each freedom: the library numbers a node's three one after the other."""
    order = np.lexsort((np.arange(places.shape[1]), *np.round(places, 6)))
    component = np.empty(places.shape[1], int)
    component[order] = np.tile(np.arange(3), places.shape[1] // 3)
    return component


def _load(case: Case, places: np.ndarray) -> np.ndarray:
    out = np.zeros(places.shape[1])
    component = _components(places)
    for load in case.loads:
        if isinstance(load, EndTorque):
            here = np.abs(places[2] - load.z) < 1e-6
            across, up = here & (component == 0), here & (component == 1)
            x, y = places[0, up], places[1, across]
            scale = load.torque / float(
                (x - x.mean()) @ (x - x.mean()) + (y - y.mean()) @ (y - y.mean())
            )
            out[up] += scale * (x - x.mean())
            out[across] -= scale * (y - y.mean())
        else:
            _line(load, places, component, out)
    return out


def _line(load: LineLoad, places: np.ndarray, component: np.ndarray, out: np.ndarray) -> None:
    """Simpson's weights of quadratic elements on the nodes of the line."""
    line = (np.abs(places[0] - load.x) < 1e-6) & (np.abs(places[1] - load.y) < 1e-6)
    line &= (places[2] > load.start - 1e-6) & (places[2] < load.end + 1e-6)
    for k in range(3):
        dofs = np.flatnonzero(line & (component == k))
        dofs = dofs[np.argsort(places[2, dofs])]
        step = (load.end - load.start) / ((len(dofs) - 1) / 2)
        weights = np.zeros(len(dofs))
        for first in range(0, len(dofs) - 1, 2):
            weights[first : first + 3] += step * np.array([1, 4, 1]) / 6
        out[dofs] += weights * load.force[k]


def main() -> None:
    record: dict[str, Any] = {}
    for case, across, along in RUNS:
        start = time.perf_counter()
        found, unknowns = displacements(case, across, along)
        seconds = time.perf_counter() - start
        print(case.name, unknowns, f"{seconds:.0f} s", flush=True)
        record[case.name] = {
            "unknowns": unknowns,
            "displacements": [[float(f"{u:.7g}") for u in row] for row in found],
        }
    TABLE.write_text(json.dumps(record, indent=1) + "\n")


if __name__ == "__main__":
    main()
