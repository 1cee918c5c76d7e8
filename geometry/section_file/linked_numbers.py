"""Numbers that follow from others: ``"= wall/2 + 10 mm"`` in any value of a file.

::

    [quantity]                     # named once, used everywhere in the file
    wall = "12 mm"
    diameter = "= 20*wall"

    [[shape]]
    profile = "CircleHollow"
    Radius = "= diameter/2"
    WallThickness = "= wall"

Arithmetic (+ - * / ^ and brackets), min, max, abs, sqrt, sin, cos, tan and pi, with units that are
checked; see `expression`.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from ..errors import InputError
from ..quantity import LENGTHS, split, unit_size, unit_word
from .amount import Amount
from .entry import naming
from .expression import FUNCTIONS, Expression

TABLE = "quantity"
_MOST = 500
_NAME = re.compile(r"[^\W\d]\w*\Z")


def linked(table: Mapping[str, Any], length: object) -> dict[str, Any]:
    """The tables of a file with every expression replaced by its number, without `quantity`.

    Parameters
    ----------
    table : mapping
        As `text.parsed` gives it.
    length : object
        The file's length unit, in which lengths are given back; whatever is no such unit leaves
        them with a unit of their own.

    Raises
    ------
    InputError
        An expression that cannot be read, that refers to itself, or whose units do not fit; the
        message names the key.
    """
    known = _named(table, {})
    unit = length if isinstance(length, str) and length in LENGTHS else "m"
    rest = {key: value for key, value in table.items() if key != TABLE}
    return {key: _replaced(value, known, unit, key) for key, value in rest.items()}


def _named(table: Mapping[str, Any], around: Mapping[str, Any]) -> _Named:
    """The names of a table, and those of the file around it."""
    named = table.get(TABLE, {})
    if not isinstance(named, Mapping):
        raise InputError(f"{TABLE}: write it as a table, [{TABLE}] and its names below")
    if len(named) > _MOST:
        raise InputError(f"more than {_MOST} names in [{TABLE}]")
    known = _Named({**around, **named})
    for name in named:
        known.amount(name)
    return known


def _replaced(value: Any, known: _Named, unit: str, place: str) -> Any:
    if isinstance(value, str):
        if not value.lstrip().startswith("=") or place.rpartition(".")[2] == "name":
            return value
        with naming(place):
            return _shown(known.evaluated(value.lstrip()[1:]), unit)
    if isinstance(value, Mapping):
        if isinstance(value.get(TABLE), Mapping):
            # A section's file taken into a member's: with names, and a unit, of its own.
            with naming(place):
                known = _named(value, known.table)
            own = value.get("unit")
            unit = own if isinstance(own, str) and own in LENGTHS else unit
            value = {k: v for k, v in value.items() if k != TABLE}
        return {k: _replaced(v, known, unit, f"{place}.{k}") for k, v in value.items()}
    if isinstance(value, list):
        return [_replaced(v, known, unit, f"{place}.{n}") for n, v in enumerate(value, 1)]
    return value


def _shown(amount: Amount, unit: str) -> float | str:
    """A plain number, a length in the file's unit, or a text with a unit."""
    if amount.plain:
        return float(amount.value)
    if amount.dimension == (0, 1, 0):
        return float(amount.value / LENGTHS[unit])
    if any(Fraction(d).denominator != 1 for d in amount.dimension):
        raise InputError("a root leaves a unit that is no quantity; check the powers")
    mass, length, time = (int(d) for d in amount.dimension)
    if time % 2:
        raise InputError("the result is no quantity of a section or member")
    force = -time // 2
    powers = (("N", force), ("m", length - force), ("kg", mass - force))
    over = "*".join(f"{u}^{n}" if n > 1 else u for u, n in powers if n > 0)
    under = "".join(f"/{u}^{-n}" if n < -1 else f"/{u}" for u, n in powers if n < 0)
    return f"{float(amount.value)!r} {over or '1'}{under}"


@dataclass(slots=True)
class _Named:
    """Names and their values, worked out when asked for."""

    table: Mapping[str, Any]
    found: dict[str, Amount] = field(default_factory=dict)
    open: list[str] = field(default_factory=list)

    def amount(self, name: str) -> Amount:
        """The value of a name."""
        if name in self.found:
            return self.found[name]
        if name in self.open:
            round_ = " -> ".join([*self.open[self.open.index(name) :], name])
            raise InputError(f"refers to itself: {round_}; give one of them a number")
        if not _NAME.match(name) or unit_word(name) is not None or name in FUNCTIONS:
            raise InputError(
                f"{TABLE} {name[:60]!r}: a name is letters, digits and _, and no unit or function; "
                "rename it"
            )
        value = self.table[name]
        self.open.append(name)
        try:
            with _outermost(f"{TABLE} {name!r}", len(self.open)):
                if isinstance(value, str) and value.lstrip().startswith("="):
                    self.found[name] = self.evaluated(value.lstrip()[1:])
                else:
                    self.found[name] = _read(value)
        finally:
            self.open.pop()
        return self.found[name]

    def evaluated(self, text: str) -> Amount:
        """An expression's value."""
        return Expression(text, self.table, self.lookup).result()

    def lookup(self, word: str) -> Amount:
        """The value of a word of an expression: a name, or a unit."""
        if word in self.table:
            return self.amount(word)
        if word == "pi":
            return Amount(Fraction(math.pi))
        unit = unit_word(word)
        if unit is not None:
            return Amount(*unit)
        near = difflib.get_close_matches(word, [*self.table, *FUNCTIONS], 1, 0.5)
        there = ", ".join(self.table) or "none"
        hint = f"did you mean {near[0]!r}?" if near else f"names in [{TABLE}]: {there}"
        raise InputError(f"{word[:60]!r} is not known; {hint}")


def _outermost(place: str, depth: int):  # type: ignore[no-untyped-def]
    """Name the place of a mistake once, at the name where it is first met."""
    from contextlib import nullcontext

    return naming(place) if depth == 1 else nullcontext()


def _read(value: object) -> Amount:
    """A number, or a text with a unit."""
    if isinstance(value, int) and not isinstance(value, bool):
        return Amount(Fraction(value))
    if isinstance(value, float) and math.isfinite(value):
        return Amount(Fraction(value))
    parts = split(value) if isinstance(value, str) else None
    if parts is None or not math.isfinite(parts[0]):
        raise InputError(
            'write a number, a quantity like "12 mm", or an expression like "= 2*wall", not '
            f"{str(value)[:60]!r}"
        )
    number, unit = parts
    if not unit:
        return Amount(Fraction(number))
    size, dimension = unit_size(unit)
    return Amount(Fraction(str(number)) * size, dimension)
