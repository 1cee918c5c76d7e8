"""The largest shear stress per unit torque, where it is bounded.

|tau|^2 of a material is subharmonic, so its maximum lies on the border of that material: the search
runs along borders and interfaces on the high-order field. Two estimates are at hand everywhere,
from the stress function and from the warping; their mean is used and half their difference is given
with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import EDGES, Places, places_at
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField
from .sampling import StressSamples, interpolation, sampled_stress
from .sharp_corner import SharpCorner

#: Radius around an unbounded corner left out of the search, by the clearance there.
LEFT_OUT = 0.25
#: Relative difference of the two estimates of the largest stress that is good enough.
GOOD_CHANGE = 1e-3
#: The doubt of the largest stress by its `spread`.
DOUBT = 3.6
#: Edges looked at closely: those with a sample so near the largest, at most so many.
SMOOTH, RISING, MOST_EDGES = 0.97, 0.75, 24
#: Stress nearly as large as the largest, by it.
ALIKE = 0.95
#: Corners from which on a search tree finds the points near them.
MANY_CORNERS = 50
#: Re-entrant corners that turn by less than 25 degrees (exponent above), so many that they may be
#: the chords of an arc.
FAINT, MANY_FAINT = 180 / 205, 4

Place = tuple[float, float]


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
    spread : float
        The largest such difference wherever the stress is nearly as large: at one place the two may
        agree by chance.
    reason : str
        Why there is no value, and what to do.
    away : float or None
        T over the largest stress outside the regions left out around unbounded corners.
    away_at : (x, y) or None
    doubtful : tuple of (x, y)
        Places where the stress, by its two estimates, may be the largest and they differ by more
        than `GOOD_CHANGE`: a section of two axes of symmetry has four at once.
    """

    value: float | None
    at: tuple[float, float] | None
    change: float
    spread: float
    reason: str = ""
    away: float | None = None
    away_at: tuple[float, float] | None = None
    doubtful: tuple[tuple[float, float], ...] = ()

    @property
    def doubt(self) -> float:
        """How far the value (or the one away from corners) may be off, relative: `DOUBT` times
        `spread`; of 120 random stars the worst was off by 1.8 times it, of 132 profiles by 3.5."""
        return DOUBT * self.spread


def torsion_modulus(
    field: TorsionField, corners: tuple[SharpCorner, ...], unit: str = ""
) -> TorsionModulus:
    """Search the borders for the largest stress."""
    torque = (field.lower + field.upper) / 2
    triangles, local = searched_edges(field)
    found = _search(field, triangles, local, corners)
    stress, change, spread, place, doubtful = found or (np.nan, np.nan, np.nan, None, ())
    if not corners:
        return TorsionModulus(torque / stress, place, change, spread, doubtful=doubtful)
    away = None if place is None else torque / stress
    worst = min(corners, key=lambda c: c.exponent)
    return TorsionModulus(None, worst.point, change, spread, _unbounded(corners, unit), away, place)


def _unbounded(corners: tuple[SharpCorner, ...], unit: str) -> str:
    """Why the stress has no largest value, where, and what to do: the sharpest corner first."""
    ranked = sorted(corners, key=lambda c: c.exponent)
    worst, alike = ranked[0], [c for c in ranked if c.kind == ranked[0].kind]
    unit = f" {unit}" if unit else ""
    places = ", ".join(f"({c.point[0]:.6g}, {c.point[1]:.6g})" for c in alike[:4])
    more = f" and {len(alike) - 4} more" if len(alike) > 4 else ""
    rest = len(corners) - len(alike)
    others = f" (and {rest} less sharp)" if rest else ""
    remedies = {
        "r": f"enter the real radius (for instance {_round(worst.clearance / 2)}{unit}, half the "
        "wall there)",
        "t": "join the slit over a real throat, or give its end a radius",
        "e": "give the joint its real shape",
    }
    remedy = remedies.get(worst.kind[0], "round the interface or model the joint")
    faint = sum(c.exponent > FAINT for c in corners)
    if faint >= MANY_FAINT:
        remedy += (
            f"; {faint} of the corners turn by few degrees, as the chords of an arc do: have them "
            "recognised (--arcs-within, arcs_within)"
        )
    return (
        f"unbounded: {worst.kind} at {places}{unit}{more}{others}; the elastic peak there depends "
        f"on the fillet: {remedy}"
    )


def _round(length: float) -> str:
    return f"{float(f'{length:.1g}'):g}"


