"""The ``[[drawing]]`` entry of a section file: a drawing's layers as parts with materials."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from ..errors import InputError
from ..material import Material
from ..outline.placement import Placement
from ..section import Section
from .entry import Entry
from .material_tables import Materials


def drawing(entry: Entry, material: Material, materials: Materials, folder: Path | None) -> Section:
    """Read the drawing an entry names, beside the section file.

    Keys: `file`; `unit` of a drawing that states none; `gap` and `deviation` in the drawing's own
    unit; `arcs_within`, a length, to recognise runs of chords as arcs; `layers` (the only ones
    read); `materials`, a table from layer to material; `profile` of an IFC file. Layers without an
    entry there have the material of the drawing's own `material` key.
    """
    from ..drawings import read_drawing

    file = entry.text("file") or entry.need("file", '"deck.dxf"')
    unit = entry.text("unit") or None
    gap, deviation = entry.plain("gap"), entry.plain("deviation")
    layers = _texts(entry, "layers")
    named = entry.table["materials"] if entry.has("materials") else {}
    profile = entry.text("profile") or None
    within = entry.length("arcs_within")
    entry.close()
    if folder is None:
        raise InputError("a drawing needs a section file in a folder beside it to be found from")
    if not isinstance(named, Mapping):
        raise InputError('materials is a table from layer to material: {deck = "concrete"}')
    by_layer = {layer: materials.named(_word(value, layer)) for layer, value in named.items()}
    section = read_drawing(
        folder / file, unit, gap, deviation, layers=layers, materials=by_layer, profile=profile
    )
    factor = entry.units.read(1, "length", bare=section.unit)
    placed = section if factor == 1 else section.placed(Placement.scale(factor))
    regions = tuple(
        r if r.material.specified else replace(r, material=material) for r in placed.regions
    )
    section = replace(placed, regions=regions, unit=entry.units.length)
    if within is None:
        return section
    from ..outline.polygons import with_arcs

    return with_arcs(section, within)


def _texts(entry: Entry, key: str) -> list[str] | None:
    if not entry.has(key):
        return None
    value = entry.table[key]
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise InputError(f'{key} is a list of names, like {key} = ["deck", "girder"]')
    return value


def _word(value: object, layer: str) -> str:
    if not isinstance(value, str):
        raise InputError(f"materials: {layer} must name a material, got {str(value)[:40]!r}")
    return value
