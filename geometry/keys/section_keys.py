"""What a section file may say."""

from __future__ import annotations

from .description import FileKind, Key, Table

NAME = Key("name", "text", "what messages and figures call it", example='"flange"')
UNIT = Key(
    "unit", "choice", "length unit of every bare number of the file", needed=True,
    choices=("mm", "cm", "m", "in", "ft"), example='"mm"',
)  # fmt: skip
QUANTITY = Table(
    "quantity",
    "single",
    'values named once and used anywhere in the file, as in thickness = "= wall + 2 mm"; '
    "arithmetic, min, max, abs, sqrt, sin, cos, tan and pi, with units that are checked",
    free="names of your own",
)
MATERIAL = Table(
    "material",
    "named",
    "a material; generic grades, like S355 or C30/37, may be named without one",
    (
        Key("grade", "text", "a generic grade to start from", example='"C30/37"'),
        Key("E", "stress", "modulus of elasticity", example='"210 GPa"'),
        Key("nu", "number", "Poisson's ratio", "from E and G", "0.3"),
        Key("G", "stress", "shear modulus", "from E and nu", '"81 GPa"'),
        Key("modular_ratio", "number", "E of another material over its own, in place of E",
            example="7"),
        Key("of", "text", "that other material: one defined above, or a grade", example='"steel"'),
        Key("creep_factor", "number", "divides E by 1 plus it, for loads that stay", "0", "2.0"),
        Key("density", "density", "mass of its volume; with a grade in place of the grade's",
            example='"7850 kg/m^3"'),
        Key("strength", "stress", "yield strength, for limits and use", example='"355 MPa"'),
        Key("thermal_expansion", "per kelvin", "strain of a kelvin", "that of the grade",
            '"1.2e-5 1/K"'),
        Key("source", "text", "where its values are from; printed", example='"mill certificate"'),
    ),
)  # fmt: skip
_PART = (
    NAME,
    Key("material", "text", "one of the file's materials, or a generic grade",
        "the only one defined", '"steel"'),
)  # fmt: skip
_PLACED = (
    *_PART,
    Key("mirror", "choice", "mirrored in that axis, before it is turned", choices=("x", "y")),
    Key("rotate", "angle", "turned anticlockwise about its own origin", "0", "30"),
    Key("move", "point", "moved, after it is turned", "[0, 0]", "[120, -40]"),
    Key("combine", "choice", "merged with what is there, removed from it, or in its place", "add",
        choices=("add", "cut", "embed")),
)  # fmt: skip
_ARCS = Key(
    "arcs_within", "length", "take runs of chords for the arcs they stand for, within this length",
    example="0.01",
)  # fmt: skip
#: Attributes of the profiles of ISO 16739, under the standard's own names.
_ATTRIBUTES = (
    ("OverallDepth", "whole depth"),
    ("OverallWidth", "whole width"),
    ("Depth", "depth of a channel, tee, angle or lipped shape"),
    ("Width", "width of a lipped shape or an angle's other leg"),
    ("FlangeWidth", "width of flanges"),
    ("WebThickness", "thickness of the web"),
    ("FlangeThickness", "thickness of flanges"),
    ("Thickness", "thickness of legs"),
    ("WallThickness", "thickness of a hollow or thin-walled shape"),
    ("XDim", "width of a rectangle"),
    ("YDim", "height of a rectangle"),
    ("Radius", "of a circle"),
    ("Girth", "length of lips"),
    ("FilletRadius", "between web and flanges, or legs"),
    ("EdgeRadius", "at the edges of legs"),
    ("FlangeEdgeRadius", "at the edges of flanges"),
    ("RoundingRadius", "of a rectangle's corners"),
    ("InnerFilletRadius", "of a hollow shape's corners, inside"),
    ("OuterFilletRadius", "of a hollow shape's corners, outside"),
    ("InternalFilletRadius", "of a lipped shape's corners, inside"),
    ("SemiAxis1", "half the width of an ellipse"),
    ("SemiAxis2", "half the height of an ellipse"),
    ("deviation", "arcs leave an ellipse by so much at most"),
    ("BottomXDim", "width of a trapezium below"),
    ("TopXDim", "width of a trapezium above"),
    ("TopXOffset", "from the trapezium's lower left corner to its upper left one, along x"),
    *(
        (f"{side}Flange{what}", f"{words} of the {side.lower()} flange")
        for side in ("Bottom", "Top")
        for what, words in (
            ("Width", "width"),
            ("Thickness", "thickness"),
            ("FilletRadius", "fillet radius"),
            ("EdgeRadius", "radius at the edges"),
        )
    ),
    ("WebEdgeRadius", "at the edge of a tee's web"),
)
_SLOPES = (
    ("FlangeSlope", "of the flanges' inner faces", '"1:6"'),
    ("BottomFlangeSlope", "of the bottom flange's inner face", '"1:6"'),
    ("TopFlangeSlope", "of the top flange's inner face", '"1:6"'),
    ("WebSlope", "of a tee's web", '"1:50"'),
    ("LegSlope", "of the legs' inner faces", "4"),
)
SHAPE = Table(
    "shape",
    "list",
    "a parametric profile of ISO 16739 (its own attributes, like OverallDepth) or a rolled shape",
    (
        Key("profile", "text", "name of the profile, centred on its box", example='"IShape"'),
        Key("shape", "text", "a rolled shape by its designation", example='"W10X49"'),
        *(Key(name, "length", words) for name, words in _ATTRIBUTES),
        *(Key(name, "angle", words, "0", example) for name, words, example in _SLOPES),
        Key(
            "thickness_at",
            "length",
            "where a sloped flange has its thickness, from its edge",
            "its middle",
            "25",
        ),
        *_PLACED,
    ),
)
OUTLINE = Table(
    "outline",
    "list",
    "an outline by its vertices, closed by itself",
    (
        Key("points", "list", "[x, y] or [x, y, bulge]; a bulge is the tangent of a quarter of the "
            "angle of the arc that follows, positive anticlockwise", needed=True,
            example="[[0, 0], [100, 0, 1], [100, 50], [0, 50]]"),
        Key("holes", "list", "outlines of holes", example="[[[20, 20], [40, 20], [40, 40]]]"),
        _ARCS,
        *_PLACED,
    ),
)  # fmt: skip
DRAWING = Table(
    "drawing",
    "list",
    "a drawing beside the file: DXF, SVG, GeoJSON, WKT or IFC",
    (
        Key("file", "text", "its path, from this file's folder", needed=True, example='"deck.dxf"'),
        Key("unit", "text", "length unit of a drawing that states none", example='"m"'),
        Key("gap", "number", "open ends this far apart are joined, in the drawing's unit",
            "1e-4 of its diagonal", "0.5"),
        Key("deviation", "number", "chords of curves that are no arcs leave them by so much at "
            "most, in the drawing's unit", example="0.01"),
        Key("layers", "list", "read only these", "all", '["deck", "girder"]'),
        Key("materials", "table", "materials by layer", example='{ deck = "C30/37" }'),
        Key("profile", "text", "which profile of an IFC file that holds several", example='"#27"'),
        _ARCS,
        *_PLACED,
    ),
)  # fmt: skip
PLATE = Table(
    "plate",
    "list",
    "a plate by the line it follows; ends are shaped to each other",
    (
        Key("points", "list", "the line", needed=True, example="[[-50, 120], [50, 120]]"),
        Key("thickness", "length", "one number, or two for a plate that tapers", needed=True,
            example="10"),
        Key("line", "choice", "which line of the plate the points are", "centre",
            choices=("centre", "left", "right")),
        Key("bend_radius", "length", "inside radius of its own corners", example="5"),
        Key("corner", "choice", "how plates meet at a corner", "lap", choices=("lap", "mitre")),
        Key("closed", "true or false", "whether it runs back to its first point", "false"),
        *_PART,
    ),
)  # fmt: skip
WELD = Table(
    "weld",
    "list",
    "what joins plates; those that only touch are not joined",
    (
        Key("between", "list", "two plates by their names", needed=True,
            example='["flange", "web"]'),
        Key("leg", "length", "of a fillet weld; two numbers for unequal legs", example="5"),
        Key("kind", "choice", "a fillet, or a butt weld of full or partial penetration", "fillet",
            choices=("fillet", "full", "partial")),
        Key("depth", "length", "of a partial butt weld", example="4"),
        Key("near", "point", "only the side that is nearest to this point", "both sides",
            "[4, 115]"),
        Key("length", "length", "of each piece of an intermittent weld", example="40"),
        Key("pitch", "length", "from piece to piece", example="120"),
        Key("made", "true or false", "whether it is made; false leaves it out", "true"),
        *_PART,
    ),
)  # fmt: skip
PARTS = (SHAPE, OUTLINE, DRAWING, PLATE, WELD)
FILE = FileKind(
    "section",
    "soapfilm section",
    "a cross-section: its parts in the order in which they stand",
    (
        Table("", "top", "of the whole file", (Key("name", "text", "of the section",
              "the file's name", '"landing deck"'), UNIT)),
        QUANTITY,
        MATERIAL,
        *PARTS,
    ),
)  # fmt: skip