def searched_edges(field: TorsionField) -> tuple[Ints, Ints]:
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
    field: TorsionField, triangles: Ints, local: Ints, corners: tuple[SharpCorner, ...]
) -> tuple[float, float, float, Place, tuple[Place, ...]] | None:
    """Largest stress per unit twist, half the two estimates' relative difference, the place, and
    the places in doubt (`TorsionModulus.doubtful`).

    Every edge is sampled at Chebyshev points; the best edges are looked at more closely on the
    polynomials through their samples, and what is found there is evaluated on the field itself.
    """
    s = (1 - np.cos(np.linspace(0, np.pi, 2 * field.order + 5))) / 2
    samples = np.empty((len(triangles), len(s), 4))  # mean of the two estimates, and the points
    apart = np.empty((len(triangles), len(s)))
    for e in range(3):
        some = np.flatnonzero(local == e)
        if some.size:
            found = sampled_stress(field, triangles[some], edge_basis(field.order, e, tuple(s)))
            mean, apart[some] = _mean_and_apart(found)
            samples[some] = np.concatenate([mean, found.points + field.origin], axis=2)
    stress = _allowed_stress(samples, corners)
    best = np.argmax(stress, axis=1)
    top = stress[np.arange(len(best)), best]
    if not top.size or top.max() < 0:
        return None
    # of equal ones the last triangle comes first, so that the order of rounding does not decide
    ranked = np.lexsort((local, triangles, top))[::-1][:MOST_EDGES]
    # toward an unbounded corner the stress rises up to where it is left out, between two samples
    ranked = ranked[top[ranked] >= (RISING if corners else SMOOTH) * top[ranked[0]]]
    # samples are up to pi/2 times as far apart as at equal distances
    at, step = s[best[ranked]], 1.6 / (2 * field.order + 4)
    rows = np.arange(len(ranked))
    for _ in range(3):  # narrow down around the best sample
        fine = np.clip(at[:, None] + step * np.linspace(-1, 1, 21), 0, 1)
        values = _allowed_stress(interpolation(s, fine) @ samples[ranked], corners)
        k = np.argmax(values, axis=1)
        at, step = fine[rows, k], step / 10
    peaks = values[rows, k]
    first = int(np.argmax(peaks >= peaks.max() / (1 + 1e-12)))
    one = ranked[first]
    on_edge = _on_edge(field.order, int(local[one]), at[first, None])
    found = sampled_stress(field, triangles[one, None], on_edge)
    mean, half = _mean_and_apart(found)
    value = float(np.hypot(*mean[0, 0]))
    change = float(half[0, 0]) / value
    alike = stress >= ALIKE * value
    spread = max(change, float(apart[alike].max(initial=0.0)) / value)
    every = np.arange(len(best))
    off = apart[every, best]
    doubt = (top + off >= value * (1 - change)) & (off > GOOD_CHANGE * value)
    places = samples[every, best, 2:][doubt]
    x, y = (float(c) for c in found.points[0, 0] + field.origin)
    return value, change, spread, (x, y), tuple((float(a), float(b)) for a, b in places)


def _allowed_stress(samples: Array, corners: tuple[SharpCorner, ...]) -> Array:
    """Stress magnitude (n, k) of samples (n, k, 4), -1 near unbounded corners."""
    stress = np.hypot(samples[..., 0], samples[..., 1])
    return np.where(left_out(samples[..., 2:], corners), -1.0, stress) if corners else stress


def _mean_and_apart(found: StressSamples) -> tuple[Array, Array]:
    """Mean of the two estimates (n, k, 2), and half the length of their difference (n, k)."""
    half = (found.from_phi - found.from_omega) / 2
    return (found.from_phi + found.from_omega) / 2, np.hypot(half[..., 0], half[..., 1])


def _on_edge(order: int, edge: int, s: Array) -> Places:
    """Places s of [0, 1] on a local edge and the shape functions there."""
    a, b = EDGES[edge]
    bary = np.zeros((3, len(s)))
    bary[a], bary[b] = 1 - s, s
    return places_at(order, bary[1], bary[2])


@lru_cache(maxsize=32)
def edge_basis(order: int, edge: int, s: tuple[float, ...]) -> Places:
    """As `_on_edge`, kept for the next call."""
    return _on_edge(order, edge, np.array(s))


def left_out(points: Array, corners: tuple[SharpCorner, ...]) -> NDArray[np.bool_]:
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
