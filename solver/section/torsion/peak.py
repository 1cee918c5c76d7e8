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

from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField
from .peak_search import Discs, find_peaks
from .sharp_corner import SharpCorner

#: Radius around an unbounded corner left out of the search, by the clearance there.
LEFT_OUT = 0.25
#: The doubt of the largest stress by its `spread`.
DOUBT = 3.6
#: Re-entrant corners that turn by less than 25 degrees (exponent above), so many that they may be
#: the chords of an arc.
FAINT, MANY_FAINT = 180 / 205, 4


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
    triangles, local = searched_edges(field)
    return torsion_moduli(
        field,
        triangles[None],
        local[None],
        np.array([(field.lower + field.upper) / 2]),
        [corners],
        unit,
        field.origin[None],
    )[0]


def torsion_moduli(
    field: TorsionField,
    triangles: Ints,
    local: Ints,
    torque: Array,
    corners: list[tuple[SharpCorner, ...]],
    unit: str,
    origins: Array,
) -> list[TorsionModulus]:
    """The moduli of k sections that one field holds: edges (k, b) searched, torques (k,) per unit
    twist, the corners of each, its origin (k, 2)
    where the field has its own."""
    peaks, out = find_peaks(field, triangles, local, discs_of(corners), origins), []
    for k, own in enumerate(corners):
        stress, change = float(peaks.value[k]), float(peaks.change[k])
        spread, away = float(peaks.spread[k]), float(torque[k]) / stress
        x, y = (float(c) for c in peaks.place[k])
        if not own:
            doubtful = tuple((float(a), float(b)) for a, b in peaks.doubtful[k])
            out.append(TorsionModulus(away, (x, y), change, spread, doubtful=doubtful))
            continue
        worst = min(own, key=lambda c: c.exponent)
        why = _unbounded(own, unit)
        known = (None, None) if np.isnan(stress) else (away, (x, y))
        out.append(TorsionModulus(None, worst.point, change, spread, why, *known))
    return out


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


def left_out(points: Array, corners: tuple[SharpCorner, ...]) -> NDArray[np.bool_]:
    """(...) True for points (..., 2) within `LEFT_OUT` of the clearance of an unbounded corner."""
    return np.asarray(discs_of([corners]).hold(points[None])[0])


def discs_of(corners: list[tuple[SharpCorner, ...]]) -> Discs:
    """What is left out around the corners of each of some sections that have equally many."""
    centres = [[c.point for c in own] for own in corners]
    radii = [[LEFT_OUT * c.clearance for c in own] for own in corners]
    return Discs(
        np.array(centres, dtype=float).reshape(len(corners), -1, 2), np.array(radii, dtype=float)
    )
