"""What a sizing makes least, or most: weight, cost, or any result of the section or the member."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ....geometry.errors import InputError

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.model.solved_section import SolvedSection
    from .member_outcome import MemberOutcome

#: Results that the outline alone tells: candidates are ordered by them before anything is solved.
CHEAP = ("weight", "cost", "depth", "width", "area")
#: Results of the member (see `outcome_record`).
OF_MEMBER = (
    "mass", "twist_deg", "displacement", "deflection", "stress", "limit_used", "critical_factor",
)  # fmt: skip
#: Other words for some of them.
_WORDS = {"twist": "twist_deg", "mass_per_length": "weight", "movement": "displacement"}


@dataclass(frozen=True, slots=True)
class Objective:
    """The result that is sought.

    Attributes
    ----------
    of : str
        One of `CHEAP`, `OF_MEMBER`, or a number among a section's `Properties`.
    most : bool
        Whether it is to be as great as can be.
    per_mass, per_weld_length : float
        Prices of "cost": of a unit of mass (of area, where a density is missing), and of a unit of
        length of every weld along the member, in the member's units.
    """

    of: str = "weight"
    most: bool = False
    per_mass: float = 1.0
    per_weld_length: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "of", _WORDS.get(self.of, self.of))
        if self.of not in results():
            import difflib

            near = difflib.get_close_matches(self.of, results(), 1, 0.5)
            hint = f"did you mean {near[0]!r}?" if near else "use weight, cost or twist"
            raise InputError(f"there is no result {self.of!r}; {hint}")
        for word in ("per_mass", "per_weld_length"):
            value = getattr(self, word)
            if not (math.isfinite(value) and value >= 0):
                raise InputError(f"{word} must be 0 or more, got {value:g}")
        if self.of == "cost" and self.per_mass == self.per_weld_length == 0:
            raise InputError("the cost of everything is 0; give per_mass or per_weld_length")

    @property
    def cheap(self) -> bool:
        """Whether the outline alone tells it."""
        return self.of in CHEAP

    @property
    def superlative(self) -> str:
        """What the best section is called."""
        if self.of == "weight" and not self.most:
            return "lightest"
        if self.of == "cost" and not self.most:
            return "cheapest"
        return f"{'greatest' if self.most else 'least'} {self.words}"

    @property
    def words(self) -> str:
        """The result in words."""
        return self.of.removesuffix("_deg").replace("_", " ")

    def of_sections(self, sections: Sequence[Section], weight: float) -> float:
        """A cheap result of outlines, of the greatest of several; smaller is better."""
        boxes = [section.bounds() for section in sections]
        if self.of == "cost":
            welds = max(weld_share(section) for section in sections)
            value = self.per_mass * weight + self.per_weld_length * welds
        elif self.of == "area":
            value = max(sum(region.area() for region in s.regions) for s in sections)
        elif self.of == "depth":
            value = max(y1 - y0 for _, y0, _, y1 in boxes)
        elif self.of == "width":
            value = max(x1 - x0 for x0, _, x1, _ in boxes)
        else:
            value = weight
        return self._signed(value)

    def of_outcome(self, found: MemberOutcome, solved: SolvedSection) -> float:
        """Any other result; smaller is better, infinite where there is no number."""
        from .outcome_record import record

        if self.of in OF_MEMBER:
            value = record(found)[self.of]
        else:
            from ..run.properties import Properties

            assert solved.result is not None
            value = getattr(Properties.of(solved.result), self.of)
        return math.inf if value is None else self._signed(float(value))

    def shown(self, value: float) -> float:
        """The result itself from what `of_section` and `of_outcome` give."""
        return -value if self.most else value

    def _signed(self, value: float) -> float:
        return -value if self.most else value


def results() -> tuple[str, ...]:
    """Everything that can be made least or most."""
    from dataclasses import fields

    from ..run.properties import Properties

    numbers = [f.name for f in fields(Properties) if str(f.type).split(" ")[0] == "float"]
    return tuple(dict.fromkeys((*CHEAP, *OF_MEMBER, *numbers)))


def weld_share(section: Section) -> float:
    """Length of welds for a unit of length of the member: continuous ones count 1, others their
    length over their pitch."""
    total = 0.0
    for joint in section.joints:
        if joint.kind:
            whole = joint.weld_length is None or joint.pitch is None
            total += 1.0 if whole else float(joint.weld_length or 0) / float(joint.pitch or 1)
    return total


def price_length(unit: str) -> tuple[str, float]:
    """The length that prices are for, m or ft, and how many of a length unit it has."""
    from ....geometry.quantity import LENGTHS

    per = "ft" if unit in ("in", "ft") else "m"
    return per, float(LENGTHS[per] / LENGTHS[unit])


LIGHTEST = Objective()
