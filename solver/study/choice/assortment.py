"""What may be chosen: rolled shapes, or a section file with parameters."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from ....geometry.errors import InputError
from ..file.parameter import Parameter, Value
from ..file.section_base import SectionBase
from .section_candidate import Shaped, of_member, rolled_shapes, shaped
from .setting import Candidate

#: Combinations of list values that are tried, and optimised, at most.
MOST_LISTED, MOST_FITTED = 20_000, 500


@dataclass(frozen=True, slots=True)
class RolledChoice:
    """Rolled shapes of some families (all when empty) in a generic material."""

    families: tuple[str, ...]
    material: str


@dataclass(frozen=True, slots=True)
class ShapedChoice:
    """A section file and the parameters that may be chosen."""

    base: SectionBase
    parameters: tuple[Parameter, ...]

    @property
    def lists(self) -> tuple[Parameter, ...]:
        """Parameters that take one of some values."""
        return tuple(p for p in self.parameters if not p.is_range)

    @property
    def ranges(self) -> tuple[Parameter, ...]:
        """Parameters that take any value between two."""
        return tuple(p for p in self.parameters if p.is_range)

    @property
    def varies_diaphragms(self) -> bool:
        """Whether a range is of the member's diaphragms, which the classical theory does not
        see."""
        return any(of_member(address) for p in self.ranges for address in p.sets)

    def combinations(self) -> list[dict[str, Value]]:
        """Every choice of list values, by name."""
        values = [p.values for p in self.lists]
        total = 1
        for v in values:
            total *= len(v)
        most = MOST_FITTED if self.ranges else MOST_LISTED
        if total > most:
            raise InputError(
                f"{total} combinations of listed values are more than {most}; shorten the lists"
            )
        names = [p.name for p in self.lists]
        return [dict(zip(names, row, strict=True)) for row in itertools.product(*values)]

    def candidate(self, values: dict[str, Value]) -> Shaped:
        """The section with every parameter given."""
        return shaped(self.base, [(p, values[p.name]) for p in self.parameters])


def candidates_of(choice: RolledChoice | ShapedChoice) -> list[Candidate]:
    """All candidates of a choice without ranges."""
    if isinstance(choice, RolledChoice):
        return list(rolled_shapes(choice.families, choice.material))
    return [choice.candidate(values) for values in choice.combinations()]
