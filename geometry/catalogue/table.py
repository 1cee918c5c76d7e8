"""The tables of rolled shapes, as they ship: one file a family, one row a shape."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

Row = Mapping[str, float]


@cache
def table_rows(name: str) -> tuple[tuple[str, Row], ...]:
    """Designation and numbers of every row of one table, in its own order and units.

    Parameters
    ----------
    name : str
        File name without its ending: "w", "hss_r", "ipe", ...
    """
    text = files(__package__).joinpath("data", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(
        (
            row["designation"],
            {k: float(v) for k, v in row.items() if k not in ("designation", "source")},
        )
        for row in csv.DictReader(text.splitlines())
    )
