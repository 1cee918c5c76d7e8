"""What `SectionSolution.stress` is given, read and solved."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.units import Units
from .solver.section.stress.actions import SYMBOLS, Actions
from .stress_solution import StressSolution

if TYPE_CHECKING:
    from .solver.section import SectionResult


def stress_solution(
    result: SectionResult, cases: Any, actions: Mapping[str, Any], name: str, factor: float
) -> StressSolution:
    """Solve the stresses of a section under what `SectionSolution.stress` was given."""
    from .solver.section.stress.load_cases import solve_stress

    acting = acting_cases(cases, actions, name, result.unit)
    return StressSolution(solve_stress(result, acting, factor=factor))


def acting_cases(
    cases: Any, actions: Mapping[str, Any], name: str, unit: str
) -> tuple[Actions, ...]:
    """The load cases of a file or of mappings, or the one that actions make.

    Parameters
    ----------
    cases : path, sequence of mappings, or None
    actions : mapping
        Of the one case, like ``{"M_x": "5 kN*m"}``, where there are no cases.
    name : str
        Of that case.
    unit : str
        Length unit of the section, "" for none.

    Raises
    ------
    InputError, UnitError
        For an unknown action, a wrong unit, or no action at all.
    """
    from .solver.section.stress.case_file import load_cases

    if cases is not None and actions:
        raise InputError("give either load cases or actions, not both")
    if isinstance(cases, (str, os.PathLike)):
        if not unit:
            raise InputError("a file of load cases has units, this section has none; give it one")
        return load_cases(os.fspath(cases), Units(unit))
    entries: Sequence[Mapping[str, Any]] = [actions] if cases is None else list(cases)
    return tuple(
        _case(entry, str(entry.get("name", name if cases is None else f"case {k}")), unit)
        for k, entry in enumerate(entries, 1)
    )


def _case(entry: Mapping[str, Any], name: str, unit: str) -> Actions:
    from .solver.section.stress.case_file import case_of

    if not unit:
        for symbol, value in entry.items():
            if symbol in SYMBOLS and (isinstance(value, str) or hasattr(value, "magnitude")):
                raise InputError(
                    f"{name}: {symbol} has a unit, but the section has none; give plain numbers in "
                    "consistent units, or the section a unit"
                )
    return case_of(entry, name, Units(unit or "m"), bare=True)
