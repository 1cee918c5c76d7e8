"""What a study file may say, which `soapfilm sweep` solves."""

from __future__ import annotations

from .description import FileKind, Key, Table

PARAMETER = Table(
    "parameter",
    "list",
    "something that is varied",
    (
        Key("name", "text", "column of the results", needed=True, example='"wall"'),
        Key("sets", "anything", "where its value goes, one place or several", needed=True,
            example='"tube.WallThickness"'),
        Key("values", "list", "what it may be: numbers in the file's unit, or texts",
            example="[5, 6.3, 8, 10]"),
        Key("from", "length", "or a range: its lower end", example="100"),
        Key("to", "length", "its upper end", example="200"),
        Key("steps", "number", "how many values of the range", example="11"),
        Key("spacing", "choice", "of these values", "even", choices=("even", "log")),
    ),
)  # fmt: skip
FILE = FileKind(
    "study",
    "soapfilm sweep",
    "a study: which file is changed, by which parameters",
    (
        Table(
            "",
            "top",
            "of the whole file",
            (
                Key("name", "text", "of the study", "the file's name"),
                Key("section", "text", "the section file to change, from this file's folder",
                    example='"tube.toml"'),
                Key("member", "text", "or the member file to change", example='"edge.toml"'),
                Key("kind", "choice", "every combination, a list of first values, second ones and "
                    "so on, or a sample", "grid", choices=("grid", "list", "sample")),
                Key("accuracy", "number", "relative width of the intervals for J", "1e-4"),
                Key("method", "choice", "of a sample", "sobol",
                    choices=("sobol", "halton", "latin")),
                Key("count", "number", "points of a sample", example="256"),
                Key("seed", "number", "makes a sample repeatable", "0"),
            ),
        ),
        PARAMETER,
    ),
)  # fmt: skip
