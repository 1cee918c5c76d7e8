"""Centre lines of drawings: axes and marks, which belong to no outline."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

#: Line types of this name (and CENTER2, CENTERX2) draw axes: common practice of drawing programs.
LINE_TYPE = "CENTER"


@dataclass(frozen=True, slots=True)
class CentreLine:
    """Straight lines through points, and what they are.

    Attributes
    ----------
    name : str
        Also the name of the layer.
    points : tuple of (x, y)
    """

    name: str
    points: tuple[tuple[float, float], ...]


def is_centre_line(entity: Any, line_types: Mapping[str, str]) -> bool:
    """Whether a DXF entity is drawn as a centre line.

    Parameters
    ----------
    entity : ezdxf entity
    line_types : mapping of str to str
        Line type of each layer, by the layer's name in small letters.
    """
    own = str(entity.dxf.get("linetype", "BYLAYER")).upper()
    if own == "BYLAYER":
        own = line_types.get(str(entity.dxf.get("layer", "0")).casefold(), "")
    return own.startswith(LINE_TYPE)
