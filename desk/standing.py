"""How a part of a section stands: where it is moved, how it is turned, which rolled shape it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from ..geometry.section_file.entry import Entry

Handle = dict[str, Any]


def standing(entry: Entry) -> Iterator[Handle]:
    """Where the entry has been moved to, and its turn, if it says so."""
    move = entry.point("move")
    if move is not None:
        yield {
            "keys": [("move", "x"), ("move", "y")],
            "kind": "point",
            "name": "position",
            "value": list(move),
            "place": np.zeros(2),
            "fixed": True,
        }
    if entry.has("rotate"):
        angle = entry.angle("rotate")
        yield {
            "keys": [("rotate",)],
            "kind": "typed",
            "name": "turn",
            "value": None if angle is None else float(np.degrees(angle)),
            "unit": "deg",
            "place": np.zeros(2),
        }


def designation(entry: Entry) -> Handle:
    """Which rolled shape it is, to be typed."""
    return {
        "keys": [("shape",)],
        "kind": "typed",
        "name": "rolled shape",
        "value": str(entry.table["shape"]),
        "unit": "",
        "place": np.zeros(2),
    }
