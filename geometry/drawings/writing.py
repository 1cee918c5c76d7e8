"""The way out: a section's outlines as a drawing, exact for lines and arcs."""

from __future__ import annotations

from ..errors import InputError
from ..section import Section

KINDS = ("dxf", "svg")


def write_drawing(section: Section, kind: str) -> bytes:
    """The section's contours and slits as the bytes of a DXF or SVG file.

    Each region has a layer (DXF) or group (SVG) of its own, named after the region, else after its
    material; slits lie on layers that begin with "slit". `read_drawing` gives back the same
    vertices and bulges, the unit and the names of regions, not their materials.

    Parameters
    ----------
    section : Section
    kind : str
        "dxf" or "svg", with or without a leading point.

    Raises
    ------
    InputError
        For any other kind.
    """
    word = kind.lower().lstrip(".")
    if word == "dxf":
        from .dxf_writer import dxf_bytes

        return dxf_bytes(section)
    if word == "svg":
        from .svg_writer import svg_bytes

        return svg_bytes(section)
    raise InputError(f"sections are drawn as {' or '.join(KINDS)}, not {kind!r}")
