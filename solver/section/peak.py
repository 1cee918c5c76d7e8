"""The largest shear stress per unit torque, where it is bounded.

|tau|^2 of a material is subharmonic, so its maximum lies on the border of that material: the search
runs along borders and interfaces on the high-order field. Two estimates are at hand everywhere,
from the stress function and from the warping; their mean is used and half their difference is given
with it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .basis import EDGES
from .corners import Corner
from .elements import Stations, stations_at
from .mesh import Array, Ints
from .torsion import TorsionField

#: Radius around an unbounded corner left out of the search, by the clearance there.
LEFT_OUT = 0.25
#: Corners from which on a search tree finds the points near them.
MANY_CORNERS = 50


@dataclass(frozen=True, slots=True)
class TorsionModulus:
    """Torsion section modulus W_t = T / (largest shear stress).

    Attributes
    ----------
    value : float or None
        None where the stress is unbounded.
    at : (x, y) or None
        Place of the largest stress; of the strongest unbounded corner when there is no value.
    change : float
        Half the difference of the two stress estimates at the place, relative.
    reason : str
        Why there is no value, and what to do.
    away : float or None
        T over the largest stress outside the regions left out around unbounded corners.
    away_at : (x, y) or None
    """

    value: float | None
    at: tuple[float, float] | None
    change: float
    reason: str = ""
    away: float | None = None
    away_at: tuple[float, float] | None = None


def torsion_modulus(
    field: TorsionField, corners: tuple[Corner, ...], unit: str = ""
) -> TorsionModulus:
    """Search the borders for the largest stress."""
    torque = (field.lower + field.upper) / 2
    triangles, local = _searched_edges(field)
    found = _search(field, triangles, local, corners)
    if found is None:
        stress, change, place = np.nan, np.nan, None
    else:
        stress, change, place = found
    if not corners:
        return TorsionModulus(torque / stress, place, change)
    worst = min(corners, key=lambda c: c.exponent)
    away = None if place is None else torque / stress
    unit = f" {unit}" if unit else ""
    places = ", ".join(f"({c.point[0]:.6g}, {c.point[1]:.6g})" for c in corners[:4])
    more = f" and {len(corners) - 4} more" if len(corners) > 4 else ""
    remedy = {
        "t": "join the slit over a real throat, or give its end a radius",
        "e": "give the joint its real shape",
    }
    reason = (
        f"unbounded: {worst.kind} at {places}{unit}{more}; the elastic peak there depends on the "
        f"fillet: "
        + (
            f"enter the real radius (for instance {_round(worst.clearance / 2)}{unit}, half the "
            f"wall there)"
            if worst.kind.startswith("re-entrant")
            else remedy.get(worst.kind[0], "round the interface or model the joint")
        )
    )
    return TorsionModulus(None, worst.point, change, reason, away, place)


def _round(length: float) -> str:
    return f"{float(f'{length:.1g}'):g}"


def _searched_edges(field: TorsionField) -> tuple[Ints, Ints]:
    """Triangle and local edge of every border edge and of both sides of every interface."""
    mesh, border = field.mesh, field.border
    triangles = [border.triangles]
    edges = [border.edges]
    if np.ptp(field.shear) > 0:
        pair = mesh.edge_triangles()
        inner = np.flatnonzero(pair[:, 1] >= 0)
        unlike = inner[field.shear[pair[inner, 0]] != field.shear[pair[inner, 1]]]
        for side in (0, 1):
            triangles.append(pair[unlike, side])
            edges.append(unlike)
    t, e = np.concatenate(triangles), np.concatenate(edges)
    return t, np.argmax(mesh.triangle_edges[t] == e[:, None], axis=1)


def _search(
    field: TorsionField, triangles: Ints, local: Ints, corners: tuple[Corner, ...]
) -> tuple[float, float, tuple[float, float]] | None:
    s = (1 - np.cos(np.linspace(0, np.pi, 2 * field.order + 5))) / 2
    coarse: list[tuple[float, int, int, float]] = []
    for e in range(3):
        some = triangles[local == e]
        if not some.size:
            continue
        stress, _, points = _edge_stress(field, some, e, s)
        stress = np.where(left_out(points, corners), -1.0, stress)
        best = np.argmax(stress, axis=1)
        top = stress[np.arange(len(some)), best]
        coarse += [
            (float(v), int(t), e, float(s[b])) for v, t, b in zip(top, some, best, strict=True)
        ]
    coarse.sort(reverse=True)
    if not coarse or coarse[0][0] < 0:
        return None
    winner: tuple[float, float, tuple[float, float]] | None = None
    for value, t, e, at in coarse[:4]:
        if value < 0.99 * coarse[0][0]:
            break
        step = 1.0 / (2 * field.order + 4)
        for _ in range(3):  # narrow down around the best sample
            fine = np.clip(at + step * np.linspace(-1, 1, 21), 0, 1)
            stress, spread, points = _edge_stress(field, np.array([t]), e, fine)
            stress = np.where(left_out(points, corners), -1.0, stress)
            k = int(np.argmax(stress[0]))
            at, step = float(fine[k]), step / 10
        if winner is None or stress[0, k] > winner[0] * (1 + 1e-12):
            x, y = points[0, k]
            winner = (float(stress[0, k]), float(spread[0, k] / stress[0, k]), (float(x), float(y)))
    return winner


def _edge_stress(
    field: TorsionField, triangles: Ints, edge: int, s: Array
) -> tuple[Array, Array, Array]:
    """Stress magnitude per unit twist (n, k), half the two estimates' difference (n, k), and points
    (n, k, 2)."""
    a, b = EDGES[edge]
    bary = np.zeros((3, len(s)))
    bary[a], bary[b] = 1 - s, s
    stations = stations_at(field.mesh, field.order, bary[1], bary[2], triangles)
    one = _phi_stress(field, stations, triangles)
    two = _omega_stress(field, stations, triangles)
    mean, half = (one + two) / 2, (one - two) / 2
    return np.hypot(*np.moveaxis(mean, 2, 0)), np.hypot(*np.moveaxis(half, 2, 0)), stations.points


def _phi_stress(field: TorsionField, stations: Stations, triangles: Ints) -> Array:
    g = stations.gradients(field.phi[triangles])
    return np.stack([g[..., 1], -g[..., 0]], axis=2)


def _omega_stress(field: TorsionField, stations: Stations, triangles: Ints) -> Array:
    g = stations.gradients(field.omega[triangles])
    r = stations.points - field.origin
    spin = np.stack([-r[..., 1], r[..., 0]], axis=2)
    return field.shear[triangles][:, None, None] * (g + spin)


def left_out(points: Array, corners: tuple[Corner, ...]) -> NDArray[np.bool_]:
    """(...) True for points (..., 2) within `LEFT_OUT` of the clearance of an unbounded corner."""
    out = np.zeros(points.shape[:-1], dtype=bool)
    if len(corners) > MANY_CORNERS:
        from scipy.spatial import cKDTree

        near = cKDTree(points.reshape(-1, 2)).query_ball_point(
            [c.point for c in corners], [LEFT_OUT * c.clearance for c in corners]
        )
        out.reshape(-1)[np.concatenate(near).astype(np.int64)] = True
        return out
    for c in corners:
        out |= (
            np.hypot(points[..., 0] - c.point[0], points[..., 1] - c.point[1])
            < LEFT_OUT * c.clearance
        )
    return out
