"""Named columns with units: what every result hands to pandas, polars, xarray or numpy.

None of these libraries is needed. numpy, which is always there, gives a structured array; pandas
and polars are asked directly, since both take a dictionary of columns and need no go-between.
"""

from __future__ import annotations

import csv
import importlib.util
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import InputError
from ..geometry.notebook_table import notebook_grid
from .text.json_values import json_values
from .text.number import number, unit_text

#: Frames, the one that is made when none is named first.
LIBRARIES = ("pandas", "polars", "xarray", "numpy")
#: Beside the largest number of its kind, what is smaller is rounding.
_NOISE = 1e-10
#: Rows that a short and a notebook's form show, and characters across of the short one.
_SHORT, _SHOWN = 6, 20
_ACROSS = 160


@dataclass(frozen=True, slots=True, eq=False)
class DataTable:
    """Rows of results.

    Attributes
    ----------
    columns : mapping of str to list
        Numbers, texts, or None where there is no value; all of one length.
    units : mapping of str to str
        Unit of each column that has one, in plain letters ("N*mm", "mm^4").
    title : str

    Examples
    --------
    >>> table = DataTable({"support": ["left", "right"], "F_y": [12.5, 7.5]}, {"F_y": "kN"})
    >>> table
    2 rows
    support  F_y (kN)
    left         12.5
    right         7.5
    >>> table["F_y"], len(table)
    ([12.5, 7.5], 2)
    >>> float(table.to_frame("numpy")["F_y"].sum())
    20.0
    """

    columns: Mapping[str, Sequence[Any]]
    units: Mapping[str, str] = field(default_factory=dict)
    title: str = ""

    def __post_init__(self) -> None:
        lengths = {len(values) for values in self.columns.values()}
        if len(lengths) > 1:
            raise ValueError(f"columns of one length are needed, got lengths {sorted(lengths)}")

    @classmethod
    def of_rows(
        cls,
        rows: Sequence[Mapping[str, Any]],
        units: Mapping[str, str] = MappingProxyType({}),
        title: str = "",
    ) -> DataTable:
        """A table from a mapping a row; what a row lacks is None."""
        names = list(dict.fromkeys(name for row in rows for name in row))
        columns = {name: [row.get(name) for row in rows] for name in names}
        return cls(columns, {n: u for n, u in units.items() if n in columns}, title)

    def __len__(self) -> int:
        return len(next(iter(self.columns.values()), ()))

    def __iter__(self) -> Iterator[dict[str, Any]]:
        for k in range(len(self)):
            yield {name: values[k] for name, values in self.columns.items()}

    def __getitem__(self, name: str) -> list[Any]:
        """A column by its name.

        Raises
        ------
        InputError
            With the names that there are.
        """
        if name not in self.columns:
            raise InputError(f"there is no column {name!r}; there are {', '.join(self.columns)}")
        return list(self.columns[name])

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: format, columns and units."""
        return {
            "format": "soapfilm table 1",
            "title": self.title,
            "columns": {name: json_values(list(v)) for name, v in self.columns.items()},
            "units": dict(self.units),
        }

    def to_frame(self, library: str | None = None) -> Any:
        """The table as a frame of a library.

        Parameters
        ----------
        library : "pandas", "polars", "xarray" or "numpy", optional
            Left out: the first of them that is installed. pandas and xarray carry the units in
            `attrs["units"]`; numpy gives a structured array, polars a frame without units.

        Raises
        ------
        InputError
            For another library, or one that is not installed.
        """
        chosen = library or next(name for name in LIBRARIES if _installed(name))
        if chosen not in LIBRARIES:
            raise InputError(f"frames are made by {', '.join(LIBRARIES)}, not by {chosen!r}")
        if not _installed(chosen):
            raise InputError(f"{chosen} is not installed; install it with: pip install {chosen}")
        if chosen == "numpy":
            return self.to_numpy()
        columns = {name: list(values) for name, values in self.columns.items()}
        if chosen == "polars":
            import polars

            return polars.DataFrame(columns, strict=False)
        import pandas

        frame = pandas.DataFrame(columns)
        frame.attrs["units"] = dict(self.units)
        if chosen == "pandas":
            return frame
        found = frame.to_xarray()
        for name, unit in self.units.items():
            found[name].attrs["units"] = unit
        return found

    def to_numpy(self) -> NDArray[np.void]:
        """A structured array: numbers as float64 (NaN for None), all else as text."""
        kinds = []
        values = []
        for name, column in self.columns.items():
            if all(v is None or isinstance(v, (int, float, np.number)) for v in column):
                array = np.array([np.nan if v is None else float(v) for v in column], dtype=float)
            else:
                array = np.array(["" if v is None else str(v) for v in column], dtype=np.str_)
            kinds.append((name, array.dtype))
            values.append(array)
        out = np.empty(len(self), dtype=kinds)
        for (name, _), array in zip(kinds, values, strict=True):
            out[name] = array
        return out

    def csv(self) -> str:
        """The rows as CSV text: headings with their units, numbers of nine digits, nothing where
        there is no value."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(self._head())
        for row in zip(*self.columns.values(), strict=True):
            writer.writerow([f"{v:.9g}" if isinstance(v, float) else v for v in row])
        return out.getvalue()

    def __repr__(self) -> str:
        head, rows = self._texts(_SHORT)
        numeric = [self._numeric(name) for name in self.columns]
        widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
        ends = accumulate(width + 2 for width in widths)
        fitting = max(1, sum(end <= _ACROSS + 2 for end in ends))
        lines = [
            "  ".join(
                text.rjust(width) if right else text.ljust(width)
                for text, width, right in list(zip(row, widths, numeric, strict=True))[:fitting]
            ).rstrip()
            for row in (head, *rows)
        ]
        hidden = {"row": len(self) - len(rows), "column": len(head) - fitting}
        left = [f"{n} more {word}{'s' * (n != 1)}" for word, n in hidden.items() if n > 0]
        more = [f"... and {', '.join(left)}"] if left else []
        count = f"{len(self)} row{'s' * (len(self) != 1)}"
        return "\n".join([f"{self.title}: {count}" if self.title else count, *lines, *more])

    def _repr_html_(self) -> str:
        head, rows = self._texts(_SHOWN)
        more = f", {len(rows)} of {len(self)} rows" if len(self) > len(rows) else ""
        return notebook_grid(f"{self.title}{more}".lstrip(", "), head, rows)

    def _texts(self, most: int) -> tuple[list[str], list[list[str]]]:
        head = self._head()
        columns = [values[:most] for values in self.columns.values()]
        return head, [[_shown(v) for v in row] for row in zip(*columns, strict=True)]

    def _head(self) -> list[str]:
        return [
            f"{name} ({unit_text(self.units[name])})" if self.units.get(name) else name
            for name in self.columns
        ]

    def _numeric(self, name: str) -> bool:
        return all(v is None or isinstance(v, (float, int)) for v in self.columns[name])


def quiet(columns: dict[str, list[Any]], *groups: Iterable[str]) -> None:
    """Put 0 for what is rounding beside the largest number in its group of columns.

    >>> columns = {"u": [1e-17, 0.0], "v": [2.0, None]}
    >>> quiet(columns, ("u", "v"))
    >>> columns
    {'u': [0.0, 0.0], 'v': [2.0, None]}
    """
    for group in groups:
        own = [name for name in group if name in columns]
        sizes = (abs(v) for name in own for v in columns[name] if v is not None)
        noise = _NOISE * max(sizes, default=0.0)
        for name in own:
            columns[name] = [v if v is None or abs(v) >= noise else 0.0 for v in columns[name]]


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    return number(float(value)) if isinstance(value, (int, float, np.number)) else str(value)


def _installed(library: str) -> bool:
    names = ("pandas", "xarray") if library == "xarray" else (library,)
    return all(importlib.util.find_spec(name) is not None for name in names)
