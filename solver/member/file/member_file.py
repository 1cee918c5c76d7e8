"""Member files: a member as TOML text.

::

    name = "edge tube"             # default: the file's name
    unit = "mm"                    # mm, cm, m, in or ft: the unit of every bare number
    axis_point = [0, 0]            # the point of the section that follows the spans' line
    # closed = true                # a ring: the last span ends where the first begins
    # slope = "1:12"               # the axis rises toward the end: spans count along the slope
    # crossfall = "2 %"            # the section's +x side falls

    [points]                       # names of places in the section
    "bracket tip" = [230, 60]
    "stone" = "left face, 60 mm below top"   # follows the section; see `face_words`

    [analysis]                     # all optional
    order = "first"                # or "second": loads at their height on the twisted member
    imperfection = "L/250"         # in second order, in the shape of the buckling mode: of the
                                   # longest span, "curve b" (EN 1993-1-1 table 5.1) or a length
    stations = 200                 # in figures and the stress envelope
    sections = "deform"            # or "keep their shape": the classical theory alone
    accuracy = 1e-5                # of the sections' torsion constants

    [[segment]]                    # not needed when the file defines one section only
    section = "deck"
    to = "end of span 1"           # from where the one before ends; default: to the end
    taper_to = "slender deck"      # optional; where the outlines match vertex by vertex,
    taper_parts = 4                # sections between them are solved too

    [welds]                        # optional: for the use of welds, and what they need
    strength = "208 MPa"           # design shear strength of the throat
    pitch = "200 mm"               # of intermittent welds, for the length of each

    [remedy]                       # what to try besides the standard remedies
    secondary_beam = { E = "210 GPa", I = "5790 cm^4", length = "4.5 m", far_end = "pinned" }

Each further table is described in the module that reads it: [section.NAME] and [material.NAME] in
`section_tables`, [[span]] and [[kink]] in `span_tables`, [[support]] in `support_tables`,
[[secondary_beam]], [[spring]] and [[deck]] in `restraint_tables`, [[diaphragm]] in
`diaphragm_tables`, [[load]] and [self_weight] in `load_tables`, [[temperature]], [[shrinkage]],
[[settlement]], [[tendon]] and [[wind]] in those of their names, [[mass]] in `mass_tables`,
[[combination]] and [[limit]] in `limit_tables`, [[code]] in `code_tables`, [[vehicle]], [[crowd]]
and [[lane]] in `moving_tables`, [[case]] and [[combination_set]] in `case_tables`, [[stage]] in
`stage_tables`, [[hinge]] in `hinge_tables`, [[joint]] in `named_joints`.
Sections that no segment uses are tried in place of the member's own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from os import PathLike
from pathlib import Path
from typing import Any, Literal

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.linked_numbers import linked
from ....geometry.units import Units
from ...accuracy import ACCURACY, check_width
from ..critical.imperfection import Imperfection
from ..model.folding import check_kinks
from ..model.load import Load
from ..model.member import Member, Restraint, Segment
from ..model.pitch import Pitch
from ..model.secondary_beam import SecondaryBeam
from ..model.solved_section import Solving, solved_section
from ..model.support import Support
from ..model.variable import check_combinations
from ..review.movement_limits import Limit
from ..review.stress_limit import StressLimit
from ..review.weld_flow import WeldDemand
from ..staged.stage import check_stages
from . import member_tables
from .bow import imperfection_of
from .code_tables import codes_of
from .diaphragm_tables import every_diaphragm
from .hinge_tables import hinges_of
from .imposed_tables import imposed_of
from .limit_tables import critical_limits_of, frequency_limits_of, limits_of
from .load_tables import loads_of, self_weight
from .mass_tables import masses_of
from .moving_actions import moving_actions
from .named_joints import NamedJoints
from .positions import Along, Points
from .request import MemberRequest
from .restraint_tables import (
    decks,
    secondaries,
    secondary_stiffness,
    secondary_template,
    springs,
)
from .section_tables import Sections
from .segment_tables import check_radii, segments_of
from .span_tables import axis_of
from .stage_tables import stages_of
from .support_tables import supports_of
from .tendon_tables import tendons_of, tried
from .wind_tables import winds_of

_KEEP = "keep their shape"
_STATIONS, _FEWEST, _MOST = 200, 20, 20_000

_Reader = Callable[[Entry, Along, Points, NamedJoints], list[Restraint]]
_RESTRAINTS: tuple[tuple[str, _Reader], ...] = (
    ("secondary_beam", secondaries),
    ("spring", springs),
    ("deck", decks),
)


def member_from_table(
    table: Mapping[str, Any],
    text: str,
    *,
    name: str = "member",
    folder: str | PathLike[str] = ".",
    output_unit: str | None = None,
    solving: Solving = solved_section,
) -> MemberRequest:
    """The member of a file's tables, whose values may differ from those in its text (which tells
    the order of a section's parts); `solving` says how its sections are solved."""
    table = linked(table, table.get("unit"))
    member_tables.check_tables(table)
    units = member_tables.units_of(table.get("unit"), output_unit)
    top = Entry("file", 0, {k: v for k, v in table.items() if k in member_tables.KEYS}, units)
    accuracy, stations, order, keep_shape, imperfection = _analysis(
        member_tables.single(table, "analysis", units)
    )
    axis, spans = axis_of(table, top.flag("closed"), units)
    pitch = Pitch(top.angle("slope", 0.0) or 0.0, top.angle("crossfall", 0.0) or 0.0)
    along = Along(spans, units, pitch)
    points = Points(table.get("points", {}), units)
    joints = NamedJoints.of(table, units)
    materials = table.get("material", {})
    sections = Sections(
        table.get("section"), materials, text, Path(folder), units, accuracy, solving
    )
    segments = segments_of(member_tables.entries(table, "segment", units), along, sections)
    line = top.point("axis_point", (0.0, 0.0))
    check_radii(axis, along, segments, line[0])
    check_kinks(axis, segments, line[0], along.shown)
    supports = _supports(table, along, points, joints)
    imposed = imposed_of(table, along, segments, supports)
    loads = _loads(table, along, points, segments)
    tendons = tuple(member_tables.every(table, "tendon", units, lambda e: tendons_of(e, along)))
    acting = moving_actions(table, units, points, (*loads, *imposed, *tendons), axis.length)
    member = Member(
        axis,
        segments,
        supports,
        _restraints(table, along, points, joints),
        (*loads, *acting.braking),
        acting.still,
        points.known,
        line,
        top.text("name", name),
        every_diaphragm(table, along, segments[0].section),
        tuple(member_tables.every(table, "mass", units, lambda e: masses_of(e, along, points))),
        tuple(member_tables.every(table, "hinge", units, lambda e: hinges_of(e, along, points))),
        imposed,
        tendons,
        pitch,
    )
    member = tried(member, staged="stage" in table)
    stages = check_stages(
        member_tables.every(table, "stage", units, stages_of), member, sections.names
    )
    check_combinations(acting.variable, member)
    names = [c.name for c in member.combined]
    names += [v.name for v in acting.variable if not v.solved and v.name not in names]
    limits: list[Limit | StressLimit] = member_tables.every(
        table,
        "limit",
        units,
        lambda e: (
            []
            if e.has("first_frequency") or e.has("critical_factor")
            else [limits_of(e, points, names, [s.name for s in stages])]
        ),
    )
    used = {s.name for segment in segments for s in (segment.section, segment.section_end) if s}
    used |= {name for stage in stages for name in stage.sections.values()}
    return MemberRequest(
        member,
        member_tables.shown_units(units, axis.length),
        {n: sections.solved(n) for n in sections.names if n in used} | sections.made,
        {n: sections.solved(n) for n in sections.names if n not in used},
        tuple(limits),
        _cure(member_tables.single(table, "remedy", units)),
        order,
        stations,
        keep_shape,
        tuple(member_tables.every(table, "code", units, lambda e: codes_of(e, names))),
        stages,
        _welds(table, units),
        frequencies=tuple(member_tables.every(table, "limit", units, frequency_limits_of)),
        critical=tuple(member_tables.every(table, "limit", units, critical_limits_of)),
        imperfection=imperfection,
        joints=joints.specs,
        vehicles=acting.vehicles,
        crowds=acting.crowds,
        variable=acting.variable,
    )


