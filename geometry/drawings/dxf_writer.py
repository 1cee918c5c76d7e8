"""A section as DXF: one closed LWPOLYLINE with bulges for each contour, so that arcs stay arcs."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np

from ..outline.contour import Contour
from ..section import Section
from .centre_line import LINE_TYPE, CentreLine
from .dxf import UNITS
from .layers import named_regions, slit_layer

_CODES = {name: code for code, name in UNITS.items()}


def dxf_bytes(section: Section, centre_lines: Sequence[CentreLine] = ()) -> bytes:
    """An R2010 file in the section's unit ($INSUNITS).

    Centre lines have layers and a line type of their own, by which `read_dxf` knows that they are
    no outline.
    """
    from ezdxf.filemanagement import new

    document = new("R2010", setup=["linetypes"])
    document.header["$INSUNITS"] = _CODES.get(section.unit, 0)
    document.header["$MEASUREMENT"] = 0 if section.unit in ("in", "ft") else 1
    space = document.modelspace()
    for colour, (name, region) in enumerate(named_regions(section)):
        layer = name or "0"
        if layer not in document.layers:
            document.layers.add(layer, color=1 + colour % 6)
        for contour in region.contours:
            space.add_lwpolyline(
                _rows(contour), format="xyb", close=True, dxfattribs={"layer": layer}
            )
    for slit in section.slits:
        layer = slit_layer(slit.name)
        if layer not in document.layers:
            document.layers.add(layer, color=8)
        rows = np.column_stack([np.asarray(slit.points), [*slit.bulges, 0.0]])
        space.add_lwpolyline(rows.tolist(), format="xyb", dxfattribs={"layer": layer})
    for line in centre_lines:
        if line.name not in document.layers:
            document.layers.add(line.name, color=5, linetype=LINE_TYPE)
        space.add_lwpolyline(line.points, dxfattribs={"layer": line.name})
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def _rows(contour: Contour) -> list[list[float]]:
    rows: list[list[float]] = np.column_stack([contour.points, contour.bulges]).tolist()
    return rows
