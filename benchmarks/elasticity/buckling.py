"""Elastic critical loads in 3D: ``python -m benchmarks.elasticity.buckling [name ...]``.

Straight members of rectangular cells, hexahedra with polynomials through Gauss-Lobatto points: K by
Gauss's rule, the first-order stress of the loads at the Gauss points, and from it
K_g = int sigma_ij du_k/dx_i du_k/dx_j, all in one sparse problem; the smallest positive factor of
(K + factor K_g) u = 0 by Lanczos' method. No code is shared with the solver. `buckling.json`
keeps the factors at two orders. Members that something braces are in `braced_cases`.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import numpy as np
from numpy.polynomial import legendre

FILE = Path(__file__).parent / "buckling.json"
E, NU = 210_000.0, 0.3
#: Lines of a member (x, y, axis, share), start, end, stiffness per length.
Spring = tuple[tuple[tuple[float, float, int, float], ...], float, float, float]


@dataclass(frozen=True, slots=True)
class BucklingCase:
    """A straight steel member, mm and N, its ends held in their plane and free along it.

    Attributes
    ----------
    plates : ((x, x), (y, y)) of rectangles that make the section, or ((x, x), (y, y), (z, z)) of
        those that are there along a part of the member alone.
    x, y, z : lines of the grid, those of the plates among them.
    line : (x, y, start, end, force) down along a line of the member, of one newton in all; or None.
    ends : (constant, by y) of compression on both end faces, N/mm^2; or None.
    springs : (lines, start, end, stiffness per length) that feel the sum of a share of the
        displacement along axis 0 or 1 of lines (x, y, axis, share) of the member.
    forks : stations between the ends where the section is held in its plane.
    order : (across x, across y, along z) of the polynomials.
    """

    name: str
    about: str
    plates: tuple[tuple[tuple[float, float], ...], ...]
    x: tuple[float, ...]
    y: tuple[float, ...]
    z: tuple[float, ...]
    line: tuple[float, float, float, float] | None = None
    ends: tuple[float, float] | None = None
    springs: tuple[Spring, ...] = ()
    forks: tuple[float, ...] = ()
    order: tuple[int, int, int] = (3, 3, 3)


def _z(length: float, parts: int, *more: float) -> tuple[float, ...]:
    return tuple(np.unique(np.round([*np.linspace(0, length, parts + 1), *more], 9)).tolist())


_I_PLATES = (
    ((-75.0, 75.0), (139.3, 150.0)),
    ((-75.0, 75.0), (-150.0, -139.3)),
    ((-3.55, 3.55), (-150.0, 150.0)),
)
_I_X = (-75.0, -40.0, -3.55, 0.0, 3.55, 40.0, 75.0)
_I_Y = (-150.0, -139.3, -100.0, -50.0, 0.0, 50.0, 100.0, 139.3, 150.0)
_I_Z = _z(4000.0, 16, 1900.0, 1950.0, 2050.0, 2100.0)


def _i_beam(name: str, where: str, y: float) -> BucklingCase:
    return BucklingCase(
        name, f"I 300 x 150 x 7.1 x 10.7, 4 m, 100 mm of load at mid-span {where}",
        _I_PLATES, _I_X, _I_Y, _I_Z, line=(0.0, y, 1950.0, 2050.0),
    )  # fmt: skip


def _stepped(name: str, where: str, y: float) -> BucklingCase:
    """Flanges of 8 mm, inwards 8 mm more in the middle half."""
    plates: list[tuple[tuple[float, float], ...]] = [((-3.0, 3.0), (-150.0, 150.0))]
    for a, b in ((-150.0, -142.0), (142.0, 150.0)):
        plates.append(((-75.0, 75.0), (a, b)))
    for a, b in ((-142.0, -134.0), (134.0, 142.0)):
        plates.append(((-75.0, 75.0), (a, b), (1000.0, 3000.0)))
    return BucklingCase(
        name, "I 300 x 150 x 6, flanges of 8, of 16 in the middle half, 4 m, 100 mm of load at "
        f"mid-span {where}",
        tuple(plates), (-75.0, -40.0, -3.0, 0.0, 3.0, 40.0, 75.0),
        (-150.0, -142.0, -134.0, -90.0, -45.0, 0.0, 45.0, 90.0, 134.0, 142.0, 150.0),
        _z(4000.0, 16, 900.0, 1100.0, 1900.0, 1950.0, 2050.0, 2100.0, 2900.0, 3100.0),
        line=(0.0, y, 1950.0, 2050.0),
    )  # fmt: skip


def _channel(h: float, b: float, lip: float, t: float) -> dict[str, tuple]:
    """A lipped channel by its outer measures, web at x = 0."""
    y = h / 2
    plates = (
        ((0.0, t), (-y, y)),
        ((0.0, b), (y - t, y)),
        ((0.0, b), (-y, t - y)),
        ((b - t, b), (y - lip, y)),
        ((b - t, b), (-y, lip - y)),
    )
    web = np.linspace(-(y - lip), y - lip, 7)
    flange = np.linspace(t, b - t, 4)
    return {
        "plates": plates,
        "x": (0.0, *flange.tolist(), b),
        "y": (-y, t - y, *web.tolist(), y - t, y),
    }


CASES = (
    _i_beam("i-top", "on the top flange", 150.0),
    _i_beam("i-middle", "at half the depth", 0.0),
    _i_beam("i-bottom", "under the bottom flange", -150.0),
    _stepped("stepped-top", "on the top flange", 150.0),
    _stepped("stepped-middle", "at half the depth", 0.0),
    BucklingCase(
        "lipped-column", "lipped channel 202 x 76 x 21 x 2, 600 mm, 1 N/mm^2 of compression",
        **_channel(202.0, 76.0, 21.0, 2.0), z=_z(600.0, 10), ends=(1.0, 0.0), order=(4, 4, 4),
    ),
    BucklingCase(
        "lipped-beam", "lipped channel 101 x 51 x 5.5 x 1, 500 mm, uniform moment, 1 N/mm^2 at the "
        "top face",
        **_channel(101.0, 51.0, 5.5, 1.0), z=_z(500.0, 10), ends=(0.0, 1 / 50.5),
        order=(4, 4, 4),
    ),
)  # fmt: skip


def gauss_lobatto(order: int) -> np.ndarray:
    inner = legendre.Legendre.basis(order).deriv().roots()
    return np.concatenate([[-1.0], np.sort(inner.real), [1.0]])


def lagrange(order: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Gauss weights, values and derivatives (g, p + 1) there."""
    nodes = gauss_lobatto(order)
    x, w = legendre.leggauss(order + 1)
    table = np.linalg.inv(legendre.legvander(nodes, order))
    value = legendre.legvander(x, order) @ table
    slopes = [legendre.Legendre.basis(k).deriv()(x) for k in range(order + 1)]
    return w, value, np.stack(slopes, 1) @ table


