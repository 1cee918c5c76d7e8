"""What a member file may say."""

from __future__ import annotations

from .acting_keys import ACTING
from .description import FileKind, Key, Table
from .holding_keys import HOLDING
from .judging_keys import JUDGING
from .section_keys import MATERIAL, QUANTITY, UNIT

_TOP = Table(
    "",
    "top",
    "of the whole file",
    (
        Key("name", "text", "of the member", "the file's name", '"edge tube"'),
        UNIT,
        Key("axis_point", "point", "the point of the section that follows the spans' line",
            "[0, 0]", "[0, -300]"),
        Key("slope", "angle", "the axis rises toward the end: spans count along the slope", "0",
            '"1:12"'),
        Key("crossfall", "angle", "the section's +x side falls", "0", '"2 %"'),
        Key("closed", "true or false", "a ring: the last span ends where the first begins",
            "false"),
    ),
)  # fmt: skip
_POINTS = Table(
    "points",
    "single",
    'names of places in the section: [x, y], or a face in words, "left face, 60 mm below top"',
    free="names of your own",
)
_ANALYSIS = Table(
    "analysis",
    "single",
    "how it is solved",
    (
        Key("order", "choice", "second: equilibrium on the moved member, loads at their height",
            "first", choices=("first", "second")),
        Key("imperfection", "text", "in second order, as the member buckles as a whole: a share "
            'of the longest span, a buckling curve of EN 1993-1-1 ("curve b") or a length',
            "none", '"L/250"'),
        Key("stations", "number", "places along the member in figures and envelopes", "200"),
        Key("sections", "choice", "whether sections deform, or the classical theory stands alone",
            "deform", choices=("deform", "keep their shape")),
        Key("accuracy", "number", "relative width of the sections' intervals for J", "1e-5"),
    ),
)  # fmt: skip
_SECTION = Table(
    "section",
    "named",
    "a section: a file, a rolled shape, the parts of a section file, or its figures; one that no "
    "segment uses is tried in place of the member's own",
    (
        Key("file", "text", "a section file or drawing, from this file's folder",
            example='"landing-deck.toml"'),
        Key("shape", "anything", "a rolled shape, or as in section files", example='"W10X49"'),
        Key("material", "text", "for parts that name none", example='"S355"'),
        Key("unit", "text", "of a drawing that states none", example='"mm"'),
        Key("arcs_within", "text", "take a drawing's runs of chords for arcs", example='"0.5 mm"'),
        Key("creep", "table", "factors that soften materials under loads that stay",
            example='{ "C30/37" = 2.0 }'),
        Key("torsion_factor", "number", "share of its torsional stiffness that stays when cracked",
            "1", "0.3"),
        Key("mirror", "choice", "mirrored in that axis", choices=("x", "y")),
        Key("rotate", "angle", "turned anticlockwise", "0", "30"),
        Key("move", "point", "moved", "[0, 0]", "[120, -40]"),
        *(Key(name, holds, words) for name, holds, words in (
            ("E", "stress", "modulus of elasticity, where figures alone are known"),
            ("G", "stress", "shear modulus"),
            ("A", "area", "area"),
            ("I_x", "second moment", "second moment about x"),
            ("I_y", "second moment", "second moment about y"),
            ("I_xy", "second moment", "product of inertia"),
            ("J", "second moment", "torsion constant"),
            ("C_w", "warping constant", "warping constant"),
            ("A_vx", "area", "shear area for V_x"),
            ("A_vy", "area", "shear area for V_y"),
            ("beta_x", "length", "monosymmetry parameter for M_x"),
            ("beta_y", "length", "monosymmetry parameter for M_y"),
            ("mass", "mass per length", "mass of its length"),
            ("width", "length", "greatest width, for limits that ask for it"),
            ("centroid", "point", "centroid"),
            ("shear_centre", "point", "shear centre"),
        )),
    ),
    free="the tables of a section file, like [[section.NAME.shape]]",
)  # fmt: skip
_ALONG = (
    Table(
        "span",
        "list",
        "a span, from support to support, and its line in plan",
        (
            Key("length", "length", "along the axis", example='"30 m"'),
            Key("radius", "length", "of an arc in plan; its centre on the +x side, - on the other",
                "straight", '"60 m"'),
            Key("radius_start", "length", "of a clothoid, its curvature linear: where it begins",
                "straight", '"40 m"'),
            Key("radius_end", "length", "of a clothoid, where it ends", "straight", '"90 m"'),
            Key("plan", "list", "pieces of which it is made, in place of length and radius",
                example='[{ straight = "6 m" }, { arc = "9 m", radius = "-40 m" }]'),
            Key("name", "text", "of the span"),
        ),
    ),
    Table(
        "piece",
        "inner",
        "a piece of a span's plan",
        (
            Key("straight", "length", "length of a straight piece", example='"6 m"'),
            Key("arc", "length", "length of an arc", example='"9 m"'),
            Key("transition", "length", "length of a clothoid", example='"12 m"'),
            Key("radius", "length", "of the arc, with its sign", example='"-40 m"'),
            Key("radius_start", "length", "of the clothoid, where it begins", "straight"),
            Key("radius_end", "length", "of the clothoid, where it ends", "straight", '"40 m"'),
        ),
    ),
    Table(
        "kink",
        "list",
        "where the line turns in plan; both pieces end in the plane that bisects the angle",
        (
            Key("at", "positions", "where", needed=True, example='"end of span 1"'),
            Key("angle", "angle", "positive toward +x, as a positive radius turns", needed=True,
                example='"12 deg"'),
            Key("warping", "choice", "whether flanges run through, end free, or at a plate",
                "continuous", choices=("continuous", "free", "held")),
            Key("span", "number", "the position counts from the start of this span"),
        ),
    ),
    Table(
        "segment",
        "list",
        "which section the member has from where the segment before ends",
        (
            Key("section", "text", "by its name", needed=True, example='"deck"'),
            Key("from", "position", "where it begins", "where the one before ends", '"4 m"'),
            Key("to", "position", "where it ends", "end", '"end of span 1"'),
            Key("taper_to", "text", "the section at its end, where it tapers", example='"slender"'),
            Key("taper_parts", "number", "sections solved between, for the classical theory", "8"),
            Key("name", "text", "of the segment"),
        ),
    ),
)  # fmt: skip
FILE = FileKind(
    "member",
    "soapfilm member",
    "a member: spans, sections, supports, loads and limits",
    (
        _TOP, QUANTITY, _POINTS, _ANALYSIS, MATERIAL, _SECTION, *_ALONG, *HOLDING, *ACTING,
        *JUDGING,
    ),
)  # fmt: skip
