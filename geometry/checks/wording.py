"""Faults in words: what, which part, where, and what to do."""

from __future__ import annotations

from ..place_words import place
from ..section import Section
from .fault import Fault, Kind
from .naming import contour_name, region_name, slit_name

#: Sentences by kind: contours c, regions r, slits s by their names; places p with the unit and q
#: without; counts n; the length d; the direction that the first contour's vertices are counted in.
_SENTENCES = {
    Kind.SIZE: "the section measures {d} across, from {p[0]}; check the coordinates and the unit",
    Kind.SLIT_NOT_FINITE: "{s[0]} holds a number that is not finite; give real coordinates",
    Kind.SLIT_POINT_TWICE: (
        "{s[0]}: point {n[0]} repeats point {n[1]} at {p[0]}; remove one of them"
    ),
    Kind.VERTEX_TWICE: (
        "{c[0]}: vertex {n[0]} (counted {direction}) repeats vertex {n[1]} at {p[0]}; "
        "remove one of them (a contour closes by itself)"
    ),
    Kind.CROSSES_ITSELF: (
        "{c[0]} crosses itself near {p[0]}, where the edge from {q[1]} to {p[2]} meets "
        "the edge from {q[3]} to {p[4]}; let it run around the material once"
    ),
    Kind.FOLDS_BACK: (
        "{c[0]} folds back on itself between {p[0]} and {p[1]}: zero thickness; "
        "remove the spike or give it a width"
    ),
    Kind.TOUCHES_ITSELF: (
        "{c[0]} touches itself near {p[0]}, where the edge from {q[1]} to {p[2]} meets "
        "the edge from {q[3]} to {p[4]}: parts that touch only in a point are not joined; "
        "widen or part them there"
    ),
    Kind.HOLE_CROSSES_OUTLINE: "{c[0]} crosses {c[1]} near {p[0]}; move it inside or merge it",
    Kind.HOLE_ALONG_OUTLINE: (
        "{c[0]} runs along {c[1]} between {p[0]} and {p[1]}: no wall is left; "
        "move it inside or merge it"
    ),
    Kind.HOLE_TOUCHES_OUTLINE: (
        "{c[0]} touches {c[1]} near {p[0]}: no wall is left; move it inside or merge it"
    ),
    Kind.HOLE_COVERS_OUTLINE: "{c[0]} covers {c[1]}, near {p[0]}; move it inside or remove it",
    Kind.HOLE_OUTSIDE: "{c[0]} lies outside {c[1]}, near {p[0]}; move it inside or remove it",
    Kind.HOLES_CROSS: "{c[0]} crosses {c[1]} near {p[0]}; merge them or move one of them",
    Kind.HOLES_OVERLAP: "{c[0]} overlaps {c[1]} near {p[0]}; merge them or move one of them",
    Kind.HOLES_ALONG: (
        "{c[0]} runs along {c[1]} between {p[0]} and {p[1]}: no wall is left; "
        "merge them or move one of them"
    ),
    Kind.HOLES_TOUCH: (
        "{c[0]} touches {c[1]} near {p[0]}: no wall is left; merge them or move one of them"
    ),
    Kind.HOLE_IN_HOLE: (
        "{c[0]} lies inside {c[1]}, near {p[0]}; remove one of them, "
        "or make what lies between them a region of its own"
    ),
    Kind.REGIONS_CROSS: (
        "{r[0]} overlaps {r[1]}: their borders cross near {p[0]}; "
        "move one of them or cut it out of the other"
    ),
    Kind.REGIONS_OVERLAP: (
        "{r[0]} overlaps {r[1]} near {p[0]}; move one of them or cut it out of the other"
    ),
    Kind.REGIONS_TOUCH: (
        "{all} touch only in a point at {p[0]}; "
        "let them share a border of some length there or move them apart"
    ),
    Kind.GAP: (
        "{r[0]} is not joined to the rest of the section: a gap of about {d} at {p[0]}; "
        "let them share a border or solve them as sections of their own"
    ),
    Kind.SLIT_OUTSIDE: (
        "{s[0]} leaves the material near {p[0]}; let it run inside a region or along a border"
    ),
    Kind.SLIT_PARTS_NOTHING: (
        "{s[0]} runs along a free border from {p[0]} and parts nothing; remove it"
    ),
    Kind.SLIT_CUTS_APART: (
        "{s[0]} cuts the section apart, near {p[0]}: the two sides are joined nowhere else; "
        "weld them, shorten the slit or solve the parts as sections of their own"
    ),
}


def sentence(section: Section, fault: Fault) -> str:
    """The fault in one line."""
    regions = [region_name(section, region) for region in fault.regions]
    inner = bool(fault.contours) and fault.contours[0][1] > 0
    return _SENTENCES[fault.kind].format(
        c=[contour_name(section, *contour) for contour in fault.contours],
        r=regions,
        all=" and ".join(regions),
        s=[slit_name(section, slit) for slit in fault.slits],
        p=[place(point, section.unit) for point in fault.places],
        q=[place(point, "") for point in fault.places],
        n=fault.counts,
        d=f"{fault.length:.3g} {section.unit}".rstrip(),
        # Contours are stored in this direction whichever way they were given.
        direction="clockwise" if inner else "anticlockwise",
    )
