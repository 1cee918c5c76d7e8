"""What a joint file may say; its [[joint]] stands in member files too."""

from __future__ import annotations

from .description import FileKind, Key, Table
from .section_keys import QUANTITY, UNIT


def _length(name: str, words: str, example: str, default: str = "") -> Key:
    return Key(name, "length", words, default, example)


JOINT = Table(
    "joint",
    "list",
    "a joint at the end of a beam",
    (
        Key("name", "text", "of the joint", needed=True, example='"joist fin"'),
        Key("kind", "choice", "how it is made", needed=True,
            choices=("fin plate", "clip angles", "end plate", "seat", "welded stub")),
        Key("bolt", "text", "M12 to M36, or 1/2 in to 1 1/2 in", example='"M20"'),
        Key("grade", "text", "of the bolts: 4.6 to 10.9, A325, A490", example='"8.8"'),
        Key("fit", "choice", "of bolts in their holes", "clearance",
            choices=("clearance", "fitted", "preloaded")),
        _length("hole", "diameter of holes", "22", "normal clearance"),
        Key("rows", "whole number", "of bolts, one above the other", "1", "3"),
        _length("pitch", "from row to row", "70"),
        Key("columns", "whole number", "of bolts, one behind the other", "1", "2"),
        _length("gauge", "from column to column", "60"),
        Key("positions", "list", "bolts one by one, from the face and from mid-height",
            example="[[60, 70], [60, 0]]"),
        _length("arm", "from the face to the first column; to the reaction on a seat", "60"),
        _length("end_distance", "from the outer bolts to the plate's ends", "40"),
        _length("side_distance", "from the bolts to the plate's free side", "40"),
        Key("thickness", "length", "of the fin, angle, end plate, seat or stub's web", needed=True,
            example="10"),
        _length("weld", "leg of the fillet welds", "6"),
        _length("height", "of the plate; of a stub, its depth", "300"),
        _length("width", "of the plate", "150"),
        Key("ultimate", "stress", "ultimate strength of the plates", needed=True,
            example='"430 MPa"'),
        Key("beam_ultimate", "stress", "that of the arriving web", "the plates'", '"430 MPa"'),
        _length("beam_web", "thickness of the arriving web", "7.1"),
        _length("beam_depth", "depth of the arriving member", "300"),
        Key("E", "stress", "modulus of elasticity", "210 GPa", '"210 GPa"'),
        Key("poisson", "number", "Poisson's ratio", "0.3"),
        Key("on", "choice", "what it is fixed to", "web",
            choices=("web", "tube wall", "tube wall with inner diaphragm")),
        _length("wall_thickness", "of the tube", "10"),
        _length("wall_width", "of the tube's wall, between its corners", "180"),
        _length("diaphragm", "thickness of the inner diaphragm", "12"),
        _length("tube_width", "of the cell that the diaphragm fills", "180"),
        _length("tube_depth", "of that cell", "280"),
        _length("support_thickness", "of the plate that face bolts pass through", "10"),
        Key("angles", "whole number", "clip angles: one or two", "2", "1"),
        _length("support_leg", "of a clip angle, on the support", "90"),
        _length("support_gauge", "between its columns of bolts", "140"),
        Key("support_welded", "true or false", "whether it is welded there, not bolted", "false"),
        _length("flange", "thickness of a stub's flanges", "15"),
        _length("flange_width", "their width", "150"),
    ),
)  # fmt: skip
FILE = FileKind(
    "joint",
    "soapfilm joint",
    "joints, and what acts on them",
    (
        Table("", "top", "of the whole file", (Key("name", "text", "of the file's joints together",
              "the file's name"), UNIT)),
        QUANTITY,
        JOINT,
        Table(
            "case",
            "list",
            "forces and moments on a joint",
            (
                Key("name", "text", "of the case", example='"crowd"'),
                Key("joint", "text", "which joint", "every one", '"joist fin"'),
                Key("V", "force", "downward at the bolts", example='"60 kN"'),
                *(Key(f"F_{axis}", "force", words, example='"4 kN"') for axis, words in (
                    ("x", "away from the support"), ("y", "upward"), ("z", "across"))),
                *(Key(f"M_{axis}", "moment", words, example='"0.5 kN*m"') for axis, words in (
                    ("x", "turns y toward z"), ("y", "turns z toward x"),
                    ("z", "turns x toward y"))),
                Key("at", "choice", "where they act", "bolts", choices=("bolts", "face")),
            ),
        ),
    ),
)  # fmt: skip
