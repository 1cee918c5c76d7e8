"""Where and why the two theories of a member part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from ..deforming.corners import corners_of
from ..deforming.solution import DeformingSolution
from .greatest import greatest
from .theories import BothTheories

#: Difference of the theories below which nothing is said of it, and share of the largest
#: displacement from which distortion is called the reason.
ALIKE, DISTORTS = 0.03, 0.05

#: Ratio above which the classical value is rounding, of what that theory says is zero.
NOISE = 1e6
#: Share of the largest value of its kind below which a combination decides nothing.
COUNTS = 0.2

Reason = Literal["alike", "local", "distortion", "small twist", "other"]


@dataclass(frozen=True, slots=True)
class Parting:
    """Where and why the theories part.

    Attributes
    ----------
    reason : "alike", "local", "distortion", "small twist" or "other"
        Alike within `ALIKE`; motions alike and stress apart; the section distorts; the twists alone
        part, and move its corners by less than `ALIKE` of the deflection; or warping, shear lag,
        shear deformation and tapers.
    twist, deflection, stress : float
        Deforming over classical, of the combination where it is farthest from 1.
    at : float
        Station of the largest of them.
    distorts_at : float
        Station of the largest distortion.
    sides : (left, right)
        How far the outermost corners go down there.
    """

    reason: Reason
    twist: float
    deflection: float
    stress: float
    at: float
    distorts_at: float
    sides: tuple[float, float]


def parting_of(
    solution: DeformingSolution, rows: tuple[BothTheories, ...], worst: float, where: float
) -> Parting:
    """Where and why the theories part."""
    ratio = {"twist": 1.0, "deflection": 1.0, "stress": 1.0}
    at = dict.fromkeys(ratio, 0.0)
    kinds = {word: [getattr(row, word) for row in rows] for word in ratio}
    for word, pairs in kinds.items():
        known = [pair for pair in pairs if pair is not None]
        top = max((pair.deforming for pair in known), default=0.0)
        for pair in known:
            # Values far below the largest of their kind decide nothing, nor does rounding.
            if pair.deforming < COUNTS * top or not 0 < pair.ratio < NOISE:
                continue
            if abs(np.log(pair.ratio)) > abs(np.log(ratio[word])):
                ratio[word], at[word] = pair.ratio, pair.at
    largest = max(row.deflection.deforming for row in rows)
    sides = _sides(solution, where)
    moved = [word for word in ("twist", "deflection") if abs(ratio[word] - 1) >= ALIKE]
    reason: Reason = "other"
    if not moved:
        reason = "alike" if abs(ratio["stress"] - 1) < ALIKE else "local"
    elif worst > DISTORTS * largest:
        reason = "distortion"
    elif moved == ["twist"]:
        twist = max(max(pair.deforming, pair.classical) for pair in kinds["twist"] if pair)
        if twist * _reach(solution, at["twist"]) < ALIKE * largest:
            reason = "small twist"
    far = max(ratio, key=lambda word: abs(np.log(ratio[word])))
    return Parting(
        reason, ratio["twist"], ratio["deflection"], ratio["stress"], at[far], where, sides
    )


def _reach(solution: DeformingSolution, z: float) -> float:
    """Half of the largest extent of the section at a station: the arm of a twist."""
    (corners,) = corners_of(solution, np.array([z]))
    return float(np.ptp(corners.points[0], axis=0).max()) / 2


def _sides(solution: DeformingSolution, z: float) -> tuple[float, float]:
    """Downward movement of the outermost corners to the left and right, in the combination that
    distorts most."""
    (corners,) = corners_of(solution, np.array([z]))
    ends = [int(corners.points[0, :, 0].argmin()), int(corners.points[0, :, 0].argmax())]
    (c,) = greatest(solution.distortion([z])[0])
    _, a, _ = solution.functions([z])
    left, right = -(corners.rows[ends, 1] @ a[0, :, c])
    return float(left), float(right)
