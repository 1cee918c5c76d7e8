"""`load`: a section, member, study or joints from whatever describes them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.section import Section

if TYPE_CHECKING:
    from .building import SectionBuilder
    from .solver.joint.joint_file import JointFile
    from .solver.member.file.request import MemberRequest
    from .solver.study.run.sweep import Study

    Loaded = Section | MemberRequest | JointFile | Study
    Source = str | os.PathLike[str] | Loaded | SectionBuilder


def load(
    source: Source | Any,
    *,
    unit: str | None = None,
    name: str | None = None,
    material: str | None = None,
    arcs_within: str | float | None = None,
    gap: str | None = None,
    layers: Sequence[str] | None = None,
    profile: str | None = None,
) -> Loaded:
    """Read what is to be solved.

    Parameters
    ----------
    source : path, str, shapely polygon, SectionBuilder, or what `load` returned
        A section, member, study or joint file (.toml), a drawing (.dxf, .svg, .geojson, .wkt,
        .ifc), the designation of a rolled shape ("W10X49"), the text of a file, or a shapely
        Polygon or MultiPolygon.
    unit : str, optional
        Length unit of a polygon, or of a drawing that names none: "mm", "cm", "m", "in" or "ft";
        "" for a polygon in any consistent unit.
    name : str, optional
        Of a polygon or rolled shape.
    material : str, optional
        Generic grade ("S355") for a section's parts that name no material.
    arcs_within : str or float, optional
        Recognise runs of chords of a drawing or polygon as arcs within this length ("0.5 mm", or a
        number in `unit`).
    gap, layers, profile
        Of drawings, as in `read_drawing`.

    Returns
    -------
    Section, MemberRequest, Study or JointFile
        By what the file holds. A member comes with its sections solved.

    Raises
    ------
    InputError
        For whatever is wrong in the source; one line that says what, where and what to do.
    SolveError
        For a member's section that cannot be solved.

    Examples
    --------
    >>> load("W10X49", material="S355")
    Section('W10X49', 10 x 10 in, area 14.4338 in^2, 1 region of S355)
    >>> import shapely
    >>> load(shapely.box(0, 0, 20, 50), unit="mm", name="flat")
    Section('flat', 20 x 50 mm, area 1000 mm^2, 1 region of unspecified)
    """
    if hasattr(source, "geom_type"):
        found: Loaded = _polygon(source, unit, name or "polygon", arcs_within)
    elif isinstance(source, (str, os.PathLike)):
        within = None if arcs_within is None else _text(arcs_within, unit)
        found = _worded(source, unit, within, gap=gap, layers=layers, profile=profile)
    elif hasattr(source, "section") and callable(source.section):
        found = source.section()
    else:
        found = _known(source)
    if isinstance(found, Section):
        from dataclasses import replace

        from .geometry.grades import with_material

        found = with_material(found if name is None else replace(found, name=name), material)
    elif material is not None:
        raise InputError("material is for sections; other files name their materials themselves")
    return found


def _polygon(polygon: Any, unit: str | None, name: str, arcs_within: str | float | None) -> Section:
    from .geometry.outline.polygons import section_from_polygon
    from .geometry.units import Units

    if unit is None:
        raise InputError(
            'a polygon has no unit; give unit="mm" (or unit="" for any consistent one)'
        )
    if isinstance(arcs_within, str):
        arcs_within = Units(unit).read(arcs_within, "length", what="arcs_within")
    return section_from_polygon(polygon, unit=unit, name=name, arcs_within=arcs_within)


def _worded(
    source: str | os.PathLike[str], unit: str | None, arcs_within: str | None, **drawing: Any
) -> Loaded:
    """From a path, a designation, or the text of a file."""
    from .geometry.section_file.kinds import kind_of
    from .geometry.section_file.named_section import named_section, names_file
    from .geometry.section_file.section_file import section_from_toml
    from .geometry.section_file.text import parsed, read_text

    if isinstance(source, str) and "\n" in source:
        return _from_text(source, kind_of(parsed(source)), unit, section_from_toml)
    word = os.fspath(source)
    kind = "section"
    if Path(word).suffix.lower() == ".toml" and Path(word).is_file():
        from .geometry.section_file.entry import naming

        with naming(word):
            kind = kind_of(parsed(read_text(Path(word))))
    if kind == "member":
        from .solver.member.file import load_member

        return load_member(word)
    if kind == "study":
        from .solver.study.file.study_file import load_study

        return load_study(word)
    if kind == "joints":
        from .solver.joint.joint_file import load_joints

        return load_joints(word)
    if names_file(word):
        return named_section(word, unit, arcs_within, **drawing)
    if unit is not None:  # a polygon's and a drawing's; a rolled shape has its own
        raise InputError(f"{word} is a rolled shape with a unit of its own; leave unit out")
    return named_section(word, None, arcs_within, **drawing)


def _from_text(text: str, kind: str, unit: str | None, section: Any) -> Loaded:
    if kind == "member":
        from .solver.member.file import member_from_toml

        return member_from_toml(text)
    if kind == "joints":
        from .solver.joint.joint_file import joints_from_toml

        return joints_from_toml(text)
    if kind == "study":
        raise InputError(
            "a study names other files beside it; write it to a file and give its path"
        )
    found: Section = section(text, unit=unit)
    return found


def _known(source: Any) -> Loaded:
    """What is loaded already."""
    from .solver.joint.joint_file import JointFile
    from .solver.member.file.request import MemberRequest
    from .solver.study.run.sweep import Study

    if isinstance(source, (Section, MemberRequest, Study, JointFile)):
        return source
    raise InputError(
        f"nothing can be loaded from {source!r:.60}; give a path, a designation like 'W10X49', the "
        "text of a file, a shapely polygon, or what load returned"
    )


def _text(arcs_within: str | float, unit: str | None) -> str:
    return arcs_within if isinstance(arcs_within, str) else f"{arcs_within} {unit or ''}".strip()
