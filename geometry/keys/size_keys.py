"""What a size file may say, which `soapfilm size` solves."""

from __future__ import annotations

from .description import FileKind, Key, Table
from .study_keys import PARAMETER

FILE = FileKind(
    "size",
    "soapfilm size",
    "which section a member may have; its limits stand in the member file",
    (
        Table(
            "",
            "top",
            "of the whole file",
            (
                Key("name", "text", "of the choice", "the file's name"),
                Key("member", "text", "the member file, from this file's folder", needed=True,
                    example='"edge.toml"'),
                Key("replaces", "text", "which of its sections is sought", "every one", '"tube"'),
                Key("section", "text",
                    "a section file with dimensions to be chosen; without it, and without "
                    "[catalogue], addresses lead into the member file",
                    example='"box.toml"'),
                Key("depth", "length", "greatest overall depth", example='"300 mm"'),
                Key("width", "length", "greatest overall width", example='"200 mm"'),
                Key("wanted", "number", "how many of the best to give", "3"),
                Key("accuracy", "number", "relative width of the intervals for J", "1e-4"),
                Key("least", "text", "what is sought: weight, cost, twist, any result", "weight",
                    '"cost"'),
                Key("most", "text", "or what shall be greatest", example='"torsion_constant"'),
            ),
        ),
        Table(
            "cost",
            "single",
            "prices in any currency, where the least cost is sought",
            (
                Key("per_mass", "number", "of a kg (lb with lengths in in or ft)", example="2.4"),
                Key("per_weld_length", "number", "of a metre (ft) of every weld", "0", "12"),
            ),
        ),
        Table(
            "catalogue",
            "single",
            "rolled shapes to choose from",
            (
                Key("families", "list", "of shapes", "all", '["HSS", "W"]'),
                Key("material", "text", "a grade", needed=True, example='"S355"'),
            ),
        ),
        PARAMETER,
    ),
)  # fmt: skip
