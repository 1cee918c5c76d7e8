"""What the page draws of a section: its outline at once, its fields once they are solved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.section import Section
from ..report.drawing.field_view import mean_wall, torsion_samples
from ..report.page.live_film import film_data
from ..report.page.live_section import (
    QUANTITY,
    WORDS,
    colour_data,
    component_data,
    corner_data,
    nice_above,
    outline_runs,
    region_data,
    slit_points,
)
from ..report.page.packing import field as packed
from ..report.page.packing import floats, indices, shared_scale
from ..report.page.samples import Samples
from ..report.text.number import displayed
from ..solver.section.stress.actions import SYMBOLS
from ..solver.section.stress.unit_stress import UnitStress
from ..solver.section.torsion.peak import LEFT_OUT
from ..solver.section.torsion.sharp_corner import SharpCorner
from .dials import SolvedTorsion

Array = NDArray[np.float64]

#: Samples through a mean wall, tried from fine to coarse, where all eight actions are shown.
_THROUGH_WALL = (6, 4, 2, 1)
#: The torque among the eight actions.
_TORQUE = SYMBOLS.index("T")


def drawing(section: Section) -> dict[str, Any]:
    """Outline and slits as the page's live section has them."""
    return {
        "name": section.name,
        "unit": section.unit,
        "bounds": [float(b) for b in section.bounds()],
        "outline": outline_runs(section),
        "slits": [floats(slit_points(slit)) for slit in section.slits],
        "notes": list(section.notes),
    }


def field_data(
    bodies: Sequence[SolvedTorsion],
    section: Section,
    through_wall: int,
    drawn: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """The shear stress of a torque and the membrane, in the form of the page's live section.

    Other actions are left without fields, and no extremes are known: those take longer than a hand
    waits.

    Parameters
    ----------
    bodies : sequence of SolvedTorsion
        One; or parts in contact only, which share a torque by their J.
    section : Section
        That they are of.
    through_wall : int
        Samples through a mean wall.
    drawn : dict, optional
        The section's `drawing`, where it is there already: the hand moves then, and the membrane
        comes without lids over the holes, nor is the warping told.
    """
    unit, wall = section.unit, mean_wall(section)
    stress_unit, to_stress = displayed(unit, "stress")
    factors = [displayed(unit, quantity)[1] for quantity in QUANTITY]
    j = sum(body.torsion_constant for body in bodies)
    parts = _Parts()
    film: dict[str, list[Any]] = {"lids": []}
    for body in bodies:
        found = torsion_samples(body.field, wall / through_wall)
        parts.add(body, *found)
        if drawn is None:
            film["lids"] += film_data(found[2][:0], body.field, j)["lids"]
    points, triangles, phi, per_twist, omega = parts.joined()
    tau = per_twist * (to_stress / factors[_TORQUE] / j)
    actions = [
        {"symbol": s, "words": w, "unit": displayed(unit, q)[0], "range": 0.0, "why": ""}
        for s, w, q in zip(SYMBOLS, WORDS, QUANTITY, strict=True)
    ]
    corners = [corner for body in bodies for corner in body.corners]
    peak, reach = _peak(corners, points, tau), _reach(section, to_stress)
    torque = reach / peak if peak > 0 else 0.0
    actions[_TORQUE]["range"] = nice_above(2 * torque) if torque > 0 else 0.0
    area = sum(body.area.area for body in bodies)
    centroid = np.sum([body.area.area * body.area.centroid for body in bodies], axis=0) / area
    alone = bodies[0] if len(bodies) == 1 else None
    warping = {"warping": packed(omega)} if drawn is None else {}
    return (
        (drawn or drawing(section))
        | warping
        | {
            "stressUnit": stress_unit,
            "wall": wall,
            "centroid": [float(c) for c in centroid],
            "shearCentre": None
            if alone is None
            else [float(c) for c in alone.warping.shear_centre],
            "corners": corner_data(corners),
            "points": floats(points),
            "triangles": indices(triangles),
            "region": indices(np.zeros(len(points), dtype=np.int64)),
            "regions": region_data(section, to_stress)[:1],
            "factor": 1.0,
            "sigma": [],
            "tau": [{"action": _TORQUE, "components": shared_scale(tau[:, 0], tau[:, 1])}],
            "peaks": None,
            "film": film | {"height": packed(phi / j), "slope": factors[_TORQUE] / to_stress},
            "components": component_data(),
            "actions": actions,
            "opening": [torque if k == _TORQUE else 0.0 for k in range(len(SYMBOLS))],
            "component": "shear",
            "cases": [],
            "known": [],
            "colours": colour_data(),
        }
    )


def action_fields(known: dict[str, Any], units: UnitStress) -> dict[str, Any]:
    """A field with the stresses of all eight actions in place of the torque's.

    Parameters
    ----------
    known : dict
        What `field_data` says of the same section.
    units : UnitStress
    """
    section, result = units.result.section, units.result
    samples = Samples.of(units, _THROUGH_WALL)
    to_stress = displayed(section.unit, "stress")[1]
    scale = np.array([to_stress / displayed(section.unit, q)[1] for q in QUANTITY])
    sigma, tau = samples.sigma * scale[:, None], samples.tau * scale[:, None, None]
    film = {"height": packed(samples.film)}
    changed = {
        "points": floats(samples.points),
        "triangles": indices(samples.triangles),
        "region": indices(samples.region),
        "regions": region_data(section, to_stress),
        "sigma": [{"action": k, **packed(sigma[k])} for k in range(8) if sigma[k].any()],
        "tau": [
            {"action": k, "components": shared_scale(tau[k, :, 0], tau[k, :, 1])}
            for k in range(8)
            if tau[k].any()
        ],
        "film": known["film"] | film,
        "corners": corner_data(result.corners),
    }
    return {key: value for key, value in known.items() if key != "warping"} | changed


class _Parts:
    """Samples of several bodies put together."""

    def __init__(self) -> None:
        self._arrays: list[tuple[Array, Any, Array, Array, Array]] = []
        self._count = 0

    def add(
        self, body: SolvedTorsion, points: Array, triangles: Any, phi: Array, stress: Array,
        omega: Array,
    ) -> None:  # fmt: skip
        """A body's samples, its warping about its own shear centre."""
        warping = body.warping.about_shear_centre(points, omega)
        self._arrays.append((points, triangles + self._count, phi, stress, warping))
        self._count += len(points)

    def joined(self) -> tuple[Array, Any, Array, Array, Array]:
        """Points, triangles, phi, stress per twist, warping of all."""
        points, triangles, phi, stress, warping = (
            np.concatenate(arrays) for arrays in zip(*self._arrays, strict=True)
        )
        return points, triangles, phi, stress, warping


def _peak(corners: Sequence[SharpCorner], points: Array, tau: Array) -> float:
    """Largest stress of a unit torque among the samples, sharp corners left out."""
    size = np.hypot(*tau.T)
    for corner in corners:
        away = np.hypot(*(points - np.asarray(corner.point)).T)
        size = np.where(away < LEFT_OUT * corner.clearance, 0.0, size)
    return float(size.max(initial=0.0))


def _reach(section: Section, to_stress: float) -> float:
    """The stress that the drawing opens with: half of what the weakest material yields at in
    shear, or half of a usual one."""
    strengths = [r.material.strength for r in section.regions]
    known = [s for s in strengths if s is not None]
    if len(known) == len(strengths):
        return float(min(known) * to_stress / (2 * np.sqrt(3.0)))
    return 50.0 if section.unit in ("mm", "cm", "m") else 7.5