def _supports(
    table: Mapping[str, Any], along: Along, points: Points, joints: NamedJoints
) -> tuple[Support, ...]:
    return tuple(
        member_tables.every(
            table, "support", along.units, lambda e: supports_of(e, along, points, joints)
        )
    )


def _restraints(
    table: Mapping[str, Any], along: Along, points: Points, joints: NamedJoints
) -> tuple[Restraint, ...]:
    found: list[Restraint] = []
    for kind, read in _RESTRAINTS:
        for entry in member_tables.entries(table, kind, along.units):
            with naming(entry.label):
                found += read(entry, along, points, joints)
    return tuple(found)


def _loads(
    table: Mapping[str, Any], along: Along, points: Points, segments: tuple[Segment, ...]
) -> tuple[Load, ...]:
    found: list[Load] = []
    if "self_weight" in table:
        entry = member_tables.single(table, "self_weight", along.units)
        with naming(entry.label):
            found.append(self_weight(entry))
    found += member_tables.every(table, "load", along.units, lambda e: loads_of(e, along, points))
    found += member_tables.every(table, "wind", along.units, lambda e: winds_of(e, along, segments))
    return tuple(found)


def _analysis(
    entry: Entry,
) -> tuple[float, int, Literal["first", "second"], bool, Imperfection | None]:
    """Accuracy of the sections, number of stations, order, whether sections keep their shape, and
    the imperfection."""
    with naming(entry.label):
        accuracy = entry.plain("accuracy", ACCURACY) or 0.0
        stations = entry.plain("stations", _STATIONS) or 0.0
        order = entry.choice("order", ("first", "second"), "first")
        sections = entry.choice("sections", ("deform", _KEEP), "deform")
        imperfection = imperfection_of(entry, order)
        entry.close()
        if imperfection is not None and sections == _KEEP:
            raise InputError(
                "an imperfection in the shape of the mode needs sections that deform; take "
                f'sections = "{_KEEP}" out'
            )
        check_width(accuracy)
        if not _FEWEST <= stations <= _MOST or stations != int(stations):
            raise InputError(
                f"stations is a whole number from {_FEWEST} to {_MOST}, got {stations:g}"
            )
        second: Literal["first", "second"] = "second" if order == "second" else "first"
        return accuracy, int(stations), second, sections == _KEEP, imperfection


def _welds(table: Mapping[str, Any], units: Units) -> WeldDemand | None:
    if "welds" not in table:
        return None
    entry = member_tables.single(table, "welds", units)
    with naming(entry.label):
        entry.need("strength", '"208 MPa"')
        strength = entry.quantity("strength", "stress") or 0.0
        pitch = entry.length("pitch")
        entry.close()
        return WeldDemand(strength, pitch)


def _cure(entry: Entry) -> SecondaryBeam | float | None:
    """The secondary beam to be tried as a remedy; its stiffness alone where it takes no load."""
    with naming(entry.label):
        if not entry.has("secondary_beam"):
            entry.close()
            return None
        value = entry.table["secondary_beam"]
        if not isinstance(value, Mapping):
            raise InputError(
                'secondary_beam is a table like { E = "210 GPa", I = ..., length = ... }'
            )
        entry.close()
        inner = Entry("secondary_beam", 0, value, entry.units)
        with naming("secondary_beam"):
            found = secondary_template(inner) or secondary_stiffness(inner)
            inner.close()
            return found
