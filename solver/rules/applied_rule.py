"""A rule applied along a member: how far it is used at every station, and the figures behind the
worst."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .verdict import Verdict

Array = NDArray[np.float64]

#: Uses this near to each other (relative) are alike.
ALIKE = 1e-6


@dataclass(frozen=True, slots=True)
class RuleFigure:
    """A symbol of the rule's equation with its value: `quantity` names its dimension ("force",
    "moment", "torque", "bimoment", "stress", "area", "ratio", ...)."""

    symbol: str
    value: float
    quantity: str


@dataclass(frozen=True, slots=True, eq=False)
class AppliedRule:
    """One rule on one section.

    Attributes
    ----------
    rule : str
        What is checked.
    equation : str
        In words of the code's own symbols.
    source, provenance : str
        Code and clause; "read" in a published source, or "from memory".
    section : str
    z : (m,)
    ratio : (m, c)
        Demand over capacity.
    names : tuple of str
        The c combinations.
    terms : mapping of symbols to (quantity, values that spread over (m, c))
    reason : str
        Why it fails, or what limits it, beside the ratio.
    """

    rule: str
    equation: str
    source: str
    provenance: str
    section: str
    z: Array
    ratio: Array
    names: tuple[str, ...]
    terms: Mapping[str, tuple[str, ArrayLike]] = field(default_factory=dict)
    reason: str = ""

    @property
    def worst(self) -> tuple[int, int]:
        """Station and combination, by their numbers, of the largest use."""
        ratio = np.where(np.isnan(self.ratio), np.inf, self.ratio)
        # Of stations alike, as both halves of a symmetric member have them, the first: sections
        # that deform are solved to more than this, not to rounding.
        top = float(ratio.max())
        alike = ratio >= (top - ALIKE * abs(top) if np.isfinite(top) else top)
        row, column = np.unravel_index(int(alike.argmax()), ratio.shape)
        return int(row), int(column)

    @property
    def station(self) -> float:
        """Where it is used most."""
        return float(self.z[self.worst[0]])

    @property
    def combination(self) -> str:
        """Under which combination."""
        return self.names[self.worst[1]]

    @property
    def verdict(self) -> Verdict:
        """The largest use as a verdict."""
        return Verdict(
            self.rule, float(self.ratio[self.worst]), self.source, self.provenance, self.reason
        )

    @property
    def figures(self) -> tuple[RuleFigure, ...]:
        """The equation's symbols where it is used most."""
        found = []
        for symbol, (quantity, values) in self.terms.items():
            spread = np.broadcast_to(np.asarray(values, float), self.ratio.shape)
            found.append(RuleFigure(symbol, float(spread[self.worst]), quantity))
        return tuple(found)
