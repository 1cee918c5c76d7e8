"""A study's rows as a CSV or Parquet file, whole or not at all."""

from __future__ import annotations

import csv
import os
from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
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


def write_study_parquet(store: Store, path: str | os.PathLike[str]) -> None:
    """Write every finished row in the order of its points, columns with types of their own.

    A parameter whose values are numbers in some rows and texts in others becomes texts.

    Raises
    ------
    InputError
        Without the library pyarrow.
    """
    try:
        import pyarrow
        import pyarrow.parquet
    except ImportError as error:
        raise InputError(
            "Parquet needs the library pyarrow; install it with: pip install 'soapfilm[parquet]'"
        ) from error
    columns = [list(column) for column in zip(*store.rows(), strict=True)]
    columns = columns or [[] for _ in store.columns]
    arrays = {
        name: _of_one_type(values) for name, values in zip(store.columns, columns, strict=True)
    }
    with replacing(path) as temporary:
        pyarrow.parquet.write_table(pyarrow.table(arrays), temporary)


def _of_one_type(values: list[Any]) -> list[Any]:
    """Values that a typed column takes: whole numbers among others become floats, others texts."""
    kinds = {type(value) for value in values if value is not None}
    if len(kinds) < 2:
        return values
    wanted = float if kinds == {int, float} else str
    return [None if value is None else wanted(value) for value in values]
