"""Bolts through the face of the support: their places, their springs in tension, what presses."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from .component_stiffness import (
    SOURCE,
    bolts_tension,
    equivalent_row,
    in_series,
    plate_bending,
    rotational_stiffness,
    tee_length,
)
from .detail import BoltPlace, JointSpring, Ply
from .joint_spec import JointSpec

Array = NDArray[np.float64]


def face_place(
    spec: JointSpec, across: float, span: tuple[float, float], half_width: float
) -> BoltPlace:
    """Two columns of bolts `across` apart through a plate that presses on the face at its corners.

    `span` is (bottom, top) of the plate, `half_width` half its width.
    """
    bolt = spec.bolt
    assert bolt is not None
    pitch = spec.pitch or 0.0
    heights = ((spec.rows - 1) / 2 - np.arange(spec.rows)) * pitch
    points = np.array([(0.0, y, s * across / 2) for s in (-1.0, 1.0) for y in heights])
    corners = np.array([(0.0, y, s * half_width) for y in span for s in (-1.0, 1.0)])
    edge = min(spec.end_distance or np.inf, half_width - across / 2)
    plies = [Ply("plate", spec.need("thickness"), spec.ultimate, edge, spec.pitch)]
    if spec.support_thickness is not None:
        plies.append(
            Ply("support", spec.need("support_thickness"), spec.ultimate, edge, spec.pitch)
        )
    return BoltPlace(
        "face bolts", "face", points, bolt, spec.hole_diameter, spec.fit, 1, tuple(plies), corners
    )


def rows_in_tension(
    spec: JointSpec, place: BoltPlace, arm: float, edge: float, span: tuple[float, float]
) -> JointSpring:
    """Rows of bolts as springs about the edge of the plate that presses, the softer way of turning.

    Parameters
    ----------
    arm : float
        m of the T-stub: from the bolt to where the plate is held.
    edge : float
        From the bolt to the plate's side.
    span : (bottom, top)

    Raises
    ------
    InputError
        When the plate is not held between the bolts and what they clamp.
    """
    if arm <= 0:
        raise InputError(
            f"bolts stand {arm:.4g} mm from the weld or the leg; move the columns apart"
        )
    t, bolt = spec.need("thickness"), place.bolt
    # Clamped length: plate and support, half of head and nut (0.65 d and 0.8 d by ISO 4014, 4032).
    grip = t + (spec.support_thickness or t) + 0.725 * bolt.diameter
    pitch = spec.pitch if spec.rows > 1 and spec.pitch else np.inf
    row = in_series(
        [
            plate_bending(tee_length(arm, edge, pitch), t, arm),
            bolts_tension(bolt.stress_area, grip),
        ]
    )
    heights = np.unique(place.points[:, 1])
    stiffness = []
    for pivot in span:
        k, z = equivalent_row([row] * len(heights), list(np.abs(heights - pivot)))
        stiffness.append(rotational_stiffness(spec.modulus, z, [k]))
    return JointSpring(
        "rows in tension: plate bending, bolts", "rotation", min(stiffness),
        "E z² k_eq, rows about the edge that presses; 1/k = 1/k_5 + 1/k_10", SOURCE,
    )  # fmt: skip
