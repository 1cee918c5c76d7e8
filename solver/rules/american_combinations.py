"""Combinations in the form of ASCE 7: strength of 7-16 and 7-22 (2.3.1, 2.3.6) and allowable stress
of 7-16 (2.4.1, 2.4.5), from memory; the same factors stand in building codes that adopt them."""

from __future__ import annotations

from collections.abc import Sequence

from ...geometry.errors import InputError
from .action_kind import Action, Combined, together

SOURCE = "ASCE 7, 2.3 and 2.4, from memory"
ALLOWABLE = "ASCE 7-16 allowable stress"
EDITIONS = ("ASCE 7-16", "ASCE 7-22", ALLOWABLE)

#: Kind to symbol: what rolls and walks is live load here.
_SYMBOL = {
    "permanent": "D", "prestress": "D", "settlement": "T", "live": "L", "traffic": "L",
    "vehicle": "L", "footway": "L", "concentrated": "L", "roof live": "Lr", "snow": "S",
    "wind": "W", "earthquake": "E", "temperature": "T",
}  # fmt: skip


def _rows(edition: str) -> list[tuple[str, dict[str, float]]]:
    """Number and factors by symbol; roof live and snow as alternatives of one another."""
    new = edition == "ASCE 7-22"
    snow_main, snow_beside, snow_seismic = (1.0, 0.3, 0.15) if new else (1.6, 0.5, 0.2)
    rows: list[tuple[str, dict[str, float]]] = [("1", {"D": 1.4})]
    for roof, main, beside in (("Lr", 1.6, 0.5), ("S", snow_main, snow_beside)):
        rows += [
            ("2", {"D": 1.2, "L": 1.6, roof: beside}),
            ("3, with live", {"D": 1.2, roof: main, "L": 1.0}),
            ("3, with wind", {"D": 1.2, roof: main, "W": 0.5}),
            ("4", {"D": 1.2, "W": 1.0, "L": 1.0, roof: beside}),
        ]
    return [
        *rows,
        ("5", {"D": 0.9, "W": 1.0}),
        ("6", {"D": 1.2, "E": 1.0, "L": 1.0, "S": snow_seismic}),
        ("7", {"D": 0.9, "E": 1.0}),
    ]


def _allowable_rows() -> list[tuple[str, dict[str, float]]]:
    """2.4.1 and 2.4.5, wind and earthquake at their strength level."""
    rows: list[tuple[str, dict[str, float]]] = [("1", {"D": 1.0}), ("2", {"D": 1.0, "L": 1.0})]
    for roof in ("Lr", "S"):
        rows += [
            ("3", {"D": 1.0, roof: 1.0}),
            ("4", {"D": 1.0, "L": 0.75, roof: 0.75}),
            ("6", {"D": 1.0, "L": 0.75, "W": 0.45, roof: 0.75}),
        ]
    return [
        *rows,
        ("5", {"D": 1.0, "W": 0.6}),
        ("7", {"D": 0.6, "W": 0.6}),
        ("8", {"D": 1.0, "E": 0.7}),
        ("9", {"D": 1.0, "L": 0.75, "E": 0.525, "S": 0.75}),
        ("10", {"D": 0.6, "E": 0.7}),
    ]


def american_combinations(actions: Sequence[Action], edition: str) -> list[Combined]:
    """The seven of strength or the ten of allowable stress of the edition, those alike left out.

    Raises
    ------
    InputError
        A kind that has no symbol there.
    """
    for action in actions:
        if action.kind not in _SYMBOL:
            raise InputError(
                f"case {action.name!r}: ASCE 7 has no load of kind {action.kind!r}; its kinds are "
                f"{', '.join(_SYMBOL)}"
            )
        if _SYMBOL[action.kind] == "T":
            raise InputError(
                f"case {action.name!r}: ASCE 7, 2.3.4 and 2.4.4, leaves the factor of "
                f"{action.kind} to the engineer: write [[combination]] tables for it"
            )
    found: list[Combined] = []
    state = "allowable" if edition == ALLOWABLE else "strength"
    rows = _allowable_rows() if edition == ALLOWABLE else _rows(edition)
    for number, by_symbol in rows:
        for group in together([a for a in actions if not a.permanent]):
            factors: dict[str, tuple[float, float]] = {}
            for action in actions:
                share = by_symbol.get(_SYMBOL[action.kind], 0.0)
                if action.permanent:
                    factors[action.name] = (share, share)
                elif action in group and share:
                    factors[action.name] = action.between(share)
            acting = [a.name for a in group if a.name in factors]
            words = f": {', '.join(acting)}" if acting else ""
            found.append(Combined(f"{state} {number}{words}", factors))
    return _different(found)


def _different(found: Sequence[Combined]) -> list[Combined]:
    kept: dict[tuple[tuple[str, tuple[float, float]], ...], Combined] = {}
    for one in found:
        kept.setdefault(tuple(sorted(one.factors.items())), one)
    rows = list(kept.values())
    names = [r.name for r in rows]
    return [
        Combined(f"{r.name} ({names[: k + 1].count(r.name)})", r.factors)
        if names[:k].count(r.name)
        else r
        for k, r in enumerate(rows)
    ]
