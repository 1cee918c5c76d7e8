"""Tables of a member file that say what acts: loads, masses, imposed deformations, traffic."""

from __future__ import annotations

from .description import Key, Table
from .holding_keys import AT, ECCENTRICITY, EVERY, FROM, NAME, PLACE, SPAN, TO

_LOAD = Table(
    "load",
    "list",
    "a load at stations (with at or every), or along the member",
    (
        Key("case", "text", "the load case it belongs to", "load", '"cladding"'),
        NAME, AT, EVERY, FROM, TO, SPAN, PLACE, ECCENTRICITY,
        Key("weight", "anything", "downward: a force at stations, a force per length along it; two "
            "for one that varies linearly", example='"14 kN"'),
        *(Key(f"F_{axis}", "force", f"force along {axis}", example='"4 kN"') for axis in "xyz"),
        *(Key(name, "moment", words, example='"2 kN*m"') for name, words in (
            ("M_x", "moment about x"), ("M_y", "moment about y"), ("T", "torque"))),
        Key("B", "bimoment", "bimoment", example='"0.5 kN*m^2"'),
        *(Key(f"q_{axis}", "anything", f"force per length along {axis}; two for linear",
              example='"3 kN/m"') for axis in "xyz"),
        Key("m_t", "anything", "torque per length; two for linear", example='"0.3 kN*m/m"'),
        Key("measured_along", "choice", "per length of the axis; in a curve, of the load's own "
            "line; on a slope, of its projection in plan", "axis",
            choices=("axis", "own line", "plan")),
        Key("by_span", "true or false", "a case for each span, for patterns", "false"),
        Key("by_half_of", "length", "and for each half of this width", example='"5 m"'),
        Key("as_mass", "anything",
            "share of its weight, 0 to 1, that vibrates with the member; true: all", "0", "0.3"),
    ),
)  # fmt: skip
_SELF_WEIGHT = Table(
    "self_weight",
    "single",
    "the member's own weight, from the densities of its materials",
    (
        Key("case", "text", "the load case it belongs to", "self-weight", '"dead"'),
        Key("factor", "number", "for what the outline leaves out: welds, stiffeners", "1", "1.1"),
        Key("wedge", "true or false", "the longer outer fibres of a curve move it out", "false"),
    ),
)
_MASS = Table(
    "mass",
    "list",
    "a mass that vibrates with the member and is no load",
    (
        AT, EVERY, FROM, TO, SPAN, NAME, PLACE, ECCENTRICITY,
        Key("mass", "mass", "its mass", needed=True, example='"250 kg"'),
        Key("rotary_inertia", "rotary inertia", "about its own centre, for rotation about z", "0",
            '"40 kg*m^2"'),
    ),
)  # fmt: skip
_TEMPERATURE = Table(
    "temperature",
    "list",
    "differences of temperature from when the member was built; they add up",
    (
        Key("case", "text", "the load case it belongs to", "temperature", '"summer"'),
        NAME, FROM, TO, SPAN,
        Key("uniform", "kelvin", "everywhere", "0 K", '"25 K"'),
        Key("top", "kelvin", "at the top, linear to the bottom", "0 K", '"10 K"'),
        Key("bottom", "kelvin", "at the bottom", "0 K", '"-2 K"'),
        Key("standard", "choice", "a standard's difference over the depth in place of top and "
            "bottom, from memory of it", choices=tuple(
                f"EN 1991-1-5 {deck}, {side} warmer"
                for deck in ("steel deck", "composite deck", "concrete box", "concrete beam",
                             "concrete slab")
                for side in ("top", "bottom"))),
        Key("left", "kelvin", "at the smallest x, linear to the largest", "0 K", '"4 K"'),
        Key("right", "kelvin", "at the largest x", "0 K", '"0 K"'),
        Key("profile", "list", "by height: levels and differences, linear between",
            example='[["top", "13 K"], ["150 mm below top", "3 K"]]'),
        Key("thermal_expansion", "per kelvin", "strain of a kelvin", "the materials'",
            '"1.2e-5 1/K"'),
    ),
)  # fmt: skip
_SHRINKAGE = Table(
    "shrinkage",
    "list",
    "a strain by which materials shorten",
    (
        Key("case", "text", "the load case it belongs to", "shrinkage", '"shrinkage"'),
        NAME, FROM, TO, SPAN,
        Key("strain", "anything", "positive shortens", needed=True, example="0.0003"),
        Key("of", "anything", "materials or regions by name", "all", '"C30/37"'),
    ),
)  # fmt: skip
_SETTLEMENT = Table(
    "settlement",
    "list",
    "a support that moves",
    (
        Key("case", "text", "the load case it belongs to", "settlement", '"settlement"'),
        NAME,
        Key("support", "text", "by its name", needed=True, example='"pier 1"'),
        Key("down", "length", "of the support's point", "0", '"10 mm"'),
        *(Key(axis, "length", f"movement along {axis}", "0", '"4 mm"') for axis in "xyz"),
        *(Key(name, "angle", words, "0", '"0.1 deg"') for name, words in (
            ("bend_x", "rotation about x"), ("bend_y", "rotation about y"),
            ("twist", "rotation about z"))),
    ),
)  # fmt: skip
_TENDON = Table(
    "tendon",
    "list",
    "a prestressing tendon: its anchors, curvature and friction, in equilibrium with themselves",
    (
        Key("case", "text", "the load case it belongs to", "prestress", '"prestress"'),
        NAME,
        Key("force", "force", "where it is jacked", needed=True, example='"2400 kN"'),
        Key("points", "list",
            "points of the section along it; runs are straight or parabolas, and turn at a "
            "deviator over a kink of the axis",
            needed=True,
            example='[{ at = "start", y = -0.4 }, { at = "end", y = -0.4, sag = 0.5 }]'),
        Key("friction", "number", "mu of EN 1992-1-1 5.10.5.2", "0", "0.19"),
        Key("wobble", "twist rate", "unintended angle of its length", "0", '"0.01 rad/m"'),
        Key("jacked", "choice", "where", "start", choices=("start", "end", "both")),
    ),
)  # fmt: skip
_TENDON_POINT = Table(
    "point",
    "inner",
    "a point of a tendon",
    (
        Key("at", "position", "where along the member", needed=True, example='"end of span 1"'),
        SPAN,
        Key("y", "anything", "height: a length, or words", needed=True,
            example='"0.2 m below top"'),
        Key("x", "length", "across", "0", '"0.3 m"'),
        Key("sag", "length", "of the parabola that ends here, below its chord in the middle", "0",
            '"0.7 m"'),
        Key("bow", "length", "of that parabola toward +x", "0", '"0.1 m"'),
    ),
)  # fmt: skip
_WIND = Table(
    "wind",
    "list",
    "a pressure on the depth that it sees, square to the axis",
    (
        Key("case", "text", "the load case it belongs to", "wind", '"wind"'),
        NAME, FROM, TO, SPAN,
        Key("pressure", "stress", "with its force coefficient", needed=True, example='"1.2 kPa"'),
        Key("toward", "choice", "the section's +x, or the other way", "right",
            choices=("right", "left")),
        Key("parapet", "length", "seen above the section's top besides", "0", '"1.1 m"'),
        Key("depth", "length", "in place of the depth of the outline", "the outline's", '"2.4 m"'),
        Key("level", "anything", "of its resultant", "the middle of what it sees",
            '"0.3 m above top"'),
    ),
)  # fmt: skip
_LANE = Table(
    "lane",
    "list",
    "a lane, to whose middle a vehicle keeps",
    (
        Key("name", "text", "of the lane", needed=True, example='"north"'),
        Key("place", "point", "its middle", needed=True, example="[-1.5, 0]"),
        Key("width", "length", "of the lane", needed=True, example='"3 m"'),
    ),
)  # fmt: skip
_VEHICLE = Table(
    "vehicle",
    "list",
    "a train of axles, put where it does most",
    (
        Key("name", "text", "of the vehicle", "vehicle", '"sweeper"'),
        Key("standard", "choice", "axles and track of a standard, from memory of it",
            choices=("EN 1991-2 service vehicle", "EN 1991-2 concentrated load", "AASHTO H5",
                     "AASHTO H10", "AASHTO design truck")),
        Key("axles", "list", "their distances behind the first, and forces",
            example='[{ at = 0, force = "30 kN" }, { at = "2 m", force = "20 kN" }]'),
        Key("lines", "list", "points of the section; its middle takes any one of them",
            example='["middle of the deck", [1.2, 0]]'),
        Key("lanes", "list", "in place of lines: one in each of these lanes at the same time",
            example='["north", "south"]'),
        Key("at_once", "number", "in so many lanes at most", "all", "1"),
        Key("keeps_clear", "length", "of crowd before and behind it", "its whole lane", '"5 m"'),
        Key("track", "length", "between the wheels of an axle", "one wheel", '"1.4 m"'),
        Key("dynamic_factor", "number", "on its forces", "1", "1.2"),
        Key("direction", "choice", "both ways, or from start to end alone", "both",
            choices=("both", "forward")),
    ),
)  # fmt: skip
_CROWD = Table(
    "crowd",
    "list",
    "a pressure on any part of strips, where it does most",
    (
        Key("name", "text", "of the crowd", "crowd", '"crowd"'),
        Key("pressure", "stress", "downward", example='"5 kN/m^2"'),
        Key("standard", "choice", "a standard's pressure in its place, from memory of it",
            choices=("EN 1991-2 footbridge", "AASHTO pedestrians")),
        Key("loaded_length", "length", "that the crowd covers, where the standard goes by it",
            example='"20 m"'),
        Key("strips", "list", "their middle lines and widths; two halves make half the width",
            needed=True, example='[{ place = [-1.25, 0], width = "2.5 m" }]'),
    ),
)  # fmt: skip
_BRAKING = Table(
    "braking",
    "list",
    "the horizontal force along the member of a crowd or vehicle",
    (
        Key("of", "text", "the crowd or vehicle that it comes from", needed=True,
            example='"crowd"'),
        Key("share", "number", "of its whole weight, from memory of EN 1991-2, 5.4",
            "0.1 of a crowd, 0.6 of a vehicle", "0.1"),
        Key("place", "point", "where it acts: at the level of the deck", needed=True,
            example="[0, 0]"),
        Key("case", "text", "the load case it belongs to, of its own", "its name and along",
            '"crowd along"'),
    ),
)  # fmt: skip
_INNER = (
    Table("axles", "inner", "an axle of a vehicle", (
        Key("at", "length", "distance behind the first", "0", '"2 m"'),
        Key("force", "force", "of the axle", needed=True, example='"30 kN"'))),
    Table("strips", "inner", "a strip of a crowd", (
        PLACE, Key("width", "length", "of the strip", example='"2.5 m"'),
        Key("lane", "text", "in place of both: a lane where no vehicle keeps it off",
            example='"north"'))),
)  # fmt: skip
ACTING = (
    _LOAD, _SELF_WEIGHT, _MASS, _TEMPERATURE, _SHRINKAGE, _SETTLEMENT, _TENDON, _TENDON_POINT,
    _WIND, _LANE, _VEHICLE, _CROWD, _BRAKING, *_INNER,
)  # fmt: skip
