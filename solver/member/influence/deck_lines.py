"""Lines side by side over the top of a deck, for influence surfaces."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ....geometry.section import Section
from ..model.load import Where
from ..model.solved_section import SolvedSection
from .analysis import TravelLine

Array = NDArray[np.float64]

#: Lines over the deck's width.
COUNT = 11
#: Distance of the outermost from the edges, as a share of the width.
INSIDE = 0.002
#: Chords of arcs leave them by this share of the section's size.
DEVIATION = 1e-4


def deck_lines(
    sections: Mapping[str, SolvedSection], count: int = COUNT
) -> tuple[tuple[TravelLine, ...], tuple[Where, ...]]:
    """Lines from the left edge to the right one, on top of the material, and those of them that the
    sections are to answer: both edges and the middle.

    Raises
    ------
    InputError
        A section known by its figures alone; sections whose tops stand at different heights.
    """
    outlines = []
    for name, solved in sections.items():
        if solved.result is None:
            raise InputError(
                f"section {name!r} is known by its figures alone and has no deck; give the lines "
                "of the surface with --line"
            )
        outlines.append(solved.result.section)
    boxes = [section.bounds() for section in outlines]
    low, high = max(b[0] for b in boxes), min(b[2] for b in boxes)
    inside = INSIDE * (high - low)
    x = np.linspace(low + inside, high - inside, count)
    tops = np.array([[top_at(section, float(at)) for at in x] for section in outlines])
    apart = np.ptp(tops, axis=0).max()
    if apart > 1e-6 * max(high - low, 1e-300):
        raise InputError(
            "the tops of the sections stand at different heights, so the deck is no one surface; "
            "give its lines with --line"
        )
    places = [(float(at), float(y)) for at, y in zip(x, tops[0], strict=True)]
    lines = tuple(TravelLine(f"x = {at:.4g}", (at, y)) for at, y in places)
    return lines, (places[0], places[len(places) // 2], places[-1])


def top_at(section: Section, x: float) -> float:
    """Height of the topmost material at x."""
    found = -np.inf
    for contour in section.contours():
        run = contour.polyline(section.size() * DEVIATION)
        closed = np.vstack([run, run[:1]])
        a, b = closed[:-1], closed[1:]
        crosses = (a[:, 0] <= x) & (b[:, 0] >= x) | (a[:, 0] >= x) & (b[:, 0] <= x)
        width = b[crosses, 0] - a[crosses, 0]
        share = np.where(width != 0, (x - a[crosses, 0]) / np.where(width != 0, width, 1.0), 0.0)
        height = a[crosses, 1] + share * (b[crosses, 1] - a[crosses, 1])
        upright = np.maximum(a[crosses, 1], b[crosses, 1])
        found = max(found, *np.where(width != 0, height, upright), -np.inf)
    return float(found)
