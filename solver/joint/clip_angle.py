"""Clip angles: one or two angles bolted to the web of the arriving member, bolted or welded to the
support."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from .component_stiffness import SOURCE, plate_bending, rotational_stiffness, tee_length
from .detail import BoltPlace, JointDetail, JointSpring, PlateCut, PlateView, WeldPlace
from .face_bolts import face_place, rows_in_tension
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

Array = NDArray[np.float64]


def clip_angles(spec: JointSpec) -> JointDetail:
    """Web bolts in double shear between two angles; the outstanding legs on the face.

    One angle alone holds the face eccentrically; its legs on the face are still taken as two
    columns, so it is refused there unless welded.

    Raises
    ------
    InputError
        Bolts outside a leg, holes that overlap, a size that is missing.
    """
    bolt, t = spec.bolt, spec.need("thickness")
    assert bolt is not None
    leg, web = spec.need("support_leg"), spec.need("beam_web")
    spec.need("arm")
    points = grid(spec)
    bottom, top = span = plate_height(spec, points)
    end = float(points[:, 0].max()) + spec.need("side_distance")
    check_bolts(points, (0.0, bottom, end, top), bolt, spec.hole_diameter, "web leg")
    web_bolts = BoltPlace(
        "web bolts", "side", np.column_stack([points, np.zeros(len(points))]), bolt,
        spec.hole_diameter, spec.fit, spec.angles, side_plies(spec, points, spec.angles * t),
        np.zeros((0, 3)),
    )  # fmt: skip
    side = ("side", (0.0, bottom, end, top))
    plates = [PlateView("web leg", "side", side[1], t)]
    outer = web / 2 + leg
    hands = (1.0,) if spec.angles == 1 else (-1.0, 1.0)
    for s in hands:
        low, high = sorted((s * web / 2, s * outer))
        plates.append(PlateView("leg on the support", "face", (bottom, low, top, high), t))
    bolts, welds, face_springs, torsion_slips = [web_bolts], [], [], []
    if spec.support_welded:
        lines = np.array([[[0, bottom, s * outer], [0, top, s * outer]] for s in hands])
        size = spec.need("weld")
        check_welds(lines, size, "leg on the support")
        names = ("weld at the toe",) if len(hands) == 1 else ("weld, left toe", "weld, right toe")
        welds.append(WeldPlace("legs to the support", lines, names, size / math.sqrt(2), size))
        face_springs.append(_legs_bent(spec, leg - t, top - bottom))
    else:
        across = spec.need("support_gauge")
        place = face_place(spec, across, span, outer)
        if spec.angles == 1:
            keep = place.points[:, 2] > 0
            place = BoltPlace(
                place.name, place.plane, place.points[keep], bolt, place.hole, place.fit, 1,
                place.plies, place.presses,
            )  # fmt: skip
        right = place.points[place.points[:, 2] > 0][:, 1:]
        check_bolts(right, plates[-1].box, bolt, place.hole, "leg on the support")
        bolts.append(place)
        m = across / 2 - web / 2 - t
        face_springs.append(rows_in_tension(spec, place, m, outer - across / 2, span))
        face_springs += bolts_turning(place, spec.modulus, "torsion")
        torsion_slips.append("face bolts")
    wall, words = wall_springs(spec, top - bottom)
    return JointDetail(
        spec.name, spec.kind, tuple(bolts), tuple(welds), tuple(plates),
        tuple(_of_both(spec, points, span)),
        (
            *bolts_turning(web_bolts, spec.modulus, "rotation"),
            *fin_springs(spec, top - bottom, spec.angles),
            *face_springs,
            *wall,
        ),
        ("rotation", "torsion"), float(points[:, 0].mean()), ("web bolts",), tuple(torsion_slips),
        (*words, "Both angles are taken as one plate on the face: the couple that presses each "
         "angle's top against the web is not among the bolts' forces."),
        spec.ultimate,
    )  # fmt: skip


def _legs_bent(spec: JointSpec, arm: float, height: float) -> JointSpring:
    """Outstanding legs bent between heel and weld at the toe, turning about half their height."""
    k = plate_bending(tee_length(arm, spec.weld or 0.0, height / 2), spec.need("thickness"), arm)
    return JointSpring(
        "legs on the support bent", "rotation",
        rotational_stiffness(spec.modulus, height / 2, [k]),
        "E z² k_6, z = h/2, the weld in place of bolts", SOURCE,
    )  # fmt: skip


def _of_both(spec: JointSpec, points: Array, span: tuple[float, float]) -> list[PlateCut]:
    """Cross-sections of the web legs, all angles as one plate; the first is at the heel."""
    both = spec.with_(thickness=spec.angles * spec.need("thickness"))
    return fin_cuts(both, points, span)[1:]
