"""Where along a member its sections are pressed hardest, and in how many different ways."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.strain import strains
from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import sampled_basis
from ..deforming.course import Course
from ..deforming.solution import DeformingSolution

Array = NDArray[np.float64]

#: Stations looked at in every part.
STATIONS = 17
#: Stresses that count as another way of being pressed: at most so many, of this share of the
#: largest compression at least, and alike to those before by no more than this cosine.
WAYS, SHARE, ALIKE = 3, 0.3, 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """A state of a section to seek its buckling shapes for.

    Attributes
    ----------
    section : ReducedSection
        Straight.
    a, rate : (n,)
    combination : int
    """

    section: ReducedSection
    a: Array
    rate: Array
    combination: int


@dataclass(frozen=True, slots=True, eq=False)
class Pressed:
    """States by compression and by shear, and the largest compression at stations z (s,) of every
    combination, (s, c)."""

    compressed: tuple[Demand, ...]
    sheared: tuple[Demand, ...]
    z: Array
    compression: Array


def demands(course: Course, solution: DeformingSolution) -> Pressed:
    """What the sections of a member must stand."""
    groups: dict[int, tuple[ReducedSection, list[float]]] = {}
    for part in course.parts:
        pieces = [(part.straight, part.start, part.end)]
        if part.taper is not None:
            middle = (part.start + part.end) / 2
            pieces = [(part.straight, part.start, middle), (part.taper.last, middle, part.end)]
        for section, start, end in pieces:
            own = groups.setdefault(id(section), (section, []))[1]
            own += (start + (end - start) * (np.arange(STATIONS) + 0.5) / STATIONS).tolist()
    compressed: list[Demand] = []
    sheared: list[Demand] = []
    places: list[Array] = []
    levels: list[Array] = []
    for section, stations in groups.values():
        z = np.array(stations)
        ratio = np.array([course.part(float(s)).ratio for s in z])
        _, a, rate = solution.functions(z)
        rate = rate / ratio[:, None, None]
        if solution.strained.actions:
            free = solution.strained.free_states(z, a.shape[-1]).transpose(0, 2, 1, 3)
            a, rate = a - free[0], rate - free[1]
        normal, shear = _stresses(section, a, rate)
        weight = np.sqrt(_areas(section))
        press = np.maximum(-normal, 0.0).max(axis=2)
        for s, c in _ways(normal * weight, press):
            compressed.append(Demand(section, a[s, :, c], rate[s, :, c], c))
        for s, c in _ways(shear * weight, shear.max(axis=2))[:1]:
            sheared.append(Demand(section, a[s, :, c], rate[s, :, c], c))
        places.append(z)
        levels.append(press)
    order = np.argsort(np.concatenate(places))
    return Pressed(
        tuple(compressed), tuple(sheared), np.concatenate(places)[order],
        np.concatenate(levels)[order],
    )  # fmt: skip


def _ways(pattern: Array, size: Array) -> list[tuple[int, int]]:
    """(station, combination) of states (s, c, t) of large size (s, c) that are not alike."""
    found: list[tuple[int, int]] = []
    chosen: list[Array] = []
    length = np.linalg.norm(pattern, axis=2)
    unit = pattern / np.where(length > 0, length, 1.0)[..., None]
    left = size.copy()
    # A stress that is rounding beside the largest presses nothing.
    left[size <= 1e-9 * np.abs(length).max(initial=0.0)] = 0.0
    top = float(left.max(initial=0.0))
    while len(found) < WAYS and left.max(initial=0.0) > SHARE * top:
        s, c = np.unravel_index(int(np.argmax(left)), left.shape)
        found.append((int(s), int(c)))
        chosen.append(unit[s, c])
        left[unit @ chosen[-1] > ALIKE] = 0.0
    return found


def _stresses(section: ReducedSection, a: Array, rate: Array) -> tuple[Array, Array]:
    """Axial stress and shear (s, c, t) in the middle of each triangle of the material."""
    solid = np.flatnonzero(section.elastic.solid)
    spots = section.fields.spots(solid, sampled_basis(section.fields.order, 1))
    u, gradient = section.fields.at(spots)
    still, along = strains(u, gradient, spots.points)
    middle = spots.points.shape[1] // 2
    still, along = still[:, middle : middle + 1], along[:, middle : middle + 1]
    s, n, c = a.shape
    flat = [m.transpose(1, 0, 2).reshape(n, s * c) for m in (a, rate)]
    stress = section.elastic.of(solid).stress(still @ flat[0] + along @ flat[1])[:, 0]
    six = stress.reshape(len(solid), 6, s, c).transpose(1, 2, 3, 0)
    return six[2], np.hypot(six[3], six[4])


def _areas(section: ReducedSection) -> Array:
    solid = np.flatnonzero(section.elastic.solid)
    spots = section.fields.spots(solid, sampled_basis(section.fields.order, 1))
    return np.asarray(spots.weights.sum(axis=1))
