"""A long column of numbers in eight bytes each: Python's own take thirty-two in a list."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, overload


class NumberColumn(Sequence[Any]):
    """Floats, or None where there is no value; it grows at its end.

    Parameters
    ----------
    values : iterable of float or None

    Examples
    --------
    >>> column = NumberColumn([1.5, None])
    >>> column.append(2.0)
    >>> column, column[1:], len(column)
    ([1.5, None, 2.0], [None, 2.0], 3)
    """

    __slots__ = ("_numbers",)

    def __init__(self, values: Iterable[float | None] = ()) -> None:
        self._numbers = array("d")
        for value in values:
            self.append(value)

    def append(self, value: float | None) -> None:
        """One more value; what is not a number is kept as none."""
        self._numbers.append(float("nan") if value is None else value)

    def __len__(self) -> int:
        return len(self._numbers)

    @overload
    def __getitem__(self, place: int) -> float | None: ...
    @overload
    def __getitem__(self, place: slice) -> list[float | None]: ...
    def __getitem__(self, place: int | slice) -> float | list[float | None] | None:
        found = self._numbers[place]
        return _given(found) if isinstance(found, float) else [_given(v) for v in found]

    def __iter__(self) -> Iterator[float | None]:
        return map(_given, self._numbers)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(list(self))


def _given(number: float) -> float | None:
    return None if number != number else number
