"""Actions as rules for combinations see them: what kind each is, and which never act together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

#: Kinds that act always; all others come and go.
PERMANENT = ("permanent", "prestress", "settlement")
#: Kinds of variable actions, building and bridge, in both practices.
VARIABLE = (
    "traffic", "concentrated", "vehicle", "footway", "wind", "temperature", "snow", "construction",
    "imposed A", "imposed B", "imposed C", "imposed D", "imposed E", "imposed F", "imposed G",
    "roof", "live", "roof live", "earthquake",
)  # fmt: skip
KINDS = (*PERMANENT, *VARIABLE)

Factors = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Action:
    """One load case, vehicle or crowd.

    Attributes
    ----------
    name, kind : str
        See `KINDS`.
    psi : (psi_0, psi_1, psi_2) or None
        In place of the rule's own.
    gamma : (unfavourable, favourable) or None
        In place of the rule's own.
    reverses : bool
        Whether it may act with either sign, as wind and temperature.
    apart : frozenset of str
        Names of those that never act together with it.
    part : "uniform", "difference" or ""
        Which part of temperature it is; "" for both, and for all else.
    """

    name: str
    kind: str
    psi: tuple[float, float, float] | None = None
    gamma: tuple[float, float] | None = None
    reverses: bool = False
    apart: frozenset[str] = field(default_factory=frozenset)
    part: str = ""

    @property
    def permanent(self) -> bool:
        """Whether it acts always."""
        return self.kind in PERMANENT

    def between(self, factor: float) -> tuple[float, float]:
        """Least and largest factor of a variable action that may be away."""
        return (-factor if self.reverses else 0.0, factor)


@dataclass(frozen=True, slots=True)
class Combined:
    """A combination: least and largest factor of each action."""

    name: str
    factors: Factors


def together(actions: Sequence[Action]) -> Iterator[tuple[Action, ...]]:
    """The largest sets of actions of which no two keep apart, one of them at least."""

    def keep_apart(one: Action, other: Action) -> bool:
        return other.name in one.apart or one.name in other.apart

    def grown(chosen: tuple[Action, ...], rest: Sequence[Action]) -> Iterator[tuple[Action, ...]]:
        if not rest:
            yield chosen
            return
        first, *more = rest
        clash = [a for a in more if keep_apart(first, a)]
        if any(keep_apart(first, a) for a in chosen):
            yield from grown(chosen, more)
            return
        yield from grown((*chosen, first), more)
        if clash:
            yield from grown(chosen, more)

    found = [frozenset(a.name for a in s) for s in grown((), list(actions))]
    largest = [s for s in found if not any(s < other for other in found)]
    for names in dict.fromkeys(largest):
        yield tuple(a for a in actions if a.name in names)
