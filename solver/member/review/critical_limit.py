"""A least critical load factor as a limit: by the theory whose sections deform where it runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ....geometry.errors import InputError
from ..beam.analysis import critical_loads
from ..beam.solution import Solution
from .frequency_limit import LeastUtilisation
from .stability import MemberStability


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
    limits: Sequence[CriticalLimit], solution: Solution, known: MemberStability | str | None
) -> tuple[LeastUtilisation, ...]:
    """One row for each limit: the lowest factor of all combinations.

    Parameters
    ----------
    known : MemberStability, str or None
        Of sections that deform, looked at as far as the limits ask; None judges by the classical
        theory.

    Raises
    ------
    InputError
        The factors of sections that deform cannot be had.
    """
    if not limits:
        return ()
    value, combination = _lowest(solution, known)
    bound = isinstance(known, MemberStability) and known.beyond is not None
    words = f" (it is beyond {value:g})" if bound else ""
    return tuple(
        LeastUtilisation(
            f"critical load factor at least {limit.factor:g}{words}",
            value, limit.factor, math.nan, combination, "set by the user", "given",
        )
        for limit in limits
    )  # fmt: skip


def _lowest(solution: Solution, known: MemberStability | str | None) -> tuple[float, str]:
    if isinstance(known, str):
        raise InputError(f"critical_factor cannot be judged: {known}")
    if known is not None:
        if known.beyond is not None:
            return known.beyond, "all"
        return known.lowest.factor, known.lowest.name
    loads = solution.critical or critical_loads(solution.mesh.member)
    lowest = min(loads, key=lambda load: load.factor)
    return lowest.factor, lowest.name
