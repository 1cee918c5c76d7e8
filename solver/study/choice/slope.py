"""How what is sought and the use of every limit change with the ranges, at one place.

Each range is moved by a thousandth and the member solved again, its sections on the mesh of that
place, which follows their outlines: what is differenced is smooth, and no mesh is made twice.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..derivative.followed_sections import FollowedSections
from .candidate import Candidate, proposal
from .neighbourhood import Place
from .section_candidate import Altered
from .setting import Setting
from .trial import Trial, attempt

Array = NDArray[np.float64]

#: Share of a range by which it is moved; that by which it is moved where a mesh cannot follow.
STEP, _COARSE = 1e-3, 2e-2


@dataclass(frozen=True, slots=True)
class Slopes:
    """Trials beside a place.

    Attributes
    ----------
    here : Trial
        At the place.
    moved : tuple of (float, Trial)
        For each range its change, and the trial with it.
    """

    here: Trial
    moved: tuple[tuple[float, Trial], ...]

    def rates(self, of: Callable[[Trial], Mapping[str, float]], name: str) -> Array:
        """(n,) derivatives of one number that trials have to the ranges; 0 where one has none."""
        found, before = [], of(self.here).get(name)
        for step, there in self.moved:
            now = of(there).get(name)
            known = now is not None and before is not None
            found.append((now - before) / step if known else 0.0)  # type: ignore[operator]
        return np.array(found)


def slopes_at(
    setting: Setting, candidate: Callable[[Place], Candidate], place: Place, here: Trial
) -> Slopes | None:
    """Solve the member beside a place; None where a range has no valid section on either side.

    Parameters
    ----------
    setting : Setting
        Its reach says by which theory.
    candidate : callable
        What is tried at a place of the unit cube.
    place : tuple of float
    here : Trial
        What became of it, with the same setting.
    """
    if here.outcome is None:
        return None
    own = candidate(place)
    solving = FollowedSections(by_name=isinstance(own, Altered))
    proposal(setting, own).put(solving)
    moved = []
    for k, share in enumerate(place):
        inward = -1.0 if share > 0.5 else 1.0
        for step in (inward * STEP, -inward * STEP, inward * _COARSE, -inward * _COARSE):
            at = share + step
            if not 0.0 <= at <= 1.0:
                continue
            other = candidate((*place[:k], at, *place[k + 1 :]))
            if abs(step) == STEP:
                there = attempt(setting, other, thorough=True, solving=solving)
            else:
                there = attempt(setting, other, thorough=True)
            if there.outcome is not None and math.isfinite(there.value):
                moved.append((step, there))
                break
        else:
            return None
    return Slopes(here, tuple(moved))
