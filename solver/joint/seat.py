"""A seat: an angle or bracket under the arriving member; it carries a reaction, holds no turn."""

from __future__ import annotations

import math

import numpy as np

from .detail import BoltPlace, JointDetail, PlateCut, PlateView, WeldPlace
from .face_bolts import face_place
from .joint_spec import JointSpec
from .layout_parts import wall_springs
from .soundness import check_bolts, check_welds


def seat(spec: JointSpec) -> JointDetail:
    """The upright leg is bolted or welded to the face; the reaction stands at `arm` from it.

    Raises
    ------
    InputError
        Bolts outside the leg, holes that overlap, a size that is missing.
    """
    t, width, height = spec.need("thickness"), spec.need("width"), spec.need("height")
    spec.need("arm")
    span = (-height / 2, height / 2)
    box = (span[0], -width / 2, span[1], width / 2)
    bolts: list[BoltPlace] = []
    welds: list[WeldPlace] = []
    if spec.support_welded:
        leg = spec.need("weld")
        lines = np.array(
            [[[0.0, span[0], s * width / 2], [0.0, span[1], s * width / 2]] for s in (-1.0, 1.0)]
        )
        check_welds(lines, leg, "seat")
        names = ("weld, left side", "weld, right side")
        welds.append(WeldPlace("seat", lines, names, leg / math.sqrt(2), leg))
    else:
        assert spec.bolt is not None
        place = face_place(spec, spec.need("gauge"), span, width / 2)
        check_bolts(place.flat_points, box, spec.bolt, place.hole, "upright leg")
        bolts.append(place)
    shelf = (-width / 2, 0.0, width / 2, max(2 * spec.arm, t))
    _, words = wall_springs(spec.with_(on="web"), height)
    return JointDetail(
        spec.name, spec.kind, tuple(bolts), tuple(welds),
        (
            PlateView("upright leg", "face", box, t),
            PlateView("shelf", "flat", shelf, t),
            PlateView("shelf, from the side", "side",
                      (0.0, span[1] - t, shelf[3], span[1]), width),
        ),
        (PlateCut("shelf at the upright leg", t, width, t, 0.0, width * t**3 / 12, True),),
        (), (), spec.arm, (), (),
        (*words, "A seat without a restraint at the top holds neither rotation nor torque: none is "
         "counted, though weight and friction hold some. The reaction may move along the shelf."),
        spec.ultimate,
    )  # fmt: skip
