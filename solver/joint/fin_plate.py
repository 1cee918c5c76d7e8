"""A fin plate: a plate welded upright to the support, bolted to the web of the arriving member."""

from __future__ import annotations

import math

import numpy as np

from .detail import BoltPlace, JointDetail, PlateView, WeldPlace
from .joint_spec import JointSpec
from .layout_parts import (
    bolts_turning,
    fin_cuts,
    fin_springs,
    grid,
    plate_height,
    side_plies,
    wall_springs,
)
from .soundness import check_bolts, check_welds


def fin_plate(spec: JointSpec) -> JointDetail:
    """Bolts in single shear beside the plate, two fillet welds along its whole height.

    Raises
    ------
    InputError
        Bolts outside the plate, holes that overlap, a size that is missing.
    """
    bolt, t, leg = spec.bolt, spec.need("thickness"), spec.need("weld")
    assert bolt is not None
    spec.need("arm")
    points = grid(spec)
    bottom, top = plate_height(spec, points)
    free = spec.width if spec.width is not None else None
    end = free if free is not None else float(points[:, 0].max()) + spec.need("side_distance")
    check_bolts(points, (0.0, bottom, end, top), bolt, spec.hole_diameter, "fin plate")
    place = BoltPlace(
        "bolts",
        "side",
        np.column_stack([points, np.zeros(len(points))]),
        bolt,
        spec.hole_diameter,
        spec.fit,
        1,
        side_plies(spec, points, t),
        np.zeros((0, 3)),
    )
    lines = np.array([[[0, bottom, s * t / 2], [0, top, s * t / 2]] for s in (-1.0, 1.0)])
    check_welds(lines, leg, "fin plate")
    weld = WeldPlace("fin plate", lines, ("weld, far side", "weld, near side"),
                     leg / math.sqrt(2), leg)  # fmt: skip
    wall, words = wall_springs(spec, top - bottom)
    return JointDetail(
        spec.name,
        spec.kind,
        (place,),
        (weld,),
        (PlateView("fin plate", "side", (0.0, bottom, end, top), t),),
        tuple(fin_cuts(spec, points, (bottom, top))),
        (*bolts_turning(place, spec.modulus, "rotation"), *fin_springs(spec, top - bottom), *wall),
        ("rotation", "torsion"),
        float(points[:, 0].mean()),
        ("bolts",),
        (),
        tuple(words),
        spec.ultimate,
    )
