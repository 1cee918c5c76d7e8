"""Parts that several kinds of joint share: bolts in rows, their springs, a fin's bending, the
wall."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from . import plate_spring
from .component_stiffness import SOURCE, bolt_bearing, bolt_shear, in_series
from .detail import BoltPlace, JointSpring, PlateCut, Ply
from .joint_spec import JointSpec

Array = NDArray[np.float64]
DERIVED = "derived"


def grid(spec: JointSpec) -> Array:
    """(n, 2) bolts of rows and columns as (along the arm, up), the middle of the rows at zero."""
    if spec.positions:
        return np.array(spec.positions, float)
    pitch, gauge = spec.pitch or 0.0, spec.gauge or 0.0
    return np.array(
        [
            (spec.arm + k * gauge, ((spec.rows - 1) / 2 - j) * pitch)
            for k in range(spec.columns)
            for j in range(spec.rows)
        ]
    )


def plate_height(spec: JointSpec, points: Array) -> tuple[float, float]:
    """(bottom, top) of the plate along y: stated, or the bolts with their end distance."""
    if spec.height is not None:
        half = spec.need("height") / 2
        return (-half, half)
    end = spec.need("end_distance")
    return (float(points[:, 1].min()) - end, float(points[:, 1].max()) + end)


def nearest_pitch(points: Array) -> float | None:
    """The smallest distance between two bolts; None for one bolt."""
    if len(points) < 2:
        return None
    apart = np.hypot(*(points[:, None] - points[None]).T)
    return float(apart[apart > 0].min(initial=np.inf))


def each_bolt(place: BoltPlace, modulus: float) -> float:
    """Stiffness of one bolt across its axis: shear and bearing in every ply in series; infinite for
    preloaded bolts, which do not move below their slip load."""
    if place.fit == "preloaded":
        return np.inf
    d = place.bolt.diameter
    shear = place.planes * bolt_shear(d, place.bolt.tensile, modulus)
    bearing = [
        bolt_bearing(d, p.thickness, p.ultimate, modulus, p.edge, p.pitch) for p in place.plies
    ]
    return modulus * in_series([shear, *bearing])


def bolts_turning(place: BoltPlace, modulus: float, turn: str) -> list[JointSpring]:
    """The bolts of a place as a spring against turning in their plane; none when preloaded."""
    each = each_bolt(place, modulus)
    if not np.isfinite(each):
        return []
    return [
        JointSpring(
            f"{place.name} in shear and bearing",
            "rotation" if turn == "rotation" else "torsion",
            place.turning(each),
            "k_b Σr², 1/k_b = 1/shear + Σ 1/bearing",
            SOURCE,
        )
    ]


def fin_springs(spec: JointSpec, height: float, count: int = 1) -> list[JointSpring]:
    """Plates standing out from the face to the bolts: bent in their plane, twisted about x."""
    t, arm = spec.need("thickness"), spec.need("arm")
    return [
        JointSpring(
            "plate bent in its plane", "rotation",
            count * plate_spring.in_plane_bending(spec.modulus, t, height, arm),
            "E t h³/(12 a)", DERIVED,
        ),
        JointSpring(
            "plate twisted", "torsion",
            count * plate_spring.twisting(spec.shear_modulus, t, height, arm),
            "G J/a, J = h t³/3 (1 - 0.63 t/h)", DERIVED,
        ),
    ]  # fmt: skip


def wall_springs(spec: JointSpec, height: float) -> tuple[list[JointSpring], list[str]]:
    """What the support's own face adds, and what is said of it."""
    if spec.on == "web":
        return [], [
            "The face of the support is taken as rigid here: how far a web bends out of its plane "
            "belongs to the member, whose sections deform where they can."
        ]
    if spec.on == "tube wall":
        spring = plate_spring.wall_turning(
            spec.modulus, spec.poisson, spec.need("wall_thickness"), spec.need("wall_width"),
            min(height, spec.need("wall_width")),
        )  # fmt: skip
        part = JointSpring(
            "tube wall bent by the joint", "rotation", spring,
            "strip hinged at the corners", DERIVED,
        )  # fmt: skip
        return [part], [
            "The tube's wall bends as a strip hinged at its corners: a lower bound of its "
            "stiffness. Its strength (punching, yield lines) is left to codes."
        ]
    spring = plate_spring.diaphragm_shear(
        spec.shear_modulus, spec.need("diaphragm"), spec.need("tube_width"), spec.need("tube_depth")
    )
    part = JointSpring("inner diaphragm in shear", "rotation", spring, "G t b d", DERIVED)
    return [part], [
        "The inner diaphragm stands in the plane of the joint and is welded to the tube all round; "
        "the wall between them is taken as held by it."
    ]


def fin_cuts(spec: JointSpec, points: Array, span: tuple[float, float]) -> list[PlateCut]:
    """Cross-sections of a fin: at the weld, and through each column of bolts."""
    t, bottom, top = spec.need("thickness"), *span
    height = top - bottom
    hole = spec.hole_diameter
    found = [PlateCut("at the weld", 0.0, height, t, 0.0, t * height**3 / 12)]
    for x in np.unique(points[:, 0]):
        ys = points[points[:, 0] == x, 1]
        area = t * (height - len(ys) * hole)
        middle = (t * height * (top + bottom) / 2 - t * hole * float(ys.sum())) / area
        second = t * height**3 / 12 + t * height * ((top + bottom) / 2 - middle) ** 2
        second -= float((t * hole**3 / 12 + t * hole * (ys - middle) ** 2).sum())
        found.append(
            PlateCut(f"through bolts at x = {x:g}", float(x), height, t, len(ys) * hole, second)
        )
    return found


def side_plies(spec: JointSpec, points: Array, thickness: float) -> tuple[Ply, ...]:
    """The joint's plate and the arriving member's web."""
    pitch = nearest_pitch(points)
    edge = min(spec.end_distance or np.inf, spec.side_distance or np.inf)
    if not np.isfinite(edge):
        edge = 1.5 * spec.hole_diameter
    plies = [Ply("plate", thickness, spec.ultimate, edge, pitch)]
    if spec.beam_web is not None:
        ultimate = spec.beam_ultimate or spec.ultimate
        plies.append(Ply("web", spec.need("beam_web"), ultimate, edge, pitch))
    return tuple(plies)
