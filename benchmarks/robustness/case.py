"""A case: a section, what is known of it independently, and what is to become of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.section import Section

#: Sizes drawn: eight decades.
DECADES = (-4.0, 4.0)

SOLVED, REFUSED, EITHER = "solved", "refused", "either"


@dataclass(frozen=True, slots=True)
class Case:
    """One section of the campaign.

    Attributes
    ----------
    section : Section
    known : (float, float), optional
        What J lies between by a closed form (equal ends but for its digits) or by known shapes
        inside and around it.
    expect : str
        `SOLVED`: valid by construction. `REFUSED`: no section. `EITHER`: nearly none; solved or
        told why not.
    more : Section, optional
        The same with material added: J may not fall.
    drift : callable, optional
        How far rounded coordinates move J of a placed section, relative; by default no matter.
    """

    section: Section
    known: tuple[float, float] | None = None
    expect: str = SOLVED
    more: Section | None = None
    drift: Callable[[Section], float] | None = None

    def placed(self, placement: Placement) -> Case:
        """The case's image under a similarity: J grows with the fourth power of lengths."""
        section = self.section.placed(placement)
        grown = float(np.linalg.det(placement.matrix)) ** 2
        if self.drift is not None:
            grown *= (1 + self.drift(section)) / (1 + self.drift(self.section))
        known = self.known and (self.known[0] * grown, self.known[1] * grown)
        more = self.more and self.more.placed(placement)
        return replace(self, section=section, known=known, more=more)


def exactly(section: Section, value: float, doubt: float = 1e-12, expect: str = SOLVED) -> Case:
    """A case whose J is known to the relative doubt."""
    return Case(section, (value * (1 - doubt), value * (1 + doubt)), expect)


def anywhere(rng: np.random.Generator, section: Section) -> Placement:
    """A turn, a mirroring or none, a size within `DECADES`, and a move of a few sizes."""
    turned = Placement.rotate(rng.uniform(0, 2 * np.pi))
    if rng.random() < 0.5:
        turned = Placement.mirror().then(turned)
    size = 10 ** rng.uniform(*DECADES)
    moved = Placement.move(*(3 * size * rng.standard_normal(2)))
    return turned.then(Placement.scale(size / section.size())).then(moved)


def between(rng: np.random.Generator, low: float, high: float) -> float:
    """A number whose logarithm is uniform."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))
