"""Brute force: every node of a grid of all dimensions but the last, which is a thickness.

At a node the thickness is set to that which would weigh a little less than the best so far; only
where all limits are kept with it, halving finds the least thickness that keeps them. So a node
costs one solution, and none is left out. Finer grids around the best follow until nothing comes of
it. It shares nothing with the search but the solution of the member.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field

import numpy as np
from soapfilm.geometry.errors import SoapfilmError
from soapfilm.solver.study.choice.candidate import Candidate, proposal
from soapfilm.solver.study.choice.sizing import ShapedChoice, Sizing
from soapfilm.solver.study.choice.trial import attempt

#: Nodes in every direction by the number of ranges, how near to each other those around the best
#: come at last, and what a node must gain to count.
NODES, FINEST = {2: 41, 3: 13, 4: 7, 5: 3}, 1.004
GAIN = 5e-4
HALVINGS = 12


@dataclass(slots=True)
class BruteForce:
    """A search over a sizing with ranges alone.

    Attributes
    ----------
    sizing : Sizing
    nodes : int
        In every direction; 0 for as many as the number of ranges allows.
    finest : float
        Ratio of neighbouring nodes around the best, at last.
    finer : float
        Power of the ratio from one grid to the next.
    weight : float
        Least found so far.
    values : tuple of float
        Where.
    solved : int
    """

    sizing: Sizing
    nodes: int = 0
    finest: float = FINEST
    finer: float = 0.5
    weight: float = math.inf
    values: tuple[float, ...] = ()
    solved: int = 0
    bounds: list[tuple[float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        assert isinstance(self.sizing.choice, ShapedChoice)
        self.bounds = [(p.low, p.high) for p in self.sizing.choice.ranges]

    def run(self) -> None:
        """Search the whole grid, then finer ones around the best. Where a weight and values are
        known from elsewhere, every node is held against them: that is no search of its own, but
        tells whether any node is lighter."""
        count = self.nodes or NODES[len(self.bounds)]
        axes = [np.geomspace(low, high, count) for low, high in self.bounds[:-1]]
        nodes = list(itertools.product(*axes))
        np.random.default_rng(1).shuffle(nodes)
        for node in nodes:
            self.node(tuple(node))
        steps = [(high / low) ** (1 / (count - 1)) for low, high in self.bounds[:-1]]
        while self.values and max(steps) > self.finest:
            steps = [s**self.finer for s in steps]
            self.around(steps)

    def around(self, steps: list[float]) -> None:
        """The nodes next to the best, again where one of them is better."""
        before = math.inf
        while self.weight < before * (1 - GAIN):
            before = self.weight
            centre = self.values[:-1]
            for move in itertools.product((-1, 0, 1), repeat=len(centre)):
                node = [c * s**m for c, s, m in zip(centre, steps, move, strict=True)]
                inside = zip(node, self.bounds, strict=False)
                self.node(tuple(min(max(v, low), high) for v, (low, high) in inside))

    def node(self, node: tuple[float, ...]) -> None:
        """Whether something lighter is there; if so, the least of it."""
        low, high = self.bounds[-1]
        top = high if math.isinf(self.weight) else self.thickness(node, self.weight * (1 - GAIN))
        while top is not None and self.weigh((*node, top)) is None:
            top *= 0.93  # too thick for a section: the thickest that is one will do
            if top < low:
                return
        if top is None or not self.keeps((*node, top)):
            return
        bottom = low
        if self.keeps((*node, low)):
            top = low
        else:
            for _ in range(HALVINGS):
                middle = math.sqrt(bottom * top)
                if self.keeps((*node, middle)):
                    top = middle
                else:
                    bottom = middle
                if top / bottom < 1 + GAIN:
                    break
        weight = self.weigh((*node, top))
        assert weight is not None
        if weight < self.weight:
            self.weight, self.values = weight, (*node, top)

    def thickness(self, node: tuple[float, ...], weight: float) -> float | None:
        """The greatest thickness that weighs no more; None where even the least weighs more."""
        low, high = self.bounds[-1]
        least = self.weigh((*node, low))
        if least is None or least > weight:
            return None
        whole = self.weigh((*node, high))
        if whole is not None and whole <= weight:
            return high
        for turn in range(40):
            # Weight is nearly straight in a thickness: the chord, and halves where that fails.
            chord = whole is not None and turn % 3 < 2
            share = (weight - least) / (whole - least) if chord else 0.5  # type: ignore[operator]
            middle = low + min(max(share, 1e-3), 1 - 1e-3) * (high - low)
            found = self.weigh((*node, middle))
            if found is not None and found <= weight:
                low, least = middle, found
            else:
                high, whole = middle, found
            if least > weight * (1 - 1e-5) or high - low < 1e-6 * high:
                break
        return low

    def candidate(self, values: tuple[float, ...]) -> Candidate:
        """The section with these values."""
        choice = self.sizing.choice
        assert isinstance(choice, ShapedChoice)
        given = {p.name: float(v) for p, v in zip(choice.ranges, values, strict=True)}
        return choice.candidate(given)

    def weigh(self, values: tuple[float, ...]) -> float | None:
        """Mass per length; None where these values make no section."""
        try:
            return proposal(self.sizing.setting, self.candidate(values)).weight
        except SoapfilmError:
            return None

    def keeps(self, values: tuple[float, ...]) -> bool:
        """Whether the member keeps every limit."""
        self.solved += 1
        return attempt(self.sizing.setting, self.candidate(values)).passed
