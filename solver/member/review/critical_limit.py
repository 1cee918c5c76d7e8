"""A least critical load factor as a limit: by the theory whose sections deform where it runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ....geometry.errors import InputError
from ..beam.analysis import critical_loads
from ..beam.solution import Solution
from .deformed import Deformed
from .frequency_limit import LeastUtilisation
from .stability import stability
from .stress import Sections


@dataclass(frozen=True, slots=True)
class CriticalLimit:
    """Least factor of all loads at which the member buckles, elastic."""

    factor: float

    def __post_init__(self) -> None:
        if not 1 < self.factor < math.inf:
            raise InputError(
                f"critical_factor must be above 1, got {self.factor:g}: at 1 the member buckles "
                "under its loads"
            )


def critical_rows(
    limits: Sequence[CriticalLimit], solution: Solution, other: Deformed | None, sections: Sections
) -> tuple[LeastUtilisation, ...]:
    """One row for each limit: the lowest factor of all combinations.

    Raises
    ------
    InputError
        The factors of sections that deform cannot be had.
    """
    if not limits:
        return ()
    value, combination = _lowest(limits, solution, other, sections)
    return tuple(
        LeastUtilisation(
            f"critical load factor at least {limit.factor:g}",
            value, limit.factor, math.nan, combination, "set by the user", "given",
        )
        for limit in limits
    )  # fmt: skip


def _lowest(
    limits: Sequence[CriticalLimit], solution: Solution, other: Deformed | None, sections: Sections
) -> tuple[float, str]:
    if other is not None:
        found = stability(solution, other, sections, max(limit.factor for limit in limits))
        if isinstance(found, str):
            raise InputError(f"critical_factor cannot be judged: {found}")
        if found.beyond is not None:
            return found.beyond, "all"
        return found.lowest.factor, found.lowest.name
    known = solution.critical or critical_loads(solution.mesh.member)
    lowest = min(known, key=lambda load: load.factor)
    return lowest.factor, lowest.name
