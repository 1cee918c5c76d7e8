"""An end plate: welded across the end of the arriving member, bolted to the face of the support."""

from __future__ import annotations

import math

import numpy as np

from ...geometry.errors import InputError
from .detail import JointDetail, PlateView, WeldPlace
from .face_bolts import face_place, rows_in_tension
from .joint_spec import JointSpec
from .layout_parts import bolts_turning, wall_springs
from .soundness import check_bolts, check_welds

#: Of the leg of a fillet weld, that the T-stub's arm is measured from (EN 1993-1-8, from memory).
_OF_WELD = 0.8


def end_plate(spec: JointSpec) -> JointDetail:
    """Two columns of bolts `gauge` apart, fillet welds on both sides of the member's web.

    Raises
    ------
    InputError
        Bolts outside the plate, holes that overlap, a size that is missing.
    """
    bolt, t, leg = spec.bolt, spec.need("thickness"), spec.need("weld")
    assert bolt is not None
    if spec.positions:
        raise InputError("an end plate has rows and two columns; positions is for a fin plate")
    across, web = spec.need("gauge"), spec.need("beam_web")
    half_height = (
        spec.height / 2
        if spec.height
        else (spec.rows - 1) / 2 * (spec.pitch or 0.0) + spec.need("end_distance")
    )
    half_width = (
        spec.width / 2 if spec.width is not None else across / 2 + spec.need("side_distance")
    )
    span = (-half_height, half_height)
    place = face_place(spec, across, span, half_width)
    box = (-half_height, -half_width, half_height, half_width)
    check_bolts(place.flat_points, box, bolt, place.hole, "end plate")
    weld_half = half_height if spec.beam_depth is None else min(half_height, spec.beam_depth / 2)
    lines = np.array(
        [[[t, -weld_half, s * web / 2], [t, weld_half, s * web / 2]] for s in (-1.0, 1.0)]
    )
    check_welds(lines, leg, "end plate")
    weld = WeldPlace("web to end plate", lines, ("weld, far side", "weld, near side"),
                     leg / math.sqrt(2), leg)  # fmt: skip
    m = (across - web) / 2 - _OF_WELD * leg
    wall, words = wall_springs(spec, 2 * half_height)
    return JointDetail(
        spec.name,
        spec.kind,
        (place,),
        (weld,),
        (PlateView("end plate", "face", box, t),),
        (),
        (
            rows_in_tension(spec, place, m, half_width - across / 2, span),
            *bolts_turning(place, spec.modulus, "torsion"),
            *wall,
        ),
        ("rotation", "torsion"),
        0.0,
        (),
        ("face bolts",),
        (
            *words,
            "Parts of the support (its flange or web in bending, its panel in shear) are not among "
            "the springs.",
        ),
        spec.ultimate,
    )
