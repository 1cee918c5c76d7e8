"""Data of modes in motion: lines of the member at rest, and their displacement in each mode."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..vibration.figure import Scene, moved_section
from ..vibration.result import ModesResult
from ..vibration.table import hertz
from .packing import field, floats

Array = NDArray[np.float64]

#: Stations along the member.
_STATIONS = 21


def modes_data(result: ModesResult) -> dict[str, Any]:
    """Lines at rest, and what each mode adds to them at its largest displacement."""
    scene = Scene(result, _STATIONS)
    still = scene.lines(None)
    rest = np.concatenate(still)
    vibration = result.vibration
    modes = []
    for k, (f, name) in enumerate(zip(vibration.frequencies, vibration.names, strict=True)):
        edges, moved = moved_section(result, k)
        at = result.units.text(float(result.outlines.shapes.largest_at[k]), "along")
        modes.append(
            {
                "words": f"mode {k + 1}: {hertz(float(f))} Hz, {name}",
                "where": f"the section at {at}, where this mode is largest",
                "motion": field(np.concatenate(scene.lines(k)) - rest),
                "section": {
                    "lengths": [edges.shape[1]] * len(edges),
                    "still": floats(edges),
                    "motion": field(moved - edges),
                },
            }
        )
    return {"lengths": _lengths(still), "still": floats(rest), "modes": modes}


def _lengths(lines: Sequence[Array]) -> list[int]:
    return [len(line) for line in lines]
