"""A study's rows as a CSV file, whole or not at all."""

from __future__ import annotations

import csv
import os
from typing import TYPE_CHECKING

from ..files import replacing

if TYPE_CHECKING:
    from ...solver.study.run.store import Store


def write_study_csv(store: Store, path: str | os.PathLike[str]) -> None:
    """Write every finished row in the order of its points: RFC 4180, UTF-8, numbers to the last
    digit, nothing where there is no number."""
    with replacing(path) as temporary, temporary.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(store.columns)
        writer.writerows(store.rows())
