"""One outcome of a rule: demand over capacity, in words, with its source."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Verdict:
    """Outcome of one rule.

    Attributes
    ----------
    rule : str
        What was checked.
    ratio : float
        Demand over capacity; infinite where no capacity is left, never not-a-number.
    reason : str
        Why it fails for another reason than the ratio, "" otherwise.
    source : str
        Code and clause.
    provenance : str
        "read" in a published source, "from memory", or "derived".
    """

    rule: str
    ratio: float
    source: str
    provenance: str
    reason: str = ""

    def __post_init__(self) -> None:
        if math.isnan(self.ratio):
            object.__setattr__(self, "ratio", math.inf)

    @property
    def passed(self) -> bool:
        """Whether the rule is met."""
        return self.ratio <= 1.0 and not self.reason

    @property
    def words(self) -> str:
        """One line for a table."""
        outcome = "passes" if self.passed else "fails"
        figure = "no capacity left" if math.isinf(self.ratio) else f"{self.ratio:.3f} of capacity"
        tail = f": {self.reason}" if self.reason else ""
        return f"{self.rule} {outcome} ({figure}{tail}) [{self.source}, {self.provenance}]"
