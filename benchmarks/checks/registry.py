"""Checks: each figure from outside beside the function that computes it, by topic."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from .figure import Figure, figures, half_unit

#: Printed digits beyond the ninth are not compared.
COMPARED = 1e-9
#: Modules in the order of the book; each defines topics.
MODULES = (
    "bars",
    "stress_peaks",
    "curved_bars",
    "thin_walls",
    "rolled_shapes",
    "girders",
    "plastic_torque",
    "bending_shear",
    "profiles",
    "materials",
    "torsion_table",
    "wide_flange_example",
    "member_examples",
    "curved_members",
    "clothoids",
    "influence_lines",
    "moving_loads",
    "bridge_actions",
    "load_combinations",
    "stability",
    "lateral_torsional",
    "columns",
    "plate_buckling",
    "section_buckling",
    "rings",
    "frequencies",
    "rules",
    "hand_methods",
    "distortion",
    "warped_tubes",
    "flange_lag",
    "tapered_members",
    "joints",
    "laboratory",
)


@dataclass(frozen=True, slots=True)
class Found:
    """What the package says of a figure: values, each with half the width of its interval.

    A half width of 0 stands for a closed form or an exact element: only rounding.
    """

    values: tuple[float, ...]
    halves: tuple[float, ...]
    guaranteed: bool = False

    @classmethod
    def between(cls, lower: float, upper: float) -> Found:
        """A guaranteed interval."""
        return cls(((lower + upper) / 2,), ((upper - lower) / 2,), guaranteed=True)

    @classmethod
    def about(cls, value: float, change: float = 0.0) -> Found:
        """A value and how far it may be off by its own estimate."""
        return cls((float(value),), (abs(float(change)),))

    @classmethod
    def several(cls, values: Iterable[float]) -> Found:
        """Values that are exact but for rounding."""
        numbers = tuple(float(v) for v in values)
        return cls(numbers, (0.0,) * len(numbers))

    def scaled(self, factor: float) -> Found:
        """In another unit."""
        return Found(
            tuple(factor * v for v in self.values),
            tuple(abs(factor) * h for h in self.halves),
            self.guaranteed,
        )


Band = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Check:
    """A figure, what computes it, and how far apart the two may be.

    Attributes
    ----------
    within : (lowest, highest)
        Bounds of ours / value - 1.
    published_within : (lowest, highest)
        The same beside the printed digits.
    exact : bool
        The value is an exact solution, which a guaranteed interval must hold.
    """

    figure: Figure
    find: Callable[[], Found]
    within: Band
    published_within: Band
    exact: bool = False

    @property
    def name(self) -> str:
        """Name of the figure."""
        return self.figure.name

    @property
    def value_error(self) -> float:
        """Half a unit of the value's last digit."""
        return half_unit(repr(self.figure.value))

    def beyond_print(self, found: Found) -> bool:
        """Whether ours, with its own interval, leaves the printed digits of any value.

        A value midway between two roundings belongs to either, whichever way its last bit falls.
        """
        return any(
            abs(ours - printed) > half + error + COMPARED * abs(printed)
            for ours, half, printed, error in zip(
                found.values,
                found.halves,
                self.figure.published,
                self.figure.printed_errors,
                strict=True,
            )
        )


@dataclass(frozen=True, slots=True)
class Topic:
    """Checks that belong together in the book, with what is to be known of them.

    `measured` figures are set beside what is predicted, each with its scatter and its reason.
    """

    title: str
    about: str = ""
    measured: bool = False
    checks: list[Check] = field(default_factory=list)

    def check(
        self,
        names: str | Mapping[str, Any],
        *,
        within: float | Band,
        published: float | Band | None = None,
        exact: bool = False,
    ) -> Callable[[Callable[..., Found]], Callable[..., Found]]:
        """Decorate the function that computes one figure, or several of a kind.

        Parameters
        ----------
        names : str or mapping
            Name of the figure, whose function is called with the figure; or names with the argument
            that the function takes for each.
        within, published : float or (lowest, highest)
            Relative tolerance of the value, and of the printed digits (the same unless given).
        exact : bool
            The value is an exact solution, which a guaranteed interval must hold.
        """
        allowed = _band(within)
        printed = allowed if published is None else _band(published)

        def register(find: Callable[..., Found]) -> Callable[..., Found]:
            known = figures()
            arguments = {names: known[names]} if isinstance(names, str) else names
            for name, argument in arguments.items():
                self.checks.append(
                    Check(known[name], _Call(find, argument), allowed, printed, exact)
                )
            return find

        return register


@dataclass(frozen=True, slots=True)
class _Call:
    """A function and its argument."""

    function: Callable[..., Found]
    argument: Any

    def __call__(self) -> Found:
        return self.function(self.argument)


def _band(tolerance: float | Band) -> Band:
    return tolerance if isinstance(tolerance, tuple) else (-tolerance, tolerance)


def all_topics() -> list[Topic]:
    """Topics of every module in the order of the book."""
    found = []
    for name in MODULES:
        module = importlib.import_module(f".{name}", __package__)
        found += [value for value in vars(module).values() if isinstance(value, Topic)]
    return found


def all_checks() -> list[Check]:
    """Every check of every topic."""
    return [check for topic in all_topics() for check in topic.checks]
