"""The way in: a drawing file of any known kind becomes a section."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path

from ..errors import FileFormatError
from ..input_file import name_of
from ..material import Material
from ..section import Section
from ..units import Units
from .assembly import assemble
from .bounds import MAX_BYTES, MAX_MODEL_BYTES, guarded, read_bytes
from .stroke import Sheet

Reader = Callable[[bytes, "str | None"], Sheet]

#: What can be read, by suffix.
SUFFIXES = {
    ".dxf": "DXF",
    ".svg": "SVG",
    ".geojson": "GeoJSON",
    ".json": "GeoJSON",
    ".wkt": "WKT",
    ".ifc": "IFC",
}


def read_drawing(
    path: str | PathLike[str],
    unit: str | None = None,
    gap: float | str | None = None,
    deviation: float | None = None,
    *,
    layers: Sequence[str] | None = None,
    materials: Mapping[str, Material] | None = None,
    profile: str | None = None,
) -> Section:
    """A section from a drawing: DXF, SVG, GeoJSON, WKT or an IFC profile, by the file's suffix.

    Lines and circular arcs are kept exact; other curves are followed by arcs within `deviation`.
    What was closed, fitted or left out stands in the section's notes.

    Parameters
    ----------
    path : path
    unit : str, optional
        Length unit of the coordinates ("mm", "cm", "m", "in", "ft"); left out: the one the file
        declares.
    gap : float or str, optional
        Open ends at most this far apart are joined, in the drawing's unit or like "0.5 mm"; 1e-4 of
        the drawing's diagonal unless given.
    deviation : float, optional
        Largest distance of a curve from its arcs; 1e-6 of the diagonal unless given.
    layers : sequence of str, optional
        The only layers to read (DXF layers, SVG groups, GeoJSON feature names).
    materials : mapping of str to Material, optional
        Material of each layer.
    profile : str, optional
        Name of the profile to read from an IFC file that holds several.

    Raises
    ------
    FileFormatError
        If the file is damaged, too large or holds what cannot be read.
    UnitError
        If nobody names the unit.
    GeometryError
        If the outlines stay open, branch, cross or enclose nothing; the message says where.

    Examples
    --------
    >>> read_drawing("deck.dxf", gap=0.05).notes  # doctest: +SKIP
    ('drawing: 1 gap closed, within 0.05 mm: 0.01 at (100.0, 50.0)',)
    """
    with guarded(_kind(path)):
        sheet = read_sheet(path, unit, profile)
        if isinstance(gap, str):
            gap = Units(sheet.unit).read(_number(gap), "length", what="gap", bare=sheet.unit)
        return assemble(sheet, gap, deviation, layers=layers, materials=materials)


def _number(text: str) -> float | str:
    """A number without a unit as one; any other text as it is."""
    try:
        return float(text)
    except ValueError:
        return text


def read_sheet(
    path: str | PathLike[str], unit: str | None = None, profile: str | None = None
) -> Sheet:
    """The strokes of a drawing as its file gives them, before contours are made of them.

    Raises
    ------
    FileFormatError, UnitError
        As `read_drawing`.
    """
    kind = _kind(path)
    data = read_bytes(path, MAX_MODEL_BYTES if kind == "IFC" else MAX_BYTES)
    with guarded(kind):
        return replace(_reader(kind, profile)(data, unit), name=name_of(path))


def _kind(path: str | PathLike[str]) -> str:
    """What the file's suffix says it is."""
    file = Path(path)
    kind = SUFFIXES.get(file.suffix.lower())
    if kind is None:
        raise FileFormatError(
            f"{file.name!r} has no suffix of a known drawing; use one of {', '.join(SUFFIXES)}"
        )
    return kind


def _reader(kind: str, profile: str | None) -> Reader:
    """The reader of a kind, imported only now: most need a library that takes a while to load."""
    if kind == "DXF":
        from .dxf import read_dxf

        return read_dxf
    if kind == "SVG":
        from .svg import read_svg

        return read_svg
    if kind == "GeoJSON":
        from .geojson import read_geojson

        return read_geojson
    if kind == "WKT":
        from .wkt import read_wkt

        return read_wkt
    from .ifc import read_ifc

    return lambda data, unit: read_ifc(data, unit, profile)
