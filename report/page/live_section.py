"""Data of the live section: what the page needs to combine unit stresses at once.

Everything is in the units that are shown, so that the page does nothing but add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.outline.contour import edge_points
from ...geometry.units import Units
from ...solver.section.stress.actions import SYMBOLS
from ...solver.section.stress.components import COMPONENTS
from ...solver.section.torsion.peak import LEFT_OUT
from ..drawing import palette
from ..drawing.field_view import mean_wall
from ..text.number import displayed
from .live_film import film_data
from .packing import field, floats, indices, shared_scale
from .peak_points import PROMISE, PeakPoints
from .samples import Samples

if TYPE_CHECKING:
    from matplotlib.colors import Colormap

    from ...geometry.section import Section, Slit
    from ...solver.section.stress.load_cases import CaseStress, StressResult
    from ...solver.section.torsion.sharp_corner import SharpCorner

Array = NDArray[np.float64]

#: In words, and the quantity that `Units` knows, in the order of `SYMBOLS`.
WORDS = (
    "axial force",
    "moment about x",
    "moment about y",
    "shear along x",
    "shear along y",
    "torque",
    "warping torque",
    "bimoment",
)
QUANTITY = ("force", "moment", "moment", "force", "force", "moment", "moment", "bimoment")
#: Components with a direction of growth from zero; the others have two signs.
MAGNITUDES = ("shear", "von Mises")
#: Stress that a slider reaches by itself where no strength is known: with metric and US units.
_REACH = ("100 MPa", "15 ksi")
#: Chords of drawn arcs leave them by this share of the section's size.
_DEVIATION = 2e-5


#: Sections wider than this times their height get the whole width of the page.
_WIDE = 1.9


def shaped(data: dict[str, Any], section: Section) -> dict[str, Any]:
    """The data with what the templates need besides."""
    x0, y0, x1, y1 = section.bounds()
    shape = "wide" if x1 - x0 > _WIDE * (y1 - y0) else "tall"
    return data | {"shape": shape, "suffix": "", "follows": "", "cells": len(data["film"]["lids"])}


def section_data(
    given: StressResult | None,
    units: StressResult,
    start: int | None,
    *,
    own: Array | None = None,
) -> dict[str, Any]:
    """All that the live section shows.

    Parameters
    ----------
    given : StressResult, optional
        Load cases of the reader; their exact extremes are shown where the sliders stand on them.
    units : StressResult
        One case for each action that the section can carry: its fields are those that the page
        combines, its extremes hold for that action alone.
    start : int, optional
        Case of `given` that the page opens with; left out: half of the slider for the torque.
    own : (8,), optional
        Actions that the sliders must reach besides.
    """
    result = units.result
    samples = Samples.of(units.units)
    stress_unit, to_stress = displayed(result.unit, "stress")
    factors = np.array([displayed(result.unit, q)[1] for q in QUANTITY])
    sigma = samples.sigma * (to_stress / factors)[:, None]
    tau = samples.tau * (to_stress / factors)[:, None, None]
    cases = given.cases if given is not None else ()
    largest = np.max([np.zeros(8) if own is None else own, *(abs(c.vector) for c in cases)], axis=0)
    actions = [
        _action(k, units, float(largest[k]), float(factors[k]), units.units.warps)
        for k in range(len(SYMBOLS))
    ]
    opening = (
        [float(v) for v in cases[start].vector * factors]
        if start is not None
        else [a["range"] / 2 if a["symbol"] == "T" else 0.0 for a in actions]
    )
    return {
        "unit": result.unit,
        "stressUnit": stress_unit,
        "bounds": list(result.section.bounds()),
        "outline": outline_runs(result.section),
        "slits": [floats(slit_points(s)) for s in result.section.slits],
        "wall": mean_wall(result.section),
        "centroid": [float(c) for c in result.centroid],
        "shearCentre": [float(c) for c in result.shear_centre],
        "corners": corner_data(result.corners),
        "points": floats(samples.points),
        "triangles": indices(samples.triangles),
        "region": indices(samples.region),
        "regions": region_data(result.section, to_stress),
        "factor": given.factor if given is not None else 1.0,
        "sigma": [{"action": k, **field(sigma[k])} for k in range(8) if sigma[k].any()],
        "tau": [
            {"action": k, "components": shared_scale(tau[k, :, 0], tau[k, :, 1])}
            for k in range(8)
            if tau[k].any()
        ],
        "peaks": _peaks(units, to_stress / factors),
        "film": film_data(samples.film, result.field, result.torsion_constant)
        | {"slope": float(factors[5] / to_stress)},
        "components": component_data(),
        "actions": actions,
        "opening": opening,
        "component": "shear" if start is None else "von Mises",
        "cases": [
            {"name": c.actions.name, "values": [float(v) for v in c.vector * factors]}
            for c in cases
        ],
        "known": [_known(case, to_stress, factors) for case in (*cases, *units.cases)],
        "colours": colour_data(),
    }


def _action(
    k: int, units: StressResult, largest: float, factor: float, warps: bool
) -> dict[str, Any]:
    """What the page says of an action, and how far its slider goes."""
    unit, _ = displayed(units.result.unit, QUANTITY[k])
    alone = next((c for c in units.cases if c.vector[k]), None)
    reach = 0.0
    if alone is not None:
        per_action = alone.extreme("von Mises").value / abs(float(alone.vector[k]))
        reach = nice_above(max(_reach(units) / per_action, 1.25 * largest) * factor)
    return {
        "symbol": SYMBOLS[k],
        "words": WORDS[k],
        "unit": unit,
        "range": reach,
        "why": "" if warps or k < 6 else "this section does not warp: it carries none",
    }


def _peaks(units: StressResult, scale: Array) -> dict[str, Any]:
    """Unit stresses at the points that hold the extremes, and how far they may miss them."""
    peaks = PeakPoints.of(units.units)
    sigma = peaks.sigma * scale[:, None]
    tau = peaks.tau * scale[:, None, None]
    return {
        "points": floats(peaks.points),
        "region": indices(peaks.region),
        "refused": indices(peaks.refused),
        "sigma": [{"action": k, **floats(sigma[k])} for k in range(8) if sigma[k].any()],
        "tau": [
            {"action": k, "components": [floats(tau[k, :, 0]), floats(tau[k, :, 1])]}
            for k in range(8)
            if tau[k].any()
        ],
        "below": max(PROMISE, peaks.miss),
    }


def nice_above(value: float) -> float:
    """The least of 1, 2, 5, 10, ... times a power of ten that is not below the value.

    >>> nice_above(0.3), nice_above(120.0), nice_above(5.0)
    (0.5, 200.0, 5.0)
    """
    power = math.floor(math.log10(value))
    for step in (1, 2, 5):
        candidate = float(f"{step}e{power}")
        if candidate >= value * (1 - 1e-12):
            return candidate
    return float(f"1e{power + 1}")


def _reach(units: StressResult) -> float:
    """Stress, in consistent units, that a slider should reach with its action alone."""
    section = units.result.section
    strengths = [r.material.strength for r in section.regions]
    known = [s for s in strengths if s is not None]
    if len(known) == len(strengths):
        return min(known)
    if not section.unit:
        return 1.0
    scale = Units(section.unit)
    return scale.read(_REACH[0] if scale.metric else _REACH[1], "stress")


def _known(case: CaseStress, to_stress: float, factors: Array) -> dict[str, Any]:
    """A state whose exact extremes are known."""
    return {
        "values": [float(v) for v in case.vector * factors],
        "extremes": [
            {
                "component": e.component,
                "side": e.side,
                "value": e.value * to_stress,
                "at": list(e.at),
            }
            for e in case.extremes
        ],
    }


def corner_data(corners: Iterable[SharpCorner]) -> list[dict[str, Any]]:
    """Corners whose surroundings are left out of stresses, and how far."""
    return [
        {"at": list(c.point), "radius": LEFT_OUT * c.clearance, "kind": c.kind} for c in corners
    ]


def component_data() -> list[dict[str, Any]]:
    """The components of stress that a reader chooses from."""
    return [
        {
            "key": c.key,
            "symbol": c.symbol,
            "words": c.words,
            "sides": list(c.sides),
            "sheared": c.sheared,
            "signed": c.key not in MAGNITUDES,
        }
        for c in COMPONENTS.values()
    ]


def region_data(section: Section, to_stress: float) -> list[dict[str, Any]]:
    """Names and strengths of the regions."""
    return [
        {
            "name": r.name,
            "strength": None if r.material.strength is None else r.material.strength * to_stress,
        }
        for r in section.regions
    ]


def outline_runs(section: Section) -> list[dict[str, Any]]:
    """Every contour as chords."""
    deviation = section.size() * _DEVIATION
    return [floats(contour.polyline(deviation)) for contour in section.contours()]


def slit_points(slit: Slit) -> Array:
    """Points along a slit, its arcs in twenty chords each."""
    points, steps = np.asarray(slit.points), np.linspace(0.0, 1.0, 21)
    return edge_points(points[:-1], points[1:], np.asarray(slit.bulges), steps).reshape(-1, 2)


@lru_cache(maxsize=1)
def colour_data() -> dict[str, list[int]]:
    """256 colours of fields of one sign and of two, as whole numbers 0xRRGGBB."""
    return {
        "magnitude": _table(palette.stress_colours()),
        "signed": _table(palette.warping_colours()),
    }


def _table(colours: Colormap) -> list[int]:
    """256 colours as whole numbers 0xRRGGBB."""
    rgb = np.round(255 * np.asarray(colours(np.linspace(0.0, 1.0, 256)))[:, :3]).astype(int)
    return [int((r << 16) | (g << 8) | b) for r, g, b in rgb]
