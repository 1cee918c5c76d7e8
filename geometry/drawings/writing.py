"""The way out: a section's outlines as a drawing, exact for lines and arcs."""

from __future__ import annotations

from collections.abc import Iterator

from ..errors import InputError
from ..section import Region, Section
from .layers import is_slit

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


def named_regions(section: Section) -> Iterator[tuple[str, Region]]:
    """Regions with a layer name each that no other region has.

    Two regions on one layer would be read back as outline and hole where one lies inside the other.
    """
    used = {"0", ""}
    for number, region in enumerate(section.regions, 1):
        material = region.material.name if region.material.specified else ""
        stem = layer_name(
            region.name or material or (f"part {number}" if len(section.regions) > 1 else "")
        )
        name, k = stem, 2
        while name.casefold() in used and (name or len(section.regions) > 1):
            name, k = f"{stem} {k}".strip(), k + 1
        used.add(name.casefold())
        yield name, region


def slit_layer(name: str) -> str:
    """The layer of a slit: its name, led by the word that marks slits."""
    clean = layer_name(name)
    return clean if is_slit(clean) else f"slit {clean}".strip()


def layer_name(text: str) -> str:
    """A name without the characters that layers cannot have."""
    kept = "".join("-" if c in '<>/\\":;?*|=`,' or not c.isprintable() else c for c in text)
    return " ".join(kept.split())[:200]
