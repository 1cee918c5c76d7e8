"""The lowest natural frequency as a limit, with the mass that the member file states.

It is held against the theory that leads: of sections that deform where they can be solved.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from ....geometry.errors import InputError
from ....geometry.units import Units
from ..model.member import Member
from ..model.solved_section import SolvedSection
from .movement_limits import Utilisation

#: Modes among which a motion is sought.
_SOUGHT = 12


@dataclass(frozen=True, slots=True)
class FrequencyLimit:
    """Least frequency in Hz of the first mode, or of the first that has a motion in its name."""

    hertz: float
    motion: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.hertz < math.inf:
            raise InputError(f"first_frequency must be positive, got {self.hertz:g} Hz")
        if not self.motion:
            return
        from ..vibration.motion import MOTIONS

        if self.motion not in MOTIONS:
            raise InputError(f"motion is {self.motion!r}; say one of {', '.join(MOTIONS)}")


@dataclass(frozen=True, slots=True)
class LeastUtilisation(Utilisation):
    """A value that must not fall below `allowed`."""

    @property
    def ratio(self) -> float:
        """allowed / value."""
        return self.allowed / abs(self.value)


class Asked(Protocol):
    """What a member file asks for, as far as its frequencies need it."""

    @property
    def member(self) -> Member:
        """Solved."""
        ...

    @property
    def sections(self) -> Mapping[str, SolvedSection]:
        """By name."""
        ...

    @property
    def units(self) -> Units:
        """Consistent ones."""
        ...

    @property
    def frequencies(self) -> tuple[FrequencyLimit, ...]:
        """Limits."""
        ...

    @property
    def keep_shape(self) -> bool:
        """Whether the classical theory alone is asked for."""
        ...


def frequency_rows(asked: Asked, *, keep_shape: bool = False) -> tuple[LeastUtilisation, ...]:
    """One row for each limit on a frequency.

    Raises
    ------
    InputError
        A missing density; no mode of the motion among the first twelve.
    """
    limits = asked.frequencies
    if not limits:
        return ()
    from ..vibration.analysis import vibration_of

    sought = _SOUGHT if any(limit.motion for limit in limits) else 1
    vibration = vibration_of(
        asked.member,
        asked.sections,
        asked.units,
        keep_shape=keep_shape or asked.keep_shape,
        modes=sought,
        judged=False,
    )
    rows = []
    for limit in limits:
        mode: int | None = vibration.first(limit.motion) if limit.motion else 0
        if mode is None:
            found = ", ".join(dict.fromkeys(vibration.names))
            raise InputError(
                f"first_frequency: none of the first {sought} modes is {limit.motion} "
                f"(they are {found}); drop motion, or run soapfilm vibrate with more modes"
            )
        words = f"first {limit.motion + ' ' if limit.motion else ''}frequency at least"
        rows.append(
            LeastUtilisation(
                f"{words} {limit.hertz:g} Hz",
                float(vibration.frequencies[mode]),
                limit.hertz,
                math.nan,
                vibration.names[mode],
                "set by the user",
                "given",
            )
        )
    return tuple(rows)
