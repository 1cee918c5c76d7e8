"""How near each combination is to buckling, by both theories, and how the member would move."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ....geometry.errors import InputError, SolveError
from ..beam.solution import Solution
from ..critical.member_buckling import FAR, MemberBuckling, member_buckling
from ..critical.movement import ModeMovement, ModeNames, mode_movement
from ..deforming.solution import DeformingSolution
from .deformed import Deformed
from .stress import Sections

#: The theories agree within this share of the classical factor.
ALIKE = 0.03


@dataclass(frozen=True, slots=True, eq=False)
class StabilityRow:
    """One combination.

    Attributes
    ----------
    name : str
    factor : float
        Of all loads, at which the member buckles; infinite where it does not, or where
        `MemberStability.beyond` is given.
    classical : float
        With sections that keep their shape.
    reversed : float
        With all loads reversed.
    movement : ModeMovement or None
        Of the mode; None where nothing buckles.
    yields_at : float or None
        Factor at which the largest first-order stress reaches the yield strength, where it is
        known.
    open : tuple of str
        Contacts that these loads leave open, as the mode has them.
    """

    name: str
    factor: float
    classical: float
    reversed: float
    movement: ModeMovement | None
    yields_at: float | None
    open: tuple[str, ...]

    @property
    def yields_first(self) -> bool:
        """Whether the member yields before it buckles."""
        return self.yields_at is not None and self.yields_at < self.factor

    @property
    def alike(self) -> bool:
        """Whether both theories agree."""
        if math.isinf(self.factor) or math.isinf(self.classical):
            return self.factor > FAR and self.classical > FAR
        return abs(self.factor / self.classical - 1) <= ALIKE


@dataclass(frozen=True, slots=True, eq=False)
class MemberStability:
    """All combinations.

    Attributes
    ----------
    rows : tuple of StabilityRow
    buckling : MemberBuckling
    beyond : float or None
        All factors are beyond this one, by the sections' waves and the classical member, and no
        more was asked.
    """

    rows: tuple[StabilityRow, ...]
    buckling: MemberBuckling
    beyond: float | None = None

    @property
    def lowest(self) -> StabilityRow:
        """The combination nearest to buckling."""
        return min(self.rows, key=lambda row: row.factor)


def stability(
    classical: Solution, other: Deformed, sections: Sections, asked: float = 0.0
) -> MemberStability | str:
    """Critical factors beside the classical ones, where any is below `FAR` or `asked`; why there
    are none, where they cannot be had."""
    far = max(FAR, asked)
    solution, stress = other.first.solution, other.first.stress
    try:
        known = [load.factor for load in classical.critical]
        found = other.buckling or member_buckling(solution, sections, classical=known, far=far)
    except (InputError, SolveError) as error:
        return str(error)
    if found.state is None:
        return MemberStability((), found, far)
    names = ModeNames()
    strength = _strength(sections)
    rows = []
    for c, factors in enumerate(found.factors):
        mode = factors.modes[0] if factors.modes else None
        peak = float(stress.mises[:, c].max())
        before = classical.critical[c].factor if classical.critical else math.inf
        rows.append(
            StabilityRow(
                factors.name,
                factors.factor,
                before,
                factors.reversed,
                None if mode is None else mode_movement(found.state, mode, c, names),
                None if strength is None or peak <= 0 else strength / peak,
                _open(solution, c),
            )
        )
    return MemberStability(tuple(rows), found)


def _strength(sections: Sections) -> float | None:
    """The yield strength, where all of the member has one."""
    known = {strength for section in sections.values() for strength in section.strengths}
    return next(iter(known)) if len(known) == 1 else None


def _open(solution: DeformingSolution, c: int) -> tuple[str, ...]:
    """One-sided contacts that the first-order answer leaves open."""
    return tuple(
        dict.fromkeys(
            contact.owner
            for k, contact in enumerate(solution.contacts)
            if contact.one_sided and int(solution.states[c, k]) == 0
        )
    )
