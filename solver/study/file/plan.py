"""The points of a study: a grid, a list, or a quasi-random sample of its parameters.

Points are made one after another and are the same in every run, so an interrupted study finds its
rows again.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError
from .parameter import Parameter, Value

if TYPE_CHECKING:
    from numpy.typing import NDArray

METHODS = ("sobol", "halton", "latin")
_MOST_POINTS = 10_000_000
Point = tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Parameters and how they are combined.

    Attributes
    ----------
    kind : "grid", "list" or "sample"
        Every combination of all values; the first values of all, then the second ones, and so on;
        or a sample of the ranges.
    parameters : tuple of Parameter
    steps : tuple
        Number of steps of each range in a grid or list, None for a list of values.
    count, method, seed
        Of a sample.
    """

    kind: str
    parameters: tuple[Parameter, ...]
    steps: tuple[int | None, ...] = ()
    count: int = 0
    method: str = "sobol"
    seed: int = 0

    def __post_init__(self) -> None:
        names = [p.name for p in self.parameters]
        twice = [n for n in names if names.count(n) > 1]
        if not names:
            raise InputError("a study needs a parameter; write [[parameter]] and its keys below it")
        if twice:
            raise InputError(f"two parameters are named {twice[0]!r}; rename one")
        addresses = [a for p in self.parameters for a in p.sets]
        again = [a for a in addresses if addresses.count(a) > 1]
        if again:
            raise InputError(f"address {again[0]!r} is set twice; one value can hold there only")
        if self.kind == "sample":
            self._check_sample()
        else:
            self._check_values()
        if self._size() > _MOST_POINTS:
            raise InputError(f"{self._size()} points; a study has at most {_MOST_POINTS}")

    def __len__(self) -> int:
        """Number of points."""
        return self._size()

    def _size(self) -> int:
        """The same, also where Python allows no length as large."""
        if self.kind == "sample":
            return self.count
        sizes = [len(values) for values in self._columns()]
        if self.kind == "list":
            return sizes[0]
        return math.prod(sizes)

    @property
    def names(self) -> tuple[str, ...]:
        """The parameters' names, in the order of every point."""
        return tuple(p.name for p in self.parameters)

    def points(self, backward: bool = False) -> Iterator[Point]:
        """Every point, in order or from the last one; in a grid the last parameter changes
        fastest."""
        if self.kind == "sample":
            return self._sampled(backward)
        columns = self._columns()
        if backward:
            columns = [column[::-1] for column in columns]
        return itertools.product(*columns) if self.kind == "grid" else zip(*columns, strict=True)

    def runs(self, size: int, backward: bool = False) -> Iterator[tuple[int, list[Point]]]:
        """Points in runs of `size` (the last one may have fewer), each in order, with the number
        of its first point, from 1; from the last run to the first where `backward`."""
        total, points = len(self), self.points(backward)
        firsts = range(0, total, size)
        for first in reversed(firsts) if backward else firsts:
            run = list(itertools.islice(points, min(size, total - first)))
            yield first + 1, run[::-1] if backward else run

    def assignments(self, point: Point) -> dict[str, Value]:
        """Values by address at a point."""
        return {
            address: value
            for parameter, value in zip(self.parameters, point, strict=True)
            for address in parameter.sets
        }

    def _columns(self) -> list[tuple[Value, ...]]:
        steps = self.steps or (None,) * len(self.parameters)
        return [
            p.values if n is None else p.steps(n)
            for p, n in zip(self.parameters, steps, strict=True)
        ]

    def _check_values(self) -> None:
        for p, n in zip(self.parameters, self.steps, strict=True):
            if p.is_range and n is None:
                raise InputError(
                    f"parameter {p.name!r}: steps is missing; say how many values lie in the "
                    'range, or sample it with kind = "sample"'
                )
        if self.kind == "list":
            sizes = [len(c) for c in self._columns()]
            if len(set(sizes)) > 1:
                told = ", ".join(
                    f"{p.name} {n}" for p, n in zip(self.parameters, sizes, strict=True)
                )
                raise InputError(f"a list needs as many values of every parameter, got {told}")

    def _check_sample(self) -> None:
        if self.count < 1:
            raise InputError("a sample needs count, the number of its points")
        if self.method == "sobol" and self.count & (self.count - 1):
            low = 1 << (self.count.bit_length() - 1)
            raise InputError(
                f"a Sobol' sample has a power of two points (its balance is lost else), not "
                f'{self.count}; use {low} or {2 * low}, or method = "halton"'
            )

    def _sampled(self, backward: bool) -> Iterator[Point]:
        rows = unit_sample(self.method, len(self.parameters), self.count, self.seed)
        for row in rows[::-1] if backward else rows:
            yield tuple(p.at(float(u)) for p, u in zip(self.parameters, row, strict=True))


def unit_sample(method: str, dimensions: int, count: int, seed: int) -> NDArray[Any]:
    """(count, dimensions) points of the unit cube.

    Source: scipy.stats.qmc: scrambled Sobol' (Joe and Kuo's directions), scrambled Halton, or a
    Latin hypercube.
    """
    import inspect

    from scipy.stats import qmc

    engine = {"sobol": qmc.Sobol, "halton": qmc.Halton, "latin": qmc.LatinHypercube}[method]
    # scipy renamed the argument; the old name will go.
    word = "rng" if "rng" in inspect.signature(engine).parameters else "seed"
    sample: NDArray[Any] = engine(d=dimensions, **{word: seed}).random(count)
    return sample
