"""What may be chosen: rolled shapes, or a section file with parameters."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from ....geometry.errors import InputError
from ..file.parameter import Parameter, Value
from ..file.section_base import SectionBase
from .candidate import Candidate
from .section_candidate import Altered, Shaped, of_member, rolled_shapes, shaped

#: Combinations of list values that are tried, and optimised, at most.
MOST_LISTED, MOST_FITTED = 20_000, 500


@dataclass(frozen=True, slots=True)
class RolledChoice:
    """Rolled shapes of some families (all when empty) in a generic material."""

    families: tuple[str, ...]
    material: str


@dataclass(frozen=True, slots=True)
class ShapedChoice:
    """A section file, or the member file where there is none, and the parameters that may be
    chosen."""

    base: SectionBase | None
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
        words = (address for p in self.ranges for address in p.sets)
        return any(of_member(w) or (self.base is None and w.startswith("diaphragm")) for w in words)

    @property
    def total(self) -> int:
        """Number of combinations of list values."""
        return math.prod(len(p.values) for p in self.lists)

    @property
    def most(self) -> int:
        """Combinations that are tried at most."""
        return MOST_FITTED if self.ranges else MOST_LISTED

    def combinations(self) -> list[dict[str, Value]]:
        """Every choice of list values, by name."""
        values = [p.values for p in self.lists]
        if self.total > self.most:
            raise InputError(
                f"{self.total} combinations of listed values are more than {self.most}; shorten "
                "the lists"
            )
        names = [p.name for p in self.lists]
        return [dict(zip(names, row, strict=True)) for row in itertools.product(*values)]

    def candidate(self, values: dict[str, Value]) -> Shaped | Altered:
        """The section with every parameter given."""
        return shaped(self.base, [(p, values[p.name]) for p in self.parameters])


def candidates_of(choice: RolledChoice | ShapedChoice) -> list[Candidate]:
    """All candidates of a choice without ranges."""
    if isinstance(choice, RolledChoice):
        return list(rolled_shapes(choice.families, choice.material))
    return [choice.candidate(values) for values in choice.combinations()]
