"""Tables of a member file that say what holds it: supports, restraints, diaphragms, joints."""

from __future__ import annotations

from .description import Key, Table
from .joint_keys import JOINT

NAME = Key("name", "text", "what tables call it", example='"pier 1"')
SPAN = Key("span", "number", "positions count from the start of this span", example="2")
AT = Key("at", "positions", "where: a position, or a list of them", example='["3 m", "6 m"]')
FROM = Key("from", "position", "where it begins", "start", '"0.5 m"')
TO = Key("to", "position", "where it ends", "end", '"end of span 1"')
EVERY = Key("every", "length", "at equal distances between from and to", example='"1.5 m"')
PLACE = Key(
    "place", "point", "where in the section: [x, y], a name of [points], or a face in words",
    example='"top, 40 mm from left"',
)  # fmt: skip
ECCENTRICITY = Key(
    "eccentricity", "anything", "from the place: [x, y], or x alone", "[0, 0]", "[80, 0]"
)
LEVEL = Key(
    "level", "anything", 'height: a length, or words like "100 mm below top"', "shear centre", "290"
)
_FREEDOMS = tuple(
    Key(name, "freedom", f"{words}: held, free or a stiffness", "that of the kind", example)
    for name, words, example in (
        ("x", "movement along x", '"held"'),
        ("y", "movement along y", '"held"'),
        ("z", "movement along the member", '"20 kN/mm"'),
        ("bend_x", "rotation about x", '"free"'),
        ("bend_y", "rotation about y", '"free"'),
        ("twist", "rotation about z", '"900 kN*m/rad"'),
        ("warping", "rate of twist", '"held"'),
    )
)
SUPPORT = Table(
    "support",
    "list",
    "a support",
    (
        AT, SPAN, NAME,
        Key("kind", "choice", "what it holds; what else is stated goes before it", "all free",
            choices=("fork", "warping held", "fixed", "bearing pair")),
        *_FREEDOMS,
        Key("point", "point", "what is held there", "between bearings whose level is given; else "
            "the shear centre", '"bottom"'),
        Key("lever_arm", "length", "of the connection's flanges or bolt rows, for their couple",
            example='"400 mm"'),
        Key("clearance", "length", "of bolt holes: a slip in twist over clearance_arm",
            example='"1 mm"'),
        Key("clearance_arm", "length", "its lever arm", example='"200 mm"'),
        Key("twist_slip", "angle", "the slip itself, in place of these two", "0", '"0.3 deg"'),
        Key("plumb", "true or false", "on a slope: x, y, z and bearings level across, vertical and "
            "level along, not by the member's own axes", "false"),
        Key("joint", "text",
            "a [[joint]] that holds the member's end here, the middle of its bolts at the point",
            example='"end plate"'),
        Key("spacing", "length", "of a pair of bearings", example='"3 m"'),
        Key("centre", "length", "x of the middle between them", "0"),
        LEVEL,
        Key("stiffness", "spring", "of each bearing", "rigid", '"200 kN/mm"'),
        Key("holds_down", "true or false", "whether bearings hold against uplift", "false"),
        Key("bearings", "list", "bearings one by one, in place of a pair",
            example='[{ x = -800 }, { x = 700, y = -900, holds_down = true }]'),
    ),
)  # fmt: skip
BEARING = Table(
    "bearing",
    "inner",
    "one of a support's bearings",
    (
        Key("x", "length", "where it stands", needed=True, example="-800"),
        Key("y", "anything", "height: a length, or words", "the point's", "-900"),
        Key("stiffness", "spring", "upward", "rigid", '"200 kN/mm"'),
        Key("holds_down", "true or false", "whether it holds against uplift", "false"),
    ),
)
HINGE = Table(
    "hinge",
    "list",
    "a hinge or half-joint between supports",
    (
        AT, SPAN, NAME,
        Key("kind", "choice", "pin: passes all but bend_x; half-joint: all but bend_x, bend_y, z",
            "all passes on", choices=("pin", "half-joint")),
        *(Key(name, "freedom", f"{words}: continuous, free or a stiffness", "that of the kind",
              '"free"') for name, words in (
            ("x", "movement along x"), ("y", "movement along y"), ("z", "movement along it"),
            ("bend_x", "rotation about x"), ("bend_y", "rotation about y"),
            ("twist", "rotation about z"))),
        Key("warping", "choice", "of both ends: free, held by end plates, or continuous", "free",
            choices=("free", "held", "continuous")),
        Key("point", "point", "the pieces turn about it", "centroid and shear centre", '"bottom"'),
        Key("seats", "list", "two bearings of a half-joint, whose forces are told", "not told",
            "[[-0.9, -1.2], [0.9, -1.2]]"),
    ),
)  # fmt: skip
_SECONDARY = (
    Key("E", "stress", "its modulus of elasticity", needed=True, example='"210 GPa"'),
    Key("I", "second moment", "its second moment", example='"5790 cm^4"'),
    Key("shape", "text", "in place of I: a rolled shape, bent about its x axis",
        example='"IPE300"'),
    Key("length", "length", "from the connection to its far support", needed=True,
        example='"4.5 m"'),
    Key("far_end", "choice", "how its far end turns", needed=True,
        choices=("pinned", "fixed", "same way", "opposite")),
)  # fmt: skip
SECONDARY = Table(
    "secondary_beam",
    "list",
    "a beam that frames in from one side and turns at its end under its own load",
    (
        AT, SPAN, EVERY, FROM, TO, NAME, *_SECONDARY,
        Key("loads", "table", "its own load by load case, downward",
            example='{ dead = "4 kN/m", live = "7 kN/m" }'),
        Key("place", "point", "where its end shear acts", example='"joist seat"'),
        ECCENTRICITY,
        Key("side", "choice", "the side that it runs to", "that of the place",
            choices=("left", "right")),
        Key("connection", "anything", 'rotational stiffness in series, or "rigid", "pinned"',
            "rigid", '"3000 kN*m/rad"'),
        Key("clearance", "length", "of its bolt holes, over clearance_arm", example='"1 mm"'),
        Key("clearance_arm", "length", "its lever arm", example='"160 mm"'),
        Key("slip", "angle", "the slip itself, in place of these two", "0", '"0.3 deg"'),
        Key("joint", "text", "a [[joint]], in place of connection and clearance",
            example='"joist fin"'),
    ),
)  # fmt: skip
SPRING = Table(
    "spring",
    "list",
    "a spring at a station",
    (
        AT, SPAN, EVERY, FROM, TO, NAME, LEVEL,
        Key("twist", "rotational spring", "against twist", example='"900 kN*m/rad"'),
        Key("x", "spring", "sideways, at its level: of the material there", example='"5 kN/mm"'),
        Key("clearance", "length", "of its bolt holes, over clearance_arm", example='"1 mm"'),
        Key("clearance_arm", "length", "its lever arm", example='"160 mm"'),
        Key("slip", "angle", "the slip itself, in place of these two", "0", '"0.3 deg"'),
    ),
)  # fmt: skip
DECK = Table(
    "deck",
    "list",
    "a restraint all along, as by a slab or sheeting; with a level it holds the material there, "
    "without one the section as a whole",
    (
        FROM, TO, SPAN, NAME, LEVEL,
        Key("twist", "rotational spring per length", "against twist", example='"60 kN*m/rad/m"'),
        Key("x", "spring per length", "sideways, at its level", example='"2 kN/mm/m"'),
    ),
)  # fmt: skip
DIAPHRAGM = Table(
    "diaphragm",
    "list",
    "what keeps the section's shape at a station: rigid, a plate, or a frame of bars",
    (
        AT, EVERY, FROM, TO, SPAN, NAME,
        Key("thickness", "length", "of a plate in the cell, welded all round", example='"15 mm"'),
        Key("opening", "point", "width and height of an opening in its middle", "none",
            '["800 mm", "600 mm"]'),
        Key("bars", "list", "bars between points of the section",
            example='[{ from = [-988, -730], to = [988, 730], area = "20 cm^2" }]'),
        Key("E", "stress", "of the plate or the bars", "the member's", '"210 GPa"'),
        Key("poisson", "number", "of the plate", "the member's", "0.3"),
        Key("mass", "mass", "that vibrates with it", "of the plate or the bars", '"90 kg"'),
        Key("density", "density", "of the plate or the bars", "the section's",
            '"7850 kg/m^3"'),
    ),
)  # fmt: skip
BAR = Table(
    "bar",
    "inner",
    "a bar of a diaphragm",
    (
        Key("from", "point", "its one end", needed=True, example="[-988, -730]"),
        Key("to", "point", "its other end", needed=True, example="[988, 730]"),
        Key("area", "area", "of its section", needed=True, example='"20 cm^2"'),
        Key("E", "stress", "its own modulus of elasticity", "the diaphragm's", '"210 GPa"'),
    ),
)
HOLDING = (
    SUPPORT, BEARING, HINGE, SECONDARY, SPRING, DECK, DIAPHRAGM, BAR, JOINT,
    Table(
        "remedy",
        "single",
        "what to try besides the standard remedies",
        (Key("secondary_beam", "anything", "a secondary beam, as in [[secondary_beam]], or its "
             "rotational stiffness", example='{ E = "210 GPa", I = "5790 cm^4", length = "4.5 m", '
             'far_end = "pinned" }'),),
    ),
)  # fmt: skip
