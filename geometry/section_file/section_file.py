"""Section files: a cross-section as TOML text.

::

    name = "landing deck"          # default: the file's name
    unit = "mm"                    # mm, cm, m, in or ft: the unit of every bare number

    [material.steel]               # one table a material; every value with its unit
    E = "210 GPa"
    nu = 0.3                       # or G = "81 GPa", or both
    density = "7850 kg/m^3"        # optional, as strength and source
    strength = "355 MPa"

    [[shape]]                      # a parametric profile of ISO 16739 (IFC), centred on its box
    profile = "I"                  # or UShape, IfcRectangleHollowProfileDef, ...
    OverallWidth = 150             # the standard's attributes, in `unit` or with their own: "6 in"
    OverallDepth = 300
    WebThickness = 7.1
    FlangeThickness = 10.7
    FilletRadius = 15

    [[shape]]                      # a rolled shape by its designation
    shape = "W10X49"

    [[outline]]                    # any outline: [x, y] or [x, y, bulge], closed by itself
    points = [[0, 0], [100, 0, 1], [100, 50], [0, 50]]
    holes = [[[20, 20], [40, 20], [40, 40]]]
    arcs_within = 0.01             # optional: recognise runs of chords as arcs

    [[drawing]]                    # a drawing beside this file: DXF, SVG, GeoJSON, WKT, IFC
    file = "deck.dxf"              # unit = "m" where it states none; gap, deviation in it
    # arcs_within = 0.01, as for an outline
    materials = {deck = "C30/37", girder = "steel"}    # by layer; layers = [...] picks some

    [[plate]]                      # a plate by the line it follows; ends are shaped to each other
    name = "flange"
    points = [[-50, 120], [50, 120]]
    thickness = 10                 # [10, 6] tapers; bend_radius = 5 rounds its own corners
    # line = "left" when the points lie on that face; closed = true for a ring; corner = "mitre"

    [[plate]]
    name = "web"
    points = [[0, 120], [0, 0]]
    thickness = 8

    [[weld]]                       # plates that only touch are not joined; this joins them
    name = "neck"
    between = ["flange", "web"]
    leg = 5                        # [5, 7]: on the first and on the second plate
    # kind = "full", or "partial" with depth = 4; near = [4, 115] welds that side only;
    # length = 40 and pitch = 120 for an intermittent weld

A bulge belongs to the edge from its vertex to the next: the tangent of a quarter of the arc's
included angle, positive anticlockwise. Slopes are degrees, texts ("8.1 deg") or ratios ("1:6").

A material may state its `thermal_expansion = "1.2e-5 1/K"`, for members that warm and cool. It may
start from a generic grade (`grade = "C30/37"`, see `materials`) and soften by creep
(`creep_factor = 2.0`); in place of E it may give `modular_ratio = 7` and `of = "steel"`, a material
defined above it or a grade; an entry may also name a grade directly (`material = "S355"`).

Any value may follow from others, ``"= wall/2 + 10 mm"``, by names of a [quantity] table (see
`linked_numbers`).

Every entry may have `name` and `material` (left out: the only one defined). All plates and welds of
a file make one part, joined by welds alone; it stands where the first of them does, so that welds
may name what comes before it, and what comes after is added to it. Shapes and outlines may have the
placement keys `mirror` ("x" or "y": in that axis), `rotate` (degrees, anticlockwise) and `move`
([x, y]), applied in this order about the entry's own origin, and `combine`: "add" (default: merged
with what is there of the same material, bonded to another), "cut" (removed from everything before
it) or "embed" (takes the place of what it covers). Entries work in the order in which they stand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any

from ..errors import FileFormatError, InputError
from ..input_file import name_of
from ..material import Material
from ..plates.free_joints import with_free_joints
from ..plates.plate_tables import PLATED, PlateGroup, plate_group
from ..section import Section
from ..units import Units
from .doubts import doubts
from .drawing_entry import drawing
from .entry import Entry, naming
from .entry_list import entries_of, units_of
from .kinds import SECTION, refuse_other_kinds
from .linked_numbers import linked
from .material_tables import Materials
from .part_entries import HANDLERS
from .text import parsed, read_text


def load_section(
    path: str | PathLike[str], unit: str | None = None, arcs_within: str | None = None, *,
    gap: str | None = None, layers: Sequence[str] | None = None, profile: str | None = None,
) -> Section:  # fmt: skip
    """The section in a file: a section file (.toml) or a drawing (.wkt, .dxf, .svg, ...).

    Parameters
    ----------
    path : path
    unit : str, optional
        Length unit of a drawing that names none; a section file names its own.
    arcs_within : str, optional
        Recognise a drawing's runs of chords as arcs within this length, like "0.5 mm" (see
        `arc_runs`); a section file says so itself.
    gap, layers, profile
        As in `read_drawing`.

    Raises
    ------
    FileFormatError
        If the file cannot be read as what its suffix says.
    UnitError
        If the length unit is missing, or a quantity lacks one.
    InputError
        For any other mistake, with the entry and the key. Every message starts with the path.
    """
    file = Path(path)
    with naming(str(path)):
        if file.suffix.lower() == ".toml":
            if arcs_within is not None:
                raise InputError(
                    "only a drawing's chords can be recognised as arcs from outside; a section "
                    'file asks for it itself: arcs_within = "0.5 mm" in an outline or drawing'
                )
            if gap or layers or profile:
                raise InputError(
                    "gap, layers and profile are asked of a drawing; a section file says them "
                    'itself, in its [[drawing]]: gap = 0.5, layers = ["deck"], profile = "P1"'
                )
            text = read_text(file)
            return section_from_table(parsed(text), text, name_of(file), unit, file.parent)
        from ..drawings import SUFFIXES, read_drawing

        if file.suffix.lower() not in SUFFIXES:
            known = ", ".join([".toml", *SUFFIXES])
            raise FileFormatError(f"the suffix {file.suffix[:20]!r} is not known; use {known}")
        section = read_drawing(path, unit, gap, layers=layers, profile=profile)
        if arcs_within is None:
            return section
        from ..outline.polygons import with_arcs

        with naming("arcs within"):
            return with_arcs(section, Units(section.unit).read(arcs_within, "length"))


def section_from_toml(text: str, *, name: str = "section", unit: str | None = None) -> Section:
    '''The section that the text of a section file describes.

    Examples
    --------
    >>> section_from_toml("""
    ... unit = "mm"
    ... [[shape]]
    ... profile = "Rectangle"
    ... XDim = 200
    ... YDim = "4 in"
    ... """).bounds()
    (-100.0, -50.8, 100.0, 50.8)
    '''
    return section_from_table(parsed(text), text, name=name, unit=unit)


def section_from_table(
    table: Mapping[str, Any],
    text: str,
    name: str = "section",
    unit: str | None = None,
    folder: Path | None = None,
) -> Section:
    """The section of a file's tables, whose values may differ from those in its text.

    Parameters
    ----------
    table : mapping
        As `text.parsed` gives it, with the same entries as the text.
    text : str
        The file's text: TOML's tables alone do not tell in which order entries of two kinds stand.
    folder : path, optional
        Of drawings.
    """
    refuse_other_kinds(table, SECTION)
    table = linked(table, table.get("unit", unit))
    units = units_of(table.get("unit"), unit)
    name = Entry("file", 0, table, units).text("name", name)
    materials = Materials(table.get("material", {}), units)
    entries = entries_of(table, text, units)
    plated = [entry for entry in entries if entry.kind in PLATED]
    entries = [entry for entry in entries if entry.kind not in PLATED or entry is plated[0]]
    parts: list[tuple[str, Section | PlateGroup]] = []
    for entry in entries:
        if entry.kind in PLATED:
            parts.append(("weld", plate_group(plated, materials.of)))
            continue
        with naming(entry.label):
            parts.append(part_of(entry, materials, folder))
    section = _combined(entries, parts)
    notes = section.notes + doubts((r.material for r in section.regions), units)
    return replace(section, name=name, unit=units.length, notes=notes)


def part_of(entry: Entry, materials: Materials, folder: Path | None) -> tuple[str, Section]:
    """How an entry combines, and its section in place."""
    combine = entry.choice("combine", ("add", "cut", "embed"), "add")
    material = Material() if combine == "cut" and not entry.has("material") else materials.of(entry)
    entry.text("name")
    placement = entry.placement()
    if entry.kind == "drawing":
        return combine, drawing(entry, material, materials, folder).placed(placement)
    return combine, HANDLERS[entry.kind](entry, material).placed(placement)


def _combined(entries: list[Entry], parts: list[tuple[str, Section | PlateGroup]]) -> Section:
    """The parts put together in order."""
    combine, first = parts[0]
    whole = first.joined_to(()) if isinstance(first, PlateGroup) else first
    with naming(entries[0].label):
        if combine == "cut":
            raise InputError('combine = "cut" has nothing before it to cut from; put it later')
    if len(parts) == 1:
        return whole
    from ..checks.validate import check_alone
    from . import combining

    for entry, (_, part) in zip(entries, parts, strict=True):
        with naming(entry.label):  # only valid parts have an inside to combine
            for region in () if isinstance(part, PlateGroup) else part.regions:
                check_alone(region, part.unit)
    for entry, (combine, part) in zip(entries[1:], parts[1:], strict=True):
        if isinstance(part, PlateGroup):
            plated = part.joined_to(whole.regions)
            whole = replace(plated, notes=whole.notes + plated.notes, deviation=whole.deviation)
            continue
        with naming(entry.label):
            regions = getattr(combining, combine)(whole.regions, part.regions)
        added = combine != "cut"
        whole = Section(
            tuple(regions),
            slits=whole.slits + part.slits * added,
            notes=whole.notes + part.notes,
            joints=whole.joints + part.joints * added,
            deviation=max(whole.deviation, part.deviation),
        )
    return with_free_joints(whole)
