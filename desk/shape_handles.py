"""Where a parametric shape takes hold: the edge that moves most with each of its dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import GeometryError
from ..geometry.outline.contour import Contour, edge_points, edge_tangents
from ..geometry.profiles.by_name import build_profile, profile_attributes, profile_named
from ..geometry.profiles.profile import Profile
from ..geometry.section_file.entry import Entry

Array = NDArray[np.float64]
Borders = tuple[Array, Array, NDArray[np.bool_]]

#: A dimension's step, as a share of itself, and the share of the largest movement that will do;
#: straight edges are preferred where they move by this share of it.
_STEP, _ENOUGH, _PREFERRED = 1e-4, 0.98, 0.5
#: What the standard's words mean.
_WORDS = {"x dim": "width", "y dim": "height"}


def shape_values(entry: Entry) -> tuple[dict[str, Any], ...]:
    """Each length of a shape that its entry gives: key, name, value, place, direction, gain."""
    kind = profile_named(entry.text("profile"))
    attributes = [a for a in profile_attributes(kind) if entry.has(a.ifc)]
    given = {a.ifc: (entry.angle if a.is_angle else entry.length)(a.ifc) for a in attributes}
    values = tuple((key, float(value)) for key, value in given.items() if value is not None)
    return _values(kind, values, entry.units.length)


@lru_cache(maxsize=32)
def _values(
    kind: str, given: tuple[tuple[str, float], ...], unit: str
) -> tuple[dict[str, Any], ...]:
    """Kept: while one shape of a section is dragged the others stay."""
    return tuple(_found(kind, dict(given), unit))


def _found(kind: str, values: dict[str, float], unit: str) -> Iterator[dict[str, Any]]:
    attributes = [a for a in profile_attributes(kind) if a.ifc in values]
    base = _borders(build_profile(kind, values, unit))
    taken: list[Array] = []
    for attribute in attributes:
        key = attribute.ifc
        if attribute.is_angle or key == "deviation" or not values.get(key):
            continue
        words = attribute.python.replace("_", " ")
        moved, step = _moved(kind, values, key, unit, base)
        shown = {"key": key, "name": _WORDS.get(words, words), "value": values[key]}
        if moved is None:
            yield shown | {"place": None, "direction": None, "gain": None}
            continue
        speed = np.einsum("nd,nd->n", moved / step, base[1])
        if not np.abs(speed).max() > 0:
            continue
        straight = np.where(base[2], np.abs(speed), 0.0)
        if straight.max() >= _PREFERRED * np.abs(speed).max():
            speed = np.where(base[2], speed, 0.0)
        best = np.flatnonzero(np.abs(speed) >= _ENOUGH * np.abs(speed).max())
        k = best[int(np.argmax([_room(base[0][i], taken) for i in best]))]
        taken.append(base[0][k])
        yield shown | {
            "place": base[0][k],
            "direction": base[1][k] * np.sign(speed[k]),
            "gain": float(1 / abs(speed[k])),
        }


def _moved(
    kind: str, values: dict[str, float], key: str, unit: str, base: Borders
) -> tuple[Array | None, float]:
    """How the middles of the edges move, and the step that moved them; None where the outline has
    other edges then."""
    for sign in (1.0, -1.0):
        step = sign * _STEP * values[key]
        try:
            there = _borders(build_profile(kind, values | {key: values[key] + step}, unit))
        except GeometryError:
            continue
        if there[0].shape == base[0].shape:
            return there[0] - base[0], step
    return None, 0.0


def _room(place: Array, taken: list[Array]) -> float:
    """Distance to the nearest handle that is there; else rather right and above."""
    if not taken:
        return float(place.sum()) * 1e-9
    return min(float(np.hypot(*(place - other))) for other in taken)


def _borders(profile: Profile) -> Borders:
    """(n, 2) middles of all edges, their unit normals, and which are straight."""
    middles, normals, straight = zip(
        *(_middles(contour) for contour in (profile.outline, *profile.holes)), strict=True
    )
    return np.concatenate(middles), np.concatenate(normals), np.concatenate(straight)


def _middles(contour: Contour) -> Borders:
    start, half = contour.points, np.array([0.5])
    edges = start, np.roll(start, -1, axis=0), contour.bulges
    along = edge_tangents(*edges, half)[:, 0]
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1)
    return (
        edge_points(*edges, half)[:, 0],
        normal / np.hypot(*normal.T)[:, None],
        (contour.bulges == 0),
    )
