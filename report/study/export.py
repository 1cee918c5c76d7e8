"""A study's rows as a CSV or Parquet file, whole or not at all."""

from __future__ import annotations

import csv
import itertools
import os
from typing import TYPE_CHECKING

from ...geometry.errors import InputError
from ..files import replacing

if TYPE_CHECKING:
    from ...solver.study.run.store import Store

#: Rows of a group of a Parquet file.
_GROUP = 2**15
#: Type of a column by the kinds of its values; text where others stand beside texts.
_TYPES = {
    frozenset(): "null",
    frozenset({"integer"}): "int64",
    frozenset({"real"}): "float64",
    frozenset({"integer", "real"}): "float64",
}


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
    types = {
        name: pyarrow.type_for_alias(_TYPES.get(frozenset(kinds), "string"))
        for name, kinds in store.kinds().items()
    }
    texts = [kind == pyarrow.string() for kind in types.values()]
    schema = pyarrow.schema(list(types.items()))
    rows = store.rows()
    with replacing(path) as temporary, pyarrow.parquet.ParquetWriter(temporary, schema) as writer:
        # Group by group: a million rows as Python's numbers would take gigabytes.
        while group := list(itertools.islice(rows, _GROUP)):
            columns = [
                [None if value is None else str(value) for value in column] if text else column
                for column, text in zip(zip(*group, strict=True), texts, strict=True)
            ]
            arrays = [
                pyarrow.array(column, kind)
                for column, kind in zip(columns, types.values(), strict=True)
            ]
            writer.write_table(pyarrow.table(arrays, schema=schema))
