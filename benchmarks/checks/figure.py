"""Figures from outside: published or derived values with their source, read from tests/data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

DATA = Path(__file__).parents[2] / "tests" / "data"
FILES = (
    "section_checks.json",
    "member_checks.json",
    "profile_checks.json",
    "material_checks.json",
    "joint_checks.json",
    "axis_checks.json",
    "stability_checks.json",
    "buckling_checks.json",
    "bridge_checks.json",
    "laboratory_checks.json",
)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure, or a few that belong together.

    Attributes
    ----------
    name : str
        Its id in the data.
    quantity, case, unit : str
    values : tuple of float
        What ours is compared with: the printed figure itself, or the same computed to more digits.
    printed : tuple of str
        The digits as the source prints them.
    source, provenance : str
        Where it stands, and whether it was read there, recalled or derived.
    why : str
        One line on why the printed figure differs from the exact one by more than its digits.
    inputs : mapping
        What the source starts from.
    scatter : str
        Of a measured figure, as the laboratory states it.
    """

    name: str
    quantity: str
    case: str
    unit: str
    values: tuple[float, ...]
    printed: tuple[str, ...]
    source: str
    provenance: str
    why: str
    inputs: Mapping[str, Any]
    scatter: str = ""

    @property
    def value(self) -> float:
        """The value of a figure that has one."""
        (only,) = self.values
        return only

    @property
    def published(self) -> tuple[float, ...]:
        """The printed digits as numbers."""
        return tuple(float(text) for text in self.printed)

    @property
    def printed_errors(self) -> tuple[float, ...]:
        """Half a unit of the last printed digit of each.

        Zeros that end a whole number count as printed up to the third digit: 16000 is known to 100.
        """
        return tuple(half_unit(text) for text in self.printed)


def half_unit(text: str) -> float:
    """Half a unit of the last digit of a printed number."""
    mantissa, _, power = text.lower().partition("e")
    digits = mantissa.lstrip("+-")
    whole, _, decimals = digits.partition(".")
    place = -len(decimals)
    if not decimals:
        significant = len(whole.rstrip("0"))
        place = len(whole) - max(significant, min(3, len(whole)))
    return 0.5 * 10.0 ** (place + int(power or 0))


@cache
def figures() -> Mapping[str, Figure]:
    """All figures by their name."""
    found: dict[str, Figure] = {}
    for file in FILES:
        text = (DATA / file).read_text(encoding="utf-8")
        numbers, literals = json.loads(text), json.loads(text, parse_float=str, parse_int=str)
        for entry, digits in zip(_entries(numbers), _entries(literals), strict=True):
            name = entry["id"]
            if name in found:
                raise ValueError(f"{file} holds {name} a second time")
            found[name] = _figure(entry, digits)
    return MappingProxyType(found)


def _entries(data: Any) -> list[dict[str, Any]]:
    return data["checks"] if isinstance(data, dict) else data


def _figure(entry: dict[str, Any], digits: dict[str, Any]) -> Figure:
    return Figure(
        entry["id"],
        entry["quantity"],
        entry.get("case") or entry.get("geometry", ""),
        entry["unit"],
        tuple(float(v) for v in _several(entry["value"])),
        tuple(_several(digits.get("published", digits["value"]))),
        entry["source"],
        entry["provenance"],
        entry.get("why", ""),
        entry.get("inputs", {}),
        entry.get("scatter", ""),
    )


def _several(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]
