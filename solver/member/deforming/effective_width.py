"""Shear lag: how much of a flange works, from the stress itself, beside the code's formula."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError
from .lobatto import gauss
from .solution import DeformingSolution

Array = NDArray[np.float64]
Point = tuple[float, float]

#: Gauss points along a flange, on each of its intervals.
POINTS, INTERVALS = 6, 4


@dataclass(frozen=True, slots=True, eq=False)
class EffectiveWidth:
    """A flange from its web to its tip, or to half-way to the next web, at m stations.

    Attributes
    ----------
    width : float
        b_0, from `start` to `end`.
    effective : (m, c)
        int sigma_zz ds over sigma_zz at the web; nan where that is zero. Of one station (c,), like
        the others.
    at_web, at_end : (m, c)
        Stress along the member.
    """

    width: float
    effective: Array
    at_web: Array
    at_end: Array

    @property
    def ratio(self) -> Array:
        """(m, c) effective over full width."""
        return self.effective / self.width


def effective_width(
    solution: DeformingSolution, start: Point, end: Point, z: ArrayLike
) -> EffectiveWidth:
    """Effective width of the flange whose middle line runs straight from its web to `end`, at a
    station or at several (m,) of one section, whose points are then sought once.

    Raises
    ------
    InputError
        The line leaves the material.
    """
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    if not length > 0:
        raise InputError(f"the flange starts and ends at ({start[0]:g}, {start[1]:g})")
    x, w = gauss(POINTS)
    share = ((np.arange(INTERVALS)[:, None] + (1 + x) / 2) / INTERVALS).ravel()
    weight = np.tile(w / 2 / INTERVALS, INTERVALS)
    every = np.concatenate([[0.0], share, [1.0]])[:, None]
    points = (1 - every) * np.asarray(start) + every * np.asarray(end)
    along = solution.stress(points, np.atleast_1d(z))[:, :, 2]
    stress = along[0] if np.ndim(z) == 0 else along
    web = stress[..., 0, :]
    force = length * np.einsum("k,...kc->...c", weight, stress[..., 1:-1, :])
    with np.errstate(divide="ignore", invalid="ignore"):
        effective = np.where(web != 0, force / np.where(web != 0, web, 1.0), np.nan)
    return EffectiveWidth(length, effective, web, stress[..., -1, :])


def code_ratio(width: float, effective_length: float, *, hogging: bool = False) -> float:
    """beta of EN 1993-1-5:2006, 3.2.1 with table 3.1, without stiffeners; from memory.

    kappa = b_0 / L_e. In sagging bending 1 / (1 + 6.4 kappa^2), beyond 0.7: 1 / (5.9 kappa); over
    inner supports and for cantilevers 1 / (1 + 6 (kappa - 1 / (2500 kappa)) + 1.6 kappa^2), beyond
    0.7: 1 / (8.6 kappa); 1 up to kappa = 0.02.

    Parameters
    ----------
    width : float
        b_0: the outstand, or half the width between webs.
    effective_length : float
        L_e: the distance between points of zero moment.
    """
    if not (width > 0 and effective_length > 0):
        raise InputError(f"width and length must be positive, got {width} and {effective_length}")
    kappa = width / effective_length
    if kappa <= 0.02:
        return 1.0
    if hogging:
        if kappa > 0.7:
            return 1 / (8.6 * kappa)
        return 1 / (1 + 6 * (kappa - 1 / (2500 * kappa)) + 1.6 * kappa**2)
    return 1 / (5.9 * kappa) if kappa > 0.7 else 1 / (1 + 6.4 * kappa**2)


def code_ratio_at_end(width: float, effective_length: float) -> float:
    """beta_0 of the same table, from memory: at an end support (0.55 + 0.025 / kappa) beta_1, no
    more than beta_1, that of its span in sagging; see `code_ratio`."""
    sagging = code_ratio(width, effective_length)
    return min(1.0, 0.55 + 0.025 * effective_length / width) * sagging


def code_lengths(
    spans: Sequence[float], overhangs: tuple[bool, bool] = (False, False)
) -> tuple[list[float], list[float]]:
    """L_e of the sagging part of each span and of the hogging part at each support between two
    (EN 1993-1-5, figure 3.1, from memory): 0.85 L of an end span, 0.7 L of an inner one, a quarter
    of both spans at a support, twice the length of an overhang, which has no sagging part.

    Parameters
    ----------
    overhangs : (bool, bool)
        Whether the first and the last span hang over.
    """
    last = len(spans) - 1
    over = [(k == 0 and overhangs[0]) or (k == last and overhangs[1]) for k in range(len(spans))]
    sagging = [
        2 * span if over[k] else (1.0, 0.85, 0.7)[(k > 0) + (k < last)] * span
        for k, span in enumerate(spans)
    ]
    hogging = [
        2 * spans[k]
        if over[k]
        else 2 * spans[k + 1]
        if over[k + 1]
        else (spans[k] + spans[k + 1]) / 4
        for k in range(last)
    ]
    return sagging, hogging
