"""Load cases as they are typed: assignments on the command line, or a TOML file of cases.

soapfilm stress girder.toml "V_y = 120 kN" "T = 4 kN*m"
soapfilm stress girder.toml --cases cases.toml

[[case]]
name = "crowd on one side"
V_y = "120 kN"
T = "4 kN*m"
through = ["40 mm", "0 mm"]    # the shear's line; the shear centre when left out
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from ....geometry.errors import FileFormatError, InputError
from ....geometry.section_file.entry import naming
from ....geometry.section_file.text import parsed, read_text
from ....geometry.units import Units
from .actions import NAMES, SYMBOLS, Actions

#: Dimension of each action, in the order of `actions.NAMES`.
QUANTITY = (
    "force",
    "moment",
    "moment",
    "force",
    "force",
    "moment",
    "moment",
    "bimoment",
)

#: Actions beyond these, in consistent units, leave the range in which their stress has a square.
LEAST, MOST = 1e-100, 1e100


def typed_case(
    assignments: Sequence[str],
    through: str | None,
    units: Units,
    known: Sequence[str] = SYMBOLS,
) -> Actions:
    """One load case from "V_y = 120 kN" texts of the `known` actions."""
    values: dict[str, str] = {}
    for text in assignments:
        symbol, equals, value = text.partition("=")
        symbol = symbol.strip()
        if not equals or not value.strip():
            raise InputError(f'{text!r} is not an action; write it like "V_y = 120 kN"')
        if symbol not in SYMBOLS:
            raise InputError(_unknown(symbol, "the given actions", known))
        if symbol in values:
            raise InputError(f"{symbol} is given twice; add the two up first")
        values[symbol] = value.strip()
    entry: dict[str, Any] = dict(values)
    if through is not None:
        entry["through"] = through.split(",")
    return case_of(entry, "the given actions", units)


def load_cases(path: str, units: Units) -> tuple[Actions, ...]:
    """All cases of a TOML file.

    Raises
    ------
    FileFormatError, UnitError, InputError
        Every message starts with the path.
    """
    with naming(path):
        return _cases(parsed(read_text(Path(path))), units)


def _cases(content: Mapping[str, Any], units: Units) -> tuple[Actions, ...]:
    extra = set(content) - {"case"}
    entries = content.get("case")
    if extra or not isinstance(entries, list) or not entries:
        what = f"unknown key {min(extra)!r}" if extra else "no load case"
        raise FileFormatError(f"{what}; a file of load cases holds [[case]] entries only")
    cases = []
    for k, entry in enumerate(entries, 1):
        name = f"case {k}"
        if not isinstance(entry, Mapping):
            raise FileFormatError(f"{name} is not a table of actions")
        cases.append(case_of(entry, str(entry.get("name", name)), units))
    names = [case.name for case in cases]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise FileFormatError(f"two cases are called {twice!r}; give each its own name")
    return tuple(cases)


def case_of(entry: Mapping[str, Any], name: str, units: Units, *, bare: bool = False) -> Actions:
    """One load case from its actions by symbol ("V_y"), with `through` where shear has a line.

    Parameters
    ----------
    entry : mapping
    name : str
        Of the case.
    units : Units
    bare : bool
        Whether numbers without a unit are taken in the consistent unit (N and N*mm in mm).

    Raises
    ------
    InputError, UnitError
        For an unknown action, a wrong unit, or no action at all.
    """
    values = {}
    for symbol, value in entry.items():
        if symbol in ("name", "through"):
            continue
        if symbol not in SYMBOLS:
            raise InputError(_unknown(symbol, name, SYMBOLS))
        k = SYMBOLS.index(symbol)
        own = units.label(QUANTITY[k]) if bare else None
        read = units.read(value, QUANTITY[k], what=f"{name}: {symbol}", bare=own)
        if read and not LEAST <= abs(read) <= MOST:
            much = "much" if abs(read) > MOST else "little"
            raise InputError(
                f"{name}: {symbol} = {read:.3g} {units.label(QUANTITY[k])} is too {much} for its "
                f"stress to be worked out; give a real {QUANTITY[k]}"
            )
        values[NAMES[k]] = read
    if not any(values.values()):
        raise InputError(f'{name}: no action; give at least one, like "V_y = 120 kN"')
    if "through" in entry and not {"V_x", "V_y"} & entry.keys():
        raise InputError(
            f"{name}: through is the point that shear acts through, and there is none; give V_x or "
            "V_y, or leave it out"
        )
    through = _point(entry.get("through"), name, units, bare)
    return Actions(**values, through=through, name=name)


def _unknown(symbol: str, name: str, known: Sequence[str]) -> str:
    near = get_close_matches(symbol, known, 1, 0.4)
    hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"
    return f"{name}: there is no action {symbol!r}; {hint}"


def _point(through: Any, name: str, units: Units, bare: bool) -> tuple[float, float] | None:
    if through is None:
        return None
    if not isinstance(through, (list, tuple)) or len(through) != 2:
        raise InputError(f'{name}: through is not a point; write it like ["40 mm", "0 mm"]')
    own = units.length if bare else None
    x, y = (units.read(c, "length", what=f"{name}: through", bare=own) for c in through)
    return x, y