def solve(case: BucklingCase) -> dict[str, float]:
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import LinearOperator, eigsh, splu

    p = case.order
    lines = [np.array(v) for v in (case.x, case.y, case.z)]
    places = [_places(v, order) for v, order in zip(lines, p, strict=True)]
    n = [len(v) for v in places]
    rules = [lagrange(order) for order in p]
    weight = np.einsum("a,b,c->abc", *(r[0] for r in rules)).ravel()
    shape = [r[1] for r in rules]
    slope = [r[2] for r in rules]

    def three(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
        return np.einsum("ai,bj,ck->abcijk", a, b, c).reshape(len(weight), -1)

    grads = [
        three(slope[0], shape[1], shape[2]),
        three(shape[0], slope[1], shape[2]),
        three(shape[0], shape[1], slope[2]),
    ]
    cells = [
        (i, j)
        for i in range(len(lines[0]) - 1)
        for j in range(len(lines[1]) - 1)
        if _slabs(case, lines, i, j)
    ]
    law = np.zeros((6, 6))
    law[:3, :3] = E * NU / ((1 + NU) * (1 - 2 * NU))
    law[range(3), range(3)] += E / (1 + NU)
    law[range(3, 6), range(3, 6)] = E / (2 * (1 + NU))
    made: dict[tuple, tuple] = {}
    elements, numbers = [], []
    for i, j in cells:
        for k in _slabs(case, lines, i, j):
            ends = zip(lines, (i, j, k), strict=True)
            size = tuple(round(float(v[m + 1] - v[m]), 9) for v, m in ends)
            if size not in made:
                g = [a * 2 / s for a, s in zip(grads, size, strict=True)]
                w = weight * np.prod(size) / 8
                b = np.zeros((len(w), 6, g[0].shape[1], 3))
                for d in range(3):
                    b[:, d, :, d] = g[d]
                b[:, 3, :, 1], b[:, 3, :, 2] = g[2], g[1]
                b[:, 4, :, 0], b[:, 4, :, 2] = g[2], g[0]
                b[:, 5, :, 0], b[:, 5, :, 1] = g[1], g[0]
                b = b.reshape(len(w), 6, -1)
                db = np.einsum("de,gen->gdn", law, b)
                flat = (b * w[:, None, None]).reshape(-1, b.shape[2])
                made[size] = (g, w, db, flat.T @ db.reshape(flat.shape))
            ix = np.arange(i * p[0], i * p[0] + p[0] + 1)
            iy = np.arange(j * p[1], j * p[1] + p[1] + 1)
            iz = np.arange(k * p[2], k * p[2] + p[2] + 1)
            number = (iz[None, None, :] * n[0] + ix[:, None, None]) * n[1] + iy[None, :, None]
            elements.append(size)
            numbers.append(number.ravel())
    numbers = np.array(numbers)
    used, local = np.unique(numbers, return_inverse=True)
    numbers = local.reshape(numbers.shape)
    iz, rest = np.divmod(used, n[0] * n[1])
    ix, iy = np.divmod(rest, n[1])
    at = np.stack([places[0][ix], places[1][iy], places[2][iz]], 1)
    freedoms = (numbers[:, :, None] * 3 + np.arange(3)).reshape(len(numbers), -1)
    m = freedoms.shape[1]
    rows, columns = np.repeat(freedoms, m, 1).ravel(), np.tile(freedoms, (1, m)).ravel()
    total = 3 * len(used)

    def summed(blocks: np.ndarray):
        return coo_matrix((blocks.ravel(), (rows, columns)), shape=(total, total)).tocsc()

    stiff = summed(np.array([made[s][3] for s in elements]))
    for spring in case.springs:
        stiff = stiff + _spring(spring, at, places, p, lines, rules, total)
    force = _forces(case, at, numbers, places, p, lines, cells, rules)
    end = np.isclose(at[:, 2], 0) | np.isclose(at[:, 2], case.z[-1])
    held = np.zeros((len(used), 3), bool)
    held[end, :2] = True
    for fork in case.forks:
        held[np.isclose(at[:, 2], fork), :2] = True
    held[np.argmin(np.abs(at[:, 2] - case.z[-1] / 2) + np.abs(at[:, :2]).sum(1)), 2] = True
    free = np.flatnonzero(~held.ravel())
    inner = stiff[free][:, free].tocsc()
    factor = splu(
        inner, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )  # fmt: skip
    u = np.zeros(total)
    u[free] = factor.solve(force.ravel()[free])
    blocks = np.zeros((len(elements), m // 3, m // 3))
    for e, size in enumerate(elements):
        g, w, db, _ = made[size]
        s = (db @ u[freedoms[e]]) * w[:, None]
        pairs = ((0, 0, 0), (1, 1, 1), (2, 2, 2), (1, 2, 3), (0, 2, 4), (0, 1, 5))
        for a, b, k in pairs:
            part = g[a].T @ (s[:, k, None] * g[b])
            blocks[e] += part if a == b else part + part.T
    kron = np.zeros((len(elements), m, m))
    for d in range(3):
        kron[:, d::3, d::3] = blocks
    pull = -summed(kron)[free][:, free]
    size = len(free)
    inverse = LinearOperator((size, size), matvec=factor.solve, dtype=float)
    found = eigsh(pull, k=3, M=inner, Minv=inverse, which="LA", tol=1e-6, return_eigenvectors=False)
    return {"factor": float(1 / found.max()), "unknowns": size}


def _forces(case, at, numbers, places, p, lines, cells, rules) -> np.ndarray:
    """(nodes, 3) of the loads."""
    out = np.zeros((len(at), 3))
    if case.line is not None:
        x, y, a, b = case.line
        along = _integrals(lines[2], p[2], rules[2], lambda z: (z > a) * (z < b) / (b - a))
        own = np.flatnonzero(np.isclose(at[:, 0], x) & np.isclose(at[:, 1], y))
        k = np.rint(np.interp(at[own, 2], places[2], np.arange(len(places[2])))).astype(int)
        out[own, 1] -= along[k]
    if case.ends is not None:
        constant, slope = case.ends
        key = {(round(x, 6), round(y, 6)): [] for x, y, _ in at}
        for node, (x, y, z) in enumerate(at):
            key[round(x, 6), round(y, 6)].append((z, node))
        for i, j in cells:
            if 0 not in _slabs(case, lines, i, j):  # a diaphragm, which the ends do not press
                continue
            hx, hy = np.diff(lines[0])[i], np.diff(lines[1])[j]
            wx, vx, _ = rules[0]
            wy, vy, _ = rules[1]
            y = lines[1][j] + hy * (vy @ gauss_lobatto(p[1]) + 1) / 2
            fx = vx.T @ wx * hx / 2
            fy = vy.T @ (wy * (constant + slope * y)) * hy / 2
            for a in range(p[0] + 1):
                for b in range(p[1] + 1):
                    x0, y0 = places[0][i * p[0] + a], places[1][j * p[1] + b]
                    column = sorted(key[round(x0, 6), round(y0, 6)])
                    out[column[0][1], 2] += fx[a] * fy[b]
                    out[column[-1][1], 2] -= fx[a] * fy[b]
    return out


def _spring(spring, at, places, p, lines, rules, total):
    """Its stiffness on all freedoms."""
    from scipy.sparse import coo_matrix

    members, start, end, stiffness = spring
    w, value, _ = rules[2]
    count = (len(lines[2]) - 1) * p[2] + 1
    mass = np.zeros((count, count))
    for k in range(len(lines[2]) - 1):
        a, b = lines[2][k], lines[2][k + 1]
        if start - 1e-6 < a and b < end + 1e-6:
            own = slice(k * p[2], k * p[2] + p[2] + 1)
            mass[own, own] += stiffness * value.T @ (w[:, None] * value) * (b - a) / 2
    rows, columns, values = [], [], []
    for x, y, axis, share in members:
        own = np.flatnonzero(np.isclose(at[:, 0], x) & np.isclose(at[:, 1], y))
        k = np.rint(np.interp(at[own, 2], places[2], np.arange(len(places[2])))).astype(int)
        rows.append(k)
        columns.append(3 * own + axis)
        values.append(np.full(len(own), share))
    feel = coo_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
        shape=(count, total),
    ).tocsc()
    return (feel.T @ coo_matrix(mass).tocsc() @ feel).tocsc()


def _integrals(lines, order, rule, load) -> np.ndarray:
    w, value, _ = rule
    out = np.zeros((len(lines) - 1) * order + 1)
    for k in range(len(lines) - 1):
        h = lines[k + 1] - lines[k]
        z = lines[k] + h * (value @ gauss_lobatto(order) + 1) / 2
        out[k * order : k * order + order + 1] += value.T @ (w * load(z)) * h / 2
    return out


def _places(lines: np.ndarray, order: int) -> np.ndarray:
    share = (gauss_lobatto(order) + 1) / 2
    inner = lines[:-1, None] + np.diff(lines)[:, None] * share[:-1]
    return np.append(inner.ravel(), lines[-1])


def _slabs(case: BucklingCase, lines: list[np.ndarray], i: int, j: int) -> list[int]:
    """Numbers of the slabs in which a cell of the grid is material."""
    x, y = lines[0][i : i + 2].mean(), lines[1][j : j + 2].mean()
    middle = (lines[2][1:] + lines[2][:-1]) / 2
    there = np.zeros(len(middle), bool)
    for (a, b), (c, d), *along in case.plates:
        if a < x < b and c < y < d:
            start, end = along[0] if along else (-np.inf, np.inf)
            there |= (middle > start) & (middle < end)
    return np.flatnonzero(there).tolist()


def main(names: list[str]) -> None:
    from .braced_cases import CASES as BRACED

    kept = json.loads(FILE.read_text()) if FILE.exists() else {}
    for case in (*CASES, *BRACED):
        if names and case.name not in names:
            continue
        runs = []
        for more in (-1, 0):
            order = tuple(v + more for v in case.order)
            start = time.perf_counter()
            found = solve(replace(case, order=order))
            found["seconds"] = round(time.perf_counter() - start, 1)
            print(case.name, order, found, flush=True)
            runs.append({"order": order, **found})
        kept[case.name] = {"case": asdict(case), "runs": runs}
        FILE.write_text(json.dumps(kept, indent=1) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
