"""A welded stub: a short I-shaped piece welded to the support; the member is spliced to its web."""

from __future__ import annotations

import math

import numpy as np

from . import plate_spring
from .detail import BoltPlace, JointDetail, JointSpring, PlateCut, PlateView, WeldPlace
from .joint_spec import JointSpec
from .layout_parts import DERIVED, bolts_turning, grid, side_plies, wall_springs
from .soundness import check_bolts, check_welds


def welded_stub(spec: JointSpec) -> JointDetail:
    """Fillet welds along the outer faces of both flanges and both faces of the web; the splice's
    web bolts are in double shear between two cover plates as thick as the web each.

    Raises
    ------
    InputError
        Bolts outside the web, holes that overlap, a size that is missing.
    """
    bolt, web, leg = spec.bolt, spec.need("thickness"), spec.need("weld")
    assert bolt is not None
    depth, flange, width = spec.need("height"), spec.need("flange"), spec.need("flange_width")
    arm = spec.need("arm")
    points = grid(spec)
    inside = depth / 2 - flange
    end = float(points[:, 0].max()) + spec.need("side_distance")
    check_bolts(points, (0.0, -inside, end, inside), bolt, spec.hole_diameter, "web of the stub")
    place = BoltPlace(
        "splice bolts", "side", np.column_stack([points, np.zeros(len(points))]), bolt,
        spec.hole_diameter, spec.fit, 2, side_plies(spec, points, web), np.zeros((0, 3)),
    )  # fmt: skip
    lines = np.array(
        [[[0, s * depth / 2, -width / 2], [0, s * depth / 2, width / 2]] for s in (1.0, -1.0)]
        + [[[0, -inside, s * web / 2], [0, inside, s * web / 2]] for s in (-1.0, 1.0)]
    )
    check_welds(lines, leg, "stub")
    names = ("top flange", "bottom flange", "web, left", "web, right")
    weld = WeldPlace("stub", lines, names, leg / math.sqrt(2), leg)
    second = (width * depth**3 - (width - web) * (2 * inside) ** 3) / 12
    torsion = 2 * plate_spring.twisting(spec.shear_modulus, flange, width, arm)
    torsion += plate_spring.twisting(spec.shear_modulus, web, 2 * inside, arm)
    wall, words = wall_springs(spec, depth)
    return JointDetail(
        spec.name, spec.kind, (place,), (weld,),
        (
            PlateView("stub", "side", (0.0, -depth / 2, end, depth / 2), web),
            PlateView("top flange", "face", (inside, -width / 2, depth / 2, width / 2), flange),
            PlateView("bottom flange", "face",
                      (-depth / 2, -width / 2, -inside, width / 2), flange),
            PlateView("web", "face", (-inside, -web / 2, inside, web / 2), web),
        ),
        (PlateCut("stub at the weld", 0.0, depth, web, 0.0, second),),
        (
            *bolts_turning(place, spec.modulus, "rotation"),
            JointSpring("stub bent", "rotation", spec.modulus * second / arm, "E I/a", DERIVED),
            JointSpring("stub twisted", "torsion", torsion,
                      "G J/a, J of flanges and web as strips", DERIVED),
            *wall,
        ),
        ("rotation", "torsion"), float(points[:, 0].mean()), ("splice bolts",), (),
        (*words, "Flanges of the stub are not spliced; the web's bolts carry the moment there."),
        spec.ultimate,
    )  # fmt: skip
