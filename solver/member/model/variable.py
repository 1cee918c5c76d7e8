"""Combinations whose parts come and go: what acts always, what may be away, and what travels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ....geometry.errors import InputError
from .member import Member


@dataclass(frozen=True, slots=True)
class VariableCombination:
    """Load cases with the least and the largest factor that each may take, and moving loads.

    Each case takes that of its two factors which is worse for a result; one that may be away has
    the factor 0 among them. A moving load stands where it is worst, or is away.

    Attributes
    ----------
    name : str
    cases : mapping of case to (least, largest) factor
    moving : mapping of vehicle or crowd to factor
    source : str
        The standard in whose form it is; empty for the user's own.
    solved : bool
        Whether the member's own combinations hold all of it, by arrangements of its pattern.
    """

    name: str
    cases: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    moving: Mapping[str, float] = field(default_factory=dict)
    source: str = ""
    solved: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "cases", dict(self.cases))
        object.__setattr__(self, "moving", dict(self.moving))


def check_combinations(variable: Sequence[VariableCombination], member: Member) -> None:
    """Every case has loads, and no two combinations have one name.

    Raises
    ------
    InputError
        In words.
    """
    names = [v.name for v in variable]
    for one in variable:
        if names.count(one.name) > 1:
            raise InputError(f"two combinations are named {one.name!r}; rename one")
        for case in one.cases:
            if case not in member.cases:
                raise InputError(
                    f"combination {one.name!r}: load case {case!r} has no loads; cases are "
                    f"{', '.join(member.cases) or 'none'}"
                )
